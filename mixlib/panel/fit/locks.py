"""A table of check marks: what of each surface stays as the reader has it."""

from __future__ import annotations

import html
from collections.abc import Sequence
from dataclasses import fields

import ipywidgets as widgets

from mixlib.bench.fit import Locks
from mixlib.panel.base.screen import labelled

__all__ = ["LockTable"]

_WORDS = {"plugs": "plug", "directions": "direction", "leads": "moved by", "holes": "holes"}
_ALL = "all surfaces"


class LockTable:
    """Check marks for each surface and for all of them at once.

    Parameters
    ----------
    motor : int, optional
        Output of the motor, whose plug no search moves: told in a line of its own.

    Attributes
    ----------
    widget : DOMWidget
        What stands in the panel.
    """

    def __init__(self, surfaces: Sequence[str], motor: int | None = None) -> None:
        self._kinds = [field.name for field in fields(Locks)]
        self._marks = {
            (kind, name): widgets.Checkbox(description=f"{name}: {_WORDS[kind]} stays", indent=False)
            for name in (_ALL, *surfaces)
            for kind in self._kinds
        }
        heads = ["stays as it is:", *(_WORDS[kind] for kind in self._kinds)]
        cells: list[widgets.Widget] = [widgets.HTML(f"<strong>{head}</strong>") for head in heads]
        for name in (_ALL, *surfaces):
            cells += [widgets.HTML(html.escape(name)), *(self._marks[kind, name] for kind in self._kinds)]
        if motor is not None:
            words = f"motor: its plug stays in output {motor}"
            cells += [
                widgets.HTML("motor"),
                widgets.Checkbox(True, disabled=True, description=words, tooltip=words),
            ]
        self.widget = labelled("mix-grid mix-locks", widgets.Box(cells))
        for kind in self._kinds:
            self._marks[kind, _ALL].observe(lambda change, kind=kind: self._all(kind, change["new"]), "value")

    @property
    def value(self) -> Locks:
        """What is locked, by the names of surfaces."""
        return Locks(
            **{
                kind: frozenset(
                    n for (k, n), mark in self._marks.items() if k == kind and n != _ALL and mark.value
                )
                for kind in self._kinds
            }
        )

    def mark(self, kind: str, surface: str) -> widgets.Checkbox:
        """The check mark of a surface, kind a field of `Locks`."""
        return self._marks[kind, surface]

    def _all(self, kind: str, locked: bool) -> None:
        for (its, _), mark in self._marks.items():
            if its == kind:
                mark.value = locked
