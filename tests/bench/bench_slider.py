"""Measure from a slider's key press to the new picture on the screen, in JupyterLab in headless Chromium.

Run ``python tests/bench/bench_slider.py`` with the browser extra installed. It prints a table for a 1× and a 2× screen
and ends with an error where a target is missed; ``--scale 2`` measures one of them, ``--short`` only what the targets
speak of, ``--steps`` how often a key is pressed. All ways of one kind of picture are measured one after the other in a
notebook of their own, beside the floor: a lesson shows some pictures and not all kinds, and each of them makes the page
heavier. Only side by side do the figures mean anything: read the ratios.
"""

import argparse
import base64
import io
import json
import statistics
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "browser"))

KINDS = {
    "house": "cutaway",
    "night": "chart",
    "hours": "night course",
    "bill": "loss bill",
    "sun": "sun by month",
    "pairs": "drums × heater map",
}
"""Kinds of picture in the lessons; "chart" is the lightest: two lines and a limit."""
OWN, SHAPES, AXES = (
    "SVG in the live view",
    "interact, pyplot, the same shapes",
    "interact, pyplot, a plot as one writes it",
)
FLOOR = "floor: a callback that sets a Label"
SLIDER, IMAGE = ".noUi-handle", ".jp-OutputArea img"


def _ways():
    """Return {name: (how it is made in the notebook, where to put the keyboard, what to look at)}."""
    ways = {FLOOR: ("floor()", SLIDER, ".widget-label:last-child")}
    for kind, name in KINDS.items():
        ways[f"{name}, {OWN}"] = (f"own({kind})", "input[type=range]", ".hl-picture")
        ways[f"{name}, {SHAPES}"] = (f"shapes({kind})", SLIDER, IMAGE)
        if kind in _PLOTS:
            ways[f"{name}, {AXES}"] = (f"axes({kind})", SLIDER, IMAGE)
        if kind in ("house", "night"):
            ways[f"{name}, SVG in an HTML widget"] = (f"html({kind})", SLIDER, ".widget-html-content")
            ways[f"{name}, PNG of the SVG by typst"] = (f"typeset({kind})", SLIDER, "img.widget-image")
    ways["chart, kept matplotlib figure, PNG"] = ("kept()", SLIDER, "img.widget-image")
    return ways


def _rows(power):
    import math

    from heatlib.classroom.charts import Line

    hours = [index / 6 for index in range(288)]
    air = [8 * math.sin((h - 3) / 24 * 2 * math.pi) + power / 100 - 4 for h in hours]
    out = [-18 + 6 * math.sin((h - 3) / 24 * 2 * math.pi) for h in hours]
    return Line("Air", tuple(hours), tuple(air), 0), Line("Outside", tuple(hours), tuple(out), 4)


def _night(power, *, units):
    from heatlib.classroom.charts import Axis, course
    from heatlib.classroom.picture import Picture

    drawing = course(
        _rows(power),
        Axis("Hour", 0, 48),
        Axis("Temperature, °C", -30, 20),
        crop_limit=(2, f"limit 2 °C, heater {power:.0f} W"),
    )
    words = f"The heater gives {power:.0f} W."
    return Picture(drawing, words, words)


def _house(power, *, units):
    from heatlib.classroom import cutaway as c
    from heatlib.classroom.picture import Picture

    places = ["south_roof", "south_wall", "south_base", "edge", "north_roof", "north_wall", "leaks", "ends", "floor"]
    flows = [c.Flow(place, place.replace("_", " "), power * (9 - n) / 8 + 20) for n, place in enumerate(places)]
    stores = [c.Store("barrel", "9 barrels", 6.2, 0.6, count=9), c.Store("bed", "Bed", 5.1, 0.5)]
    floor = (c.FloorLayer("gravel", 0.1), c.FloorLayer("foam", 0.05, "foam"))
    section = c.Section(insulation=0.1, panes=2, floor=floor, edge_depth=0.6, curtain=True, heater=True, pipes=4)
    drawing = c.cutaway(section, flows, stores, inside=power / 100, outside=-24, units=units, full_scale=2000)
    words = f"The house loses {power:.0f} W."
    return Picture(drawing, words, words)


def _hours(power, *, units):
    """Draw a night as lessons 8 and 10 do: air, drums, bed and outside over a limit, with the hours of a heater."""
    import math

    from heatlib.classroom.charts import Axis, Line, course

    air, out = _rows(power)
    drums = [5 + 3 * math.sin((h - 5) / 24 * 2 * math.pi) for h in air.xs]
    bed = [4 + 2 * math.sin((h - 7) / 24 * 2 * math.pi) for h in air.xs]
    on = [1.0 if value < 2 else 0.0 for value in air.ys]
    rows = [air, Line("Drums", air.xs, tuple(drums), 1), Line("Bed", air.xs, tuple(bed), 2), out]
    limit = (2, f"limit 2 °C, heater {power:.0f} W")
    drawing = course(rows, Axis("Hour", 0, 48), Axis("Temperature, °C", -30, 20), crop_limit=limit,
                     heater=(air.xs, on))  # fmt: skip
    return _said(drawing, power)


PATHS = ("glazing", "dark walls and roof", "leaks", "radiation to the sky", "vapour carried out by leaks",
         "edge of the floor", "drips on the panes", "door", "deep ground")  # fmt: skip


def _amounts(power):
    return {path: 40.0 * (9 - n) + power * (8 - n) / 8 for n, path in enumerate(PATHS)}


def _bill(power, *, units):
    """Draw a loss bill as every lesson ends with: sorted bars, amounts, shares, and what changed."""
    from heatlib.classroom.charts import bars

    rows = [(path, amount) for path, amount in _amounts(power).items()]
    return _said(bars(rows, "W", 1400, before=_amounts(500), title="Heat lost on the design night"), power)


MONTHS = "JFMAMJJASOND"


def _by_month(power):
    import math

    on = [4 - 2.4 * math.cos((m - 1) / 12 * 2 * math.pi) + power / 500 for m in range(1, 13)]
    return tuple(on), tuple(0.7 * value for value in on)


def _sun(power, *, units):
    """Draw the sun by month as lesson 7 does: two lines over twelve months and the present point."""
    from heatlib.classroom.charts import Axis, Line, lines

    on, through = _by_month(power)
    months = tuple(range(1, 13))
    names = tuple(zip(months, MONTHS))
    rows = (Line("on the pane", months, on, 4), Line("through it", months, through, 3))
    point = (6, through[5], f"{through[5]:.2f} kWh/m² in June")
    return _said(lines(rows, Axis("month", 1, 12, names), Axis("sun in a day, kWh/m²", 0, 9), point=point), power)


def _pair_margins(power):
    """Return margins at 9 × 7 knots and the frontier, as lesson 10 has them."""
    margins = [[heater / 150 + drums / 5 - 12 + power / 1000 for drums in range(0, 41, 5)]
               for heater in range(0, 3001, 500)]  # fmt: skip
    return margins, [(drums, 150 * (12 - power / 1000 - drums / 5)) for drums in range(0, 41, 5)]


def _pairs(power, *, units):
    """Draw the map of drums and heater as lesson 10 does, with its frontier and two marked pairs."""
    from heatlib.classroom.charts import Axis, heat_map

    margins, frontier = _pair_margins(power)
    marks = [(20, frontier[4][1], f"cheapest: {100 + power / 10:.0f}")]
    drawing = heat_map(Axis("Drums of water", 0, 40), Axis("Heater, W", 0, 3000), margins, frontier=frontier,
                       point=(9, power, "yours"), costs=marks)  # fmt: skip
    return _said(drawing, power)


def _said(drawing, power):
    from heatlib.classroom.picture import Picture

    words = f"The heater gives {power:.0f} W."
    return Picture(drawing, words, words)


def _with_matplotlib(figure, drawing):
    """Draw the shapes of an SVG with matplotlib's artists, as a pyplot version of the same picture would."""
    import xml.etree.ElementTree as ET

    from matplotlib import patches
    from matplotlib.patheffects import withStroke

    from heatlib.classroom.palette import light_only

    root = ET.fromstring(light_only(drawing))
    wide, high = (float(root.get(side)) for side in ("width", "height"))
    figure.set_size_inches(wide / 80, high / 80)
    ax = figure.add_axes([0, 0, 1, 1], xlim=(0, wide), ylim=(high, 0))
    ax.axis("off")
    for one in root:
        kind, style = one.tag.rpartition("}")[2], dict(p.split(":", 1) for p in one.get("style", "").split(";") if p)
        fill, edge, dash = style.get("fill", "none"), style.get("stroke", "none"), style.get("stroke-dasharray")
        look = {
            "fc": "none" if "url" in fill else fill,
            "ec": "white" if "url" in fill else edge,
            "lw": float(style.get("stroke-width", "1").removesuffix("px")),
            "alpha": float(style.get("opacity", 1)),
            "hatch": "///" if "url" in fill else None,
            "ls": (0, [float(part) for part in dash.split()]) if dash else "-",
        }
        at = {key: float(value) for key, value in one.attrib.items() if key not in ("style", "d", "text-anchor")}
        if kind == "rect":
            ax.add_patch(patches.Rectangle((at["x"], at["y"]), at["width"], at["height"], **look))
        elif kind == "circle":
            ax.add_patch(patches.Circle((at["cx"], at["cy"]), at["r"], **look))
        elif kind == "line":
            ax.plot([at["x1"], at["x2"]], [at["y1"], at["y2"]], color=edge, lw=look["lw"], ls=look["ls"],
                    alpha=look["alpha"])  # fmt: skip
        elif kind == "path":
            points = [tuple(map(float, pair.split(","))) for pair in one.get("d").strip("MZ").split()]
            ax.add_patch(patches.Polygon(points, closed=one.get("d").endswith("Z"), **look))
        elif kind == "text":
            ax.text(at["x"], at["y"], one.text, size=at["font-size"] * 0.9, color=fill,
                    ha={"end": "right", "middle": "center"}.get(one.get("text-anchor"), "left"),
                    weight="bold" if "font-weight" in style else "normal",
                    path_effects=[withStroke(linewidth=3, foreground=edge)] if edge != "none" else None)  # fmt: skip


# ---- the same pictures as somebody would plot them by hand ----------------------------------------------------------


def _open_axes(figure, left, foot):
    ax = figure.subplots()
    ax.set_title(left, loc="left", weight="bold", size="medium")
    ax.set_xlabel(foot, loc="right", weight="bold")
    ax.grid(axis="y", alpha=0.3)
    ax.spines[["left", "right", "top"]].set_visible(False)
    return ax


def _halo():
    from matplotlib.patheffects import withStroke

    return [withStroke(linewidth=3, foreground="white")]


def _plot_lines(ax, rows):
    for row, style in zip(rows, ("-", "--", ":", "-.")):
        ax.plot(row.xs, row.ys, style, lw=2)
        ax.text(row.xs[-1] + 0.5, row.ys[-1], row.name, weight="bold", va="center")


def _plot_limit(ax, air, words):
    cold = [value < 2 for value in air.ys]
    ax.fill_between(air.xs, 0, 1, where=cold, color="tab:red", alpha=0.2, transform=ax.get_xaxis_transform(), lw=0)
    ax.axhline(2, ls="--")
    ax.text(47.5, 1.5, words, ha="right", va="top", path_effects=_halo())
    ax.set(xlim=(0, 48), ylim=(-30, 20))


def _plot_night(figure, power):
    ax = _open_axes(figure, "Temperature, °C", "Hour")
    rows = _rows(power)
    _plot_lines(ax, rows)
    _plot_limit(ax, rows[0], f"limit 2 °C, heater {power:.0f} W")
    return ax


def _plot_hours(figure, power):
    import numpy as np

    from heatlib.classroom.charts import Line

    ax = _open_axes(figure, "Temperature, °C", "Hour")
    air, out = _rows(power)
    hours = np.asarray(air.xs)
    drums, bed = (m + w * np.sin((hours - late) / 24 * 2 * np.pi) for m, w, late in ((5, 3, 5), (4, 2, 7)))
    _plot_lines(ax, [air, Line("Drums", air.xs, drums), Line("Bed", air.xs, bed), out])
    _plot_limit(ax, air, f"limit 2 °C, heater {power:.0f} W")
    ax.fill_between(hours, -30, -28, where=np.asarray(air.ys) < 2, color="orange", lw=0)
    ax.text(0.5, -27.5, "heater on", path_effects=_halo())
    return ax


def _plot_bill(figure, power):
    ax = _open_axes(figure, "Heat lost on the design night", "")
    rows = sorted(_amounts(power).items(), key=lambda row: row[1])
    before, total = _amounts(500), sum(amount for _, amount in rows)
    ax.barh([path for path, _ in rows], [amount for _, amount in rows], color="tab:orange")
    for n, (path, amount) in enumerate(rows):
        ax.plot([before[path]] * 2, [n - 0.4, n + 0.4], color="black", lw=2.5)
        ax.text(max(amount, before[path]) + 15, n, f"{amount:.0f} W ({amount / total:.0%})", weight="bold", va="center")
        change = amount - before[path]
        ax.text(1.0, n, f"{'▼' if change < 0 else '▲'} {abs(change):.0f}" if change else "as before", ha="right",
                va="center", transform=ax.get_yaxis_transform())  # fmt: skip
    ax.text(1.0, 1.02, "since last look (black mark)", ha="right", transform=ax.transAxes)
    ax.set(xlim=(0, 1900), xticks=[])
    return ax


def _plot_sun(figure, power):
    ax = _open_axes(figure, "sun in a day, kWh/m²", "month")
    on, through = _by_month(power)
    months = range(1, 13)
    for row, name, style in ((on, "on the pane", "--"), (through, "through it", "-")):
        ax.plot(months, row, style, lw=2)
        ax.text(12.1, row[-1], name, weight="bold", va="center")
    ax.plot([6, 6, 1], [0, through[5], through[5]], ":", color="grey", lw=1)
    ax.plot(6, through[5], "o", ms=8, mec="black")
    ax.text(6.2, through[5], f"{through[5]:.2f} kWh/m² in June", weight="bold", va="bottom", path_effects=_halo())
    ax.set(xlim=(1, 12), ylim=(0, 9), xticks=months)
    ax.set_xticklabels(MONTHS)
    return ax


def _plot_pairs(figure, power):
    import numpy as np

    ax = _open_axes(figure, "Heater, W", "Drums of water")
    margins, frontier = _pair_margins(power)
    drums, heaters = np.arange(0, 41, 5), np.arange(0, 3001, 500)
    ax.pcolormesh(drums, heaters, np.asarray(margins), cmap="RdYlGn", vmin=-8, vmax=8, alpha=0.6, shading="nearest")
    ax.contourf(drums, heaters, np.asarray(margins), levels=[-99, 0], hatches=["//"], colors="none")
    ax.plot(*zip(*frontier), color="black", lw=3)
    for x, y, words in ((9, power, "yours"), (20, frontier[4][1], f"cheapest: {100 + power / 10:.0f}")):
        ax.plot(x, y, "o", ms=8, mec="black")
        ax.text(x + 0.8, y, words, weight="bold", va="bottom", path_effects=_halo())
    ax.text(30, 2200, "warm enough", size="large", weight="bold", path_effects=_halo())
    ax.text(6, 300, "too cold", size="large", weight="bold", path_effects=_halo())
    ax.set(xlim=(0, 40), ylim=(0, 3000))
    return ax


_PLOTS = {"night": _plot_night, "hours": _plot_hours, "bill": _plot_bill, "sun": _plot_sun, "pairs": _plot_pairs}
DRAWN = {"house": _house, "night": _night, "hours": _hours, "bill": _bill, "sun": _sun, "pairs": _pairs}


def make(way):
    """Build one way of drawing inside the notebook's kernel."""
    import ipywidgets as w

    from heatlib.classroom.view import Slider, View, view

    def slider(act, target):
        control = w.IntSlider(300, 0, 1000, 10, description="power")
        control.observe(lambda change: act(change["new"]), "value")
        act(300)
        return w.VBox([control, target])

    def own(draw):
        control = Slider("power", "Heater", "heat_flow", 0, 1000, 300, steps={"metric": 10, "US": 50})
        return View(view(title="A live view", controls=[control])(draw))

    def html(draw):
        target = w.HTML()
        return slider(lambda v: setattr(target, "value", draw(v, units="metric").svg), target)

    def typeset(draw):
        target = w.Image()
        return slider(lambda v: setattr(target, "value", draw(v, units="metric").png(1)), target)

    def floor():
        target = w.Label()
        return slider(lambda v: setattr(target, "value", f"{v} W"), target)

    def kept():
        from matplotlib.figure import Figure

        figure, target = Figure(figsize=(8, 4.5), dpi=100), w.Image()
        ax = _plot_night(figure, 300)

        def act(power):
            for line, row in zip(ax.lines, _rows(power)):
                line.set_ydata(row.ys)
            page = io.BytesIO()
            figure.savefig(page, format="png")
            target.value = page.getvalue()

        return slider(act, target)

    def fresh(paint):
        import matplotlib.pyplot as plt

        def picture(power=300):
            paint(plt.figure(figsize=SIZE, dpi=100), power)
            plt.show()

        return w.interactive(picture, power=w.IntSlider(300, 0, 1000, 10))

    def shapes(draw):
        return fresh(lambda figure, power: _with_matplotlib(figure, draw(power, units="metric").svg))

    makers = {"own": own, "html": html, "typeset": typeset, "floor": floor, "kept": kept, "shapes": shapes}
    name, _, kind = way.rstrip(")").partition("(")
    if name == "axes":
        return fresh(_PLOTS[kind])
    return makers[name](*([DRAWN[kind]] if kind else []))


SIZE = (8, 4.75)
"""Inches of a pyplot figure at 100 dots: as large on the page as the SVG is at full width."""


def drawing_alone(turns=20):
    """Return what drawing alone costs, in processor time that other work does not stretch: {kind: {way: ms}}."""
    import time

    import matplotlib

    matplotlib.use("agg")
    import matplotlib.pyplot as plt

    def figure_of(paint, power):
        figure = plt.figure(figsize=SIZE, dpi=100)
        paint(figure, power)
        figure.savefig(io.BytesIO(), format="png", bbox_inches="tight")
        plt.close(figure)

    def timed(act):
        act(300), act(310)
        times = []
        for turn in range(turns):
            begin = time.process_time()
            act(300 + 10 * turn)
            times.append(1000 * (time.process_time() - begin))
        return statistics.median(times)

    rows = {}
    for kind, name in KINDS.items():
        draw = DRAWN[kind]
        ways = {OWN: lambda power, draw=draw: draw(power, units="metric"),
                SHAPES: lambda power, draw=draw: figure_of(
                    lambda figure, at: _with_matplotlib(figure, draw(at, units="metric").svg), power)}  # fmt: skip
        if kind in _PLOTS:
            ways[AXES] = lambda power, kind=kind: figure_of(_PLOTS[kind], power)
        rows[name] = {way: timed(act) for way, act in ways.items()}
    return rows


JUDGED = ("floor", OWN, "interact")
"""Parts of the names of the ways that the targets compare."""

WATCH = """([root, selector]) => {
  window.bench?.stop();
  const bench = window.bench = { t0: 0, done: null, changes: [], moved: 0, run: true };
  const look = () => { const node = root.querySelector(selector);
    if (!node) return null;
    if (node.tagName === 'IMG') return node.complete && node.naturalWidth
      ? node.src.length + node.src.slice(-60) : null;
    return node.textContent; };
  let old = look();
  const frame = () => { if (!bench.run) return;
    const now = look();
    if (now !== null && now !== old) { old = now;
      setTimeout(() => { const t = performance.now(); bench.changes.push(t);
        if (bench.t0 && !bench.done) bench.done = t - bench.t0; }); }
    requestAnimationFrame(frame); };
  const key = event => { bench.t0 = event.timeStamp; bench.done = null; };
  const move = event => { if (event.buttons) bench.moved = event.timeStamp; };
  window.addEventListener('keydown', key, true); window.addEventListener('pointermove', move, true);
  bench.stop = () => { bench.run = false; window.removeEventListener('keydown', key, true);
    window.removeEventListener('pointermove', move, true); };
  requestAnimationFrame(frame); }"""


def _output(page, index):
    page.evaluate(
        "async i => { await window.jupyterapp.shell.currentWidget.content.scrollToItem(i, 'start'); }", index + 1
    )
    cell = page.locator(f".jp-Notebook .jp-Cell[data-windowed-list-index='{index + 1}'] .jp-Cell-outputArea")
    cell.wait_for()
    return cell


def keys(page, output, focus, look, steps):
    """Press the arrow key ``steps`` times; return the milliseconds from key to picture."""
    handle = output.locator(focus).first
    handle.scroll_into_view_if_needed()
    page.evaluate(WATCH, [output.element_handle(), look])
    handle.focus()
    times = []
    for step in range(steps + 3):
        page.keyboard.press("ArrowRight" if step % 40 < 20 else "ArrowLeft")
        page.wait_for_function("window.bench.done !== null", timeout=60000)
        if step >= 3:
            times.append(page.evaluate("window.bench.done"))
        page.wait_for_timeout(25)
    return times


def drag(page, output, focus, look):
    """Drag fast; return milliseconds from the last move to the last picture, and how many pictures came."""
    handle = output.locator(focus).first
    page.evaluate(WATCH, [output.element_handle(), look])
    box = handle.bounding_box()
    own = box["width"] > 60
    x = box["x"] + (box["width"] * 0.3 if own else box["width"] / 2)
    y = box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(60):
        page.mouse.move(x + (4 if own else 1.5) * step, y)
        page.wait_for_timeout(6)
    page.mouse.up()
    page.wait_for_timeout(1500)
    moved, changes = page.evaluate("[window.bench.moved, window.bench.changes]")
    return changes[-1] - moved, len(changes)


def blank_frames(page, output):
    """Record the screen while a live view is dragged; return (frames, frames in which the picture is empty)."""
    from PIL import Image

    picture = output.locator(".hl-picture").bounding_box()
    handle = output.locator("input[type=range]").first.bounding_box()
    session, frames = page.context.new_cdp_session(page), []

    def keep(event):
        frames.append(event["data"])
        session.send("Page.screencastFrameAck", {"sessionId": event["sessionId"]})

    session.on("Page.screencastFrame", keep)
    session.send("Page.startScreencast", {"format": "png", "everyNthFrame": 1})
    y = handle["y"] + handle["height"] / 2
    page.mouse.move(handle["x"] + 40, y)
    page.mouse.down()
    for step in range(60):
        page.mouse.move(handle["x"] + 40 + 4 * step, y)
        page.wait_for_timeout(8)
    page.mouse.up()
    page.wait_for_timeout(300)
    session.send("Page.stopScreencast")
    size = page.viewport_size
    empty = 0
    for frame in frames:
        image = Image.open(io.BytesIO(base64.b64decode(frame))).convert("L")
        ratio = image.width / size["width"]
        box = [picture["x"], picture["y"], picture["x"] + picture["width"], picture["y"] + picture["height"]]
        low, high = image.crop([round(edge * ratio) for edge in box]).getextrema()
        empty += high - low < 60
    return len(frames), empty


def _notebook(path, ways):
    import nbformat

    start = f"import sys; sys.path.insert(0, {str(HERE)!r})\nimport bench_slider as b"
    sources = [start, *(f"b.make({way!r})" for way, *_ in ways.values())]
    book = nbformat.v4.new_notebook(metadata={"kernelspec": {"name": "python3", "display_name": "Python 3"}})
    book.cells = [nbformat.v4.new_code_cell(source, id=f"cell-{n}") for n, source in enumerate(sources)]
    nbformat.write(book, path)


def measure(scale, steps, short=False):
    """Measure every way on a screen of the given sharpness, or only those that are judged."""
    from lab import browser, server

    ways = {name: way for name, way in _ways().items() if not short or any(part in name for part in JUDGED)}
    rows = {"errors": []}
    with tempfile.TemporaryDirectory() as folder:
        for picture in KINDS.values():
            own = {name: way for name, way in ways.items() if name == FLOOR or name.startswith(f"{picture}, ")}
            _notebook(Path(folder) / "bench.ipynb", own)
            with server(folder) as lab, browser(lab, scale=scale) as session:
                page = session.open("bench.ipynb")
                session.run_all(page)
                page.wait_for_timeout(1000)
                assert page.evaluate("window.devicePixelRatio") == scale
                for index, (name, way) in enumerate(own.items()):
                    row = _measured(page, _output(page, index), *way[1:], steps, OWN in name)
                    rows[_floor(picture) if name == FLOOR else name] = row
                rows["errors"] += session.errors
    return rows


def _floor(picture):
    """Name of the floor that was measured beside a kind of picture."""
    return f"{picture}, {FLOOR}"


def _measured(page, output, focus, look, steps, record):
    """Milliseconds from key to picture and at the end of a drag; blank frames too, if they are to be recorded."""
    times = keys(page, output, focus, look, steps)
    late, pictures = drag(page, output, focus, look)
    row = {
        "median": statistics.median(times),
        "p95": statistics.quantiles(times, n=20)[-1],
        "drag": late,
        "pictures": pictures,
    }
    if record:
        row["frames"], row["blank"] = blank_frames(page, output)
    return row


def judge(rows, scale):
    """Return the targets that were missed, in words."""
    missed = [f"console: {error}" for error in rows["errors"]]
    for kind, picture in KINDS.items():
        name, floor = f"{picture}, {OWN}", rows[_floor(picture)]
        row, slow = rows[name], rows[f"{picture}, {AXES if kind in _PLOTS else SHAPES}"]
        tests = {
            f"median at most {1.25 if scale == 1 else 2} × floor": row["median"]
            <= (1.25 if scale == 1 else 2) * floor["median"],
            "p95 at most 2 × the floor's": scale > 1 or row["p95"] <= 2 * floor["p95"],
            "2.5 × faster than interact": 2.5 * row["median"] <= slow["median"],
            "a drag ends within 200 ms": row["drag"] <= 200,
            "no blank frame": row["blank"] == 0 and row["frames"] > 5,
        }
        missed += [f"{scale}× {name}: {words}" for words, good in tests.items() if not good]
    return missed


def _ratios(rows):
    """Say how many times longer pyplot takes than the live view, for each kind of picture of one run."""
    lines = ["", "| picture | pyplot | median, of the live view's | p95, of the live view's |", "|---|---|---|---|"]
    for name in KINDS.values():
        own = rows[f"{name}, {OWN}"]
        for way in (SHAPES, AXES):
            if row := rows.get(f"{name}, {way}"):
                ratios = f"{row['median'] / own['median']:.2f} | {row['p95'] / own['p95']:.2f}"
                lines.append(f"| {name} | {way} | {ratios} |")
    return "\n".join(lines)


def main():
    """Measure, print, judge."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--steps", type=int, default=80)
    parser.add_argument("--scale", type=int, choices=(1, 2), action="append", help="sharpness; both where left out")
    parser.add_argument("--short", action="store_true", help="only the floor, the live view and interact")
    parser.add_argument("--json", help="write the figures to this file as well")
    options = parser.parse_args()
    missed, everything = [], {}
    for scale in options.scale or (1, 2):
        rows = measure(scale, options.steps, options.short)
        everything[scale] = rows
        print(f"\n{scale}× screen, {options.steps} steps\n")
        print("| way | median ms | of the floor | p95 ms | of the floor's | last move → last picture ms | pictures |"
              " blank frames |")  # fmt: skip
        print("|---|---|---|---|---|---|---|---|")
        for name, row in rows.items():
            if name == "errors":
                continue
            floor = rows[_floor(name.split(", ")[0])]
            blank = f"{row['blank']} of {row['frames']}" if "blank" in row else ""
            words = [f"{row['median']:.0f}", f"{row['median'] / floor['median']:.2f}", f"{row['p95']:.0f}",
                     f"{row['p95'] / floor['p95']:.2f}", f"{row['drag']:.0f}"]  # fmt: skip
            print("| " + " | ".join([name, *words, str(row["pictures"]), blank]) + " |")
        missed += judge(rows, scale)
        print(_ratios(rows))
    everything["alone"] = drawing_alone()
    print("\nDrawing alone, in Python, without page and messages: processor time\n")
    print("| picture | way | median ms | times the SVG |")
    print("|---|---|---|---|")
    for name, ways in everything["alone"].items():
        for way, took in ways.items():
            print(f"| {name} | {way} | {took:.1f} | {took / ways[OWN]:.1f} |")
    if options.json:
        Path(options.json).write_text(json.dumps(everything, indent=1))
    sys.exit("\n".join(["missed:", *missed]) if missed else 0)


if __name__ == "__main__":
    main()
