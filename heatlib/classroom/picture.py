"""A picture and what it says: the drawing as SVG text, one sentence, a description, and its key numbers.

The SVG is the one description. The live view sets it into the page; the stored and the printed form are drawn from it
by :mod:`heatlib.classroom.raster`.
"""

import re
from dataclasses import dataclass, field
from xml.parsers.expat import ExpatError, ParserCreate

from heatlib.classroom.raster import svg_size, to_pdf, to_png

__all__ = ["Picture", "key_number_text"]

_ALLOWED = frozenset(
    "svg g defs rect line path circle ellipse text tspan title "
    "pattern clipPath linearGradient radialGradient stop".split()
)


@dataclass(frozen=True)
class Picture:
    """One finished picture.

    Parameters
    ----------
    svg : str
        The drawing, composed with :mod:`heatlib.classroom.svg` [SVG].
    sentence : str
        The result in one sentence, shown under the picture and read aloud when it changes [text].
    description : str
        What the picture shows, with its numbers, for a reader who can't see it [text].
    numbers : dict of str
        Key numbers with their units, in the order to show them [text].
    """

    svg: str
    sentence: str
    description: str
    numbers: dict[str, str] = field(default_factory=dict)

    def __post_init__(self):
        for name in ("sentence", "description"):
            words = getattr(self, name)
            if not isinstance(words, str) or not words.strip():
                raise ValueError(f"the {name} of a picture must be words, but it is {words!r}")
            if re.search(r"(?<![\w-])(nan|inf|None)(?![\w-])", words):
                raise ValueError(f"the {name} of a picture has a number missing: {words}")
        if not re.search(r"\d", self.description):
            raise ValueError(f"the description of a picture carries its numbers, but this has none: {self.description}")
        _check_svg(self.svg)

    def png(self, scale=2.0):
        """Return the picture as PNG with ``scale`` pixels a point [PNG]."""
        return to_png(self.svg, scale)

    def pdf(self, title="Picture"):
        """Return the picture as a one-page PDF whose words can be searched [PDF]."""
        return to_pdf(self.svg, title, self.description)

    @property
    def width(self):
        """Width at full size [points]."""
        return svg_size(self.svg)[0]

    @property
    def text(self):
        """Sentence and key numbers, one a line: the text form that is stored with a notebook."""
        return "\n".join([self.sentence, *key_number_text(self.numbers)])


def key_number_text(numbers):
    """Write key numbers one a line, e.g. ``['heat lost: 3.1 kW']``."""
    return [f"{name}: {value}" for name, value in numbers.items()]


def _check_svg(svg):
    """Refuse a drawing that a page could not show or that carries anything but shapes and words."""

    def start(name, attributes):
        if name not in _ALLOWED:
            raise ValueError(f"a picture holds shapes and words only, but this one has <{name}>")
        for key in attributes:
            if key.startswith("on") or "href" in key:
                raise ValueError(f"a picture holds shapes and words only, but this one has the attribute {key}")

    parser = ParserCreate()
    parser.StartElementHandler = start
    try:
        parser.Parse(svg, True)
    except ExpatError as error:
        raise ValueError(f"the drawing is not well-formed SVG: {error}") from error
    svg_size(svg)
