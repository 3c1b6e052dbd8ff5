"""The colours of every picture: one table with a light and a dark value each, safe for colour-blind readers.

The lines and areas use the eight colours of Okabe and Ito (2008, "Color Universal Design"), which readers with the
common kinds of colour blindness can tell apart; the dark values are the same hues, lighter. A picture names a colour as
a CSS variable with its light value as fallback, so one SVG text serves the live page in both themes and the print.
"""

import re

__all__ = ["COLOURS", "ink", "light_only", "stylesheet"]

COLOURS = {
    # name: (light, dark)
    "ink": ("#1f2328", "#e8eaed"),
    "muted": ("#57606a", "#b0b8c1"),
    "grid": ("#dfe3e8", "#3b424a"),
    "paper": ("#ffffff", "#111111"),
    "panel": ("#f4f6f8", "#1d2125"),
    "heat": ("#d55e00", "#ff8f45"),
    "heat-text": ("#a04000", "#ffab73"),
    "water": ("#0072b2", "#56b4e9"),
    "water-text": ("#005a8c", "#86cbf2"),
    "ice": ("#cfe8f7", "#8fb7cf"),
    "plant": ("#009e73", "#2fcfa0"),
    "plant-text": ("#00694c", "#5fe0b9"),
    "sun": ("#e69f00", "#ffc14d"),
    "sun-text": ("#7d5600", "#ffd27f"),
    "air": ("#a64d85", "#e39cc6"),
    "outside": ("#5b6b7a", "#a9bac9"),
    "alarm": ("#b3261e", "#ff8a80"),
    "alarm-soft": ("#f9dedc", "#4e1f1c"),
    "sky": ("#e3ebf3", "#1d2739"),
    "inside": ("#fff6e6", "#332b20"),
    "glass": ("#7fb8d6", "#7fb8d6"),
    "wood": ("#b98a5a", "#a57c53"),
    "wood-dark": ("#7c5632", "#d0a67a"),
    "foam": ("#f4d58d", "#c9a955"),
    "soil": ("#c9a987", "#5b4632"),
    "soil-deep": ("#a98764", "#3e3023"),
    "gravel": ("#c3c7cb", "#6d747b"),
    "concrete": ("#a9aeb4", "#868d94"),
    "metal": ("#6e7781", "#9aa4ae"),
    "snow": ("#ffffff", "#dbe4ec"),
}


def ink(name):
    """Name a colour so that the live page follows the theme and everything else takes the light value.

    Parameters
    ----------
    name : str
        A key of :data:`COLOURS` [text].

    Returns
    -------
    str
        A CSS value such as ``var(--hl-water,#0072b2)`` [text].

    Examples
    --------
    >>> ink("water")
    'var(--hl-water,#0072b2)'
    """
    return f"var(--hl-{name},{COLOURS[name][0]})"


def light_only(svg):
    """Replace each colour variable by its fallback, for readers of SVG that know no CSS variables.

    Parameters
    ----------
    svg : str
        An SVG text of this package [SVG].

    Returns
    -------
    str
        The same drawing in its light colours [SVG].

    Examples
    --------
    >>> light_only("fill:var(--hl-water,#0072b2)")
    'fill:#0072b2'
    """
    return re.sub(r"var\(--hl-[a-z-]+,([^()]*)\)", r"\1", svg)


def stylesheet():
    """Write the colour variables for both themes as CSS.

    Returns
    -------
    str
        Rules for ``.hl-view``; dark where JupyterLab says its theme is not light [CSS].

    Examples
    --------
    >>> "--hl-water:#56b4e9" in stylesheet()
    True
    """
    rules = []
    for index, selector in enumerate((".hl-view", '[data-jp-theme-light="false"] .hl-view')):
        values = ";".join(f"--hl-{name}:{both[index]}" for name, both in COLOURS.items())
        rules.append(f"{selector}{{{values}}}")
    return "\n".join(rules) + "\n"
