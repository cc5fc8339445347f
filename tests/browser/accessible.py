"""Whether everyone can hear, see and work what we put on a page: axe-core, the Tab key, a narrow page."""

import contextlib
from collections.abc import Iterator
from importlib.resources import files

from playwright.sync_api import Locator, Page

AXE = files("axe_playwright_python") / "axe.min.js"
# Ours are the words of the lesson and what its cells show.  JupyterLab's own menus, toolbars, cell editors
# and prompts are not: we can neither mend them nor promise them.
OURS = [".jp-RenderedMarkdown", ".jp-OutputArea-output"]
# Rules about a whole page: they judge JupyterLab's frame around us, whatever we show.
OF_THE_PAGE = ["region", "landmark-one-main", "page-has-heading-one", "bypass", "html-has-lang"]


def findings(page: Page) -> list[str]:
    """What axe-core finds wrong in our parts of the page, one line each."""
    if not page.evaluate("!!window.axe"):
        page.add_script_tag(content=AXE.read_text(encoding="utf-8"))
    # What is off the screen is not laid out otherwise, and not looked at.
    style = page.add_style_tag(content=".jp-Cell { content-visibility: visible !important }")
    try:
        return page.evaluate(_ASK, {"ours": OURS, "off": OF_THE_PAGE})
    finally:
        style.evaluate("style => style.remove()")


_ASK = """async ({ours, off}) => {
  const include = ours.filter(part => document.querySelector(part)).map(part => [part]);
  const rules = Object.fromEntries(off.map(rule => [rule, {enabled: false}]));
  const found = await axe.run({include}, {rules, resultTypes: ['violations']});
  return found.violations.flatMap(({id, help, nodes}) =>
    nodes.map(({html, failureSummary}) => `${id}: ${help}: ${html.slice(0, 200)}: ${failureSummary}`));
}"""


def walk(panel: Locator) -> list[dict]:
    """Go through a panel with the Tab key alone, and work each thing on the way.

    A slider and a row of choices get an arrow key, a field a 1, a check mark a space, and Check an Enter;
    what other buttons do is left alone.

    Returns
    -------
    list of dict
        One for each stop: ``what`` it is, its ``name``, whether the focus is ``seen`` on it, and whether it
        ``answers`` its key: with another value, and Check with a sentence.
    """
    page, stops = panel.page, []
    panel.scroll_into_view_if_needed()
    panel.evaluate(_BEFORE)
    page.keyboard.press("Tab")
    while (stop := panel.evaluate(_STOP)) and len(stops) < 200:
        value, keys = stop["value"], _KEYS.get(stop["name"] if stop["what"] == "button" else stop["what"], ())
        for key in keys:
            if stop["value"] == value:
                page.keyboard.press(key)
                page.wait_for_timeout(400 if key == "Enter" else 0)
                stop["value"] = (panel.evaluate(_STOP) or stop)["value"]
        said = stop["value"] if stop["what"] == "button" else stop["value"] != value
        stops.append(stop | {"answers": bool(said) or not keys})
        page.keyboard.press("Tab")
    return stops


_KEYS = {
    "slider": ("ArrowRight", "ArrowLeft"),  # it may stand at an end
    "radio": ("ArrowDown",),
    "checkbox": ("Space",),
    "text": ("1",),
    "number": ("1",),
    "Check": ("Enter",),
}

# Puts the focus just before the panel.
_BEFORE = """panel => {
  const start = document.createElement('span');
  start.tabIndex = -1;
  panel.before(start);
  start.focus({preventScroll: true});
  start.addEventListener('blur', () => start.remove(), {once: true});
}"""

# What has the focus, if it is in the panel.
_STOP = """panel => {
  const it = document.activeElement;
  if (!panel.contains(it)) return null;
  const look = getComputedStyle(it);
  const what = it.role || it.type?.replace('submit', 'button') || it.tagName.toLowerCase();
  const label = it.labels?.length ? [...it.labels].map(one => one.textContent).join(' ') : it.textContent;
  const value = {
    slider: () => it.ariaValueNow, checkbox: () => it.checked, radio: () => `${it.value} ${it.checked}`,
    button: () => panel.querySelector('.mix-said')?.textContent,
  };
  return {
    what, name: (it.ariaLabel || label || '').trim(), value: (value[what] ?? (() => it.value))(),
    seen: look.outlineStyle === 'solid' && parseFloat(look.outlineWidth) >= 2,
  };
}"""


@contextlib.contextmanager
def narrow(page: Page, width: int = 390) -> Iterator[None]:
    """Make the notebook as wide as a phone: the window's width, without what JupyterLab puts beside it."""
    size = page.viewport_size
    page.evaluate(_SIDES)
    style = page.add_style_tag(
        content=".jp-Cell { content-visibility: visible !important }"
        ".jp-InputPrompt, .jp-OutputPrompt, .jp-Collapser { display: none !important }"
        ".jp-Notebook { --jp-notebook-padding: 4px }"
    )
    page.set_viewport_size({"width": width, "height": 844})
    try:
        page.wait_for_timeout(800)  # until the panels have told their room
        yield
    finally:
        style.evaluate("style => style.remove()")
        page.evaluate(_SIDES)
        page.set_viewport_size(size)


_SIDES = """async () => {
  for (const side of ['left', 'right']) {
    await jupyterapp.commands.execute('application:toggle-side-tabbar', {side});
  }
  jupyterapp.shell.collapseLeft();
  jupyterapp.shell.collapseRight();
}"""


def crowded(card: Locator) -> list[str]:
    """What of a card cannot be used in its width: parts over the edge, short tracks, letters too small.

    What lies in a box that scrolls by itself may be wider.
    """
    return card.evaluate("""card => {
      const box = part => part.getBoundingClientRect(), edge = box(card), faults = [];
      const overflow = part => getComputedStyle(part).overflowX;
      const scrolls = part =>
        part !== card && (/auto|scroll/.test(overflow(part)) || scrolls(part.parentElement));
      const say = (what, part) => faults.push(`${what}: ${part.outerHTML.slice(0, 160)}`);
      if (edge.left < 0 || edge.right > innerWidth) say('the card is over the edge', card);
      for (const part of card.querySelectorAll('*')) {
        const own = box(part);
        if (own.width < 2 || part.closest('svg') && part.tagName !== 'svg') continue;
        if (own.right > edge.right + 1 && !scrolls(part.parentElement)) say('over the edge', part);
        const words = [...part.childNodes].some(node => node.nodeType === Node.TEXT_NODE && node.data.trim());
        if (words && parseFloat(getComputedStyle(part).fontSize) < 11) say('letters too small', part);
      }
      for (const track of card.querySelectorAll('.noUi-target')) {
        if (box(track).width < 200) say('a short track', track);
      }
      for (const text of card.querySelectorAll('svg text')) {
        const m = text.getScreenCTM(), scale = Math.sqrt(Math.abs(m.a * m.d - m.b * m.c));
        if (parseFloat(getComputedStyle(text).fontSize) * scale < 11) say('letters too small', text);
      }
      return faults;
    }""")
