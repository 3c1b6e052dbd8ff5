"""The form of lesson 10 as a grower uses it: fill in by keyboard, be told, save, come again, and get the plan."""

import shutil
from pathlib import Path

import pytest
from lab import browser, server

from heatlib.house.housefile import read_house

ROOT = Path(__file__).parents[2]
LESSON = "10-sizing-storage-for-a-cold-night.ipynb"
PATIENCE = 60_000


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A course in a folder whose name has spaces and letters of another language."""
    made = tmp_path_factory.mktemp("Gewächshaus am See")
    shutil.copy(ROOT / "lessons" / LESSON, made)
    return made


@pytest.fixture(scope="module")
def window(folder):
    with server(folder) as lab, browser(lab) as session:
        yield session


def open_form(session):
    """Run what the form and the plan need, and return the page with the form on it."""
    page = session.open(LESSON)
    for mark in ("lesson = open_lesson(10)", "lesson.own_house()"):
        run(page, mark)
    session.wait_idle(page)
    form = page.locator(".hl-own")
    form.wait_for(timeout=PATIENCE)
    return page, form


def run(page, mark):
    page.evaluate(
        """async mark => { const panel = window.jupyterapp.shell.currentWidget, book = panel.content;
        const at = [...book.widgets].findIndex(cell => cell.model.sharedModel.getSource().includes(mark));
        if (at < 0) throw new Error('no cell with ' + mark);
        await book.scrollToItem(at); book.activeCellIndex = at; book.deselectAll();
        await window.jupyterapp.commands.execute('notebook:run-cell'); }""",
        mark,
    )


def answered(form):
    """Wait until Python has answered the last entry."""
    form.page.wait_for_function(
        "root => Number(root.dataset.done) >= Number(root.dataset.sent || 0)",
        arg=form.element_handle(), timeout=PATIENCE,
    )  # fmt: skip


def unfold(form, title):
    group = form.locator("details", has=form.page.locator("summary", has_text=title)).first
    if group.get_attribute("open") is None:
        group.locator("summary").focus()
        form.page.keyboard.press("Enter")
    return group


def enter(form, title, name, typed):
    """Type into an entry as a hand would, by keyboard alone; return what the form says is wrong with it."""
    unfold(form, title)
    box = form.locator(f'[data-name="{name}"]')
    box.focus()
    form.page.keyboard.press("Control+a")
    form.page.keyboard.type(typed)
    form.page.keyboard.press("Tab")
    answered(form)
    return form.locator(f'[data-name="{name}"]').locator("xpath=..").locator(".hl-wrong").text_content()


def press(form, title, name):
    unfold(form, title)
    form.locator(f'[data-name="{name}"]').focus()
    form.page.keyboard.press("Space")
    answered(form)


def test_a_grower_fills_it_in_comes_again_and_gets_the_plan(window, folder):
    page, form = open_form(window)
    assert "invented demo house" in form.locator(".hl-state").text_content()
    assert not (folder / "my-greenhouse.toml").exists(), "opening writes nothing"

    # fill in by keyboard
    assert enter(form, "Name and place", "name", "Haus am See 温室") == ""
    assert enter(form, "Size", "length", "8,5") == ""
    file = folder / "my-greenhouse.toml"
    assert read_house(file).name == "Haus am See 温室" and read_house(file).floor.area == pytest.approx(8.5 * 3.6)

    # a bad value: a message at the entry, what was typed stays, the file stays
    before = file.read_bytes()
    wrong = enter(form, "Size", "width", "wide")
    assert wrong.startswith("Width must be a number in m")
    assert form.locator('[data-name="width"]').input_value() == "wide"
    assert form.locator('[data-name="width"]').get_attribute("aria-invalid") == "true"
    assert file.read_bytes() == before
    assert enter(form, "Size", "width", "4") == ""

    # parts that come and go
    press(form, "More of the skin", "surface.add")
    at = len(read_house(file).surfaces) - 1
    assert enter(form, "Skin: new surface", f"surface.{at}.name", "porch") == ""
    press(form, "Buried pipes", "pipes")
    assert enter(form, "Buried pipes", "pipes.length", "8") == ""
    press(form, "More stores", "store.add.bed")
    house = read_house(file)
    assert house.surface("porch").area == 1.0 and house.pipes.length == 8.0 and house.stores[-1].kind == "bed"
    press(form, "Skin: porch", f"surface.{at}.remove")
    assert "porch" not in [surface.name for surface in read_house(file).surfaces]
    assert (folder / "my-greenhouse.toml.bak").exists(), "a copy of the version before"

    # every box of the open form has a name that a screen reader can say
    nameless = form.locator("details[open] :is(input, select, button)").evaluate_all(
        "all => all.filter(one => !(one.labels?.[0]?.innerText || one.innerText)).length"
    )
    assert nameless == 0
    assert window.errors == []
    page.close()

    # found again next time
    page, form = open_form(window)
    assert "Saved in my-greenhouse.toml" in form.locator(".hl-state").text_content()
    unfold(form, "Name and place")
    assert form.locator('[data-name="name"]').input_value() == "Haus am See 温室"

    # the plan
    run(page, "own.plan()")
    button = page.get_by_role("button", name="Write the plan, Letter")
    button.wait_for(timeout=3 * PATIENCE)
    button.click()
    page.get_by_text("Written beside this lesson").wait_for(timeout=PATIENCE)
    made = sorted(path.name for path in (folder / "my-greenhouse-plan").iterdir() if not path.name.startswith("."))
    assert made == ["night-metric.csv", "plan-metric-Letter.pdf", "plan-metric.md"]
    assert "Haus am See 温室" in (folder / "my-greenhouse-plan" / "plan-metric.md").read_text(encoding="utf-8")
    assert (folder / "my-greenhouse-plan" / "plan-metric-Letter.pdf").read_bytes().startswith(b"%PDF")
    assert window.errors == []
