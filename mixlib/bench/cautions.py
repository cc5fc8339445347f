"""The cautions that stand before every bench step and first flight, in one place."""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["BENCH_CAUTIONS", "CAUTIONS", "FLIGHT_CAUTIONS", "as_text"]

BENCH_CAUTIONS = (
    "Motor disarmed, or propeller off, before any work on mixes.",
    "Fingers, sleeves and tools clear of every surface that can move.",
    "Check all directions and throws again after every change, not only the one you changed.",
    "Set the fail-safe, switch the transmitter off on the bench, and see that the model does as set.",
)
"""Before and during work at the bench."""

FLIGHT_CAUTIONS = (
    "Range check before the first flight of the day, as the maker of your radio says.",
    "Try a new setting high up, upwind and over a clear field, in small steps, with a switch or dial "
    "back to neutral under your thumb.",
    "Your club's rules and the law where you fly come first; have an experienced club mate beside you.",
    "The numbers are estimates from a model. They are not a flight test.",
)
"""Before and during a flight with a new setting."""

CAUTIONS = BENCH_CAUTIONS + FLIGHT_CAUTIONS
"""All of them, in the order in which they are needed."""


def as_text(lines: Iterable[str] = CAUTIONS) -> str:
    """Cautions or checks as text ready to show: one a line, with a dot before it."""
    return "\n".join(f"• {line}" for line in lines)
