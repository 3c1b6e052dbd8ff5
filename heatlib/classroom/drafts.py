"""A notebook as a plain script and back, so that a lesson can be written in any text editor.

A line ``# %%`` begins a code cell and ``# %% [markdown]`` a text cell; both may carry ``tags=["hide", "solution"]``.
Text is either commented line by line or set between two lines of three quotation marks. The notebook is the source of
the course; a script is only a way to write it.
"""

import hashlib
import json
import re

import nbformat

__all__ = ["notebook_from_script", "script_from_notebook"]

_HEAD = re.compile(r"^# %%(?P<kind> \[markdown\])?(?: tags=(?P<tags>\[.*\]))?\s*$")


def notebook_from_script(text):
    """Return the notebook that a script describes; a line that looks like a cell head but isn't one is refused."""
    cells, used = [], set()
    for kind, tags, source in _split(text):
        make = nbformat.v4.new_markdown_cell if kind == "markdown" else nbformat.v4.new_code_cell
        cell = make(source=source)
        if tags:
            cell.metadata["tags"] = tags
        cell["id"] = cell_id(source, used)
        cells.append(cell)
    return nbformat.v4.new_notebook(cells=cells)


def cell_id(source, used):
    """Return an id made from the words of a cell, different from those in ``used``, and add it there."""
    stem = hashlib.sha256(source.encode()).hexdigest()[:8]
    count, name = 1, stem
    while name in used:
        count, name = count + 1, f"{stem}-{count + 1}"
    used.add(name)
    return name


def _split(text):
    found, kind = [], None
    for number, line in enumerate(text.splitlines(), 1):
        head = _HEAD.match(line)
        if head:
            kind = "markdown" if head["kind"] else "code"
            found.append((kind, _tags(head["tags"], number), []))
        elif line.startswith("# %%"):
            raise ValueError(f"line {number} looks like the head of a cell but can't be read: {line}")
        elif kind is None:
            if line.strip():
                raise ValueError(f"line {number} stands before the first cell head # %%: {line}")
        else:
            found[-1][2].append(line)
    if not found:
        raise ValueError("the script has no cell: each begins with a line # %% or # %% [markdown]")
    return [(kind, tags, _source(kind, lines)) for kind, tags, lines in found]


def _tags(text, number):
    try:
        tags = json.loads(text or "[]")
    except ValueError as error:
        raise ValueError(f'line {number}: tags must be written like tags=["hide"], but they are {text}') from error
    return tags


def _source(kind, lines):
    body = "\n".join(lines).strip("\n")
    if kind == "code":
        return body.rstrip()
    quoted = re.fullmatch(r'r?"""\n?(.*?)\n?"""', body.strip(), re.S)
    if quoted:
        return quoted.group(1).strip("\n")
    return "\n".join(re.sub(r"^# ?", "", line) for line in body.splitlines()).strip("\n")


def script_from_notebook(notebook, *, generated=()):
    """Return the script of a notebook, without its outputs and without cells that carry a tag in ``generated``."""
    parts = []
    for cell in notebook.cells:
        tags = list(cell.metadata.get("tags", []))
        if set(tags) & set(generated):
            continue
        if cell.metadata.get("jupyter", {}).get("source_hidden") and "hide" not in tags:
            tags.append("hide")
        mark = f" tags={json.dumps(tags)}" if tags else ""
        if cell.cell_type == "markdown":
            body = "\n".join(f"# {line}".rstrip() for line in cell.source.splitlines())
            parts.append(f"# %% [markdown]{mark}\n{body}\n")
        else:
            parts.append(f"# %%{mark}\n{cell.source}\n")
    return "\n".join(parts)
