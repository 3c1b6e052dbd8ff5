"""Measure from a slider's key press to the new picture on the screen, in JupyterLab in headless Chromium.

Run ``python tests/bench/bench_slider.py`` with the browser extra installed. It prints a table for a 1× and a 2× screen
and ends with an error where a target is missed; ``--scale 2`` measures one of them, ``--short`` only what the targets
speak of, ``--steps`` how often a key is pressed. All ways are measured in one run, one after the other, because only
side by side do the figures mean anything: read the ratios.
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

WAYS = {
    # name: (how it is made in the notebook, where to put the keyboard, what to look at)
    "floor: a callback that sets a Label": ("floor()", ".noUi-handle", ".widget-label:last-child"),
    "cutaway, SVG in the live view": ("own(house)", "input[type=range]", ".hl-picture"),
    "cutaway, SVG in an HTML widget": ("html(house)", ".noUi-handle", ".widget-html-content"),
    "cutaway, PNG of the SVG by typst": ("typeset(house)", ".noUi-handle", "img.widget-image"),
    "cutaway, interact with a new pyplot figure": ("fresh(house)", ".noUi-handle", ".jp-OutputArea img"),
    "chart, SVG in the live view": ("own(night)", "input[type=range]", ".hl-picture"),
    "chart, SVG in an HTML widget": ("html(night)", ".noUi-handle", ".widget-html-content"),
    "chart, PNG of the SVG by typst": ("typeset(night)", ".noUi-handle", "img.widget-image"),
    "chart, kept matplotlib figure, PNG": ("kept()", ".noUi-handle", "img.widget-image"),
    "chart, interact with a new pyplot figure": ("fresh(night)", ".noUi-handle", ".jp-OutputArea img"),
}


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


def _with_matplotlib(figure, drawing):
    """Draw the shapes of an SVG with matplotlib's artists, as a pyplot version of the same picture would."""
    import xml.etree.ElementTree as ET

    from matplotlib import patches

    from heatlib.classroom.palette import light_only

    ax = figure.add_axes([0, 0, 1, 1], xlim=(0, 640), ylim=(420, 0))
    root = ET.fromstring(light_only(drawing))
    for one in root:
        kind, style = one.tag.rpartition("}")[2], dict(p.split(":", 1) for p in one.get("style", "").split(";") if p)
        fill, edge = style.get("fill", "none"), style.get("stroke", "none")
        look = {
            "fc": "tan" if "url" in fill else fill,
            "ec": edge,
            "lw": float(style.get("stroke-width", "1").removesuffix("px")),
        }
        at = {key: float(value) for key, value in one.attrib.items() if key not in ("style", "d", "text-anchor")}
        if kind == "rect":
            ax.add_patch(patches.Rectangle((at["x"], at["y"]), at["width"], at["height"], **look))
        elif kind == "circle":
            ax.add_patch(patches.Circle((at["cx"], at["cy"]), at["r"], **look))
        elif kind == "line":
            ax.plot([at["x1"], at["x2"]], [at["y1"], at["y2"]], color=edge, lw=look["lw"])
        elif kind == "path":
            points = [tuple(map(float, pair.split(","))) for pair in one.get("d").strip("MZ").split()]
            ax.add_patch(patches.Polygon(points, closed=one.get("d").endswith("Z"), **look))
        elif kind == "text":
            ax.text(at["x"], at["y"], one.text, size=at["font-size"] * 0.7,
                    ha={"end": "right", "middle": "center"}.get(one.get("text-anchor"), "left"))  # fmt: skip


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

    def axes(figure, power):
        """Draw the night with all that the SVG shows, as a pyplot user would."""
        from matplotlib.patheffects import withStroke

        ax, halo = figure.subplots(), [withStroke(linewidth=3, foreground="white")]
        air, out = _rows(power)
        for row, style in ((air, "-"), (out, "--")):
            ax.plot(row.xs, row.ys, style, lw=2)
            ax.text(row.xs[-1] + 0.5, row.ys[-1], row.name, weight="bold", va="center")
        cold = [value < 2 for value in air.ys]
        ax.fill_between(air.xs, 0, 1, where=cold, color="tab:red", alpha=0.2, transform=ax.get_xaxis_transform(), lw=0)
        ax.axhline(2, ls="--")
        ax.text(47.5, 1.5, f"limit 2 °C, heater {power:.0f} W", ha="right", va="top", path_effects=halo)
        ax.set(xlim=(0, 48), ylim=(-30, 20))
        ax.set_xlabel("Hour", loc="right", weight="bold")
        ax.set_title("Temperature, °C", loc="left", weight="bold", size="medium")
        ax.grid(axis="y", alpha=0.3)
        ax.spines[["left", "right", "top"]].set_visible(False)
        return ax

    def kept():
        from matplotlib.figure import Figure

        figure, target = Figure(figsize=(8, 4.5), dpi=100), w.Image()
        ax = axes(figure, 300)

        def act(power):
            for line, row in zip(ax.lines, _rows(power)):
                line.set_ydata(row.ys)
            page = io.BytesIO()
            figure.savefig(page, format="png")
            target.value = page.getvalue()

        return slider(act, target)

    def fresh(draw):
        import matplotlib.pyplot as plt

        def picture(power=300):
            figure = plt.figure(figsize=(8, 5 if draw is _house else 4.5), dpi=100)
            _with_matplotlib(figure, draw(power, units="metric").svg) if draw is _house else axes(figure, power)
            plt.show()

        return w.interactive(picture, power=w.IntSlider(300, 0, 1000, 10))

    names = {"own": own, "html": html, "typeset": typeset, "floor": floor, "kept": kept, "fresh": fresh}
    name, _, argument = way.rstrip(")").partition("(")
    return names[name](*([{"house": _house, "night": _night}[argument]] if argument else []))


JUDGED = ("floor", "live view", "interact")
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
        page.wait_for_function("window.bench.done !== null", timeout=8000)
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
    ways = {name: way for name, way in WAYS.items() if not short or any(part in name for part in JUDGED)}
    from lab import browser, server

    rows = {}
    with tempfile.TemporaryDirectory() as folder:
        _notebook(Path(folder) / "bench.ipynb", ways)
        with server(folder) as lab, browser(lab, scale=scale) as session:
            page = session.open("bench.ipynb")
            session.run_all(page)
            page.wait_for_timeout(1000)
            assert page.evaluate("window.devicePixelRatio") == scale
            for index, (name, (_, focus, look)) in enumerate(ways.items()):
                output = _output(page, index)
                times = keys(page, output, focus, look, steps)
                late, pictures = drag(page, output, focus, look)
                rows[name] = {
                    "median": statistics.median(times),
                    "p95": statistics.quantiles(times, n=20)[-1],
                    "drag": late,
                    "pictures": pictures,
                }
                if "live view" in name:
                    rows[name]["frames"], rows[name]["blank"] = blank_frames(page, output)
            rows["errors"] = session.errors
    return rows


def judge(rows, scale):
    """Return the targets that were missed, in words."""
    floor = rows["floor: a callback that sets a Label"]
    missed = [f"console: {error}" for error in rows["errors"]]
    for picture in ("cutaway", "chart"):
        name = f"{picture}, SVG in the live view"
        row, slow = rows[name], rows[f"{picture}, interact with a new pyplot figure"]
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
        floor = rows["floor: a callback that sets a Label"]
        print(f"\n{scale}× screen, {options.steps} steps\n")
        print("| way | median ms | of the floor | p95 ms | of the floor's | last move → last picture ms | pictures |"
              " blank frames |")  # fmt: skip
        print("|---|---|---|---|---|---|---|---|")
        for name, row in rows.items():
            if name == "errors":
                continue
            blank = f"{row['blank']} of {row['frames']}" if "blank" in row else ""
            words = [f"{row['median']:.0f}", f"{row['median'] / floor['median']:.2f}", f"{row['p95']:.0f}",
                     f"{row['p95'] / floor['p95']:.2f}", f"{row['drag']:.0f}"]  # fmt: skip
            print("| " + " | ".join([name, *words, str(row["pictures"]), blank]) + " |")
        missed += judge(rows, scale)
    if options.json:
        Path(options.json).write_text(json.dumps(everything, indent=1))
    sys.exit("\n".join(["missed:", *missed]) if missed else 0)


if __name__ == "__main__":
    main()
