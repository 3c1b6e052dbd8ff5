"""Set words that anybody may have written into HTML and Markdown so that they stay words.

A page looks for mathematics in what it shows: between two dollar signs, after ``\\(``, ``\\[`` and ``\\begin``. A house
called "mine, 500$ to 900$" or prices in "$" would turn into a formula. It never looks across an element's edge, so a
sign in a ``<span>`` of its own begins none.
"""

from html import escape as _escape

__all__ = ["escape", "escape_markdown"]

_BEGINS_MATHS = {sign: f"<span>{sign}</span>" for sign in "$\\"}
_MARKUP = "\\`*_{}[]<>#|!$~&"


def escape(words):
    """Make any text safe inside an element of HTML; not for attributes.

    Parameters
    ----------
    words : str
        Anything a reader may have written [text].

    Returns
    -------
    str
        The same words with markup signs as entities, and signs that could begin mathematics apart [text].
    """
    return "".join(_BEGINS_MATHS.get(sign, sign) for sign in _escape(str(words)))


def escape_markdown(words):
    """Set a backslash before every sign that Markdown or HTML could take for markup, and part what mathematics needs.

    A single dollar sign begins nothing: a table of prices in "$" stays easy to read.

    Parameters
    ----------
    words : str
        Anything a reader may have written, of one line [text].

    Returns
    -------
    str
        Markdown that shows the same words [text].
    """
    words = str(words)
    apart = "\\$" if words.count("$") > 1 else "\\"
    return "".join(_in_markdown(sign, sign in apart) for sign in words)


def _in_markdown(sign, apart):
    kept = f"\\{sign}" if sign in _MARKUP else sign
    return f"<span>{kept}</span>" if apart else kept
