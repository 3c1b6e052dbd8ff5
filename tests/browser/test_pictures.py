"""Every view's picture as Chromium draws it, in both unit systems: no words on other words, none beyond the edge."""

import pytest
from lab import ARGUMENTS, CHROMIUM

from heatlib.classroom.palette import stylesheet
from heatlib.classroom.view import View, all_views
from heatlib.units import SYSTEMS

COUNT = 30
BOXES = """() => [...document.querySelectorAll('.hl-picture')].map(holder => {
    const svg = holder.querySelector('svg'), frame = svg.getBoundingClientRect(), paper = svg.viewBox.baseVal;
    const scale = paper.width / frame.width;
    const words = [...svg.querySelectorAll('text')].filter(one => one.textContent.trim()).map(one => {
        const box = one.getBoundingClientRect(), high = box.height * scale;
        return [one.textContent, (box.left - frame.left) * scale, (box.top - frame.top) * scale + 0.2 * high,
                (box.right - frame.left) * scale, (box.bottom - frame.top) * scale - 0.2 * high]; });
    return {name: holder.dataset.name, width: paper.width, height: paper.height, words,
            sizes: [...svg.querySelectorAll('text')].map(one => Number(one.getAttribute('font-size')))}; })"""


@pytest.fixture(scope="module")
def drawn():
    """Draw every view as it starts and at both ends of its first slider, on a page as wide as a narrow lesson."""
    from playwright.sync_api import sync_playwright

    holders = []
    for spec in all_views():
        start = spec.start()
        first = spec.controls[0]
        for units in SYSTEMS:
            for value in {start[first.name], *first.ends()} if spec.controls else ():
                picture = spec.function(**start | {first.name: value}, units=units)
                name = f"{spec.name.rpartition('views.')[2]} {first.label} {value} {units}"
                holders.append(f'<div class="hl-picture" data-name="{name}" style="width:592px">{picture.svg}</div>')
    look = f":root {{ --jp-ui-font-family: system-ui, sans-serif }} {stylesheet()} {View._css}"
    with sync_playwright() as play:
        chromium = play.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        page = chromium.new_page(viewport={"width": 700, "height": 800})
        page.set_content(f'<style>{look}</style><div class="hl-view">{"".join(holders)}</div>')
        yield page.evaluate(BOXES)
        chromium.close()


def test_every_view_is_looked_at(drawn):
    assert len({one["name"].split()[0] for one in drawn}) >= COUNT
    assert all(len(one["words"]) >= 4 for one in drawn)


def test_no_words_lie_on_others(drawn):
    bad = []
    for one in drawn:
        words = one["words"]
        for n, (a, *p) in enumerate(words):
            for b, *q in words[n + 1 :]:
                if all(min(p[k + 2], q[k + 2]) - max(p[k], q[k]) > 0.5 for k in (0, 1)):
                    bad.append((one["name"], a, b))
    assert not bad, bad


def test_no_words_leave_the_picture(drawn):
    bad = [
        (one["name"], words)
        for one in drawn
        for words, left, top, right, bottom in one["words"]
        if left < -0.5 or top < -1 or right > one["width"] + 0.5 or bottom > one["height"] + 1
    ]
    assert not bad, bad


def test_words_are_13_pixels_at_a_lessons_width(drawn):
    """592 pixels are what a 1024-pixel screen leaves of the 640 points that a picture is wide."""
    sizes = {size for one in drawn for size in one["sizes"]}
    assert min(sizes) * 592 / 640 >= 12.95, sizes
