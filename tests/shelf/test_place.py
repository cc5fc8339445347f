"""The reader's place: what was answered and set is there the next time, and a damaged file is set aside."""

import pytest

from mixlib.describe import demo, shelf
from mixlib.describe.shelf import place


@pytest.fixture
def models(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path / "models"))
    return tmp_path / "models"


def test_what_is_remembered_is_there_again_and_can_be_forgotten(models):
    place.remember("answer", "one", {"given": "up", "tries": 2})
    place.remember("answer", "two", {"given": 3.5})
    place.remember("panel", "one", [1, 2])
    assert place.recall("answer", "one") == {"given": "up", "tries": 2}
    assert place.recall("panel", "one") == [1, 2]
    place.remember("answer", "one", None)
    assert place.recall_all("answer") == {"two": {"given": 3.5}}


@pytest.mark.parametrize("left", ["", "{ half", "[1]", '{"answer": 3}', "\0"])
def test_a_damaged_place_is_set_aside(models, left):
    models.mkdir()
    (models / "my_place.json").write_text(left)
    assert place.recall("answer", "one") is None
    assert [path.read_text() for path in models.glob("my_place*") if path.name != "my_place.json"] == [left]
    place.remember("answer", "one", 1)
    assert place.recall("answer", "one") == 1


def test_a_place_that_cannot_be_written_stops_nobody(models):
    models.parent.joinpath("models").write_text("a file where the folder should be")
    place.remember("answer", "one", 1)
    assert place.recall("answer", "one") is None


def test_a_reader_can_go_back_to_the_demos_and_to_their_own(models):
    own = demo.hopper_ready().replace(name="mine")
    stem = shelf.keep(own).stem
    assert shelf.name_in_use() == stem
    shelf.choose(None)
    assert shelf.name_in_use() is None
    assert shelf.chosen(demo.flaperon_setup()).setup == demo.flaperon_setup()
    shelf.choose(stem)
    assert shelf.chosen(demo.flaperon_setup()).setup == own
