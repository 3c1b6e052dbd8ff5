"""Build the course's notebooks: generated cells, exercises from solutions, a fresh run, nothing random kept.

Sources are ``lessons/*.ipynb`` and ``solutions/*.ipynb``. ``exercises/*.ipynb`` are made from the solutions: a code
cell tagged ``solution`` goes, a text cell with that tag becomes a place to write, and the lines between
``# solution begins`` and ``# solution ends`` go.
"""

import copy
import json
import os
import re
import tempfile
from pathlib import Path

import nbformat

from heatlib._check import choice
from heatlib.classroom import course
from heatlib.classroom.drafts import cell_id
from heatlib.classroom.navigation import refresh, refresh_readme
from heatlib.classroom.pictures import wanted

__all__ = ["BuildError", "build", "clean", "execute", "exercise_from", "read", "to_text", "write"]

KERNEL = {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}
STRIPPED = ("application/vnd.jupyter.widget-view+json", "application/javascript")
STRICT = "HEATLIB_STRICT"
OWN_FILES = ("my-greenhouse*.toml",)
ANSWER_HERE = "*Write your answer here.*"


class BuildError(Exception):
    """A notebook could not be built; the message names the file, the cell and what to do."""


def read(path):
    """Read a notebook of format 4.5, or say what is wrong with the file."""
    try:
        raw = json.loads(Path(path).read_text(encoding="utf-8"))
        if not isinstance(raw, dict) or (raw.get("nbformat"), raw.get("nbformat_minor")) != (4, 5):
            raise ValueError("it is not of notebook format 4.5")
        notebook = nbformat.reads(json.dumps(raw), as_version=4)
        nbformat.validate(notebook)
    except (OSError, ValueError, nbformat.ValidationError) as error:
        raise BuildError(f"{path} can't be read as a notebook: {str(error).splitlines()[0]}") from error
    return notebook


def to_text(notebook):
    """Return the one text form in which a notebook is stored."""
    return nbformat.writes(notebook, version=4).rstrip("\n") + "\n"


def write(notebook, path):
    """Write a notebook at one stroke: a stop half-way leaves the old file whole. Return whether it changed."""
    path, text = Path(path), to_text(notebook)
    if path.exists() and path.read_text(encoding="utf-8") == text:
        return False
    with tempfile.NamedTemporaryFile("w", encoding="utf-8", newline="\n", dir=path.parent, delete=False) as part:
        part.write(text)
    try:
        os.chmod(part.name, 0o644)
        os.replace(part.name, path)
    except OSError:
        os.unlink(part.name)
        raise
    return True


def clean(notebook):
    """Keep what a reader needs: sources, tags, folding, text and pictures; no widget state, times or random ids."""
    used, cells = set(), []
    for cell in notebook.cells:
        tags = list(cell.metadata.get("tags", []))
        folded = "hide" in tags or cell.metadata.get("jupyter", {}).get("source_hidden", False)
        make = {"code": nbformat.v4.new_code_cell, "markdown": nbformat.v4.new_markdown_cell}[cell.cell_type]
        fresh = make(source=cell.source.rstrip())
        fresh["id"] = cell_id(cell.source, used) if cell.get("id", "") in used or not cell.get("id") else cell["id"]
        used.add(fresh["id"])
        if tags:
            fresh.metadata["tags"] = tags
        if folded and cell.cell_type == "code":
            fresh.metadata["jupyter"] = {"source_hidden": True}
        if cell.cell_type == "code":
            fresh.execution_count = cell.get("execution_count")
            fresh.outputs = [_clean_output(output) for output in cell.outputs]
        cells.append(fresh)
    metadata = {"kernelspec": dict(KERNEL), "language_info": {"name": "python"}}
    result = nbformat.v4.new_notebook(cells=cells, metadata=metadata)
    result.nbformat_minor = 5
    return result


def _clean_output(output):
    fresh = copy.deepcopy(output)
    fresh.pop("transient", None)
    if "data" in fresh:
        for name in STRIPPED:
            fresh.data.pop(name, None)
        sizes = {kind: value for kind, value in fresh.metadata.items() if kind.startswith("image/")}
        fresh.metadata = nbformat.NotebookNode(sizes)
    if "execution_count" in fresh and fresh.output_type == "execute_result":
        fresh.execution_count = output.execution_count
    return fresh


def execute(notebook, folder, *, strict=False, name="notebook"):
    """Run a notebook from its first cell in a fresh kernel and return it cleaned.

    Strict exercise checks raise on an answer that is missing or wrong. Words on the error stream stop the build:
    a warning in a lesson puzzles its reader.
    """
    from nbclient import NotebookClient
    from nbclient.exceptions import CellExecutionError

    notebook = clean(notebook)
    environment = {key: value for key, value in os.environ.items() if not key.startswith("HEATLIB_")}
    environment |= {"PYTHONHASHSEED": "0"} | ({STRICT: "1"} if strict else {})
    client = NotebookClient(
        notebook,
        timeout=180,
        kernel_name="python3",
        record_timing=False,
        store_widget_state=False,
        coalesce_streams=True,
        extra_arguments=["--log-level=40"],
        resources={"metadata": {"path": str(folder)}},
    )
    try:
        client.execute(env=environment)
    except CellExecutionError as error:
        raise BuildError(f"{name}: a cell stops with an error\n{_tail(str(error))}") from error
    for cell in notebook.cells:
        for output in cell.get("outputs", []):
            if output.output_type == "stream" and output.name == "stderr":
                raise BuildError(f"{name}: a cell writes to the error stream: {output.text.strip()}\nin: {cell.source}")
    return clean(notebook)


def _tail(text, lines=25):
    return "\n".join(re.sub(r"\x1b\[[0-9;]*m", "", text).splitlines()[-lines:])


def exercise_from(solution):
    """Return the exercise that a solution notebook contains: the same tasks without the answers."""
    exercise = copy.deepcopy(solution)
    cells = []
    for cell in exercise.cells:
        tags = list(cell.metadata.get("tags", []))
        if "solution" in tags:
            if cell.cell_type == "code":
                continue
            cell.source = ANSWER_HERE
            cell.metadata["tags"] = ["answer" if tag == "solution" else tag for tag in tags]
        elif cell.cell_type == "code":
            cell.source = _without_answers(cell.source)
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
        cells.append(cell)
    exercise.cells = cells
    return exercise


def _without_answers(source):
    kept, inside = [], False
    for line in source.splitlines():
        mark = line.strip().lower()
        if mark == "# solution begins":
            if inside:
                raise BuildError(f"'# solution begins' stands twice without '# solution ends' in:\n{source}")
            inside = True
        elif mark == "# solution ends":
            if not inside:
                raise BuildError(f"'# solution ends' stands without '# solution begins' in:\n{source}")
            inside = False
        elif not inside:
            kept.append(line)
    if inside:
        raise BuildError(f"'# solution begins' has no '# solution ends' in:\n{source}")
    return "\n".join(kept).strip("\n")


def _refreshed(root, kind, number):
    path = root / kind / course.lesson(number).file
    return refresh(read(path), kind, number)


def static(root, kind, number):
    """Return the sources of one notebook as the build would write them, without running anything."""
    if kind == "exercises":
        return clean(refresh(exercise_from(_refreshed(root, "solutions", number)), kind, number))
    return clean(_refreshed(root, kind, number))


def _refuse_own_files(folder):
    """A lesson run where somebody's own greenhouse is kept would store that house in the course."""
    found = sorted(path.name for pattern in OWN_FILES for path in folder.glob(pattern))
    if found:
        raise BuildError(
            f"{folder.name} holds {', '.join(found)}: the greenhouse of whoever works here, which the build would "
            f"store in the lesson. Move it out of {folder.name} for as long as the build runs, then put it back."
        )


def _built(root, kind, number):
    _refuse_own_files(root / kind)
    name = f"{kind}/{course.lesson(number).file}"
    return execute(static(root, kind, number), root / kind, strict=kind == "solutions", name=name)


def build(root, numbers=None, kinds=course.FOLDERS, *, check=False, run=True, report=print):
    """Build notebooks and the generated parts of the README; return the files that were not as the build makes them.

    With ``check`` nothing is written. Without ``run`` only sources are compared or written: outputs are kept where the
    cell did not change.
    """
    root, drifted = Path(root), []
    for number in numbers or [row.number for row in course.lessons()]:
        for kind in kinds:
            source = "solutions" if kind == "exercises" else choice("kind", kind, course.FOLDERS)
            path = root / kind / course.lesson(number).file
            if not (root / source / path.name).exists():
                report(f"{source}/{path.name} is not there; skipped")
                drifted.append(path) if check else None
                continue
            made = _built(root, kind, number) if run else _with_outputs(static(root, kind, number), path)
            drifted += _settle(made, path, check, report)
    drifted += _front(root, check, report)
    return drifted


def _front(root, check, report):
    """Settle the README's pictures and generated parts."""
    readme, drifted = root / "README.md", []
    if not readme.exists():
        return drifted
    for name, (png, _) in wanted(root).items():
        if not (root / name).exists() or (root / name).read_bytes() != png:
            drifted.append(root / name)
            if not check:
                (root / name).parent.mkdir(parents=True, exist_ok=True)
                (root / name).write_bytes(png)
    old = readme.read_text(encoding="utf-8")
    new = refresh_readme(old, root)
    if new != old:
        drifted.append(readme)
        if not check:
            readme.write_text(new, encoding="utf-8", newline="\n")
    for path in drifted:
        report(f"{path.relative_to(root).as_posix()}: {'differs from its source' if check else 'written'}")
    return drifted


def _settle(made, path, check, report):
    if path.exists() and path.read_text(encoding="utf-8") == to_text(made):
        report(f"{path.parent.name}/{path.name}: as built")
        return []
    report(f"{path.parent.name}/{path.name}: {'differs from its source' if check else 'written'}")
    if not check:
        write(made, path)
    return [path]


def _with_outputs(made, path):
    if not path.exists():
        return made
    old = {cell["id"]: cell for cell in read(path).cells if cell.cell_type == "code"}
    for cell in made.cells:
        known = old.get(cell["id"])
        if cell.cell_type == "code" and known is not None and known.source == cell.source:
            cell.outputs, cell.execution_count = known.outputs, known.execution_count
    return made
