"""The form in the page: one widget shows entries and tells what is typed, picked and pressed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import traitlets
from anywidget import AnyWidget

__all__ = ["Sheet"]

_HERE = Path(__file__)


class Sheet(AnyWidget):
    """A page of entries, of plain values, in one widget however many entries it has.

    Parameters
    ----------
    told : callable
        Takes what happened as a table: ``put`` (a key) with its ``value``, and ``typed`` if it came letter
        by letter; ``at`` (the key of the entry that has the focus); ``press`` (the key of a button); or
        ``file`` (its content) with its ``name``.

    Attributes
    ----------
    page : dict
        What is shown: ``fresh``, a count that makes the page take every value anew, ``step``, and ``rows``.
    """

    _esm = _HERE.with_suffix(".js")
    _css = _HERE.with_suffix(".css")
    page = traitlets.Dict().tag(sync=True)

    def __init__(self, told: Callable[[dict[str, Any]], None]) -> None:
        super().__init__()
        self.on_msg(lambda _widget, content, _buffers: told(content))
