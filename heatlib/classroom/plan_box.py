"""The plan on the page: how far it is, what it says in short, and buttons that write it to files."""

import ipywidgets

from heatlib.classroom import words
from heatlib.classroom.keeping import KeepingError
from heatlib.classroom.markup import escape
from heatlib.classroom.plan_pages import PAPERS, content

__all__ = ["PlanBox", "Progress"]

SHOWN = ("works", "options", "fuels", "buying", "assumptions")
"""Tables of the plan that the page shows."""


class Progress(ipywidgets.HTML):
    """Says what is being worked out; gone when it is done."""

    def __init__(self):
        super().__init__("Working out the plan …")

    def tell(self, share, what):
        """Show how far it is."""
        self.value = (
            f'<progress max="100" value="{100 * share:.0f}" aria-label="The plan"></progress> '
            f"{share:.0%}: {escape(what)}"
        )

    def close_up(self):
        """Leave the page."""
        self.layout.display = "none"

    def _repr_mimebundle_(self, **kwargs):
        line = "Working out the plan takes some ten seconds."
        return words._bundle(super()._repr_mimebundle_(**kwargs), "", line)


class PlanBox(ipywidgets.VBox):
    """The plan in short, in the reader's units, with a button for each paper."""

    def __init__(self, own, system):
        self.own, self.made = own, own.made_plan()
        self._words = ipywidgets.HTML()
        self._said = ipywidgets.HTML()
        buttons = []
        for paper in PAPERS:
            button = ipywidgets.Button(
                description=f"Write the plan, {paper}",
                tooltip=f"Two pages on {paper} as PDF, the same as Markdown, the night as CSV",
                layout={"width": "auto"},
            )
            button.on_click(lambda _, paper=paper: self._write(paper))
            buttons.append(button)
        super().__init__([self._words, ipywidgets.HBox(buttons), self._said])
        self.turn(system)

    def turn(self, system):
        """Write it in one unit system."""
        self._system = system
        self._words.value, self.text = self._forms(content(self.made, system))

    def _forms(self, plan):
        html = [f'<div style="{words.TEXT_STYLE}"><b>{escape(plan["title"])}.</b> {escape(plan["lead"])} '
                f"{escape(plan['invented'])}</div>"]  # fmt: skip
        text = [f"{plan['title']}. {plan['lead']} {plan['invented']}"]
        for key in SHOWN:
            table = plan["tables"][key]
            rows = [tuple(row) for row in table["rows"]]
            html.append(words.table_html(table["head"], rows, table["title"], self._system))
            text.append(words.table_text(table["head"], rows, table["title"], self._system))
        html.append(f'<div style="{words.TEXT_STYLE}">{escape(plan["guidance"])}</div>')
        return "".join(html), "\n\n".join([*text, plan["guidance"]])

    def _write(self, paper):
        self._said.value = '<div role="status">Writing …</div>'
        try:
            if self.own.draft != self.made.draft:
                raise KeepingError("The house has changed since this plan was worked out: run this cell again.")
            names = self.own.write_plan(paper, self._system)
        except KeepingError as error:
            self._said.value = f'<div role="alert"><b>{escape(str(error))}</b></div>'
        else:
            self._said.value = f'<div role="status">Written beside this lesson: {escape(", ".join(names))}.</div>'

    def _repr_mimebundle_(self, **kwargs):
        return words._bundle(super()._repr_mimebundle_(**kwargs), self._words.value, self.text)
