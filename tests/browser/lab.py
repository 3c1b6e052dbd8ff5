"""Drive a real JupyterLab in headless Chromium: start it, open a notebook, run it, move every slider, hear every error.

A helper for the browser tests and the bench, not a test itself::

    with server(folder) as lab, browser(lab) as session:
        page = session.open("01-why-barrels-of-water.ipynb")
        session.run_all(page)
        for view in session.views(page): ...
"""

import json
import os
import secrets
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from contextlib import contextmanager
from pathlib import Path

CHROMIUM = "/usr/bin/chromium"
ARGUMENTS = ("--no-sandbox --disable-gpu --disable-background-networking --disable-component-update "
             "--disable-sync --no-first-run").split()  # fmt: skip


class Lab:
    """A running JupyterLab: its address with the token, and the folder it serves."""

    def __init__(self, port, token, root, log):
        self.address, self.token, self.root, self.log = f"http://127.0.0.1:{port}", token, Path(root), log

    def api(self, path):
        """Ask the server something."""
        request = urllib.request.Request(f"{self.address}/api/{path}", headers={"Authorization": f"token {self.token}"})
        with urllib.request.urlopen(request, timeout=10) as answer:
            return json.load(answer)


def _free_port():
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        return door.getsockname()[1]


@contextmanager
def server(root, environment=None):
    """Start JupyterLab on loopback with a token of its own and a fresh settings folder; end it at the end."""
    port, token = _free_port(), secrets.token_hex(16)
    with tempfile.TemporaryDirectory(prefix="lab-home-") as home, open(Path(home) / "lab.log", "w+") as log:
        own = {
            "HOME": home,
            "JUPYTER_CONFIG_DIR": f"{home}/config",
            "JUPYTER_DATA_DIR": f"{home}/data",
            "JUPYTER_RUNTIME_DIR": f"{home}/runtime",
            "JUPYTERLAB_SETTINGS_DIR": f"{home}/settings",
            "JUPYTERLAB_WORKSPACES_DIR": f"{home}/workspaces",
            "IPYTHONDIR": f"{home}/ipython",
        }
        command = [
            sys.executable, "-m", "jupyterlab", "--no-browser", "--ip=127.0.0.1", f"--port={port}",
            f"--ServerApp.root_dir={root}", f"--IdentityProvider.token={token}", "--allow-root",
            "--ServerApp.port_retries=0", "--LabApp.expose_app_in_browser=True",
        ]  # fmt: skip
        process = subprocess.Popen(
            command,
            env=os.environ | own | (environment or {}),
            stdout=log,
            stderr=log,
            start_new_session=True,
            cwd=root,
        )
        lab = Lab(port, token, root, Path(home) / "lab.log")
        try:
            _wait_for(lab, process)
            yield lab
        finally:
            _end(process)


def _wait_for(lab, process, seconds=60):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if process.poll() is not None:
            raise RuntimeError(f"JupyterLab ended at once:\n{lab.log.read_text()[-3000:]}")
        try:
            lab.api("status")
            return
        except (urllib.error.URLError, OSError):
            time.sleep(0.2)
    raise RuntimeError(f"JupyterLab did not answer in {seconds} s:\n{lab.log.read_text()[-3000:]}")


def _end(process):
    """Interrupting the server alone would leave its kernels: the session it leads is ours, so end that."""
    for sign, patience in ((signal.SIGTERM, 10), (signal.SIGKILL, 5)):
        if process.poll() is None:
            os.killpg(process.pid, sign)
            try:
                process.wait(patience)
            except subprocess.TimeoutExpired:
                continue


class Session:
    """One browser with its pages; ``errors`` collects what the consoles of its pages say."""

    def __init__(self, lab, context):
        self.lab, self.context, self.errors = lab, context, []

    @contextmanager
    def another(self, width=1280, height=900, scale=1):
        """Open a further window of another size in the same Chromium, as a new visitor would see it."""
        size = {"width": width, "height": height}
        context = self.context.browser.new_context(viewport=size, device_scale_factor=scale)
        try:
            yield Session(self.lab, context)
        finally:
            context.close()

    def page(self):
        """Open an empty page whose console is heard."""
        page = self.context.new_page()
        page.on("console", lambda message: message.type == "error" and self.errors.append(message.text))
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        return page

    def open(self, notebook, timeout=60):
        """Open a notebook (path below the served folder) and wait until its kernel is ready."""
        page = self.page()
        page.goto(f"{self.lab.address}/lab/tree/{notebook}?token={self.lab.token}&reset")
        page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=1000 * timeout)
        page.wait_for_function(_READY, timeout=1000 * timeout)
        return page

    def run_all(self, page, timeout=180, wait=True):
        """Run all cells through the menu's command and wait for the kernel to be idle."""
        page.evaluate(_RUN_ALL)
        if wait:
            page.wait_for_function("window.ranAll", timeout=1000 * timeout)
            self.wait_idle(page, timeout)

    def wait_idle(self, page, timeout=180):
        """Wait until no cell is running or waiting."""
        page.wait_for_function(_IDLE, timeout=1000 * timeout)

    def views(self, page):
        """Return the live views on the page, each scrolled to once so that JupyterLab has made it."""
        cells = page.evaluate("document.querySelector('.jp-Notebook').closest('.jp-NotebookPanel') ? 1 : 0")
        assert cells, "no notebook on the page"
        _scroll_through(page)
        return page.locator(".jp-Notebook .hl-view:not(.hl-own)").all()

    def theme(self, page, name):
        """Change JupyterLab's theme, e.g. ``"JupyterLab Dark"``."""
        page.evaluate("name => window.jupyterapp.commands.execute('apputils:change-theme', {theme: name})", name)
        light = "false" if "Dark" in name else "true"
        page.wait_for_function(f"document.body.dataset.jpThemeLight === '{light}'")
        page.wait_for_timeout(300)

    def save(self, page):
        """Save the notebook."""
        page.evaluate("window.jupyterapp.commands.execute('docmanager:save')")


_READY = """() => { const panel = window.jupyterapp?.shell?.currentWidget;
    return panel?.sessionContext?.session?.kernel?.status === 'idle'; }"""
_RUN_ALL = """() => { window.ranAll = false;
    window.jupyterapp.commands.execute('notebook:run-all-cells').finally(() => { window.ranAll = true; }); }"""
_IDLE = """() => { const panel = window.jupyterapp.shell.currentWidget;
    const busy = [...panel.content.widgets].some(cell => cell.model.type === 'code'
        && (cell.model.executionState === 'running' || cell.prompt === '*'
            || cell.inputArea?.promptNode?.textContent === '[*]:'));
    return !busy && panel.sessionContext.session.kernel.status === 'idle'; }"""


def _scroll_through(page):
    """JupyterLab draws cells only near the window: show each once."""
    count = page.evaluate("window.jupyterapp.shell.currentWidget.content.widgets.length")
    for index in range(count):
        page.evaluate(
            """async i => { const book = window.jupyterapp.shell.currentWidget.content; await book.scrollToItem(i);
            await new Promise(done => setTimeout(done, 60)); }""",
            index,
        )
    page.evaluate("() => window.jupyterapp.shell.currentWidget.content.scrollToItem(0)")


def answered(view, timeout=30000):
    """Wait until Python has answered the last thing asked in this view; return the sentence under the picture."""
    handle = view.element_handle()
    handle.evaluate(
        """(root, limit) => new Promise((done, fail) => { const start = performance.now();
        const look = () => { if (Number(root.dataset.asked) >= Number(root.dataset.sent || 0)) return done();
            if (performance.now() - start > limit) return fail(new Error('no answer from Python'));
            requestAnimationFrame(look); }; look(); })""",
        timeout,
    )
    # text_content, not inner_text: JupyterLab may not have laid out a cell that is outside the window.
    return view.locator(".hl-sentence").text_content()


def move_all(view, page):
    """Move every slider to both ends by keyboard and by mouse, every choice and toggle through; return what was seen.

    Each entry is ``(label, where, sentence, error)``. Afterwards the view is reset.
    """
    seen = []

    def note(label, where):
        seen.append((label, where, answered(view), view.locator(".hl-error").text_content()))

    for index in range(view.locator("input[type=range]").count()):
        slider = view.locator("input[type=range]").nth(index)
        label = view.locator(f"label[for={slider.get_attribute('id')}]").inner_text()
        slider.focus()
        for key in ("Home", "End"):
            page.keyboard.press(key)
            note(label, key)
        slider.scroll_into_view_if_needed()
        box = slider.bounding_box()
        middle = box["y"] + box["height"] / 2
        for where, target in (("mouse low", box["x"] - 20), ("mouse high", box["x"] + box["width"] + 20)):
            page.mouse.move(box["x"] + box["width"] / 2, middle)
            page.mouse.down()
            page.mouse.move(target, middle, steps=6)
            page.mouse.up()
            note(label, where)
    for index in range(view.locator("select").count()):
        box = view.locator("select").nth(index)
        for value in box.locator("option").evaluate_all("all => all.map(one => one.value)"):
            box.select_option(value)
            note("choice", value)
    for index in range(view.locator("input[type=checkbox]").count()):
        for turn in ("on or off", "back"):
            view.locator("input[type=checkbox]").nth(index).click()
            note("toggle", turn)
    view.get_by_role("button", name="Reset").click()
    note("reset", "")
    return seen


@contextmanager
def browser(lab, width=1280, height=900, scale=1, **options):
    """Start Chromium with one window of the given size (``scale`` 2 for a sharp screen)."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        chromium = play.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        size = {"width": width, "height": height}
        context = chromium.new_context(viewport=size, device_scale_factor=scale, **options)
        try:
            yield Session(lab, context)
        finally:
            context.close()
            chromium.close()
