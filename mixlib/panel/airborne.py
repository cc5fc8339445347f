"""The panels of the flight lessons: each says first what is wrong with the balance point, and last what is
in doubt."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

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
    **rest: Any,
) -> Panel:
    """A panel of flight numbers that never shows a doubtful one without its reason.

    Parameters
    ----------
    setup : Setup
        The reader's set-up.
    update : callable
        Takes a dict of the controls' values by name; marks its numbers by `mixlib.say.doubt.marked`.
    **rest
        As for `Panel`.
    """
    warning = balance_words(known_balance(setup.aircraft))

    def told(values: dict[str, Any]) -> Seen:
        seen, results = update(values)
        reasons = doubt(*results)
        said = (warning, seen.sentence, f"* {reasons}" if reasons else "")
        return replace(seen, sentence=" ".join(filter(None, said)), mark="try" if warning else seen.mark)

    return Panel(title, controls, told, **rest)
