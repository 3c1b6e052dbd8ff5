"""Turn the SVG text of a picture into PNG for storing and PDF for printing, the same bytes each time.

The typesetter of the handouts (typst) draws the SVG, with DejaVu Sans from matplotlib's own folder and no font of the
system, so a picture is the same on every machine.
"""

import io
import re
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

from heatlib.classroom.palette import light_only

__all__ = ["font_folder", "let_go", "svg_size", "to_pdf", "to_png"]

_KEPT = 12
"""So many settings, two to spare, and typst has let go of what went before [–]."""
_PAGE = """#set page(width: {width}pt, height: {height}pt, margin: 0pt, fill: white)
#set document(title: sys.inputs.title, date: none)
#image(bytes(sys.inputs.svg), format: "svg", width: {width}pt, alt: sys.inputs.alt)"""


@lru_cache
def font_folder():
    """Return the folder with DejaVu Sans, found without loading matplotlib."""
    return Path(find_spec("matplotlib").origin).parent / "mpl-data" / "fonts" / "ttf"


@lru_cache
def _compiler():
    import typst

    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[font_folder()])
    return typst.Compiler(font_paths=fonts, ignore_system_fonts=True)


def let_go():
    """Let typst forget what it has worked out: of a hundred handouts some 300 MB, which no further pages use.

    It keeps its steps until ten more pages have been set, however large they were; small ones do.
    """
    for _ in range(_KEPT):
        _compiler().compile(b"", format="svg")


def svg_size(svg):
    """Return width and height of a picture [points]."""
    found = re.match(r'<svg [^>]*viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    if not found:
        raise ValueError('a picture starts with <svg … viewBox="0 0 width height">')
    return float(found.group(1)), float(found.group(2))


def _compile(svg, title="", alt="picture", **options):
    width, height = svg_size(svg)
    page = _PAGE.format(width=f"{width:g}", height=f"{height:g}")
    inputs = {"svg": light_only(svg), "title": title, "alt": alt}
    return _compiler().compile(page.encode(), sys_inputs=inputs, **options)


def to_png(svg, scale=2.0):
    """Draw an SVG text as PNG on white paper, with as many colours as a palette of 256 holds.

    Parameters
    ----------
    svg : str
        A picture of this package [SVG].
    scale : float
        Pixels per point [–].

    Returns
    -------
    bytes
        PNG without date or other changing parts [PNG].
    """
    from PIL import Image

    page = Image.open(io.BytesIO(_compile(svg, format="png", ppi=72 * scale))).convert("RGB")
    small = page.quantize(256, method=Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE)
    result = io.BytesIO()
    small.save(result, "PNG", optimize=True)
    return result.getvalue()


def to_pdf(svg, title, alt):
    """Draw an SVG text as a PDF page of its own size; words stay words, ``alt`` is its description for a reader."""
    return _compile(svg, title, alt, format="pdf", timestamp=0)
