"""A plan in the reader's units: as words and tables, and from these as a two-page PDF, as Markdown and as CSV."""

import csv
import io
import json
from functools import lru_cache
from pathlib import Path

from heatlib._check import choice
from heatlib.classroom import charts, course
from heatlib.classroom.charts import Axis, Line
from heatlib.classroom.markup import escape_markdown as _md
from heatlib.classroom.palette import light_only
from heatlib.classroom.plan import WINTERS, lowest_air, night_hours
from heatlib.classroom.plan_drawing import drawing
from heatlib.tables import entry
from heatlib.units import SYSTEMS, format_quantity, to_display, unit_of

__all__ = ["content", "night_csv", "to_markdown", "to_pages"]

PAPERS = {"A4": "a4", "Letter": "us-letter"}
SIZES = (9.2, 8.9, 8.6, 8.3, 8.0, 7.7, 7.4, 7.0)
"""Letter sizes to try until the plan fits on two pages [points]."""
LONGEST_NAME = 70
BOX = "□"
MISSING = (
    "A box □ stands for a letter that neither this book's font nor this computer's fonts have; the Markdown file "
    "beside this one has them all."
)
GUIDANCE = (
    "This plan is guidance worked out by a model of the house, no design by an engineer. Local codes and licensed "
    "trades decide on foundations, snow load, wiring, heaters and digging."
)
LEFT_OUT = (
    "Wind beyond a light air, and leaks that grow with it.",
    "Warm air under the roof: the air has one temperature.",
    "Snow on the panes, hail and storm.",
    "Doors that stand open longer than described.",
    "Winters colder than the one that is counted here, in the cost of heat.",
    "Labour, tools, delivery, wiring and permits, in the money.",
    "Whether more barrels find room and sun: those beyond today's catch no more sun.",
    "Works that change one another's price.",
)
TIMES = (16, 18, 20, 22, 0, 2, 4, 6, 8, 10)


def content(plan, units):
    """Write a plan as words: every number with its unit.

    Parameters
    ----------
    plan : Plan
        What :func:`heatlib.classroom.plan.make_plan` returned [SI].
    units : str
        ``"metric"`` or ``"US"`` [text].

    Returns
    -------
    dict
        Title, facts, drawing, night, tables by key, cautions and closing words [text].
    """
    choice("unit system", units, SYSTEMS)
    show = _Shower(units, plan.conditions.currency)
    svg, words, caption = drawing(plan.after, units, height=215.0)
    night = _night(plan, show)
    name = _short(plan.house.name)
    return {
        "title": f"Plan for {name}",
        "lead": _lead(plan, show),
        "invented": "This house and its numbers are invented: it is the demo house of the course."
        if plan.is_demo
        else "Prices are the reader's own where entered, else invented examples.",
        "drawing": {"svg": svg, "alt": words, "caption": f"After the works. {caption}"},
        "night": night,
        "tables": {
            "bill": _bill(plan, show),
            "works": _works(plan, show),
            "options": _options(plan, show),
            "fuels": _fuels(plan, show),
            "buying": _buying(plan, show),
            "assumptions": _assumptions(plan, show),
            "readings": _readings(plan, show),
        },
        "cautions": [[one.title if one.title.endswith("?") else f"{one.title}.", one.text] for one in _cautions(plan)],
        "cautions_end": course.caution("weight").ends,
        "left_out": list(LEFT_OUT),
        "guidance": GUIDANCE,
        "units": "metric units" if units == "metric" else "US units",
    }


class _Shower:
    """Write SI values and money."""

    def __init__(self, units, currency):
        self.units, self.currency = units, _short(currency, 12)

    def __call__(self, value, quantity, digits=None):
        return format_quantity(value, quantity, self.units, digits=digits)

    def money(self, amount):
        text = f"{amount:,.0f}" if amount >= 20 or amount == 0 else f"{amount:,.2f}"
        return f"{text.replace(',', chr(0x202F))} {self.currency}"

    def watts(self, value):
        return "out of reach" if value is None else "none" if not value else self(value, "electric_power")


def _short(words, most=LONGEST_NAME):
    kept = " ".join("".join(sign if sign.isprintable() else " " for sign in str(words)).split())
    return kept if len(kept) <= most else kept[: most - 1].rstrip() + "…"


def _lead(plan, show):
    house, conditions, chosen = plan.house, plan.conditions, plan.chosen
    lowest = lowest_air(plan.today)
    text = (
        f"On a clear night of {show(conditions.coldest, 'temperature')} the house as it stands loses "
        f"{show(plan.bill.total, 'heat_flow')} when it is kept at {show(house.limits.minimum, 'temperature')}, and by "
        f"itself it falls to {show(lowest, 'temperature')}. "
    )
    spent = sum(work.cost for work in plan.works)
    if plan.works:
        text += (
            f"The works below bring the loss to {show(plan.bill_after.total, 'heat_flow')} for some "
            f"{show.money(spent)}. "
        )
    else:
        text += "The usual works are done. "
    if chosen.power is None:
        return text + ("Even then no heater holds the limit: choose a hardier crop.")
    if not chosen.power and chosen.heat > 0:
        return text + (
            f"Then {_barrels_word(chosen.barrels)} hold the limit that night without heat; the grey spells of "
            f"{_winter(plan)} still take heat for about {show.money(chosen.winter_cost)}."
        )
    return text + (
        f"Then {_barrels_word(chosen.barrels)} and {_heater_words(chosen.power, show)} hold the limit; "
        f"heat costs about {show.money(chosen.winter_cost)} in {_winter(plan)}."
    )


def _barrels_word(count):
    return "no barrels" if not count else "1 barrel" if count == 1 else f"{count} barrels"


def _heater_words(power, show):
    return f"a heater of {show(power, 'electric_power')}" if power else "no heater"


def _table(title, head, rows, caption=""):
    return {"title": title, "head": list(head), "rows": [list(row) for row in rows], "caption": caption}


def _bill(plan, show):
    after = {row.key: row.watts for row in plan.bill_after.rows}
    rows = [
        (
            row.label,
            show(row.watts, "heat_flow"),
            _percent(row.share),
            show(after.get(row.key, 0.0), "heat_flow"),
        )
        for row in plan.bill.rows
        if abs(row.watts) >= 0.5 or abs(after.get(row.key, 0.0)) >= 0.5
    ]  # fmt: skip
    rows.append(("all", show(plan.bill.total, "heat_flow"), "100%", show(plan.bill_after.total, "heat_flow")))
    return _table("Loss bill on the cold night", ("by", "today", "share", "after the works"), rows)


def _percent(share):
    text = f"{share:.0%}".replace("-", "−")
    return "0%" if text == "−0%" else text


def _works(plan, show):
    rows = [
        (f"{n}. {work.name}", show(work.saved, "heat_flow"), show.money(work.cost), _per_money(work, show))
        for n, work in enumerate(plan.works, 1)
    ]
    if not rows:
        rows = [("nothing of the usual is left to do", "", "", "")]
    return _table(
        "Order of works, by what they save for their money",
        ("work", "saves on the cold night", "costs about", f"saved for 10 {show.currency}"),
        rows,
        "Each is counted after those above it.",
    )


def _per_money(work, show):
    return show(10 * work.per_money, "heat_flow", 2) if work.cost else "free"


def _options(plan, show):
    rows = [
        (
            _barrels_word(one.barrels) + (" (best buy)" if one is plan.chosen else ""),
            show(one.unheated, "temperature"),
            show.watts(one.power),
            show(one.heat, "electric_energy"),
            show.money(one.winter_cost),
            show.money(one.to_buy),
            show.money(one.in_all),
        )
        for one in plan.options
    ]
    price, unit = _fuel_price(plan.fuel, plan.conditions.prices[plan.fuel], show)
    return _table(
        "Barrels against heater, after the works",
        ("barrels", "lowest air unheated", "heater needed", "heat in a winter", "heat costs a winter", "to buy now",
         f"all, {WINTERS} winters"),
        rows,
        f"{_fuel_name(plan.fuel).capitalize()} at {price} {unit}. {_winter_words(plan)}",
    )  # fmt: skip


def _winter(plan):
    return "the weather file's year" if plan.conditions.year_file.strip() else "an ordinary winter"


def _winter_words(plan):
    if plan.conditions.year_file.strip():
        return f"Heat of the whole year in the weather file {_short(plan.conditions.year_file, 40)}."
    return "Heat of an ordinary winter of 182 days, made up by this course from what the form says, not measured."


def _fuel_name(fuel):
    return fuel.replace("_", " ")


_FUEL_UNITS = {"per kWh": None, "per m³": "room_volume", "per L": "store_volume", "per kg": "mass"}
"""Quantity in which a fuel is bought; its SI unit is the table's own, but for the litre [–]."""


def _fuel_amount(row, show):
    quantity = _FUEL_UNITS[row.unit]
    if quantity is None:
        return show(row.amount * 3.6e6, "electric_energy")
    return show(row.amount / (1000.0 if row.unit == "per L" else 1.0), quantity)


def _fuel_price(fuel, price, show):
    unit = entry("fuels", fuel, "price").unit
    quantity = _FUEL_UNITS[unit]
    if quantity is None:
        return f"{price:.3g}", f"{show.currency} {unit}"
    shown = price / to_display(0.001 if unit == "per L" else 1.0, quantity, show.units)
    return f"{shown:.3g}", f"{show.currency} per {unit_of(quantity, show.units).label}"


def _fuels(plan, show):
    rows = [
        (
            _fuel_name(row.fuel) + (" (yours)" if row.fuel == plan.fuel else ""),
            " ".join(_fuel_price(row.fuel, row.price, show)),
            _fuel_amount(row, show),
            show.money(row.cost),
            f"{show.money(row.low)} to {show.money(row.high)}",
        )
        for row in plan.fuels
    ]
    return _table(
        "The same heat from another fuel",
        ("fuel", "price", "a winter takes", "costs", "at usual prices"),
        rows,
        "Usual prices are invented ranges. Stoves lose part of the heat; a flame needs a flue and air of its own.",
    )


def _buying(plan, show):
    rows = [
        (_item(one, show), show(one.amount, one.quantity) if one.quantity != "count" else f"{one.amount:.0f}",
         show.money(one.cost) if one.cost else "–")
        for one in plan.purchases
    ]  # fmt: skip
    total = sum(one.cost for one in plan.purchases)
    rows += [("two thermometers that keep the lowest reading", "2", "–")]
    if plan.after.heater:
        rows.append(("outlet with GFCI (in Europe: RCD), by an electrician", "1", "–"))
    rows.append(("what has a price here, in all", "", show.money(total)))
    return _table(
        "Buying list",
        ("what", "how much", "costs about"),
        rows,
        "With a tenth more for offcuts. The heater covers the worst of what is not known exactly.",
    )


def _item(one, show):
    return f"{one.item}, {show(one.thickness, 'thickness', 2)} thick" if one.thickness else one.item


def _assumptions(plan, show):
    rows = []
    for one in plan.assumptions:
        sizes = [show(value, one.quantity, 2) for value in (one.low, one.typical, one.high)]
        rows.append((one.name, *sizes, show.watts(one.power_low), show.watts(one.power_high)))
    typical = show.watts(plan.chosen.power)
    return _table(
        "What is not known exactly",
        ("assumption", "low", "typical", "high", "heater at low", "heater at high"),
        rows,
        f"With {_barrels_word(plan.chosen.barrels)} after the works; typical: {typical}. The share of sun is that of "
        "clear days.",
    )


def _readings(plan, show):
    by_hour = {int(row["clock"][11:13]): row for row in night_hours(plan.course)}
    rows = []
    for hour in TIMES:
        row = by_hour[hour]
        rows.append((f"{hour:02d}:00", show(row["outside"], "temperature"), show(row["air"], "temperature"),
                     *[""] * 4))  # fmt: skip
    unit = unit_of("temperature", show.units).label
    return _table(
        "Your thermometer readings",
        ("time", "planned outside", "planned inside", f"outside, {unit}", f"inside, {unit}", f"water, {unit}",
         "heater on, h"),
        rows,
        "Write down a cold night. Compare the difference to the outside, not the temperature: your night is another.",
    )  # fmt: skip


def _cautions(plan):
    after, house = plan.after, plan.house
    glazings = {surface.glazing or "" for surface in house.surfaces}
    barrels = any(store.kind == "barrels" and store.count for store in after.stores)
    digs = after.pipes is not None or any(work.changes.get("floor.edge_depth") for work in plan.works)
    wanted = {
        "weight": barrels,
        "drums": barrels,
        "pressure": barrels,
        "electricity": True,
        "carbon-monoxide": True,
        "trench": digs,
        "glass": any(name.startswith("glass") for name in glazings),
        "paint": "glass_salvaged" in glazings,
        "snow": True,
        "heat-illness": True,
        "mould": after.pipes is not None,
    }
    return [course.caution(kind) for kind, yes in wanted.items() if yes]


def _night(plan, show):
    system = show.units
    rows, today = night_hours(plan.course), night_hours(plan.today)
    hours = tuple(range(len(rows)))

    def line(name, values, style):
        return Line(name, hours, tuple(float(to_display(v, "temperature", system)) for v in values), style)

    lines = [line("air after", [row["air"] for row in rows], 1), line("air today", [row["air"] for row in today], 5)]
    stores = [name for name in rows[0]["stores"] if any(s.name == name for s in plan.after.stores)]
    if stores:
        lines.append(line(_short(stores[0], 14), [row["stores"][stores[0]] for row in rows], 0))
    lines.append(line("outside", [row["outside"] for row in rows], 4))
    unit = unit_of("temperature", system).label
    low = min(min(one.ys) for one in lines)
    high = max(max(one.ys) for one in lines)
    names = ((0, "noon"), (6, "6 pm"), (12, "midnight"), (18, "6 am"), (24, "noon"))
    limit = plan.after.limits.minimum
    heater = plan.after.heater
    share = tuple(row["heater"] / heater.power for row in rows) if heater and heater.power else None
    svg = charts.course(
        lines, Axis("Time", 0, 24, names), Axis(f"Temperature, {unit}", low, max(high, low + 1)),
        crop_limit=(float(to_display(limit, "temperature", system)), "limit"),
        heater=(hours, share) if share else None,
    )  # fmt: skip
    words = (
        f"The cold night: outside down to {show(plan.conditions.coldest, 'temperature')}. The air falls to "
        f"{show(lowest_air(plan.today), 'temperature')} today and to {show(lowest_air(plan.course), 'temperature')} "
        f"after the works with {_barrels_word(plan.chosen.barrels)} and "
        f"{_heater_words(plan.chosen.power or 0.0, show)}; the limit is {show(limit, 'temperature')}."
    )
    numbers = {
        "coldest outside": show(plan.conditions.coldest, "temperature"),
        "lowest air today": show(lowest_air(plan.today), "temperature"),
        "lowest air after the works": show(lowest_air(plan.course), "temperature"),
        "heater": show.watts(plan.chosen.power),
        "barrels": str(plan.chosen.barrels),
    }
    return {"svg": svg, "alt": words, "caption": words, "numbers": numbers}


# ---- forms of it ----------------------------------------------------------------------------------------------------


def to_markdown(words):
    """Write the words of a plan as Markdown; what a reader named can't become markup."""
    lines = [f"# {_md(words['title'])}", "", _md(words["lead"]), "", _md(words["invented"]), ""]
    lines += [_md(words["drawing"]["alt"]), "", _md(words["night"]["alt"]), ""]
    for table in words["tables"].values():
        lines += [f"## {_md(table['title'])}", ""]
        lines += [f"| {' | '.join(_md(cell) for cell in table['head'])} |"]
        lines += [f"|{'|'.join(['---'] + ['---:'] * (len(table['head']) - 1))}|"]
        lines += [f"| {' | '.join(_md(cell) for cell in row)} |" for row in table["rows"]]
        lines += ["", *([_md(table["caption"]), ""] if table["caption"] else [])]
    lines += ["## Cautions", ""]
    for title, text in words["cautions"]:
        lines += [f"- **{_md(title)}** {_md(text)}"]
    lines += ["", _md(words["cautions_end"]), "", "## What was left out", ""]
    lines += [f"- {_md(text)}" for text in words["left_out"]]
    return "\n".join([*lines, "", _md(words["guidance"]), ""])


def night_csv(plan, units):
    """Write the hours of the cold night as CSV with units in the header; readable by any spreadsheet.

    Parameters
    ----------
    plan : Plan
        The plan [SI].
    units : str
        ``"metric"`` or ``"US"`` [text].

    Returns
    -------
    str
        Noon to noon, one row an hour [text].
    """
    degrees, watts = (unit_of(q, units).label for q in ("temperature", "electric_power"))
    rows, today = night_hours(plan.course), night_hours(plan.today)
    stores = list(rows[0]["stores"])
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    head = ["time", f"outside ({degrees})", f"inside today ({degrees})", f"inside after the works ({degrees})"]
    writer.writerow([*head, *(f"store {_short(name)} ({degrees})" for name in stores), f"heater ({watts})"])
    for row, before in zip(rows, today):
        temperatures = [row["outside"], before["air"], row["air"], *(row["stores"][name] for name in stores)]
        shown = [f"{to_display(value, 'temperature', units):.2f}" for value in temperatures]
        writer.writerow([row["clock"].replace("T", " "), *shown, f"{row['heater']:.0f}"])
    return out.getvalue()


def to_pages(words, paper="A4"):
    """Set the words of a plan as a tagged PDF of two pages.

    Parameters
    ----------
    words : dict
        What :func:`content` returned [text].
    paper : str
        ``"A4"`` or ``"Letter"`` [text].

    Returns
    -------
    bytes
        The pages; more than two only where names are so long that even small print needs them [PDF].
    """
    choice("paper", paper, PAPERS)
    job = words | {"paper": PAPERS[paper], "cautions": _in_halves(words["cautions"])}
    for key in ("drawing", "night"):
        job[key] = words[key] | {"svg": light_only(words[key]["svg"])}
    for size in SIZES:
        compiler = _compiler(job | {"size": size})
        if json.loads(compiler.query("<end>", field="value"))[0]["pages"] <= 2:
            break
    # a name in letters that the book's font lacks: the fonts of this machine stand in; where they lack them too, a box
    # stands for each and a line says so. The page stays a tagged one that a screen reader can read.
    for tried in ({"fallback": False}, {"fallback": True}):
        try:
            return _compiler(job | {"size": size} | tried).compile(format="pdf", pdf_standards=["ua-1"], timestamp=0)
        except RuntimeError:
            continue
    boxed = _without_missing(job | {"size": size, "invented": f"{job['invented']} {MISSING}"})
    return _compiler(boxed).compile(format="pdf", pdf_standards=["ua-1"], timestamp=0)


def _without_missing(part):
    """Put a box for every letter that the book's font lacks, in all words of a job."""
    if isinstance(part, dict):
        return {key: _without_missing(value) for key, value in part.items()}
    if isinstance(part, list | tuple):
        return [_without_missing(value) for value in part]
    if not isinstance(part, str):
        return part
    return "".join(sign if ord(sign) in _letters() or sign in "\n\t" else BOX for sign in part)


@lru_cache
def _letters():
    """Return the letters that all cuts of the book's font have [code points]."""
    from matplotlib.ft2font import FT2Font

    from heatlib.classroom.raster import font_folder

    cuts = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf", "DejaVuSans-Oblique.ttf")
    return frozenset.intersection(*(frozenset(FT2Font(str(Path(font_folder()) / cut)).get_charmap()) for cut in cuts))


def _in_halves(cautions):
    """Part the cautions into two columns about as long as each other."""
    lengths = [len(title) + len(text) + 40 for title, text in cautions]
    cut = min(range(len(cautions) + 1), key=lambda n: abs(sum(lengths[:n]) - sum(lengths[n:]) - 100))
    return [cautions[:cut], cautions[cut:]]


def _compiler(job):
    import typst

    from heatlib.classroom.raster import font_folder

    folder = Path(__file__).parent / "typst"
    own = not job.setdefault("fallback", False)
    fonts = typst.Fonts(include_system_fonts=not own, include_embedded_fonts=False, font_paths=[font_folder()])
    return typst.Compiler(
        str(folder / "plan.typ"),
        root=str(folder),
        font_paths=fonts,
        ignore_system_fonts=own,
        sys_inputs={"job": json.dumps(job, ensure_ascii=False, sort_keys=True)},
    )
