"""The page side of a live view, in a real JupyterLab: keys, typed values, errors, units, pins, names, speed, saving.

Run ``pytest -n0 tests/browser/test_live_view.py``. The check with axe-core runs where the environment variable
``AXE`` names its file (``npm install axe-core``, then ``…/axe-core/axe.min.js``).
"""

import json
import os
import time
from pathlib import Path

import nbformat
import pytest
from lab import answered, browser, move_all, server

HERE = Path(__file__).resolve().parent
CELLS = [
    f"import heatlib, sys; sys.path.insert(0, {str(HERE)!r})\nimport page_views as p",
    "live = p.View(p.house); live",
    "second = p.View(p.night); second",
    "live.units = second.units = 'US'",
    "live.units = second.units = 'metric'",
    "broken = p.View(p.breaks); broken",
    "slow = p.View(p.slow); slow",
]


@pytest.fixture(scope="module")
def lab(tmp_path_factory):
    folder = tmp_path_factory.mktemp("lab")
    book = nbformat.v4.new_notebook(metadata={"kernelspec": {"name": "python3", "display_name": "Python 3"}})
    book.cells = [nbformat.v4.new_code_cell(source, id=f"cell-{n}") for n, source in enumerate(CELLS)]
    for name in ("views.ipynb", "fresh.ipynb"):
        nbformat.write(book, folder / name)
    with server(folder) as running:
        yield running


@pytest.fixture(scope="module")
def session(lab):
    with browser(lab) as running:
        yield running
        assert running.errors == []


@pytest.fixture(scope="module")
def page(session):
    page = session.open("views.ipynb")
    for index in (0, 1, 2, 5, 6):
        _run(page, index)
    session.wait_idle(page)
    return page


def _run(page, index):
    page.evaluate(
        """async i => { const panel = window.jupyterapp.shell.currentWidget; panel.content.activeCellIndex = i;
        panel.content.deselectAll(); await window.jupyterapp.commands.execute('notebook:run-cell'); }""",
        index,
    )


@pytest.fixture
def view(session, page):
    found = session.views(page)[0]
    yield found
    found.get_by_role("button", name="Reset").click()
    answered(found)


def press(page, view, *keys):
    for key in keys:
        page.keyboard.press(key)
    return answered(view)


def test_every_control_has_its_name_with_unit_and_is_reached_by_tab_in_order(page, view):
    view.locator("input[type=range]").first.focus()
    names = []
    for _ in range(8):
        name = page.evaluate(
            "() => { const n = document.activeElement; return [n.labels?.[0]?.innerText ?? n.innerText,"
            " n.getAttribute('aria-label'), getComputedStyle(n).outlineStyle, n.getAttribute('aria-valuetext')]; }"
        )
        names.append(name)
        page.keyboard.press("Tab")
    assert [name[1] or name[0] for name in names[:7]] == [
        "Heat lost by leaks (W)",
        "Heat lost by leaks, in W, typed value",
        "Inside (°C)",
        "Inside, in °C, typed value",
        "Panes",
        "Night curtain",
        "Reset",
    ]
    assert all(name[2] == "solid" for name in names[:7]), "focus can be seen"
    assert names[0][3] == "400 W"


def test_keys_move_by_steps_to_both_ends(page, view):
    view.locator("input[type=range]").first.focus()
    assert "leaks take 450 W" in press(page, view, "ArrowRight")
    assert "leaks take 400 W" in press(page, view, "ArrowDown")
    assert "leaks take 900 W" in press(page, view, "PageUp")
    assert "leaks take 0 W" in press(page, view, "Home")
    assert "leaks take 0 W" in press(page, view, "ArrowLeft")
    assert "leaks take 2000 W" in press(page, view, "End")
    assert page.evaluate("document.querySelectorAll('.jp-Notebook .jp-Cell').length") == len(CELLS)


def test_letters_that_are_commands_of_the_notebook_do_no_harm(page, view):
    view.locator("input[type=range]").first.focus()
    press(page, view, "d", "d", "x", "a", "ArrowRight")
    assert page.evaluate("window.jupyterapp.shell.currentWidget.content.widgets.length") == len(CELLS)


def type_in(page, view, text):
    field = view.locator("input[type=number]").first
    field.focus()
    page.keyboard.press("Control+a")
    page.keyboard.type(text)
    return press(page, view, "Enter"), view.locator(".hl-error").inner_text(), field


def test_a_typed_value_counts_and_a_bad_one_is_told(page, view):
    before = view.locator(".hl-picture").inner_html()
    sentence, error, field = type_in(page, view, "123")
    assert "leaks take 123 W" in sentence and error == ""
    good = view.locator(".hl-picture").inner_html()
    assert good != before
    sentence, error, field = type_in(page, view, "99999")
    assert error.startswith("Heat lost by leaks must be between 0 and 2000 W, but it is 99999 W.")
    assert "leaks take 123 W" in sentence and view.locator(".hl-picture").inner_html() == good
    assert field.get_attribute("aria-invalid") == "true" and field.input_value() == "99999", "nothing written is lost"
    sentence, error, field = type_in(page, view, "200")
    assert "leaks take 200 W" in sentence and error == "" and field.get_attribute("aria-invalid") is None


def test_the_sentence_is_a_live_region_that_stays(page, view):
    region = view.locator(".hl-sentence")
    assert region.get_attribute("aria-live") == "polite"
    region.evaluate("node => { node.dataset.same = 'yes'; }")
    view.locator("input[type=range]").first.focus()
    press(page, view, "End")
    assert region.get_attribute("data-same") == "yes"
    picture = view.locator(".hl-picture")
    assert picture.get_attribute("role") == "img" and "2\u202f000 W" in picture.get_attribute("aria-label")


def test_switching_units_moves_no_value(page, session, view):
    view.locator("input[type=range]").first.focus()
    press(page, view, "ArrowRight")
    field, range_ = view.locator("input[type=number]").first, view.locator("input[type=range]").first
    before = field.input_value(), float(range_.input_value())
    for _ in range(3):
        _run(page, 3)
        page.wait_for_function("document.querySelector('.hl-view .hl-unit').textContent.includes('Btu/h')")
        assert field.input_value() == "1540", "450 W are 1535.5 Btu/h (3.412142 a watt); the step is 200: tens do"
        _run(page, 4)
        page.wait_for_function("document.querySelector('.hl-view .hl-unit').textContent.includes('(W)')")
        assert (field.input_value(), float(range_.input_value())) == before


def test_pinned_cases_stand_beside_the_present_one(page, view):
    view.get_by_role("button", name="Pin this case").click()
    view.locator("input[type=range]").first.focus()
    press(page, view, "End")
    view.get_by_role("button", name="Pin this case").click()
    view.locator("input[type=range]").first.focus()
    press(page, view, "Home")
    view.locator("table").wait_for()
    rows = view.locator("tr").all_inner_texts()
    assert rows[0].split("\t") == ["Compared", "Now", "Case A", "Case B"]
    assert rows[1].split("\t") == ["Heat lost by leaks", "0 W", "400 W", "2000 W"]
    assert view.locator(".hl-small svg").count() == 3
    ids = view.locator("[id]").evaluate_all("all => all.map(one => one.id)")
    assert len(ids) == len(set(ids)), "no id twice on the page"
    view.get_by_role("button", name="Remove the pinned cases").click()
    assert view.locator("table").count() == 0


def test_pins_are_set_and_removed_by_keyboard_alone(page, view):
    focused = "() => document.activeElement.innerText || document.activeElement.getAttribute('aria-label')"
    view.get_by_role("button", name="Reset").focus()
    page.keyboard.press("Tab")
    assert page.evaluate(focused) == "Pin this case"
    page.keyboard.press("Enter")
    view.locator("table").wait_for()
    assert "Case A pinned" in view.locator(".hl-note").first.text_content()
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.getAttribute('aria-label')") == "Compared cases"
    page.keyboard.press("Tab")
    assert page.evaluate(focused) == "Remove the pinned cases"
    outline = page.evaluate("() => getComputedStyle(document.activeElement).outlineStyle")
    page.keyboard.press("Enter")
    assert outline == "solid" and view.locator("table").count() == 0
    assert page.evaluate(focused) == "Pin this case", "the keyboard is not thrown back to the top of the page"


def test_an_exception_keeps_the_last_good_picture(page, session):
    broken = session.views(page)[2]
    good = broken.locator(".hl-picture").inner_html()
    broken.locator("input[type=range]").focus()
    press(page, broken, "End")
    error = broken.locator(".hl-error")
    assert "can't be drawn with these values (ZeroDivisionError" in error.inner_text()
    assert error.get_attribute("role") == "alert" and broken.locator(".hl-picture").inner_html() == good
    press(page, broken, "Home")
    assert error.inner_text() == ""


def test_a_slow_picture_says_so_at_once_and_keeps_the_last_one(page, session):
    slow = session.views(page)[3]
    slow.scroll_into_view_if_needed()
    good = slow.locator(".hl-picture").inner_html()
    busy = slow.locator(".hl-busy")
    assert busy.get_attribute("role") == "status" and busy.text_content() == ""
    slow.locator("input[type=range]").focus()
    press(page, slow, "ArrowRight")
    assert busy.text_content() == "", "nothing is said where the answer comes in a blink"
    quick = slow.locator(".hl-picture").inner_html()
    assert quick != good
    page.keyboard.press("End")
    page.wait_for_function("node => node.textContent === 'Computing …'", arg=busy.element_handle(), timeout=1200)
    assert slow.get_attribute("aria-busy") == "true" and slow.locator(".hl-picture").inner_html() == quick
    assert "1.00" in answered(slow)
    assert busy.text_content() == "" and slow.get_attribute("aria-busy") is None
    assert slow.locator(".hl-picture").inner_html() != quick
    slow.get_by_role("button", name="Reset").click()
    answered(slow)


def test_a_fast_drag_of_a_quick_picture_says_nothing(page, view):
    busy, handle = view.locator(".hl-busy"), view.locator("input[type=range]").first
    handle.scroll_into_view_if_needed()
    busy.evaluate("node => { node.told = 0; new MutationObserver(() => { node.told += node.textContent ? 1 : 0; })"
                  ".observe(node, {childList: true}); }")  # fmt: skip
    box = handle.bounding_box()
    page.mouse.move(box["x"] + 40, box["y"] + box["height"] / 2)
    page.mouse.down()
    for step in range(80):
        page.mouse.move(box["x"] + 40 + 3 * step, box["y"] + box["height"] / 2)
        page.wait_for_timeout(10)
    page.mouse.up()
    answered(view)
    assert busy.evaluate("node => node.told") <= 1, "at most once, on a machine that stalls"


def test_everything_moves_to_its_ends_without_an_error(page, session):
    for view in session.views(page)[:2]:
        seen = move_all(view, page)
        assert len(seen) >= 5 and len({sentence for _, _, sentence, _ in seen}) >= 3
        assert [error for *_, error in seen if error] == []


def test_no_news_pop_up(page):
    assert page.locator(".jp-toast-content, .Toastify__toast").count() == 0


def test_words_are_13_pixels_on_a_1024_pixel_screen(session):
    with session.another(1024, 768) as small:
        page = small.open("views.ipynb")
        for index in (0, 1):
            _run(page, index)
        view = small.views(page)[0]
        sizes = view.locator(".hl-picture text").evaluate_all(
            "all => all.map(t => t.getBoundingClientRect().height / t.getBBox().height * t.getAttribute('font-size'))"
        )
        assert min(sizes) >= 12.95, f"the smallest words are {min(sizes):.2f} pixels"
        box = view.locator(".hl-picture").evaluate("node => [node.scrollWidth, node.clientWidth]")
        assert box[0] <= box[1] + 1, "the whole picture is seen without scrolling sideways"


def test_first_picture_within_three_seconds(session):
    with session.another() as fresh:
        page = fresh.open("fresh.ipynb")
        start = time.monotonic()
        fresh.run_all(page, wait=False)
        page.locator(".hl-picture svg").first.wait_for()
        taken = time.monotonic() - start
        assert taken < 3, f"the first picture took {taken:.1f} s"


def test_saved_and_reopened_without_a_kernel_shows_the_stored_pictures(lab, page, session):
    session.save(page)
    page.wait_for_timeout(1500)
    book = json.loads((lab.root / "views.ipynb").read_text())
    kinds = [sorted(out["data"]) for cell in book["cells"] for out in cell["outputs"] if "data" in out]
    assert kinds == [["image/png", "text/plain"]] * 4
    with session.another() as other:
        again = other.page()
        again.goto(f"{lab.address}/lab/tree/views.ipynb?token={lab.token}&reset&kernel=none")
        again.locator(".jp-OutputArea-output img").first.wait_for()
        assert again.get_by_text("Error displaying widget").count() == 0


@pytest.mark.parametrize("theme", ["JupyterLab Light", "JupyterLab Dark"])
def test_axe_finds_nothing_serious(page, session, theme):
    source = os.environ.get("AXE")
    assert source, "set AXE to the path of axe.min.js"
    session.theme(page, theme)
    view = session.views(page)[0]
    view.get_by_role("button", name="Pin this case").click()
    view.locator("table").wait_for()
    page.evaluate(Path(source).read_text())
    found = page.evaluate("async () => (await axe.run('.hl-view')).violations")
    bad = [(one["id"], one["impact"], [node["html"][:120] for node in one["nodes"]]) for one in found]
    assert [one for one in bad if one[1] in ("serious", "critical")] == []
    view.get_by_role("button", name="Remove the pinned cases").click()
    session.theme(page, "JupyterLab Light")
