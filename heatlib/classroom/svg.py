"""Write SVG as text: a handful of shapes whose words are always escaped and whose numbers are always short.

Coordinates are in picture points; one point is one pixel on an ordinary screen at full size. Every function returns a
piece of SVG. Words given by a reader (the name of their house) pass through :func:`escape` and can't become markup.
"""

import math
from html import escape as _html_escape

from heatlib.classroom.palette import ink

__all__ = [
    "FONT_SIZE",
    "arrow",
    "document",
    "escape",
    "group",
    "line",
    "path",
    "polyline",
    "rect",
    "tag",
    "text",
    "text_width",
]

FONT_SIZE = 14.2
"""Size of ordinary words [points]: 640 points across, shown 592 wide on a 1024-pixel screen, leave 13 pixels."""

_WIDTHS = {
    0.3: "\u202f'IJijl",
    0.35: " ,./:;\\|·’",
    0.4: "()-[]ft",
    0.45: "!r²³",
    0.5: '"*_`°–',
    0.55: "?csz“”",
    0.6: "FLkvxy",
    0.65: "$0123456789EPSTYabdeghnopqu{}äöüéèµ",
    0.7: "ABCKRVXZ",
    0.75: "NU",
    0.8: "&DGHOQ▲▼",
    0.85: "#+<=>^w~−×±≤≥→←",
    0.9: "M",
}
"""Widths of the letters of DejaVu Sans in parts of the letter size, rounded up; any other sign counts as 1."""
_WIDTH_OF = {letter: width for width, letters in _WIDTHS.items() for letter in letters}


def escape(words):
    """Make any text safe inside SVG and HTML, in elements and in quoted attributes.

    Parameters
    ----------
    words : str
        Anything a reader may have written [text].

    Returns
    -------
    str
        The same words with markup signs as entities and control signs, which XML forbids, left out [text].
    """
    kept = "".join(
        sign if sign >= " " and not "\ud800" <= sign <= "\udfff" and sign not in "\ufffe\uffff" else " "
        for sign in str(words)
    )
    return _html_escape(kept, quote=True)


def tag(name, *children, **attributes):
    """Write one element; an attribute ``stroke_width`` becomes ``stroke-width``, a ``None`` is left out."""
    words = "".join(
        f' {key.replace("_", "-")}="{_value(value)}"' for key, value in attributes.items() if value is not None
    )
    inner = "".join(children)
    return f"<{name}{words}>{inner}</{name}>" if inner else f"<{name}{words}/>"


def _value(value):
    if isinstance(value, int | float):
        return _number(value)
    return escape(value)


def _number(value):
    if not math.isfinite(value):
        raise ValueError(f"a picture can't be drawn at the coordinate {value}")
    short = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if short in ("-0", "") else short


def _style(fill=None, stroke=None, width=None, dash=None, opacity=None, extra=""):
    parts = [
        f"fill:{_paint(fill)}",
        f"stroke:{_paint(stroke)};stroke-width:{_number(width or 1)}" if stroke else "",
        f"stroke-dasharray:{dash}" if dash else "",
        f"opacity:{_number(opacity)}" if opacity is not None else "",
        extra,
    ]
    return ";".join(part for part in parts if part)


def _paint(name):
    if name is None:
        return "none"
    return name if name.startswith(("url(", "#")) else ink(name)


def group(*children, **attributes):
    """Hold pieces together, for instance to move or fade them as one."""
    return tag("g", *children, **attributes)


def line(x1, y1, x2, y2, colour="ink", width=1.0, dash=None, opacity=None):
    """Draw a straight line from one point to another."""
    return tag("line", x1=x1, y1=y1, x2=x2, y2=y2, style=_style(None, colour, width, dash, opacity))


def rect(x, y, width, height, fill="panel", stroke=None, stroke_width=1.0, radius=None, opacity=None):
    """Draw a rectangle; a negative size is a slip of the caller and raises, but for round-off."""
    if min(width, height) < -0.01:
        raise ValueError(f"a rectangle can't be {width:g} by {height:g} points")
    return tag(
        "rect",
        x=x,
        y=y,
        width=max(width, 0),
        height=max(height, 0),
        rx=radius,
        style=_style(fill, stroke, stroke_width, None, opacity),
    )


def path(points, fill=None, stroke="ink", width=1.0, dash=None, opacity=None, close=False):
    """Draw through points ``(x, y)`` with straight lines, closed to an area where asked."""
    steps = " ".join(f"{_number(x)},{_number(y)}" for x, y in points)
    return tag(
        "path",
        d=f"M{steps}{'Z' if close else ''}",
        style=_style(fill, stroke, width, dash, opacity, "stroke-linejoin:round"),
    )


def polyline(xs, ys, colour="ink", width=2.0, dash=None):
    """Draw one line of a chart through the given points."""
    return path(zip(xs, ys), None, colour, width, dash)


def arrow(x1, y1, x2, y2, width, colour="heat", opacity=None):
    """Draw a solid arrow whose shaft has the given width and whose point lies at ``(x2, y2)``."""
    length = math.hypot(x2 - x1, y2 - y1) or 1.0
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    head = min(max(6.0, 0.9 * width + 4), 0.6 * length)
    half, wing = width / 2, width / 2 + max(3.0, 0.28 * width)
    outline = [
        (0, half),
        (length - head, half),
        (length - head, wing),
        (length, 0),
        (length - head, -wing),
        (length - head, -half),
        (0, -half),
    ]
    points = [(x1 + along * ux - across * uy, y1 + along * uy + across * ux) for along, across in outline]
    return path(points, colour, "paper" if width > 4 else colour, 1.0 if width > 4 else 0.4, None, opacity, close=True)


def text(x, y, words, size=FONT_SIZE, anchor="start", colour="ink", bold=False, halo=False, turn=None):
    """Write words; ``halo`` puts a rim of paper colour round them where they lie on lines."""
    extra = "font-weight:700" if bold else ""
    if halo:
        extra += f";paint-order:stroke;stroke:{ink('paper')};stroke-width:3.5px;stroke-linejoin:round"
    return tag(
        "text",
        escape(words),
        x=x,
        y=y,
        font_size=size,
        text_anchor=None if anchor == "start" else anchor,
        transform=None if turn is None else f"rotate({_number(turn)} {_number(x)} {_number(y)})",
        style=f"fill:{ink(colour)};{extra}".rstrip(";").replace(";;", ";"),
    )


def text_width(words, size=FONT_SIZE, bold=False):
    """Return a width that the words don't exceed in DejaVu Sans, the widest font a picture is shown in.

    Parameters
    ----------
    words : str
        The words of one line [text].
    size : float
        Size of the letters [points].
    bold : bool
        Whether they are bold [–].

    Returns
    -------
    float
        Width [points].
    """
    return sum(_WIDTH_OF.get(letter, 1.0) for letter in words) * size * (1.2 if bold else 1.0)


def document(width, height, *children, definitions=""):
    """Close a picture: pieces drawn in order on a canvas of ``width`` × ``height`` points."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_number(width)} {_number(height)}" '
        f'width="{_number(width)}" height="{_number(height)}" '
        "style=\"font-family:var(--hl-font,'DejaVu Sans')\">"
        + (tag("defs", definitions) if definitions else "")
        + "".join(children)
        + "</svg>"
    )
