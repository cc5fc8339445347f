"""A room on this machine: how long until a panel lives, memory, and what one visitor does to another.

    python tests/bench/bench_room.py [LESSON] [--visitors 1 5 10 20]

LESSON is the lesson of the evening, by its two digits (default 11). So many visitors open it at once, when
some of its pages wait, and so many open lesson 03, of which none waits. One of them has a browser, which
works on the same processors; of the others, who only fetch the page, it is the time until the page is
whole. Their own device adds what it takes to draw it.
"""

import argparse
import statistics
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import psutil

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests" / "browser"), str(ROOT / "tests" / "shared")]

from lab import NOTEBOOKS, find_browser  # noqa: E402
from lesson import _ARM_CLOCK  # noqa: E402
from playwright.sync_api import Browser, Page, sync_playwright  # noqa: E402
from running_room import RunningRoom, Visitor  # noqa: E402

from mixlib.start.copies import lay_out  # noqa: E402
from mixlib.start.lab import Lab  # noqa: E402

SEATS = 24


def wait_until_quiet(room: RunningRoom, seconds: float = 120) -> None:
    """Return when no kernel works: the pages that wait are ready."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        before = sum(sum(kernel.cpu_times()[:2]) for kernel in room.kernels().values())
        time.sleep(2)
        if (
            room.kernels()
            and sum(sum(kernel.cpu_times()[:2]) for kernel in room.kernels().values()) - before < 0.1
        ):
            return


def phone(browser: Browser) -> Page:
    """A page of a device of its own."""
    return browser.new_context(viewport={"width": 390, "height": 844}).new_page()


def live(page: Page, room: RunningRoom, lesson: str) -> float:
    """Open a lesson; time until its first panel is there, in s."""
    start = time.monotonic()
    page.goto(f"{room.address}/voila/render/{lesson}", timeout=300_000)
    page.locator(".mix-card svg").first.wait_for(timeout=300_000)
    return time.monotonic() - start


def key_to_picture_ms(page: Page, times: int = 15) -> float:
    """Median time from a key on the first slider to the new picture, in ms."""
    panel = page.locator(".mix-panel:has(.noUi-handle)").first
    panel.locator(".noUi-handle").first.focus()
    found = []
    for number in range(times):
        panel.evaluate(_ARM_CLOCK)
        page.keyboard.press("ArrowLeft" if number % 2 else "ArrowRight")
        found.append(panel.evaluate("e => e.mixClock"))
    return statistics.median(found)


def crowd(browser: Browser, evening: str, lesson: str, count: int) -> None:
    """So many open a lesson at once."""
    with RunningRoom(evening[:2], SEATS) as room, ThreadPoolExecutor(count) as pool:
        wait_until_quiet(room)
        warmed, page = set(room.kernels()), phone(browser)

        def whole(visitor: Visitor) -> float:
            start = time.monotonic()
            visitor.open(lesson)
            return time.monotonic() - start

        others = [pool.submit(whole, Visitor(room)) for _ in range(count - 1)]
        seen = live(page, room, lesson)
        took = sorted(one.result() for one in others) or [0.0]
        kernels = {name: kernel for name, kernel in room.kernels().items() if kernel.is_running()}
        each = [kernel.memory_full_info().uss / 2**20 for kernel in kernels.values()]
        worked = [sum(kernel.cpu_times()[:2]) for name, kernel in kernels.items() if name not in warmed]
        print(
            f"  {count:2} at once: panel in the browser {seen:.1f} s; "
            f"page whole {statistics.median(took):.1f} s, worst {took[-1]:.1f} s; "
            f"{len(kernels)} kernels, {statistics.median(each):.0f} MB each, {sum(each):.0f} MB in all; "
            f"{statistics.median(worked or [0]):.1f} s of processor for a new one",
            flush=True,
        )


def neighbours(browser: Browser, evening: str) -> None:
    """What one visitor notices of another, of a kernel that is killed, and of a room that ends."""
    with RunningRoom(evening[:2], SEATS) as room:
        wait_until_quiet(room)
        one, other = phone(browser), phone(browser)
        for page in (one, other):
            live(page, room, evening)
        wait_until_quiet(room)
        print(f"  key to picture, alone: {key_to_picture_ms(other):.0f} ms")
        one.locator(".mix-panel .noUi-handle").first.focus()
        one.evaluate(_HAMMER)
        print(f"  while the neighbour holds a key at 30 a second: {key_to_picture_ms(other):.0f} ms")
        one.evaluate("clearInterval(window.hammer)")
        kernel = one.evaluate(
            "JSON.parse(document.getElementById('jupyter-config-data').textContent).kernelId"
        )
        room.kernels()[kernel].kill()
        print(f"  kernel killed: told after {told(one, 'put away'):.1f} s")
        print(
            f"  the neighbour: {key_to_picture_ms(other):.0f} ms; "
            f"told: {other.get_by_role('alert').is_visible()}"
        )
    print(f"  room ended: told after {told(other, 'does not answer'):.1f} s")
    with RunningRoom(evening[:2], SEATS) as room:
        print(f"  opened anew: told after {told(other, 'put away'):.1f} s")
        start = time.monotonic()
        other.get_by_role("button", name="Open it again").click()
        other.locator(".mix-panel svg").first.wait_for(timeout=120_000)
        print(f"  lives again {time.monotonic() - start:.1f} s after the press")


def told(page: Page, words: str) -> float:
    """Time until a page says so, in s."""
    start = time.monotonic()
    page.get_by_role("alert").filter(has_text=words).wait_for(timeout=60_000)
    return time.monotonic() - start


def beside_the_page(browser: Browser, rounds: int = 2) -> None:
    """From the start to a live panel of lesson 00: the reading view, and the reader's own page."""
    first = "00_start_here.ipynb"
    for _ in range(rounds):
        start = time.monotonic()
        with RunningRoom(first[:2], 2) as room:
            live(phone(browser), room, first)
            view = time.monotonic() - start
            wait_until_quiet(room)
            print(
                f"  reading view: {view:.1f} s; the next visitor {live(phone(browser), room, first):.1f} s",
                flush=True,
            )
        with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as home:
            start = time.monotonic()
            lay_out(NOTEBOOKS, Path(home))
            with Lab(Path(home), Path(home) / "my_models", Path(home) / ".jupyter") as lab:
                lab.wait_until_up()
                lab.begin(first)
                page = phone(browser)
                page.goto(lab.address(first))
                page.locator(".mix-card svg").first.wait_for(timeout=300_000)
                print(f"  the reader's page: {time.monotonic() - start:.1f} s", flush=True)
                page.close()


_HAMMER = """() => {
  const handle = document.activeElement;
  let way = 1;
  window.hammer = setInterval(() => {
    way = -way;
    const key = way > 0 ? "ArrowRight" : "ArrowLeft";
    handle.dispatchEvent(new KeyboardEvent("keydown", {key, keyCode: way > 0 ? 39 : 37, bubbles: true}));
  }, 33);
}"""


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("lesson", nargs="?", default="11")
    parser.add_argument("--visitors", type=int, nargs="+", default=[1, 5, 10, 20])
    given = parser.parse_args()
    evening, cold = (next(NOTEBOOKS.glob(f"{digits}_*.ipynb")).name for digits in (given.lesson, "03"))
    print(f"{psutil.cpu_count()} processors, load {psutil.getloadavg()[0]:.1f} before")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=find_browser(), args=["--no-sandbox", "--disable-gpu"]
        )
        for lesson, words in ((evening, "some of its pages wait"), (cold, "none waits")):
            print(f"{lesson}, {words}:")
            for count in given.visitors:
                crowd(browser, evening, lesson, count)
        print("One visitor and another:")
        neighbours(browser, evening)
        print("From the start to a live panel of lesson 00:")
        beside_the_page(browser)
        browser.close()


if __name__ == "__main__":
    main()
