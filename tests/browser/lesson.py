"""A page object: one lesson open in the browser, its panels, their controls, sentences and pictures."""

import hashlib
import re
import statistics
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import nbformat
from lab import NOTEBOOKS, LabServer
from playwright.sync_api import Locator, Page

from mixlib.start.copies import lay_out
from mixlib.start.lab import Lab

PANEL = ".jp-OutputArea-child:has(.jupyter-widgets)"
IDLE = '.jp-Notebook-ExecutionIndicator[data-status="idle"]'


@contextmanager
def as_opened(
    page: Page,
    home: Path,
    lesson: str,
    size: dict[str, int],
    lessons: Path = NOTEBOOKS,
    to_a_room: bool = False,
) -> Iterator[Page]:
    """A lesson as `python3 mixlib` or its `show` opens it: in a page of its own, which knows its server."""
    lay_out(lessons, home)
    with Lab(home, home / "my_models", home / ".jupyter") as lab:
        lab.wait_until_up()
        lab.begin(lesson)
        opened = page.context.browser.new_page(viewport=size)
        opened.goto(lab.address(lesson, to_a_room=to_a_room))
        opened.lab = lab
        yield opened
        opened.close()


class Lesson:
    """One notebook open in the browser; the one that was open before is closed, without saving.

    Parameters
    ----------
    page : Page
        From `open_page`.
    server : LabServer
        Running server.
    notebook : str
        File name inside the server's notebooks folder.
    width, height : int
        Size of the browser window, in px.
    """

    def __init__(self, page: Page, server: LabServer, notebook: str, width: int = 1280, height: int = 900):
        self.page, self.notebook = page, notebook
        self.errors: list[str] = []
        page.set_viewport_size({"width": width, "height": height})
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.evaluate("for (const tab of [...jupyterapp.shell.widgets('main')]) tab.dispose()")
        server.stop_kernels()
        page.evaluate(
            "async path => { await jupyterapp.commands.execute('docmanager:open', {path}) }", notebook
        )
        # The indicator says idle even before there is a kernel, so wait for the kernel's own word first.
        self.page.locator("#jp-main-statusbar").get_by_text("| Idle").wait_for(timeout=90_000)
        self.page.locator(IDLE).wait_for(timeout=90_000)

    def run_all(self, seconds: float = 180) -> None:
        """Choose Run > Run All Cells, as a reader does, and wait until all have run or one has raised."""
        self.page.get_by_role("menuitem", name="Run", exact=True).click()
        self.page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
        end = time.monotonic() + seconds
        while not self.has_run() and not self.error_texts():
            if time.monotonic() > end:
                raise TimeoutError(f"some cells had not run after {seconds:.0f} s")
            self.page.wait_for_timeout(100)
        self.wait_idle(seconds)

    def has_run(self) -> bool:
        """Whether every code cell has its execution number; a folded cell shows none and is not asked."""
        shown = ".jp-Notebook .jp-CodeCell .jp-InputPrompt:not(.jp-Placeholder-prompt)"
        prompts = self.page.locator(shown).all_text_contents()
        return bool(prompts) and all(re.search(r"\d", prompt) for prompt in prompts)

    def wait_idle(self, seconds: float = 60) -> None:
        """Wait until no cell waits or runs and the kernel has been idle for 0.3 s."""
        end = time.monotonic() + seconds
        quiet_since: float | None = None
        while time.monotonic() < end:
            waiting = self.page.locator(".jp-InputPrompt", has_text="[*]").count()
            if waiting or not self.page.locator(IDLE).count():
                quiet_since = None
            elif quiet_since is None:
                quiet_since = time.monotonic()
            elif time.monotonic() - quiet_since > 0.3:
                return
            self.page.wait_for_timeout(50)
        raise TimeoutError(f"the notebook was still running after {seconds:.0f} s")

    def code_cells(self) -> list[dict]:
        """The notebook's code cells with the outputs of this run, as JupyterLab would save them."""
        content = self.page.evaluate("JSON.stringify(jupyterapp.shell.currentWidget.context.model.toJSON())")
        notebook = nbformat.reads(content, as_version=4)
        return [cell for cell in notebook.cells if cell.cell_type == "code"]

    def error_texts(self) -> list[str]:
        """Text of every error or warning output in the notebook."""
        found = self.page.locator(
            '[data-mime-type="application/vnd.jupyter.stderr"], .jp-RenderedText:has(.ansi-red-fg)'
        )
        return found.all_text_contents()

    def panels(self) -> list[Locator]:
        """Every panel (an output that shows widgets), from top to bottom."""
        return self.page.locator(PANEL).all()

    def panel(self, containing: str) -> Locator:
        """The first panel in which this text is seen."""
        found = self.page.locator(PANEL, has_text=containing).first
        found.scroll_into_view_if_needed()
        return found

    def control(self, panel: Locator, label: str) -> Locator:
        """What takes the keys for the control with this label: slider handle, field, choice, or button."""
        panel.scroll_into_view_if_needed()  # what is off the screen is not laid out: no text, no roles
        for candidate in (
            panel.locator(f'.noUi-handle[aria-label="{label}"]'),
            panel.get_by_role("button", name=label, exact=True),
            panel.get_by_role("radio", name=label, exact=True),
            panel.get_by_label(label, exact=True),
            self._labelled_row(panel, label).locator(".noUi-handle, input, select, button"),
        ):
            if candidate.count():
                return candidate.first
        labels = (
            panel.locator(".widget-label").all_inner_texts() + panel.get_by_role("button").all_inner_texts()
        )
        raise LookupError(
            f"no control is labelled {label!r} in this panel; there are {sorted(filter(None, labels))}"
        )

    def choose(self, panel: Locator, group: str, option: str) -> None:
        """Choose one of a labelled group of choices, by keyboard, then wait for the kernel."""
        exact = re.compile(rf"^\s*{re.escape(group)}\s*$")
        labelled = panel.locator(".jupyter-widgets, .widget-radio, .widget-toggle-buttons").filter(
            has=self.page.locator("> .widget-label", has_text=exact)
        )
        if labelled.locator("select").count():
            labelled.locator("select").first.select_option(label=option)
        else:
            button = labelled.get_by_role("radio", name=option, exact=True).or_(
                labelled.get_by_role("button", name=option, exact=True)
            )
            button.first.press("Space")
        self.page.wait_for_timeout(150)
        self.wait_idle()

    def press(self, panel: Locator, label: str, key: str, times: int = 1) -> None:
        """Focus a control, press a key, and wait for the kernel.

        Parameters
        ----------
        panel : Locator
            The panel.
        label : str
            The control's label.
        key : str
            A key's name, `click`, or `text=...` to type instead (a field takes it at Enter or Tab).
        times : int
            How often.
        """
        control = self.control(panel, label)
        control.scroll_into_view_if_needed()
        if key == "click":
            for _ in range(times):
                control.click()
        else:
            control.focus()
            for _ in range(times):
                if key.startswith("text="):
                    control.fill(key.removeprefix("text="))
                else:
                    self.page.keyboard.press(key)
        self.page.wait_for_timeout(150)
        self.wait_idle()

    def title(self, panel: Locator) -> str:
        """A panel's heading, or the first words in it."""
        heading = panel.locator("h3")
        return (heading.first if heading.count() else panel).text_content().strip()[:60]

    def readout(self, panel: Locator) -> str:
        """The sentence of a panel: what stands below the picture; else all its text."""
        panel.scroll_into_view_if_needed()
        marked = panel.locator(".mix-said")
        texts = marked.all_text_contents() if marked.count() else [panel.inner_text()]
        return re.sub(r"\s+", " ", " ".join(texts)).strip()

    def picture_hash(self, panel: Locator) -> str:
        """A hash of all pictures in a panel, which changes when what is drawn changes."""
        drawn = panel.evaluate(
            "e => [...e.querySelectorAll('svg, img, canvas')].map(p => p.src || p.outerHTML).join('|')"
        )
        if not drawn:
            raise LookupError("this panel has no picture")
        return hashlib.sha256(drawn.encode()).hexdigest()

    def screenshot(self, path: Path | str, panel: Locator | None = None) -> None:
        """A picture of the window, or of one whole panel: the window is made tall enough for it first."""
        if panel is None:
            self.page.screenshot(path=path)
            return
        size = self.page.viewport_size
        needed = int(panel.bounding_box()["height"]) + 320
        if needed > size["height"]:
            self.page.set_viewport_size({"width": size["width"], "height": needed})
        panel.scroll_into_view_if_needed()
        self.page.wait_for_timeout(200)
        panel.screenshot(path=path)
        self.page.set_viewport_size(size)

    def key_to_picture_ms(self, panel: Locator, label: str, times: int = 20) -> list[float]:
        """Time from a key's event to the painted new picture of a slider's panel, in ms, for each press.

        The slider is first moved one step down, then up and down in turn, so that it never stands at an
        end.  The clock is the page's own: it starts at the key event and stops two animation frames after the
        picture has changed (the first frame draws the change, the second begins when that is painted).
        """
        self.press(panel, label, "ArrowLeft")
        found = []
        for number in range(times):
            panel.evaluate(_ARM_CLOCK)
            self.page.keyboard.press("ArrowLeft" if number % 2 else "ArrowRight")
            found.append(panel.evaluate("e => e.mixClock"))
            self.wait_idle()
        return found

    def key_to_picture_median_ms(self, panel: Locator, label: str, times: int = 20) -> float:
        """Median of `key_to_picture_ms`, in ms."""
        return statistics.median(self.key_to_picture_ms(panel, label, times))

    def _labelled_row(self, panel: Locator, label: str) -> Locator:
        exact = re.compile(rf"^\s*{re.escape(label)}\s*$")
        return panel.locator(".widget-inline-hbox", has=self.page.locator(".widget-label", has_text=exact))


_ARM_CLOCK = """e => {
  const drawn = () => [...e.querySelectorAll('svg, img, canvas')].map(p => p.src || p.outerHTML).join('|');
  const before = drawn();
  e.mixClock = new Promise((resolve, reject) => {
    let start = null;
    document.addEventListener('keydown', ev => { start = ev.timeStamp; }, {capture: true, once: true});
    const watcher = new MutationObserver(async () => {
      if (start === null || drawn() === before) return;
      watcher.disconnect();
      await Promise.all([...e.querySelectorAll('img')].map(i => i.decode().catch(() => null)));
      requestAnimationFrame(() => requestAnimationFrame(() => resolve(performance.now() - start)));
    });
    watcher.observe(e, {subtree: true, childList: true, attributes: true, characterData: true});
    setTimeout(() => {
      watcher.disconnect();
      reject(new Error('the key changed no picture within 10 s'));
    }, 10000);
  });
  e.mixClock.catch(() => null);
}"""
