"""The fit's panel: wishes and locks above, the search in the background, its answer, keep and undo."""

from __future__ import annotations

import html
import threading
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import NamedTuple

import ipywidgets as widgets

from mixlib.bench.fit import FitResult, fit, other_holes, other_radios, other_ways
from mixlib.bench.fit.phase_wants import wants_of_phases
from mixlib.bench.surface.levers import lever_end
from mixlib.describe import MOTOR, Setup, shelf, shipped, shipped_names
from mixlib.describe.words import COMMAND_ENDS, listed, sentence_start
from mixlib.draw.shapes import Room
from mixlib.draw.svg import svg
from mixlib.panel.base.panel import reason
from mixlib.panel.base.screen import Stage, action_button, card, labelled, show_widget, spoken
from mixlib.panel.fit.answer import answer, moves_picture
from mixlib.panel.fit.lines import Line, lines_of, lines_to_add
from mixlib.panel.fit.locks import LockTable
from mixlib.panel.fit.wishes import Wishes

__all__ = ["FIND", "KEEP", "STOP", "UNDO", "FitDesk", "fit_panel"]

FIND, STOP, KEEP, UNDO = "Find the settings", "Stop", "Keep these settings as my own", "Undo the keeping"

_LEAST_PX = 280.0  # height of the picture
_MOST_OF_A_SORT = 3  # other ways that are offered


class _Way(NamedTuple):
    words: str
    result: FitResult


def fit_panel(setup: Setup) -> FitDesk:
    """Ask for wanted throws and find the settings for this aircraft and radio.

    Parameters
    ----------
    setup : Setup
        Whose aircraft and radio are used, and whose wanted throws stand in the form; the usual ones if none.
        Its phases take the place of droop, reflex and brake.  What is not fitted stays as it is there.
    """
    return FitDesk(setup)


class FitDesk:
    """Wishes and locks, a search that can be stopped, its answer, other ways to take over, keep and undo.

    The search runs beside the kernel's own thread, which stays free to hear the buttons.

    Attributes
    ----------
    wishes : Wishes
        Its lines are filled from the set-up, and follow the shelf where nobody has typed.
    locks : LockTable
        Read when a search begins; another radio is tried without them.
    ways : RadioButtons
        What was found; the one chosen is shown, and is what *Keep* saves.
    """

    def __init__(self, setup: Setup) -> None:
        self._setup = self._base = setup  # what the next search begins with, and what the last one did
        self._seen: dict[str, str] = {}  # files of the shelf as the last search saw them
        self._undo: list[tuple[str, Setup]] = []
        self._found: list[_Way] = []
        self._stopping = threading.Event()
        self._thread: threading.Thread | None = None
        self.sentence = self.saved = ""
        self.wishes = Wishes(setup.aircraft, _lines(setup), partial(lines_to_add, setup))
        self.locks = LockTable(setup.aircraft.surface_names, setup.wiring.get(MOTOR))
        self.ways = labelled("mix-upright", widgets.RadioButtons(description="Ways", tooltip="Ways"))
        self.ways.observe(self._chosen, "value")
        self.stage = Stage()
        self.stage.observe(self._draw, "room")
        self._bar = widgets.FloatProgress(min=0.0, max=1.0, description="search", tooltip="search")
        actions = {FIND: self.find, STOP: self._stopping.set, KEEP: self.keep, UNDO: self.undo}
        self._buttons = {words: action_button(words, do) for words, do in actions.items()}
        self.title = f"Wanted throws of {setup.aircraft.name} on {setup.radio.name}"
        task = (
            "At full command, or at the mark of a dial. Down (rudder: left) is plus. A pair's line is for "
            "the right-hand one; left is the mirror. A weight of 2 makes a miss count double."
            + _phase_words(setup)
        )
        self.widget = card(
            {
                "head": widgets.HTML(f"<h3>{html.escape(self.title)}</h3><p>{html.escape(task)}</p>"),
                "controls": widgets.Box([self.wishes.widget, self.locks.widget]),
                "buttons": widgets.Box([*self._buttons.values(), self._bar]),
                "stage": self.stage,
                "ways": self.ways,
            },
            "mix-panel mix-fit",
        )
        self._say("", "Nothing is searched yet.")
        self._searching(False)
        self._buttons[UNDO].disabled = True

    @property
    def shown(self) -> FitResult:
        """The result that is shown, and that *Keep* would save."""
        if not self._found:
            raise ValueError("find the settings first")
        return self._found[self.ways.value].result

    @property
    def ways_offered(self) -> tuple[str, ...]:
        """The ways to choose from, in words."""
        return tuple(words for words, _ in self.ways.options)

    def press(self, words: str) -> None:
        """Press a button."""
        self._buttons[words].click()

    def wait(self) -> None:
        """Wait until the search has ended."""
        if self._thread:
            self._thread.join()

    def find(self) -> None:
        """Search in the background, with the newest state of the set-up on the shelf."""
        try:
            setup, seen = self._newest()
            if setup != self._setup:
                self.wishes.follow(_lines(setup))
            wants, locked = self.wishes.value, self.locks.value
        except Exception as error:  # any fault at all must end as a sentence for the reader
            self._say("Not done", reason(error), "try")
            return
        self._stopping.clear()
        self.saved = ""
        self._searching(True)
        self._say("Searching", "The most promising ways first. Stop gives the best so far.")

        def search() -> None:
            try:
                name = _fitted_name(setup.name)
                result = fit(
                    setup.aircraft, setup.radio, wants, name, keep=setup, locked=locked, progress=self._judged
                )
                self._setup, self._base, self._seen = setup, setup, seen
                first = _Way("as found", result)
                self._offer([first], 0)
                self._offer([first, *self._others(result)], self.ways.value)
            except Exception as error:  # any fault at all must end as a sentence for the reader
                self._say("Not done", reason(error), "try")
            finally:
                self._searching(False)

        self._thread = threading.Thread(target=search, daemon=True)
        self._thread.start()

    def _newest(self) -> tuple[Setup, dict[str, str]]:
        """The set-up as it was saved last, and the files that keeping will ask for, as they are now."""
        mine = self._setup
        stems = [shelf.stem_for(mine), shelf.stem_for(mine.replace(name=_fitted_name(mine.name)))]
        seen = {stem: shelf.version(stem) for stem in stems}
        newest = shelf.open_kept(stems[0]) if seen[stems[0]] else mine
        if (newest.aircraft.surface_names, newest.radio.name) != (
            mine.aircraft.surface_names,
            mine.radio.name,
        ):
            raise ValueError(
                f"{mine.name} is on the shelf with other surfaces or another radio since. "
                "Run this cell again, with that one."
            )
        return newest, seen

    def _judged(self, tried: int) -> bool:
        self._bar.value = tried / (tried + 20)
        return self._stopping.is_set()

    def _others(self, result: FitResult) -> Iterator[_Way]:
        """What else could be done, until the reader stops it."""
        for other in result.alternatives[:_MOST_OF_A_SORT]:
            yield _Way(f"other plan: {other.words}", other)
        others = [
            radio
            for n in shipped_names("radio")
            if (radio := shipped("radio", n)).name != result.setup.radio.name
        ]
        looks: list[Callable[[], tuple[FitResult, ...]]] = [
            lambda: other_holes(result),
            lambda: other_ways(result),
            *(lambda radio=radio: other_radios(result, [radio]) for radio in others),
        ]
        for place, look in enumerate(looks):
            if self._stopping.is_set():
                return
            self._bar.value = 0.5 + 0.5 * place / len(looks)
            yield from (_Way(other.words, other) for other in look()[:_MOST_OF_A_SORT])

    def _offer(self, ways: list[_Way], chosen: int | None) -> None:
        """List the ways and show the one that is chosen."""
        self._found = ways
        (self.ways.remove_class if len(ways) > 1 else self.ways.add_class)("mix-gone")
        self.ways.unobserve(self._chosen, "value")
        self.ways.options = [(sentence_start(way.words), place) for place, way in enumerate(ways)]
        self.ways.value = chosen
        self.ways.observe(self._chosen, "value")
        self._show()

    def _chosen(self, _change: object) -> None:
        self.saved = ""  # what was saved were other settings
        self._show()

    def _show(self) -> None:
        """Show the answer of the way that is chosen."""
        way, result = self._found[self.ways.value]
        good = "not all" if result.cannot else "all"
        said = f"{good} of what you want can be had; the largest miss is {result.worst_miss_mm:.1f} mm."
        if self.ways.value:
            said = f"{way}. Taken over: {said}"
        if self._stopping.is_set():
            tried = self._found[0].result.ways_tried
            said += f" Stopped: the best of {tried} way{'s' if tried > 1 else ''} so far."
        self.stage.extra = answer(self._base, result)
        self._draw()
        self._say("", sentence_start(said), "try" if result.cannot else "good")

    def _draw(self, _change: object = None) -> None:
        if self._found:
            wide, high = self.stage.room  # the wishes above it leave little
            drawing = moves_picture(self.shown.setup)(room=Room(wide, max(high, _LEAST_PX)))
            self.stage.picture = svg(drawing, f"fit{id(self)}")

    def keep(self) -> None:
        """Save what is shown, unless something was saved elsewhere since the search."""
        try:
            path = self._keep(self.shown)
            used = (
                "The lessons now work with it; run them again"
                if shelf.name_in_use() == path.stem
                else "Choose it at the top of the lesson to work with it"
            )
            self._told("Saved", f"{path.name} in the folder {path.parent}. {used}.", "good")
        except Exception as error:  # any fault at all must end as a sentence for the reader
            self._told("Not saved", reason(error), "try")

    def _keep(self, result: FitResult) -> Path:
        base = shelf.stem_for(self._base)
        if shelf.version(base) != self._seen[base]:
            raise ValueError(
                f"{self._base.name} was saved elsewhere since the search. Nothing is overwritten: "
                "find the settings again, and what was saved is taken over"
            )
        stem = shelf.stem_for(result.setup)
        in_use = shelf.name_in_use() == shelf.stem_for(self._setup)  # a demo's settings are not chosen
        path = shelf.keep(result.setup, self._seen[stem], use=in_use)
        self._seen[stem] = shelf.version(stem)
        self._undo.append((stem, self._setup))
        self._setup = result.setup
        return path

    def undo(self) -> None:
        """Put back what was there before the last keeping, on the shelf and as the choice of the lessons."""
        try:
            stem, setup = self._undo[-1]
            if shelf.version(stem) != self._seen[stem]:
                raise ValueError(f"{self._setup.name} was saved elsewhere since. Nothing is taken away")
            shelf.put_back(stem)
            self._undo.pop()
            self._seen[stem], self._setup = shelf.version(stem), setup
            choice = shelf.name_in_use()
            used = f"{choice}.toml" if choice else "the demos"
            self._told("Undone", f"The lessons work with {used} again; run them once more.", "good")
        except Exception as error:  # any fault at all must end as a sentence for the reader
            self._told("Not undone", reason(error), "try")

    def _searching(self, now: bool) -> None:
        """Let the buttons and the bar show whether a search runs."""
        self._buttons[FIND].disabled, self._buttons[STOP].disabled = now, not now
        self._bar.value, self._bar.layout.visibility = 0.0, "visible" if now else "hidden"

    def _told(self, word: str, text: str, mark: str) -> None:
        """Say what became of keeping or of its undoing, below the answer's sentence."""
        self.saved = spoken(word, text, mark)
        self._buttons[UNDO].disabled = not self._undo
        self.stage.said = self.sentence + self.saved

    def _say(self, word: str, text: str, mark: str = "") -> None:
        self.sentence = spoken(word, text, mark)
        self.stage.said = self.sentence + self.saved

    def _ipython_display_(self) -> None:
        show_widget(self.widget, f"Panel: {self.title}")


def _lines(setup: Setup) -> tuple[Line, ...]:
    return lines_of(setup.aircraft, wants_of_phases(setup))


def _fitted_name(name: str) -> str:
    """A name of its own, so that the settings before stay on the shelf."""
    mark = ", fitted"
    return f"{name.removesuffix(mark)[: 60 - len(mark)]}{mark}"


def _phase_words(setup: Setup) -> str:
    parts = [
        f"{phase.name} is {end[0]} ({COMMAND_ENDS[end[0]][end[1] == 'above']})"
        for phase in setup.phases
        if (end := lever_end(setup, phase.name))
    ]
    return f" From your phases: {listed(parts)}." if parts else ""
