"""Every lesson as a reader meets it: fresh, then run, each control to its ends, the units switch, both themes."""

import os
import re
from pathlib import Path

import pytest
from lab import answered, move_all

from heatlib.classroom import course

COUNT = 10
LESSONS = [row.file for row in course.lessons()]


def test_there_are_ten_lessons():
    assert len(LESSONS) == COUNT


def outputs(page, selector):
    """Count what the stored or running page shows, cell by cell, since JupyterLab draws cells only near the window."""
    return page.evaluate(
        """async selector => { const book = window.jupyterapp.shell.currentWidget.content; let found = 0;
        for (let i = 0; i < book.widgets.length; i++) { await book.scrollToItem(i);
            await new Promise(done => setTimeout(done, 60));
            found += book.widgets[i].node.querySelectorAll(selector).length; }
        await book.scrollToItem(0); return found; }""",
        selector,
    )


class Opened:
    """A lesson on its page: first as it comes from a fresh copy, then run; console errors since it was opened."""

    def __init__(self, session, name):
        self.session, self.name, self._heard = session, name, len(session.errors)
        self.page, self._ran = session.open(f"lessons/{name}"), False

    def run(self):
        if not self._ran:
            self.session.run_all(self.page)
            self._ran = True

    @property
    def errors(self):
        return self.session.errors[self._heard :]


@pytest.fixture(scope="module", params=LESSONS)
def lesson(session, request):
    """The tests below use one page in their order: fresh, moved, turned."""
    opened = Opened(session, request.param)
    yield opened
    opened.page.close()


def test_a_fresh_copy_reads_without_running(lesson):
    """Nothing is trusted yet: pictures, sentences, boxes and folded answers must be there all the same."""
    page = lesson.page
    assert outputs(page, ".jp-OutputArea img[src^='data:image/png']") >= 3
    assert outputs(page, ".jp-OutputArea details summary") >= 6
    assert outputs(page, ".jp-OutputArea [style*='border-left']") >= 3, "boxes have lost their form"
    assert outputs(page, ".jp-OutputArea .jp-mod-error, .jp-RenderedText[data-mime-type*='stderr']") == 0
    detail = page.locator(".jp-OutputArea details").first
    detail.scroll_into_view_if_needed()
    detail.locator("summary").click()
    assert re.search(r"Right\.|Not quite\.|Find: ", detail.inner_text()), "a question, or what the tasks come to"
    assert not lesson.errors, lesson.errors


def test_every_control_moves_picture_and_words(lesson):
    lesson.run()
    page = lesson.page
    assert page.locator(".jp-OutputArea-output[data-mime-type='application/vnd.jupyter.stderr']").count() == 0
    views = [view for view in lesson.session.views(page) if not is_still(view)]
    assert len(views) >= 2
    for view in views:
        view.scroll_into_view_if_needed()
        start = answered(view)
        assert start.strip() and picture_size(view) > 500, "the picture is empty"
        seen = move_all(view, page)
        assert all(sentence.strip() for _, _, sentence, _ in seen)
        errors = [entry for entry in seen if entry[3]]
        assert not errors, errors
        check_each_slider(seen, lambda label, view=view: ends_with_all_switched_on(view, page, label))
        assert seen[-1][2] == start, "reset does not lead back"
        assert picture_size(view) > 500
    assert not lesson.errors, lesson.errors


def test_the_units_switch_turns_the_lesson_and_back(lesson):
    lesson.run()
    page = lesson.page
    before = shown_words(lesson)
    turn(page, "US (°F, Btu/h, gal)")
    turned = shown_words(lesson)
    assert turned != before
    assert not re.search(r"\d\s(°C|MJ|m²|m³|kg|m/s)(?!\w)", turned), re.search(r".{30}\d\s(°C|MJ|m²|m³|kg|m/s)", turned)
    turn(page, "metric (°C, W, L)")
    assert shown_words(lesson) == before, "values moved by turning the units"
    assert not lesson.errors, lesson.errors


def test_axe_finds_nothing_serious_in_what_a_lesson_shows(lesson):
    lesson.run()
    page = lesson.page
    page.evaluate(Path(os.environ["AXE"]).read_text(encoding="utf-8"))
    found = page.evaluate(AXE)
    assert found["looked"] >= 10, "outputs were looked at"
    assert not found["bad"], found["bad"]


AXE = """async () => { const book = window.jupyterapp.shell.currentWidget.content, bad = []; let looked = 0;
    for (let i = 0; i < book.widgets.length; i++) {
        const node = book.widgets[i].node, outputs = '.jp-OutputArea-output';
        if (book.widgets[i].model.type !== 'code' || !book.widgets[i].model.outputs.length) continue;
        await book.scrollToItem(i); await new Promise(done => setTimeout(done, 80));
        const shown = [...node.querySelectorAll(outputs)].filter(one => one.getClientRects().length);
        if (!shown.length) continue;
        looked += 1;
        const result = await axe.run(shown, {resultTypes: ['violations']});
        for (const one of result.violations) if (['serious', 'critical'].includes(one.impact))
            bad.push([i, one.id, one.impact, one.nodes[0].html.slice(0, 160)]); }
    await book.scrollToItem(0);
    return {looked, bad}; }"""


def turn(page, label):
    page.evaluate("window.jupyterapp.shell.currentWidget.content.scrollToItem(0)")
    switch = page.get_by_label(label).first
    switch.scroll_into_view_if_needed()
    switch.check()
    page.wait_for_timeout(1500)


def shown_words(lesson):
    """Return what the live views say: labels, typed values, sentences."""
    words = []
    for view in lesson.session.views(lesson.page):
        view.scroll_into_view_if_needed()
        words.append(view.text_content())
        words += [field.input_value() for field in view.locator("input[type=number]").all()]
    return "\n".join(words)


def is_still(view):
    return view.evaluate("node => Boolean(node.closest('.hl-still'))")


def picture_size(view):
    """Return how much drawing there is: characters of the SVG's inside."""
    return view.evaluate("node => node.querySelector('.hl-picture svg')?.innerHTML.length || 0")


def ends_with_all_switched_on(view, page, label):
    """Return the sentences at both ends of a slider once every toggle is on: its part may have been switched off."""
    for box in view.locator("input[type=checkbox]").all():
        box.check()
    view.get_by_label(label).first.focus()
    sentences = []
    for key in ("Home", "End"):
        page.keyboard.press(key)
        sentences.append(answered(view))
    view.get_by_role("button", name="Reset").click()
    answered(view)
    return sentences


def check_each_slider(seen, try_again):
    """From one end to the other the sentence must change, by key and by mouse alike."""
    by_label = {}
    for label, where, sentence, _ in seen:
        by_label.setdefault(label, {})[where] = sentence
    for label, ends in by_label.items():
        if "Home" in ends:
            if ends["Home"] == ends["End"]:
                low, high = try_again(label)
                assert low != high, f"{label} changes no word from end to end"
            assert ends["Home"] == ends["mouse low"] and ends["End"] == ends["mouse high"], (
                f"{label}: mouse and keys differ"
            )


@pytest.mark.parametrize("name", [LESSONS[0], LESSONS[-1]])
def test_both_themes_show_words_and_ground_apart(session, name):
    page = session.open(f"lessons/{name}")
    session.run_all(page)
    view = session.views(page)[0]
    view.scroll_into_view_if_needed()
    for theme in ("JupyterLab Light", "JupyterLab Dark"):
        session.theme(page, theme)
        ink, ground = view.locator(".hl-sentence").evaluate(
            "node => [getComputedStyle(node).color, getComputedStyle(node.closest('.hl-view')).backgroundColor]"
        )
        assert contrast(ink, ground) >= 4.5, (theme, ink, ground)


def contrast(first, second):
    """WCAG 2.1: (lighter + 0.05) / (darker + 0.05) of the relative luminances."""

    def luminance(colour):
        channels = [int(value) / 255 for value in re.findall(r"\d+", colour)[:3]]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    low, high = sorted((luminance(first), luminance(second)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_reckoned_right():
    """Black on white is 21 and #767676 on white 4.54 by the WCAG 2.1 definition."""
    assert contrast("rgb(0, 0, 0)", "rgb(255, 255, 255)") == pytest.approx(21.0)
    assert contrast("rgb(118, 118, 118)", "rgb(255, 255, 255)") == pytest.approx(4.54, abs=0.01)


def test_a_guess_is_kept_and_compared(session):
    page = session.open(f"lessons/{LESSONS[0]}")
    session.run_all(page)
    session.views(page)
    field = page.get_by_placeholder("a number").first
    field.scroll_into_view_if_needed()
    field.fill("1")
    field.press("Enter")
    page.get_by_text(re.compile("Your guess was")).first.wait_for(timeout=10_000)
