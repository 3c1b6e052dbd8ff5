"""Charts of bars: a loss bill lying down, groups standing up, a few things side by side."""

from heatlib._check import choice, number
from heatlib.classroom import svg as s
from heatlib.classroom.axes import HEIGHT, STYLES, WIDTH, Axis, Plot, amount_words, hatched, patterns, wrap

__all__ = ["bars", "comparison", "grouped_bars"]


def bars(rows, unit, top, *, before=None, title="", styles=None):
    """Draw sorted bars with their amount, their share, and what changed since the last look.

    Parameters
    ----------
    rows : iterable of (str, float)
        Name and amount; amounts below zero (gains) go to the left [display unit].
    unit : str
        Unit of the amounts [text].
    top : float
        Amount at the right end; grows where a bar is longer [display unit].
    before : dict of float, optional
        Amounts at the last look by name, drawn as a mark with the change written out [display unit].
    title : str
        Words above the bars [text].
    styles : dict of int, optional
        Hatch by name, where bars are of several kinds [–].

    Returns
    -------
    str
        The drawing [SVG].
    """
    rows = sorted(((name, number(name, amount, unit)) for name, amount in rows), key=lambda row: -row[1])
    before = before or {}
    least = min([0.0, *(amount for _, amount in rows), *before.values()])
    most = max([top, *(amount for _, amount in rows), *before.values()])
    total = sum(amount for _, amount in rows)
    pitch = 34 if len(rows) <= 9 else max(24.0, 320 / len(rows))
    height = 44 + pitch * len(rows) + 14
    left, right = 172, WIDTH - (190 if before else 152)
    scale = (right - left) / (most - least)
    zero = left - least * scale
    pieces = [s.text(8, 20, title or unit, bold=True),
              s.line(zero, 34, zero, height - 10, "muted", 1.2)]  # fmt: skip
    for index, (name, amount) in enumerate(rows):
        y = 40 + pitch * index
        colour = "heat" if amount >= 0 else "water"
        x, wide = zero + min(amount, 0) * scale, abs(amount) * scale
        lines = wrap(name, left - 20)
        for n, line in enumerate(lines):
            pieces.append(s.text(left - 10, y + pitch / 2 + 1 + (n - (len(lines) - 1) / 2) * 15, line, anchor="end"))
        pieces.append(hatched(x, y, wide, pitch - 10, colour, (styles or {}).get(name, 0)))
        end = max(zero + amount * scale, zero) + 8
        share = f" ({amount / total:.0%})" if total > 0 and least == 0 else ""
        said = f"{amount_words(amount)} {unit}{share}"
        if name in before:
            mark = zero + before[name] * scale
            pieces.append(s.line(mark, y - 3, mark, y + pitch - 7, "ink", 2.5))
            end = max(end, mark + 8)
        most_left = (WIDTH - 8 if name not in before else WIDTH - 90) - s.text_width(said, bold=True)
        pieces.append(s.text(min(end, most_left), y + pitch / 2, said, bold=True, halo=end > most_left))
        if name in before:
            change = amount - before[name]
            colour, sign = ("plant-text", "▼") if change < 0 else ("heat-text", "▲")
            same = abs(change) < 0.005 * max(most, 1e-9)
            words = "as before" if same else f"{sign} {amount_words(abs(change))}"
            pieces.append(s.text(WIDTH - 8, y + pitch / 2, words, anchor="end", colour="muted" if same else colour))
    if before:
        pieces.append(s.text(WIDTH - 8, 20, "since last look (black mark)", anchor="end", colour="muted"))
    return s.document(WIDTH, height, *pieces, definitions=patterns())


def grouped_bars(groups, series, unit, top, *, title="", chosen=None):
    """Draw upright bars in groups, such as the sun by month and direction.

    Parameters
    ----------
    groups : iterable of str
        Names along the foot, e.g. months [text].
    series : dict of sequence
        Amounts per group by name, at most five [display unit].
    unit : str
        Unit of the amounts [text].
    top : float
        Amount at the top; grows where a bar is higher [display unit].
    title : str
        What is shown [text].
    chosen : int, optional
        Group to underlay [–].

    Returns
    -------
    str
        The drawing [SVG].
    """
    groups, count = list(groups), len(series)
    if not 1 <= count <= 5:
        raise ValueError(f"a chart of bars shows one to five kinds, but this has {count}")
    for name, amounts in series.items():
        if len(amounts) != len(groups):
            raise ValueError(f"{name} has {len(amounts)} amounts for {len(groups)} groups")
    up = Axis(f"{title}, {unit}" if title else unit, 0, top).holding([a for row in series.values() for a in row])
    plot = Plot(Axis("", 0, len(groups), tuple((i + 0.5, g) for i, g in enumerate(groups))), up, top=58, bottom=34)
    pitch = plot.x(1) - plot.x(0)
    wide = 0.82 * pitch / count
    pieces = []
    if chosen is not None:
        pieces.append(s.rect(plot.x(chosen), plot.y1, pitch, plot.y0 - plot.y1, "panel"))
    pieces += plot.frame()
    x = plot.x0
    for index, (name, amounts) in enumerate(series.items()):
        colour = STYLES[index][0]
        for group, amount in enumerate(amounts):
            left, y = plot.x(group) + 0.09 * pitch + index * wide, plot.y(amount)
            pieces.append(hatched(left, y, wide * 0.92, plot.y0 - y, colour, index))
        pieces += [hatched(x, 31, 16, 14, colour, index), s.text(x + 21, 43, name)]
        x += 21 + s.text_width(name) + 18
    return s.document(WIDTH, HEIGHT, *pieces, definitions=patterns())


def comparison(rows, unit, top, *, title, kind="bars"):
    """Draw a few things side by side, upright, each with its amount on top and its name below.

    Parameters
    ----------
    rows : iterable of (str, float)
        Name and amount, in the order to show; at most eight [display unit].
    unit : str
        Unit of the amounts [text].
    top : float
        Amount at the top; grows where one is higher [display unit].
    title : str
        What is compared [text].
    kind : str
        ``"bars"``, or ``"barrels"`` for bars drawn as drums [text].

    Returns
    -------
    str
        The drawing [SVG].
    """
    rows = [(name, number(name, amount, unit, 0)) for name, amount in rows]
    choice("kind of comparison", kind, ("bars", "barrels"))
    up = Axis(f"{title}, {unit}", 0, top).holding([amount for _, amount in rows])
    plot = Plot(Axis("", 0, max(len(rows), 1), ((-1.0, ""),)), up, bottom=46)
    pitch = plot.x(1) - plot.x(0)
    wide = min(0.66 * pitch, 110)
    pieces = plot.frame()
    for index, (name, amount) in enumerate(rows):
        x, y = plot.x(index + 0.5), plot.y(amount)
        colour = STYLES[index % 5][0]
        pieces.append(hatched(x - wide / 2, y, wide, plot.y0 - y, colour, (index + index // 5) % 5))
        if kind == "barrels":
            pieces += [s.line(x - wide / 2, y + (plot.y0 - y) * r, x + wide / 2, y + (plot.y0 - y) * r, "ink", 1.5)
                       for r in (0.33, 0.67)]  # fmt: skip
        pieces.append(s.text(x, y - 7, amount_words(amount), anchor="middle", bold=True, halo=True))
        for n, line in enumerate(wrap(name, pitch - 4)):
            pieces.append(s.text(x, plot.y0 + 18 + 15 * n, line, anchor="middle"))
    return s.document(WIDTH, HEIGHT, *pieces, definitions=patterns())
