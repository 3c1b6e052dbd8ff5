"""Words on the page that follow the units switch, and boxes that look the same in every lesson.

Each display has three forms made from the same words: the live widget, HTML that survives a page without a kernel, and
plain text, which is what a test compares.
"""

import re

import ipywidgets

from heatlib._check import choice
from heatlib.classroom.markup import escape
from heatlib.units import SYSTEMS, format_quantity

__all__ = [
    "LiveText",
    "StillBox",
    "answers_html",
    "answers_text",
    "caution_box",
    "fill",
    "in_both",
    "in_units",
    "question_box",
    "table_html",
    "table_text",
]

_BOX = (
    "margin:8px 0;padding:8px 14px;border-left:6px solid {edge};background-color:{tint};line-height:1.5;max-width:780px"
)
CAUTION_STYLE = _BOX.format(edge="#d55e00", tint="rgba(213,94,0,0.12)")
QUESTION_STYLE = _BOX.format(edge="#0072b2", tint="rgba(0,114,178,0.10)")
TEXT_STYLE = "line-height:1.5;max-width:780px;margin:6px 0"
TABLE_STYLE = "border-collapse:collapse;line-height:1.4;margin:6px 0"
CELL_STYLE = "padding:3px 14px;border-bottom:1px solid #8c959f;text-align:{side}"


def in_units(cell, system):
    """Write a cell: words stay as they are, ``(value, quantity)`` or ``(value, quantity, digits)`` gets its unit."""
    if isinstance(cell, str):
        return cell
    if isinstance(cell, tuple) and len(cell) in (2, 3):
        return format_quantity(cell[0], cell[1], system, digits=cell[2] if len(cell) == 3 else None)
    raise ValueError(f"a shown value must be words or (SI value, quantity), but it is {cell!r}")


def in_both(value, quantity, digits=None):
    """Write an SI value in both systems, for words that can't follow the switch, e.g. ``'−24.0 °C (−11.2 °F)'``."""
    first, second = (format_quantity(value, quantity, system, digits=digits) for system in SYSTEMS)
    return first if first == second else f"{first} ({second})"


def fill(template, pairs, system):
    """Set values into a sentence with ``{names}``; a name that is missing or left over is refused."""
    wanted = set(re.findall(r"\{(\w+)\}", template))
    for name in wanted:
        choice("name in the sentence", name, pairs)
    if unused := sorted(set(pairs) - wanted):
        raise ValueError(f"the sentence has no place for {', '.join(unused)}: {template}")
    return re.sub(r"\{(\w+)\}", lambda match: in_units(pairs[match[1]], system), template)


def _bundle(live, html, text):
    data, metadata = live if isinstance(live, tuple) else (live or {}, {})
    return data | {"text/html": html, "text/plain": text}, metadata


class LiveText(ipywidgets.HTML):
    """A piece of text that is written anew for each unit system.

    ``write(system)`` returns the HTML and the plain text.
    """

    def __init__(self, write, system):
        super().__init__()
        self._write = write
        self.turn(system)

    def turn(self, system):
        """Write the text for one unit system."""
        self._system = system
        self.value, self.text = self._write(system)

    def again(self):
        """Write the text again, after something it depends on has changed."""
        self.turn(self._system)

    def _repr_mimebundle_(self, **kwargs):
        return _bundle(super()._repr_mimebundle_(**kwargs), self.value, self.text)


class StillBox:
    """A box without a widget: it works from the stored page alone."""

    def __init__(self, html, text):
        self.html, self.text = html, text

    def _repr_mimebundle_(self, **kwargs):
        return {"text/html": self.html, "text/plain": self.text}

    def __repr__(self):
        return self.text


def caution_box(caution):
    """Return a safety box."""
    html = (
        f'<div style="{CAUTION_STYLE}"><b>⚠ Caution: {escape(caution.title)}.</b> {escape(caution.text)} '
        f"<i>{escape(caution.ends)}</i></div>"
    )
    return StillBox(html, f"CAUTION: {caution.title}. {caution.text} {caution.ends}")


def question_box(question, options, right, reasons):
    """Return a question whose options unfold to "right" or "not quite" with the reason."""
    if len(options) != len(reasons):
        raise ValueError(f"each option needs a reason, but there are {len(options)} options, {len(reasons)} reasons")
    choice("right option", right, options)
    parts, lines = [], [question]
    for letter, option, reason in zip("abcdefgh", options, reasons):
        verdict = "Right." if option == right else "Not quite."
        parts.append(
            f'<details style="margin:4px 0"><summary style="cursor:pointer">{letter}) {escape(option)}</summary>'
            f'<div style="margin:2px 0 6px 22px"><b>{verdict}</b> {escape(reason)}</div></details>'
        )
        lines += [f"{letter}) {option}", f"   {verdict} {reason}"]
    html = (
        f'<div style="{QUESTION_STYLE}"><b>{escape(question)}</b>{"".join(parts)}'
        "<small>Choose an answer to see whether it is right, and why.</small></div>"
    )
    return StillBox(html, "\n".join(lines))


def answers_html(answers):
    """Fold the answers to the tasks of a view, ``{"Find": sentence, …}``, behind one line that invites to compare."""
    line = '<div style="margin:4px 0 4px 22px"><b>{}:</b> {}</div>'
    lines = "".join(line.format(escape(task), escape(text)) for task, text in answers.items())
    summary = '<summary style="cursor:pointer"><b>Compare with what you found</b></summary>'
    return f'<div style="{QUESTION_STYLE}"><details>{summary}{lines}</details></div>'


def answers_text(answers):
    """Write the same answers as plain text."""
    return "\n".join(["Compare with what you found", *(f"{task}: {words}" for task, words in answers.items())])


def table_html(head, rows, caption, system):
    """Write a table whose numbers stand right."""
    style = [CELL_STYLE.format(side="left")] + [CELL_STYLE.format(side="right")] * (len(head) - 1)
    top = "".join(f'<th style="{css}" scope="col">{escape(cell)}</th>' for css, cell in zip(style, head))
    cells = [
        [f'<td style="{css}">{escape(in_units(cell, system))}</td>' for css, cell in zip(style, row)] for row in rows
    ]
    body = "".join(f"<tr>{''.join(row)}</tr>" for row in cells)
    title = f"<caption>{escape(caption)}</caption>" if caption else ""
    return f'<table style="{TABLE_STYLE}">{title}<thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>'


def table_text(head, rows, caption, system):
    """Write the same table as plain text in columns."""
    cells = [list(head)] + [[in_units(cell, system) for cell in row] for row in rows]
    widths = [max(len(row[n]) for row in cells) for n in range(len(head))]
    lines = [caption] if caption else []
    for row in cells:
        padded = [row[0].ljust(widths[0]), *(cell.rjust(width) for cell, width in zip(row[1:], widths[1:]))]
        lines.append("  ".join(padded).rstrip())
    return "\n".join(lines)
