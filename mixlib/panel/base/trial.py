"""A setting that is kept as A while another one, B, is tried."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, partial
from typing import TYPE_CHECKING, Any

from mixlib.draw.kept import with_kept
from mixlib.draw.shapes import Drawing, Room
from mixlib.panel.base.screen import action_button, spoken
from mixlib.say.differences import differences, side_by_side

if TYPE_CHECKING:
    from mixlib.panel.base.panel import Seen

__all__ = ["Trial"]

Values = dict[str, Any]


class Trial:
    """What was kept as A, the buttons for it, and how what is shown differs from it.

    Parameters
    ----------
    update : callable
        The panel's own: takes the controls' values, returns `Seen`.
    put : callable
        Sets the panel's controls to values.
    act : callable
        Takes what a button does with the controls' values, and shows the panel anew afterwards.

    Attributes
    ----------
    values : dict, optional
        The controls' values of A; None where nothing is kept.
    buttons : list of Button
        Shown where the panel tells what it can be compared by.
    """

    def __init__(
        self,
        update: Callable[[Values], Seen],
        put: Callable[[Values], None],
        act: Callable[[Callable[[Values], None]], None],
    ) -> None:
        self._update, self._put = update, put
        self.values: Values | None = None
        self._seen: Seen | None = None
        self._picture: Callable[[Room], Drawing] | None = None
        deeds = {
            "Keep A": self.keep,
            "Swap A and B": self._swap,
            "Back to A": self._back,
            "Let A go": self._let_go,
        }
        self.buttons = [action_button(words, partial(act, do)) for words, do in deeds.items()]
        self._offer(False)

    def keep(self, values: Values) -> None:
        """Keep these values as A."""
        self._seen, self.values = self._update(dict(values)), dict(values)
        picture = self._seen.picture
        self._picture = lru_cache(maxsize=1)(partial(_drawn, picture)) if picture else None

    def drawn(self, picture: Callable[..., Drawing], room: Room) -> Drawing:
        """A picture, with what differs in A's drawn over it in dashes."""
        kept = self._picture(room) if self._picture else None
        now = picture(room=room)
        return with_kept(now, kept) if kept else now

    def line(self, seen: Seen) -> str:
        """A line for `Stage.said`: how what is shown differs from A."""
        self._offer(bool(seen.numbers))
        if not self._seen:
            return ""
        if seen.beside:
            return spoken("B against A (dashes)", "The table has each number of both.")
        told = differences(self._seen.numbers, seen.numbers, seen.sentence)
        return spoken("B against A (dashes)", told or "No difference that can be told.")

    def table(self, seen: Seen) -> str:
        """Below the panel: the numbers of A beside those of what is shown, where it asks for that."""
        return side_by_side(self._seen.numbers if self._seen else (), seen.numbers) if seen.beside else ""

    def _offer(self, comparable: bool) -> None:
        for number, button in enumerate(self.buttons):
            button.layout.display = "" if comparable and (self._seen or number == 0) else "none"

    def _swap(self, values: Values) -> None:
        kept = self.values
        self.keep(values)
        self._put(kept or {})

    def _back(self, _: Values) -> None:
        self._put(self.values or {})

    def _let_go(self, _: Values) -> None:
        self._seen = self._picture = self.values = None


def _drawn(picture: Callable[..., Drawing], room: Room) -> Drawing:
    return picture(room=room)
