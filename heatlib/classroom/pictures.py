"""The pictures that README.md shows: stored with two lessons, never drawn a second time."""

import base64
from pathlib import Path

from heatlib.classroom import course

__all__ = ["FOLDER", "SHOWN", "first_picture", "readme_pictures", "wanted"]

SHOWN = (1, 10)
FOLDER = Path("heatlib") / "classroom" / "pictures"


def first_picture(notebook):
    """Return the PNG and the description of a lesson's first live view, or None where it stores none."""
    for cell in notebook.cells:
        if cell.cell_type == "code" and "lesson.show(" in cell.source:
            for output in cell.outputs:
                png = output.get("data", {}).get("image/png")
                if png:
                    words = output.metadata.get("image/png", {}).get("alt") or output.data["text/plain"]
                    return base64.b64decode(png), " ".join(words.split())
    return None


def wanted(root):
    """Return ``{path: (png, description)}`` as the lessons' stored pictures say."""
    from heatlib.classroom.notebooks import read

    found = {}
    for number in SHOWN:
        path = Path(root) / "lessons" / course.lesson(number).file
        picture = first_picture(read(path)) if path.exists() else None
        if picture:
            found[FOLDER / f"lesson-{number:02}.png"] = picture
    return found


def readme_pictures(root):
    """Write the README's part with the pictures as Markdown."""
    parts = []
    for number, (path, (_, words)) in zip(SHOWN, wanted(root).items()):
        row = course.lesson(number)
        alt = words.replace("[", "(").replace("]", ")")
        parts.append(f"[![{alt}]({path.as_posix()})](lessons/{row.file})\n\n*From lesson {number}: {row.question}*")
    return "\n\n".join(parts)
