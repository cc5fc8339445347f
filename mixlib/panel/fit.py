"""The form for wanted throws, and the answer: settings, what comes out, what cannot be had, other ways."""

from __future__ import annotations

import html
from collections.abc import Iterable, Sequence
from typing import Any

from mixlib.bench.fit.carry import carried
from mixlib.bench.fit.others import other_holes, other_radios
from mixlib.bench.fit.phase_wants import wants_of_phases
from mixlib.bench.fit.recommend import FitResult, fit
from mixlib.bench.surface.levers import lever_end
from mixlib.describe import Radio, Setup, Want, shelf, shipped, shipped_names
from mixlib.describe.words import COMMAND_ENDS, listed, sentence_start, signed
from mixlib.panel.base.controls import NumberGrid
from mixlib.panel.base.panel import Panel, Seen
from mixlib.say.tables import html_table

__all__ = ["fit_panel", "fit_table", "want_words"]

_MOST_MM = 150.0  # largest throw that the form takes


def fit_panel(setup: Setup) -> Panel:
    """Ask for wanted throws and find the settings for this aircraft and radio.

    Parameters
    ----------
    setup : Setup
        Whose aircraft and radio are used, and whose wanted throws stand in the form; the usual ones if none.
        Its phases take the place of droop, reflex and brake.
    """
    wants = wants_of_phases(setup)
    start = [(round(want.throw_mm(setup.aircraft), 1), want.weight) for want in wants]
    rows = [want_words(want) for want in wants]
    grid = NumberGrid("wanted", rows, ("throw, mm", "weight"), start, -_MOST_MM, _MOST_MM, 0.5)
    found: list[tuple[FitResult, Seen]] = []

    def find(values: dict[str, Any]) -> None:
        pairs = zip(wants, values["wanted"], strict=True)
        typed = [want.replace(amount=mm, unit="mm", weight=weight) for want, (mm, weight) in pairs]
        asked = [want for want in typed if want.weight > 0]
        result = fit(setup.aircraft, setup.radio, asked, _fitted_name(setup.name), marks=True)
        found[:] = [(result, _seen(result, setup.radio))]

    def keep(_: dict[str, Any]) -> str:
        if not found:
            raise ValueError("find the settings first")
        path = shelf.keep(carried(setup, found[0][0].setup))
        return f"{path.name} in the folder {path.parent}. The lessons now work with it; run them again."

    def update(_: dict[str, Any]) -> Seen:
        return found[0][1] if found else Seen(sentence="Nothing is searched yet.")

    return Panel(
        f"Wanted throws of {setup.aircraft.name} on {setup.radio.name}",
        [grid],
        update,
        "At full command, or at the mark of a dial. Down (rudder: left) is plus. A weight of 2 makes a miss "
        f"count double; a weight of 0 leaves the throw out.{_phase_words(setup)}",
        savers={"Keep these settings as my own": keep},
        actions={"Find the settings": find},
    )


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


def _seen(result: FitResult, radio: Radio) -> Seen:
    others = [item for name in shipped_names("radio") if (item := shipped("radio", name)).name != radio.name]
    good = "not all" if result.cannot else "all"
    said = f"{good} of what you want can be had; the largest miss is {result.worst_miss_mm:.1f} mm."
    answer = _answer(result, other_radios(result, others))
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


def _answer(result: FitResult, others: Iterable[FitResult]) -> str:
    setup = result.setup
    plugs = [
        [name, str(number), setup.output(number).control or "mixes only", _direction(setup, number)]
        for name, number in setup.wiring.items()
    ]
    mixes = [
        [mix.label, *(f"{signed(gain, 0)} %" for gain in (mix.gain_above_percent, mix.gain_below_percent))]
        for mix in setup.free_mixes
    ]
    parts = [
        html_table(["servo of", "output", "moved by", "direction"], plugs, "Plugs"),
        html_table(["free mix", "gain above", "gain below"], mixes, "Free mixes") if mixes else "",
        fit_table(result),
        _list("What cannot be had", result.cannot),
        _list("What it takes away elsewhere", result.notes),
        _list("Other holes", [_alternative(item) for item in other_holes(result)[:3]]),
        _list("Other ways with this radio", [_alternative(item) for item in result.alternatives[:3]]),
        _list("Other radios", [item.words for item in others]),
    ]
    return "".join(parts)


def _alternative(item: FitResult) -> str:
    return f"{item.words}: largest miss {item.worst_miss_mm:.1f} mm"


def _direction(setup: Setup, number: int) -> str:
    return "reversed" if setup.output(number).reversed else "normal"


def _list(title: str, lines: Sequence[str]) -> str:
    if not lines:
        return ""
    items = "".join(f"<li>{html.escape(sentence_start(line))}</li>" for line in lines)
    return f"<p><strong>{html.escape(title)}</strong></p><ul>{items}</ul>"
