"""Where a panel's controls were left, and what was kept as A: remembered in the reader's place."""

from __future__ import annotations

import contextlib
import hashlib
import json
from collections.abc import Mapping
from threading import Timer
from typing import Any

from mixlib.describe.shelf import place

__all__ = ["LastSetting"]

_PAUSE_S = 1.0  # without a change, before it is written: a slider is held


class LastSetting:
    """What a panel remembers, as long as it begins with the same values.

    Parameters
    ----------
    title : str
        Of the panel; with the page that it stands on, it tells the panels apart.
    start : mapping
        First values of its controls by name: for another model they are others.
    """

    def __init__(self, title: str, start: Mapping[str, Any]) -> None:
        self._start = dict(start)
        told = json.dumps([place.page(), title, self._start], default=str)
        self._key = hashlib.sha256(told.encode()).hexdigest()[:16]
        self._timer: Timer | None = None

    def found(self) -> dict[str, Any]:
        """What is remembered: ``values`` and ``kept``; empty where nothing is."""
        found = place.recall("panel", self._key) if place.counts() else None
        return found if isinstance(found, dict) else {}

    def remember(self, values: Mapping[str, Any], kept: Mapping[str, Any] | None) -> None:
        """Remember the controls' values and those of A, once there is a pause."""
        if not place.counts():
            return
        if self._timer:
            self._timer.cancel()
        self._timer = Timer(_PAUSE_S, self._write, (dict(values), kept))
        self._timer.daemon = True
        self._timer.start()

    def _write(self, values: dict[str, Any], kept: Mapping[str, Any] | None) -> None:
        left = {"values": values, "kept": kept} if kept or values != self._start else None
        with contextlib.suppress(TypeError):  # a value that is no plain one is not remembered
            place.remember("panel", self._key, left)
