"""The twenty minutes of the club evening, from the first key to the last, as the room sees them."""

import pytest
from lesson import as_opened
from show import LEAST_PX, PROJECTOR, SEEN, Show

from mixlib.paper.running_order import EVENING, steps

pytestmark = pytest.mark.browser
SCREENS = 60  # more than there are
SAID = ".mixing-on .mix-said"


@pytest.fixture(scope="module")
def evening(page, tmp_path_factory):
    """The page as `python3 mixlib show` opens it."""
    home = tmp_path_factory.mktemp("evening")
    with as_opened(page, home, EVENING.name, PROJECTOR, to_a_room=True) as shown:
        yield Show(shown).ready()


def do(show):
    """What the note of a screen asks for, by keys; returns what it was."""
    page, said = show.page, show.page.locator(SAID).first
    if page.locator(".mixing-on .mix-exercise").count():
        show.press("Enter")
        show.until("The answer.")
        return "vote"
    if page.locator(".mixing-on .mix-play").count():
        show.press(" ")
        page.locator(".mixing-on .mix-play button", has_text="Stop").wait_for(state="attached")
        show.press(" ")
        return "play"
    if not page.locator(".mixing-on .mix-panel :is(.noUi-handle, [type=radio])").count():
        return "look"
    before = said.inner_text()
    show.press("ArrowDown", "ArrowRight", "ArrowRight", "ArrowRight")
    page.wait_for_function(f"before => document.querySelector('{SAID}').innerText !== before", arg=before)
    if "hands" in show.words:
        show.until("Most hands for A")
        return "count"
    return "move"


def test_the_twenty_minutes_run_from_beginning_to_end_by_keyboard(evening):
    show, page, done = evening, evening.page, {}
    show.press("2")
    for _ in range(SCREENS):
        if page.locator(".mixing-on .mix-panel").count():
            page.wait_for_timeout(500)  # until the picture is drawn for its place
        seen = page.evaluate(SEEN)
        assert seen["least"][0] >= LEAST_PX, seen
        assert seen["outside"] <= 0, seen
        assert "Presenter's note" not in page.locator("body").inner_text()
        done.setdefault(seen["heading"], []).append(do(show))
        before = show.words
        show.press("PageDown")
        if show.words == before:
            break
    short = [step.title for step in steps() if step.twenty]
    assert list(done) == short
    assert show.count == f"{len(short)} of {len(short)}"
    deeds = [set(each) for each in done.values()]
    assert deeds[1] == deeds[2] == deeds[3] == {"look", "vote", "move"}
    assert {"move", "count"} <= deeds[4]
    assert "play" in deeds[5]
    assert "move" in deeds[6]
    show.press("Escape")
    assert page.locator("#mixing-bar").is_visible()
