"""Measure from Run All to a lesson's first picture and to its first live one, in JupyterLab in headless Chromium.

Run ``python tests/bench/bench_first_picture.py`` (some two minutes), or name lessons: ``… 7 8``. It ends with an error
where a first picture takes longer than three seconds. The kernel is ready before the clock starts.
"""

import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "browser"))

LIMIT = 3.0
WATCH = """() => { const bench = window.first = {start: performance.now()}; let told = null;
    const since = () => (performance.now() - bench.start) / 1000;
    const live = root => root.querySelector('.hl-picture svg') && !root.closest('.hl-still');
    const look = () => {
        const views = [...document.querySelectorAll('.jp-Notebook .hl-view')].filter(
            one => one.querySelector('.hl-picture svg'));
        if (views.length && !bench.picture) bench.picture = since();
        if (views.some(live) && !bench.live) bench.live = since();
        const word = document.querySelector('.hl-loading');
        if (word && !bench.word) bench.word = [since(), word.textContent];
        if (!bench.live) requestAnimationFrame(look); };
    look(); }"""
SCROLL = """async () => { const book = window.jupyterapp.shell.currentWidget.content;
    const at = book.widgets.findIndex(cell => /lesson\\.show\\(/.test(cell.model.sharedModel.getSource()));
    await book.scrollToItem(at, 'start'); }"""


def main(wanted):
    """Measure each lesson in turn and judge."""
    from lab import browser, server

    from heatlib.classroom import course

    missed = []
    print(
        "| lesson | first picture, s | first live picture, s | all cells, s | word while loading |",
        "|---|---|---|---|---|",
        sep="\n",
    )
    with server(HERE.parent.parent) as lab, browser(lab, height=1600) as session:
        for row in course.lessons():
            if wanted and row.number not in wanted:
                continue
            page = session.open(f"lessons/{row.file}")
            page.wait_for_timeout(500)
            page.evaluate(WATCH)
            start = time.monotonic()
            session.run_all(page, wait=False)
            page.wait_for_function("window.first.picture", timeout=60_000)
            # the page draws only cells near the window, so look at the cell of the first sliders
            page.evaluate(SCROLL)
            page.wait_for_function("window.first.live", timeout=60_000)
            page.wait_for_function("window.ranAll", timeout=180_000)
            taken, seen = time.monotonic() - start, page.evaluate("window.first")
            word = "{1} (after {0:.1f} s)".format(*seen["word"]) if "word" in seen else "–"
            print(f"| {row.number} | {seen['picture']:.1f} | {seen['live']:.1f} | {taken:.1f} | {word} |", flush=True)
            if seen["picture"] > LIMIT:
                missed.append(f"lesson {row.number}: the first picture took {seen['picture']:.1f} s")
            page.close()
        missed += [f"console: {error}" for error in session.errors]
    sys.exit("\n".join(["missed:", *missed]) if missed else 0)


if __name__ == "__main__":
    main([int(word) for word in sys.argv[1:]])
