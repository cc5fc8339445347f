"""What each command opens."""

from pathlib import Path
from unittest.mock import MagicMock

import pytest

from mixlib.describe.shelf import place
from mixlib.start import __main__ as start

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"


@pytest.mark.parametrize("command, afresh", [("lessons", False), ("show", True)])
def test_a_command_opens_a_lesson_that_is_there_and_a_show_begins_afresh(command, afresh, monkeypatch):
    monkeypatch.setenv(place.ALL_ANSWERED, "no")
    opened = MagicMock()
    for part in ("Lab", "show", "lay_out", "take_over"):
        monkeypatch.setattr(start, part, getattr(opened, part))
    start.main(command)
    _, lesson, to_a_room = opened.show.call_args.args
    assert (NOTEBOOKS / lesson).exists()
    assert to_a_room == afresh == (not place.counts())
