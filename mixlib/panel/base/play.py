"""What moves over a panel's picture in real time, on the page's side alone."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import traitlets
from anywidget import AnyWidget

__all__ = ["Player"]

_HERE = Path(__file__)


class Player(AnyWidget):
    """A button that moves small aircraft along tracks over the picture of the panel that it stands in.

    The page gets the tracks once and moves the aircraft by itself.  Where the reader's system asks for less
    motion, each press goes on by a second.

    Attributes
    ----------
    tracks : list of dict
        What `mixlib.draw.flight.tracks` gives: name, colour, points in CSS px of the picture.
    moment_s : float
        Time between two points, s.
    """

    _esm = _HERE.with_suffix(".js")
    _css = _HERE.with_suffix(".css")
    tracks: traitlets.List = traitlets.List().tag(sync=True)
    moment_s = traitlets.Float(0.1).tag(sync=True)

    def show(self, tracks: Sequence[dict[str, object]], moment_s: float) -> None:
        """Take other tracks, with the time between two of their points in s."""
        with self.hold_sync():
            self.tracks, self.moment_s = list(tracks), moment_s
