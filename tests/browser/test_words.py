"""A reader's words in a real JupyterLab, as HTML and as Markdown: words they stay, no formula, script or element."""

import nbformat
import pytest

from heatlib.classroom.markup import escape, escape_markdown

WORDS = (
    "from 5$ to 10$",
    "$x^2$ \\(y\\) $$w$$ \\begin{equation}v\\end{equation}",
    r"$\href{javascript:document.body.dataset.hurt=1}{x}$",
    "\\[z\\]",
    "<script>document.body.dataset.hurt = 1</script>",
    '"><img src=x onerror="document.body.dataset.hurt=1">',
)
PATIENCE = 60_000


@pytest.fixture(scope="module")
def page(served, session):
    """Open a page with each of the words as HTML, as Markdown, and at the end a formula that is meant."""
    new = nbformat.v4
    shown = "from IPython.display import HTML, display\n" + "\n".join(
        "display(HTML(" + repr(f'<p class="word">{escape(word)}</p>') + "))" for word in WORDS
    )
    cells = [new.new_code_cell(shown)]
    cells += [new.new_markdown_cell(escape_markdown(word)) for word in WORDS]
    cells += [
        new.new_markdown_cell("| a | b |\n|---|---|\n" + "\n".join(f"| {escape_markdown(w)} | b |" for w in WORDS))
    ]
    cells += [new.new_markdown_cell("$x^2$")]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    nbformat.write(new.new_notebook(cells=cells, metadata=kernel), served.root / "words.ipynb")
    page = session.open("words.ipynb")
    session.run_all(page)
    page.locator("mjx-container").last.wait_for(timeout=PATIENCE)
    page.wait_for_timeout(1000)
    return page


def test_only_the_formula_that_is_meant_is_one(page):
    assert page.locator(".jp-Notebook mjx-container").count() == 1
    assert page.locator(".jp-Notebook .jp-Cell").last.locator("mjx-container").count() == 1


def test_each_word_is_read_as_it_was_written(page):
    html = page.locator(".jp-Notebook p.word").all_inner_texts()
    markdown = page.locator(".jp-RenderedMarkdown > p").all_inner_texts()
    table = page.locator(".jp-RenderedMarkdown td:first-child").all_inner_texts()
    for seen in (html, markdown[: len(WORDS)], table):
        assert [words.strip() for words in seen] == list(WORDS)


def test_nothing_of_them_ran(page):
    assert page.evaluate("document.body.dataset.hurt") is None
    assert page.locator(".jp-Notebook :is(.jp-OutputArea, .jp-RenderedMarkdown) :is(script, img)").count() == 0
