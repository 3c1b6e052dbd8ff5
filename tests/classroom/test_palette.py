"""Colours: words stand out from every ground in both themes, and lines differ for colour-blind readers and in grey."""

import itertools
import re

import numpy as np
import pytest

from heatlib.classroom.axes import HATCHES, STYLES
from heatlib.classroom.palette import COLOURS, stylesheet

WORDS = ("ink", "muted", "heat-text", "water-text", "plant-text", "sun-text", "alarm")
GROUNDS = ("paper", "panel", "inside", "sky", "alarm-soft")
"""Words on soil, wood or arrows have a rim of paper colour round them."""
THEMES = {"light": 0, "dark": 1}

# Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color vision deficiency", IEEE
# Transactions on Visualization and Computer Graphics 15 (2009), severity 1.0, for linear RGB; from memory, and held
# by its rule that grey stays grey.
SEEN = {
    "usual": np.eye(3),
    "protanopia": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    "deuteranopia": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
    "tritanopia": np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]
    ),
}


def linear(name, theme):
    """Undo the curve of sRGB (IEC 61966-2-1)."""
    code = COLOURS[name][THEMES[theme]]
    value = np.array([int(code[n : n + 2], 16) for n in (1, 3, 5)]) / 255
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


def luminance(rgb):
    return float(np.array([0.2126, 0.7152, 0.0722]) @ rgb)


def contrast(first, second):
    """WCAG 2.1: (lighter + 0.05) / (darker + 0.05)."""
    low, high = sorted((luminance(first), luminance(second)))
    return (high + 0.05) / (low + 0.05)


def lab(rgb):
    """CIE 1976 L*a*b* under D65."""
    to_xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
    ratio = to_xyz @ np.clip(rgb, 0, 1) / np.array([0.9505, 1.0, 1.089])
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def test_the_sums_are_right():
    """White is L* 100 and without hue; #767676 on white has 4.54 by the definition; grey stays grey for everybody."""
    assert lab(np.ones(3)) == pytest.approx([100, 0, 0], abs=0.1)
    grey = ((0x76 / 255 + 0.055) / 1.055) ** 2.4
    assert contrast(np.full(3, grey), np.ones(3)) == pytest.approx(4.54, abs=0.01)
    for matrix in SEEN.values():
        assert matrix @ np.ones(3) == pytest.approx(np.ones(3), abs=1e-5)


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("words", "ground"), list(itertools.product(WORDS, GROUNDS)))
def test_words_stand_out(words, ground, theme):
    """4.5 is what WCAG 2.1 asks at level AA for words of ordinary size (1.4.3)."""
    found = contrast(linear(words, theme), linear(ground, theme))
    assert found >= 4.5, f"{words} on {ground} has {found:.2f}"


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("eyes", SEEN)
def test_lines_differ_for_every_eye(eyes, theme):
    """Two colours 2.3 apart are just told from each other; lines that lie side by side get four times that at least."""
    seen = {style[0]: lab(SEEN[eyes] @ linear(style[0], theme)) for style in STYLES}
    for (a, one), (b, two) in itertools.combinations(seen.items(), 2):
        apart = float(np.linalg.norm(one - two))
        assert apart >= 4 * 2.3, f"{a} and {b} are {apart:.1f} apart with {eyes}"


def test_colour_is_never_the_only_sign():
    assert len({dash for _, _, dash in STYLES}) == len(STYLES), "each line has its own dash"
    assert len(set(HATCHES)) == len(HATCHES) == 5, "each bar has its own hatch"


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("shape", ["heat", "water", "plant", "outside", "air", "alarm", "metal", "ink"])
def test_shapes_stand_out_from_the_paper(shape, theme):
    """3 is what WCAG 2.1 asks at level AA for what carries meaning (1.4.11); grey print keeps the same luminances."""
    assert contrast(linear(shape, theme), linear("paper", theme)) >= 3.0


def test_every_colour_is_in_the_page_for_both_themes():
    light, dark = stylesheet().strip().split("\n")
    for name, both in COLOURS.items():
        assert f"--hl-{name}:{both[0]}" in light and f"--hl-{name}:{both[1]}" in dark
        assert all(re.fullmatch(r"#[0-9a-f]{6}", code) for code in both)
