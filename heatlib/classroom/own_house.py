"""The reader's own greenhouse in lesson 10: a form that checks as it is filled in, kept in files beside the lesson.

Each good entry is saved at once in ``my-greenhouse.toml`` (the house) and ``my-greenhouse-plan.toml`` (weather and
prices); a bad one stays in the form with a sentence that says what is wrong. Until the reader has entered something,
the invented demo house stands in, and nothing is written.
"""

from importlib.resources import files
from pathlib import Path

import anywidget
import traitlets
from IPython.display import display

from heatlib._check import choice
from heatlib.classroom import words
from heatlib.classroom.conditions import Conditions, conditions_text, parse_conditions, winter_weather
from heatlib.classroom.keeping import KeepingError, Kept, put_with_copy
from heatlib.classroom.markup import escape
from heatlib.classroom.own_fields import Draft, entries
from heatlib.classroom.palette import stylesheet
from heatlib.house.bill import loss_bill
from heatlib.house.demo import demo_house
from heatlib.house.housefile import HouseFileError, house_text, parse_house
from heatlib.units import SYSTEMS, format_quantity

__all__ = ["CONDITIONS_FILE", "HOUSE_FILE", "PLAN_FOLDER", "OwnHouse", "verdict_forms"]

HOUSE_FILE = "my-greenhouse.toml"
CONDITIONS_FILE = "my-greenhouse-plan.toml"
PLAN_FOLDER = "my-greenhouse-plan"
INVENTED = "This is the invented demo house. Change any entry, and it becomes yours."


class OwnHouse:
    """The reader's house with its form.

    Parameters
    ----------
    folder : path, optional
        Where the reader's files are kept; the folder of the notebook where left out [–].
    start : Greenhouse, optional
        House to begin with where there is no file yet; the demo house with its nine drums where left out [–].
    units : str
        ``"metric"`` or ``"US"`` [text].
    show : callable, optional
        Shows a widget on the page and lets it follow the units switch [–].
    """

    def __init__(self, folder=None, start=None, units="metric", show=None):
        self.folder = Path.cwd() if folder is None else Path(folder)
        self._start = Draft(demo_house(1) if start is None else start, Conditions())
        self._texts, self._files, self._unsaved = {}, {}, {}
        self._show, self._made, self.form = show or display, None, None
        self.draft, self.is_demo, self.notes = self._start, True, []
        self.read()
        self.form = Form(self, choice("unit system", units, SYSTEMS))

    @property
    def folder_file(self):
        """Name of the file that holds the house [text]."""
        return self._files["house"].path.name

    @property
    def house(self):
        """The house as it stands in the form [Greenhouse]."""
        return self.draft.house

    @property
    def conditions(self):
        """Design night, ordinary winter and prices [Conditions]."""
        return self.draft.conditions

    @property
    def units(self):
        """The reader's unit system, which the form follows."""
        return self.form.units

    def read(self):
        """Read both files again; one that can't be read stays as it is, and its last good copy is shown."""
        self.notes, self._unsaved, self.is_demo = [], {}, True
        house = self._read("house", HOUSE_FILE, parse_house, self._start.house)
        conditions = self._read("conditions", CONDITIONS_FILE, parse_conditions, self._start.conditions)
        self.draft = Draft(house, conditions)
        if self.form is not None:
            self.form.again()

    def _read(self, part, name, parse, start):
        kept = self._files[part] = Kept(self.folder / name)
        self._texts[part] = None
        for other in kept.others():
            self.notes.append(
                f"Beside {name} lies {other}: entries kept from a time when {name} could not be written over. Put what "
                f"you want of it into {name}, then delete it or give it another name."
            )
        try:
            text = kept.read()
            if text is None:
                return start
            found = parse(text, name)
        except KeepingError as error:
            return self._last_copy(part, name, parse, start, str(error))
        except (ValueError, HouseFileError) as error:
            kept.mark_damaged(str(error))
            return self._last_copy(part, name, parse, start, f"This file can't be used: {error}")
        self._texts[part] = text
        self.is_demo = False
        return found

    def _last_copy(self, part, name, parse, start, why):
        what = (
            f"{why}. It is left as it is. Put it right in a text editor and press “Read the file again”; if you change "
            "entries here instead, they go to a new file beside it."
        )
        for copy in (f"{name}.bak", f"{name}.opened.bak"):
            try:
                text = (self.folder / copy).read_text(encoding="utf-8-sig")
                found = parse(text, copy)
            except (OSError, ValueError):
                continue
            self.notes.append(f"{what} The form shows the copy {copy}.")
            self._texts[part], self.is_demo = text, False
            return found
        self.notes.append(f"{what} Until then the form shows the invented demo house.")
        return start

    def change(self, name, typed, units=None):
        """Change one entry as if it had been typed into the form; a bad one raises ``ValueError``, a good one is saved.

        Parameters
        ----------
        name : str
            Name of the entry, as :func:`heatlib.classroom.own_fields.entries` lists them [text].
        typed : str or bool
            What is typed, in the reader's units or with a unit of its own [text].
        units : str, optional
            Unit system of a bare number; that of the form where left out [text].
        """
        known = {entry.name: entry for group in entries(self.draft).values() for entry in group}
        new = known[choice("entry", name, known)].read(typed, self.draft, units or self.units)
        if new.conditions.year_file != self.conditions.year_file:
            winter_weather(new.house, new.conditions, self.folder)
        old, self.draft = self.draft, new
        self.notes = []
        if new.house != old.house or "house" in self._unsaved:
            self._save("house", house_text, new.house)
        if new.conditions != old.conditions or "conditions" in self._unsaved:
            self._save("conditions", conditions_text, new.conditions)
        self.form.again()

    def _save(self, part, write, value):
        text = write(value, self._texts[part])
        try:
            saved = self._files[part].save(text)
        except KeepingError as error:
            self._unsaved[part] = text
            self.notes.append(f"{error} The text below holds all you entered: copy it somewhere safe.")
            return
        self._unsaved.pop(part, None)
        self._texts[part], self.is_demo = text, False
        if saved.note:
            self.notes.append(saved.note)

    @property
    def unsaved(self):
        """What could not be saved, as the text of its file; nothing where all is saved [text]."""
        return "\n".join(self._unsaved.values())

    @property
    def state(self):
        """Say in one sentence where the entries are [text]."""
        if self._unsaved:
            return "NOT SAVED: see below."
        if self.is_demo:
            return INVENTED
        names = sorted({kept.path.name for part, kept in self._files.items() if self._texts[part] is not None})
        return f"Saved in {' and '.join(names)} beside this lesson. The version before the last change ends in .bak."

    def bill(self):
        """Return the loss bill on the coldest night with the crop at its limit [W]."""
        return loss_bill(self.house, self.house.limits.minimum, self.conditions.coldest)

    def key_numbers(self, units):
        """Return what the form says of the house as it stands [text]."""
        house, bill = self.house, self.bill()
        show = lambda value, quantity: format_quantity(value, quantity, units)  # noqa: E731
        barrels = sum(store.count * store.volume for store in house.stores if store.kind == "barrels")
        return {
            "house": house.name,
            "floor": show(house.floor.area, "area"),
            "air inside": show(house.volume, "room_volume"),
            "water in barrels": show(barrels, "store_volume"),
            "coldest night outside": show(self.conditions.coldest, "temperature"),
            f"heat lost then, at {show(house.limits.minimum, 'temperature')} inside": show(bill.total, "heat_flow"),
            f"most of it by {bill.rows[0].label}": show(bill.rows[0].watts, "heat_flow"),
        }

    def made_plan(self, progress=None):
        """Return the plan of the house as it stands now; worked out once for each state of the form [Plan]."""
        from heatlib.classroom.plan import make_plan

        if self._made is None or self._made.draft != self.draft or self._made.is_demo != self.is_demo:
            self._made = make_plan(self.draft, is_demo=self.is_demo, progress=progress, folder=self.folder)
        return self._made

    def plan(self):
        """Work the plan out, say how far it is, and show it in short, with buttons that write it to files."""
        from heatlib.classroom.plan_box import PlanBox, Progress

        bar = Progress()
        display(bar)
        try:
            self.made_plan(bar.tell)
        finally:
            bar.close_up()
        self._show(PlanBox(self, self.units))

    def write_plan(self, paper="A4", units=None):
        """Write the plan as PDF, as Markdown and its night as CSV into the folder ``my-greenhouse-plan``.

        Parameters
        ----------
        paper : str
            ``"A4"`` or ``"Letter"`` [text].
        units : str, optional
            Unit system; that of the form where left out [text].

        Returns
        -------
        tuple of str
            Names of the files, within the folder of the lesson [text].

        Raises
        ------
        KeepingError
            If a file can't be written; it says why and what to do.
        """
        from heatlib.classroom.plan_pages import content, night_csv, to_markdown, to_pages

        units = units or self.units
        words = content(self.made_plan(), units)
        files_made = {
            f"plan-{units}-{paper}.pdf": to_pages(words, paper),
            f"plan-{units}.md": to_markdown(words).encode(),
            f"night-{units}.csv": night_csv(self.made_plan(), units).encode("utf-8-sig"),
        }
        for name, data in files_made.items():
            put_with_copy(self.folder / PLAN_FOLDER / name, data)
        return tuple(f"{PLAN_FOLDER}/{name}" for name in files_made)

    def after_building(self, source, **more):
        """Set a cold night's readings beside what the house as described would have done, and say where to look.

        Parameters
        ----------
        source : sequence of (str, float, float), str or pathlib.Path
            Some ten readings by hand, each a time, inside and outside in the reader's unit; or a logger's CSV [–].
        **more : any
            As for :func:`heatlib.classroom.after_building.by_hand` or ``from_logger`` [as there].

        Returns
        -------
        Verdict
            The same in numbers [°C].
        """
        from heatlib.classroom.after_building import by_hand, from_logger, is_file

        if is_file(source):
            path = source if isinstance(source, bytes) else self.folder / source
            verdict = from_logger(self.house, path, **more)
        else:
            unit = more.pop("unit", "°C" if self.units == "metric" else "°F")
            verdict = by_hand(self.house, source, unit=unit, **more)
        self._show(words.LiveText(lambda system: verdict_forms(verdict, system), self.units))
        return verdict

    def night_picture(self, units):
        """Draw the cold night of the plan, today and after the works, for ``lesson.picture(own.night_picture)``."""
        from heatlib.classroom.picture import Picture
        from heatlib.classroom.plan_pages import content

        night = content(self.made_plan(), units)["night"]
        return Picture(night["svg"], night["caption"], night["alt"], night["numbers"])

    def _ipython_display_(self):
        """Show nothing: the form stands already."""


def verdict_forms(verdict, system):
    """Write measured against expected as HTML and as text, for :class:`heatlib.classroom.words.LiveText`."""
    degrees = lambda value: (value, "temperature")  # noqa: E731
    rows = [
        (clock, degrees(outside), degrees(inside), degrees(expected))
        for clock, outside, inside, expected in zip(
            verdict.clock, verdict.outside, verdict.measured, verdict.expected, strict=True
        )
    ]
    head = ("time", "outside", "inside, measured", "inside, expected")
    said = f"{verdict.loss} {verdict.sentence} What to do: {verdict.look_first}"
    table = (head, rows, "Measured against expected", system)
    html = f'<div style="{words.TEXT_STYLE}">{escape(said)}</div>{words.table_html(*table)}'
    return html, f"{said}\n{words.table_text(*table)}"


class Form(anywidget.AnyWidget):
    """The form of an own house on the page; native labelled entries, checked by Python one by one."""

    _esm = files("heatlib.classroom").joinpath("own_house.js").read_text(encoding="utf-8")
    _css = (
        stylesheet()
        + files("heatlib.classroom").joinpath("view.css").read_text(encoding="utf-8")
        + files("heatlib.classroom").joinpath("own_house.css").read_text(encoding="utf-8")
    )

    units = traitlets.Enum(SYSTEMS, default_value="metric")
    _form = traitlets.Dict().tag(sync=True)
    _asked = traitlets.Dict().tag(sync=True, echo_update=False)

    def __init__(self, own, units):
        self.own, self._wrong, self._done = own, {}, 0
        super().__init__(units=units)
        self._show()

    def turn(self, system):
        """Show the form in one unit system."""
        self.units = system
        self._show()

    def again(self):
        """Show the house as it stands."""
        self._show()

    def _show(self):
        own, draft = self.own, self.own.draft
        groups = [
            {"title": title, "items": [self._describe(entry, draft) for entry in group]}
            for title, group in entries(draft).items()
        ]
        self._form = {
            "units": self.units, "groups": groups, "state": own.state, "notes": list(own.notes),
            "unsaved": own.unsaved, "numbers": [list(pair) for pair in self._numbers().items()], "done": self._done,
            "wrong": len(self._wrong),
        }  # fmt: skip

    def _numbers(self):
        try:
            return self.own.key_numbers(self.units)
        except ValueError as error:
            return {"This house can't be worked out": str(error)}

    def _describe(self, entry, draft):
        typed, error = self._wrong.get(entry.name, (entry.shown(draft, self.units), ""))
        return {
            "name": entry.name, "label": entry.label, "kind": entry.kind, "unit": entry.unit_in(self.units),
            "hint": entry.hint, "value": typed, "error": error, "options": [list(pair) for pair in entry.options],
        }  # fmt: skip

    @traitlets.observe("_asked")
    def _on_asked(self, change):
        for number, kind, name, value in change["new"].get("steps", []):
            if number <= self._done:
                continue
            self._done = number
            if kind == "read":
                self._wrong = {}
                self.own.read()
            elif kind == "edit":
                self._edit(name, value)
        self._show()

    def _edit(self, name, value):
        try:
            self.own.change(name, value, self.units)
        except ValueError as error:
            text = str(error).rstrip(".")
            self._wrong[name] = (value, f"{text[:1].upper()}{text[1:]}. The entry before it is kept.")
        else:
            self._wrong.pop(name, None)

    @property
    def text(self):
        """Key numbers one a line [text]."""
        pairs = self._numbers().items()
        return "\n".join(["Your own greenhouse", self.own.state, *(f"{k}: {v}" for k, v in pairs)])

    def _html(self):
        rows = "".join(
            f"<tr><th scope='row' style='{words.CELL_STYLE.format(side='left')};font-weight:400'>{escape(name)}</th>"
            f"<td style='{words.CELL_STYLE.format(side='right')}'>{escape(value)}</td></tr>"
            for name, value in self._numbers().items()
        )
        return (
            f'<div style="{words.TEXT_STYLE}"><b>Your own greenhouse.</b> {escape(self.own.state)} '
            f"The form opens when the page runs.</div>"
            f'<table style="{words.TABLE_STYLE}"><tbody>{rows}</tbody></table>'
        )

    def _repr_mimebundle_(self, **kwargs):
        return words._bundle(super()._repr_mimebundle_(**kwargs), self._html(), self.text)
