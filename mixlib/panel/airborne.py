"""The panels of the flight lessons: each says first what is wrong with the balance point, and last what is
in doubt."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from mixlib.air.aircraft.balance import Balance
from mixlib.air.aircraft.from_setup import known_balance
from mixlib.describe import Setup
from mixlib.panel.base.controls import Control
from mixlib.panel.base.panel import Panel, Seen
from mixlib.say.doubt import Doubtful, balance_words, doubt

__all__ = ["Told", "air_panel"]

Told = tuple[Seen, Sequence[Doubtful | int]]
"""What a panel shows, and the results that its numbers were taken from."""


def air_panel(
    setup: Setup,
    title: str,
    controls: Sequence[Control],
    update: Callable[[dict[str, Any]], Told],
    stands: Callable[[dict[str, Any]], Balance] | None = None,
    **rest: Any,
) -> Panel:
    """A panel of flight numbers that never shows a doubtful one without its reason.

    Parameters
    ----------
    setup : Setup
        The reader's set-up.
    update : callable
        Takes a dict of the controls' values by name; marks its numbers by `mixlib.say.doubt.marked`.
    stands : callable, optional
        Balance for the controls' values, where they move it; left out, it is the aircraft's.
    **rest
        As for `Panel`.
    """

    def told(values: dict[str, Any]) -> Seen:
        seen, results = update(values)
        warning = balance_words(stands(values) if stands else known_balance(setup.aircraft))
        reasons = doubt(*results)
        where = "" if "*" in seen.sentence or "*" not in seen.extra else " The star is in the table."
        said = (warning, seen.sentence, f"* {reasons}{where}" if reasons else "")
        return replace(seen, sentence="\n".join(filter(None, said)), mark="try" if warning else seen.mark)

    return Panel(title, controls, told, **rest)
