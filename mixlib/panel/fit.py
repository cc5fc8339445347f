"""The form for wanted throws, and the answer: what to type, what changes, what comes out, other ways."""

from __future__ import annotations

import html
import time
from collections.abc import Sequence
from typing import Any

from mixlib.bench.fit import FitResult, Locks, fit, other_holes, other_radios, other_ways
from mixlib.bench.fit.carry import carried
from mixlib.bench.fit.phase_wants import wants_of_phases
from mixlib.bench.fit.typed import changes, entries
from mixlib.bench.surface.levers import lever_end
from mixlib.describe import Setup, Want, shelf, shipped, shipped_names
from mixlib.describe.words import COMMAND_ENDS, listed, sentence_start, signed
from mixlib.panel.base.controls import NumberGrid, Pick
from mixlib.panel.base.panel import Panel, Seen
from mixlib.panel.base.screen import spoken
from mixlib.say.tables import html_table

__all__ = ["fit_panel", "fit_table", "want_words"]

_MOST_MM = 150.0  # largest throw that the form takes
_PATIENCE_S = 10.0  # then the search ends with the best so far


def fit_panel(setup: Setup) -> Panel:
    """Ask for wanted throws and find the settings for this aircraft and radio.

    Parameters
    ----------
    setup : Setup
        Whose aircraft and radio are used, and whose wanted throws stand in the form; the usual ones if none.
        Its phases take the place of droop, reflex and brake.  What is not fitted stays as it is there.
    """
    wants = wants_of_phases(setup)
    start = [(round(want.throw_mm(setup.aircraft), 1), want.weight) for want in wants]
    rows = [want_words(want) for want in wants]
    grid = NumberGrid("wanted", rows, ("throw, mm", "weight"), start, -_MOST_MM, _MOST_MM, 0.5)
    stay = Pick("plugs", {"may change": False, "stay": True}, label="Plugs, Y-leads and directions")
    names = frozenset(setup.wiring) & frozenset(setup.aircraft.surface_names)
    others = [
        item for name in shipped_names("radio") if (item := shipped("radio", name)).name != setup.radio.name
    ]
    found: list[tuple[Setup, Seen]] = []

    def find(values: dict[str, Any]) -> None:
        pairs = zip(wants, values["wanted"], strict=True)
        typed = [want.replace(amount=mm, unit="mm", weight=weight) for want, (mm, weight) in pairs]
        locked = Locks(plugs=names, directions=names, leads=names) if values["plugs"] else Locks()
        until = time.monotonic() + _PATIENCE_S

        def progress(tried: int) -> bool:
            if tried % 10 == 0:
                panel.stage.said = spoken("Searching", f"{tried} ways judged so far.")
            return time.monotonic() > until

        panel.stage.said = spoken("Searching", "the most promising ways first.")
        name = _fitted_name(setup.name)
        result = fit(setup.aircraft, setup.radio, typed, name, keep=setup, locked=locked, progress=progress)
        kept = carried(setup, result.setup)
        stopped = time.monotonic() > until
        answer = _answer(setup, kept, result)
        found[:] = [(kept, _seen(result, stopped, answer))]
        panel.refresh()  # the answer is there before what else could be done
        panel.stage.said += spoken("Searching", "other holes, means and radios.")
        found[:] = [(kept, _seen(result, stopped, answer + _elsewhere(result, other_radios(result, others))))]

    def keep(_: dict[str, Any]) -> str:
        if not found:
            raise ValueError("find the settings first")
        path = shelf.keep(found[0][0])
        return f"{path.name} in the folder {path.parent}. The lessons now work with it; run them again."

    def update(_: dict[str, Any]) -> Seen:
        return found[0][1] if found else Seen(sentence="Nothing is searched yet.")

    panel = Panel(
        f"Wanted throws of {setup.aircraft.name} on {setup.radio.name}",
        [grid, stay],
        update,
        "At full command, or at the mark of a dial. Down (rudder: left) is plus. A weight of 2 makes a miss "
        f"count double; a weight of 0 leaves the throw out.{_phase_words(setup)}",
        savers={"Keep these settings as my own": keep},
        actions={"Find the settings": find},
    )
    return panel


def fit_table(result: FitResult) -> str:
    """Write wanted, got and miss of every throw as a table.

    Returns
    -------
    str
        HTML, in mm, trailing edge down (rudder: left) positive.
    """
    rows = [
        [want_words(row.want), signed(row.wanted_mm, 1), signed(row.got_mm, 1), signed(row.miss_mm, 1)]
        for row in result.rows
    ]
    return html_table(["throw", "wanted, mm", "got, mm", "miss, mm"], rows, "Down (rudder: left) is plus.")


def want_words(want: Want) -> str:
    """Name a wanted throw.

    Returns
    -------
    str
        Such as ``"left aileron, roll (stick right)"``.
    """
    end = COMMAND_ENDS[want.command][want.side == "above"]
    return f"{want.surface}, {want.command} ({end})"


def _seen(result: FitResult, stopped: bool, answer: str) -> Seen:
    good = "not all" if result.cannot else "all"
    said = f"{good} of what you want can be had; the largest miss is {result.worst_miss_mm:.1f} mm."
    if stopped:
        said += f" The search ended after {_PATIENCE_S:g} s: the best of {result.ways_tried} ways so far."
    return Seen(sentence=sentence_start(said), extra=answer, mark="try" if result.cannot else "good")


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


def _answer(before: Setup, after: Setup, result: FitResult) -> str:
    return "".join(
        (
            fit_table(result),
            _list("What cannot be had", result.cannot),
            _list("What it takes away elsewhere", result.notes),
            _list("What your set-up did before and this one does not", result.dropped),
            _entries_table(before, after),
        )
    )


def _entries_table(before: Setup, after: Setup) -> str:
    """All that is typed, what changes marked with what stood there before; last what is taken away."""
    changed = {(change.where, change.what): change for change in changes(before, after)}
    rows = [
        [entry.where, entry.what, entry.value, (f"● {change.old or 'not there'}" if change else "the same")]
        for entry in entries(after)
        for change in [changed.get((entry.where, entry.what))]
    ]
    rows += [[gone.where, gone.what, "no more", f"● {gone.old}"] for gone in changed.values() if not gone.new]
    caption = f"What to type, in this order. {len(changed)} entries, each with a ●, are not as before."
    return html_table(["where", "what", "now", "before"], rows, caption)


def _elsewhere(result: FitResult, radios: Sequence[FitResult]) -> str:
    plans = [f"{item.words}: largest miss {item.worst_miss_mm:.1f} mm" for item in result.alternatives[:3]]
    return "".join(
        (
            _list("Other holes", [item.words for item in other_holes(result)[:3]]),
            _list("Other means", [item.words for item in other_ways(result)[:3]]),
            _list("Other plans with this radio", plans),
            _list("Other radios", [item.words for item in radios]),
        )
    )


def _list(title: str, lines: Sequence[str]) -> str:
    if not lines:
        return ""
    items = "".join(f"<li>{html.escape(sentence_start(line))}</li>" for line in lines)
    return f"<p><strong>{html.escape(title)}</strong></p><ul>{items}</ul>"
