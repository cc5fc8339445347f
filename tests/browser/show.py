"""A page object: a lesson as it is shown to a room, its keys and what is seen of it."""

from playwright.sync_api import Page

PROJECTOR = {"width": 1280, "height": 720}
LEAST_PX = 22  # letters that the last row reads

# The smallest letters that are seen, with their words, and what is larger than its place.
SEEN = """() => {
  const port = document.querySelector('[data-mix-port]');
  const scale = parseFloat(document.body.style.getPropertyValue('--mixing-scale'));
  const own = one => [...one.childNodes].some(node => node.nodeType === 3 && node.textContent.trim());
  const shown = one => one.checkVisibility({visibilityProperty: true});
  const seen = one => shown(one) && getComputedStyle(one).clipPath === 'none'; // not for the ear alone
  const letters = one => {
    const size = parseFloat(getComputedStyle(one).fontSize), grown = one.getScreenCTM?.();
    if (grown) return size * Math.hypot(grown.a, grown.b);
    return size * (port.contains(one) ? scale : 1);
  };
  const every = [...document.body.querySelectorAll(':not(script, style, title, desc)')];
  const texts = every.filter(one => own(one) && !one.closest('.jp-Cell:not(.mixing-on)') && seen(one));
  const sizes = texts.map(one => [letters(one), one.textContent.slice(0, 40)]).filter(([size]) => size);
  const editor = '#mixing-bar, #jp-menu-panel, .jp-NotebookPanel-toolbar, .cm-editor, .jp-InputPrompt';
  return {
    editor: [...document.querySelectorAll(editor)].filter(shown).length,
    least: sizes.sort((one, other) => one[0] - other[0])[0],
    outside: Math.max(port.scrollHeight - port.clientHeight, port.scrollWidth - port.clientWidth),
    heading: document.querySelector('#mixing-show h2').textContent,
  };
}"""


class Show:
    """The page in the browser, by what its keys do."""

    def __init__(self, page: Page):
        self.page, self.stage = page, page.locator(".jp-Cell.mixing-on")

    def press(self, *keys: str) -> None:
        """Press keys, and give the page the time to follow."""
        for key in keys:
            self.page.keyboard.press(key)
        self.page.wait_for_timeout(100)

    @property
    def count(self) -> str:
        """Which step of how many."""
        return self.page.locator("#mixing-show > p > span").first.text_content()

    @property
    def words(self) -> str:
        """What is read on the screen, without its edge."""
        return " ".join(self.stage.all_inner_texts())

    def ready(self) -> "Show":
        """Wait until the lesson has run."""
        self.page.wait_for_function("document.body.dataset.mixing === 'ready'", timeout=120_000)
        return self

    def until(self, words: str) -> None:
        """Wait until these words are on the screen."""
        self.stage.get_by_text(words).first.wait_for()

    def value(self) -> float:
        """Where the first slider stands."""
        return float(self.stage.locator(".noUi-handle").first.get_attribute("aria-valuenow"))
