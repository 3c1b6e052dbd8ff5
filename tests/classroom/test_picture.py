"""Pictures: words can't become markup, bytes are the same each time, and a faulty drawing is refused."""

import io
import re
import xml.etree.ElementTree as ET

import pytest
from PIL import Image

from heatlib.classroom import palette, raster
from heatlib.classroom import svg as s
from heatlib.classroom.everyday import like
from heatlib.classroom.picture import Picture
from heatlib.tables import entry, keys

NASTY = [
    '<script>alert("x")</script>',
    '"><img src=x onerror=alert(1)>',
    "Tom & Jerry's <b>house</b>",
    "line\nbreak\x00\x07\ud800",
    "</text></svg><script>",
    "&lt;already&gt;",
    "温室 🌱",
]


def picture(words="a house"):
    drawing = s.document(200, 100, s.rect(0, 0, 200, 100, "paper"), s.text(10, 40, words), s.arrow(10, 60, 90, 60, 12))
    return Picture(drawing, "It loses 3 W.", "One arrow of 3 W.", {"heat lost": "3 W"})


@pytest.mark.parametrize("words", NASTY)
def test_words_stay_words(words):
    root = ET.fromstring(picture(words).svg)
    kinds = {element.tag.rpartition("}")[2] for element in root.iter()}
    assert kinds == {"svg", "rect", "text", "path"}
    shown = "".join(root.itertext())
    cleaned = "".join(" " if sign < " " or sign == "\ud800" else sign for sign in words)
    assert shown == cleaned


@pytest.mark.parametrize("words", NASTY)
def test_words_stay_words_in_an_attribute(words):
    root = ET.fromstring(s.tag("g", aria_label=words))
    assert list(root.attrib) == ["aria-label"]


@pytest.mark.parametrize(
    "drawing, clue",
    [
        ("<svg viewBox='0 0 1 1'><script/></svg>", "script"),
        ('<svg viewBox="0 0 1 1"><rect onload="x()"/></svg>', "onload"),
        ('<svg viewBox="0 0 1 1"><image href="http://x"/></svg>', "image"),
        ('<svg viewBox="0 0 1 1"><rect href="x"/></svg>', "href"),
        ('<svg viewBox="0 0 1 1"><text>a & b</text></svg>', "well-formed"),
        ('<svg viewBox="0 0 1 1"><foreignObject/></svg>', "foreignObject"),
        ("<svg></svg>", "viewBox"),
    ],
)
def test_a_drawing_of_anything_else_is_refused(drawing, clue):
    with pytest.raises(ValueError, match=clue):
        Picture(drawing, "It loses 3 W.", "3 W.")


@pytest.mark.parametrize(
    "sentence, description, clue",
    [
        ("", "3 W", "sentence"),
        ("It loses nan W.", "3 W", "number missing"),
        ("It loses 3 W.", "It loses inf W, 3", "number missing"),
        ("It loses 3 W.", "A house.", "carries its numbers"),
        ("It loses 3 W.", None, "description"),
    ],
)
def test_missing_words_are_refused(sentence, description, clue):
    with pytest.raises(ValueError, match=clue):
        Picture(picture().svg, sentence, description)


def test_a_coordinate_that_is_no_number_is_refused():
    for call in (
        lambda: s.line(0, 0, float("nan"), 1),
        lambda: s.rect(0, 0, float("inf"), 1),
        lambda: s.rect(0, 0, -1, 1),
        lambda: s.path([(0, 0), (1, float("nan"))]),
    ):
        with pytest.raises(ValueError):
            call()


def test_png_is_the_same_each_time_and_of_the_right_size():
    first, second = picture().png(2), picture().png(2)
    assert first == second
    image = Image.open(io.BytesIO(first))
    assert image.size == (400, 200)
    assert not image.info.keys() & {"date", "Creation Time", "Software"}
    assert Image.open(io.BytesIO(picture().png(1))).size == (200, 100)


def test_png_and_page_show_the_same_shapes():
    """A rectangle of known colour lies at its place in the PNG: one drawing, two readers."""
    drawing = s.document(100, 50, s.rect(0, 0, 100, 50, "paper"), s.rect(20, 10, 30, 20, "water"))
    image = Image.open(io.BytesIO(raster.to_png(drawing, 2))).convert("RGB")
    water = tuple(bytes.fromhex(palette.COLOURS["water"][0][1:]))
    assert image.getpixel((42, 22)) == water and image.getpixel((98, 58)) == water
    assert image.getpixel((38, 22)) == (255, 255, 255) and image.getpixel((102, 62)) == (255, 255, 255)


def test_pdf_is_the_same_each_time_and_one_page():
    first = picture().pdf("Heat")
    assert first == picture().pdf("Heat") and first.startswith(b"%PDF")
    assert len(re.findall(rb"/Type\s*/Page\b", first)) == 1
    assert b"CreationDate" not in first or b"D:1970" in first


def test_text_form_lists_the_sentence_and_the_numbers():
    assert picture().text == "It loses 3 W.\nheat lost: 3 W"


def test_text_is_never_wider_than_reckoned():
    """Held against matplotlib's reader of the same font, for every sign that pictures write."""
    from matplotlib.ft2font import FT2Font

    for bold in (False, True):
        font = FT2Font(str(raster.font_folder() / f"DejaVuSans{'-Bold' if bold else ''}.ttf"))
        font.set_size(100, 72)
        for words in (
            "Water in the barrel",
            "3\u202f120 W/m²·K",
            "−24 °C … ½ × ±",
            "WWWMMM@@%",
            "iljtf.,|",
            "▼ 500 → ≥",
        ):
            font.set_text(words, 0.0)
            real = sum(font.load_char(ord(sign)).linearHoriAdvance / 65536 for sign in words)
            reckoned = s.text_width(words, 100, bold)
            assert real <= reckoned <= 1.35 * real, words


def test_line_colours_are_those_of_okabe_and_ito():
    """Okabe and Ito 2008, "Color Universal Design", from memory: the eight colours as hexadecimal numbers."""
    published = {"water": "#0072b2", "heat": "#d55e00", "plant": "#009e73", "sun": "#e69f00"}
    assert {name: palette.COLOURS[name][0] for name in published} == published


def test_both_themes_name_every_colour():
    sheet = palette.stylesheet()
    for name, (light, dark) in palette.COLOURS.items():
        assert sheet.count(f"--hl-{name}:") == 2
        assert f"--hl-{name}:{light}" in sheet and f"--hl-{name}:{dark}" in sheet


def test_an_unknown_colour_is_an_error():
    with pytest.raises(KeyError):
        palette.ink("mauve")


def test_light_form_has_no_variables():
    assert "var(" in picture().svg and "var(" not in palette.light_only(picture().svg)


def test_comparisons_come_near_the_watts():
    """Count times watts of the thing is what is said: within a third (1.49 counts as one), from 10 W to 200 kW."""
    words = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
    singular = {key: entry("everyday", key, "power").value for key in keys("everyday")}
    plural = {key + "s": value for key, value in singular.items()} | {"people sitting still": 100.0}
    for watts in [10 * 1.07**n for n in range(147)]:
        count, _, thing = like(watts).removeprefix("like ").partition(" ")
        number = words.index(count) if count in words else int(count)
        assert number * (singular | plural)[thing] == pytest.approx(watts, rel=0.34), watts


def test_comparison_of_the_hair_dryers():
    assert like(3100) == like(-3100) == "like two hair dryers"
    assert like(0) == "like nothing at all" and like(2) == "less than one LED lamp"
    with pytest.raises(ValueError, match="heat flow"):
        like(float("nan"))
