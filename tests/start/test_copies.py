"""The reader's copies of the lessons: what a reader changed is never lost, what they ran does not stay."""

import json

import pytest

from mixlib.start.copies import lay_out, take_over

NAME = "01_a_lesson.ipynb"


def lesson(text="a lesson", outputs=()):
    code = {
        "cell_type": "code",
        "metadata": {},
        "source": "1 + 1",
        "outputs": list(outputs),
        "execution_count": 3,
    }
    return {"cells": [{"cell_type": "markdown", "metadata": {}, "source": text}, code], "metadata": {}}


def widget_output():
    return {
        "output_type": "display_data",
        "data": {"application/vnd.jupyter.widget-view+json": {}, "text/plain": ""},
    }


class Folders:
    def __init__(self, path):
        self.lessons, self.copies = path / "notebooks", path / "my_lessons"
        self.lessons.mkdir()
        self.ship(lesson())

    def ship(self, content):
        (self.lessons / NAME).write_text(json.dumps(content), encoding="utf-8")

    def start(self):
        return lay_out(self.lessons, self.copies)

    @property
    def copy(self):
        return json.loads((self.copies / NAME).read_text(encoding="utf-8"))

    def type_in(self, text):
        changed = self.copy
        changed["cells"][0]["source"] = text
        (self.copies / NAME).write_text(json.dumps(changed), encoding="utf-8")

    def aside(self):
        return [path for path in self.copies.glob("*.ipynb") if path.name != NAME]


@pytest.fixture
def folders(tmp_path):
    return Folders(tmp_path)


def test_a_first_start_lays_out_a_folded_copy_and_leaves_the_lesson_alone(folders):
    before = (folders.lessons / NAME).read_bytes()
    assert folders.start() == []
    cell = folders.copy["cells"][1]
    assert cell["execution_count"] is None
    assert cell["metadata"]["jupyter"]["source_hidden"]
    assert not cell["metadata"]["deletable"]
    assert (folders.lessons / NAME).read_bytes() == before
    assert [path.name for path in folders.lessons.iterdir()] == [NAME]


def test_pictures_stay_in_sight_and_widgets_without_a_kernel_do_not(folders):
    picture = {"output_type": "display_data", "data": {"text/html": "<img>"}}
    folders.ship(lesson(outputs=[picture, widget_output()]))
    folders.start()
    assert folders.copy["cells"][1]["outputs"] == [picture]


def test_what_was_run_and_saved_does_not_stay(folders):
    folders.start()
    ran = folders.copy
    ran["cells"][1]["outputs"] = [widget_output()]
    ran["cells"].append({"cell_type": "code", "metadata": {}, "source": "", "outputs": []})
    (folders.copies / NAME).write_text(json.dumps(ran), encoding="utf-8")
    assert folders.start() == []
    assert folders.copy["cells"][1]["outputs"] == []
    assert not folders.aside()


def test_what_a_reader_typed_stays_theirs(folders):
    folders.start()
    folders.type_in("my own note")
    assert folders.start() == [f"{NAME} is as you changed it."]
    assert folders.copy["cells"][0]["source"] == "my own note"


def test_a_new_lesson_sets_a_changed_copy_aside_each_time_under_a_name_of_its_own(folders):
    for number in (1, 2):
        folders.start()
        folders.type_in(f"my note {number}")
        folders.ship(lesson(f"a new lesson {number}"))
        [said] = folders.start()
        assert "is kept as" in said
        assert folders.copy["cells"][0]["source"] == f"a new lesson {number}"
    kept = {json.loads(path.read_text(encoding="utf-8"))["cells"][0]["source"] for path in folders.aside()}
    assert kept == {"my note 1", "my note 2"}


def test_a_new_lesson_replaces_an_unchanged_copy(folders):
    folders.start()
    folders.ship(lesson("a new lesson"))
    assert folders.start() == []
    assert folders.copy["cells"][0]["source"] == "a new lesson"
    assert not folders.aside()


def test_a_change_whose_note_was_lost_is_set_aside_not_overwritten(folders):
    folders.start()
    folders.type_in("my own note")
    for hidden in folders.copies.glob(".laid*"):
        hidden.write_text("{ damaged", encoding="utf-8")
    [said] = folders.start()
    assert "is kept as" in said
    assert [json.loads(path.read_text())["cells"][0]["source"] for path in folders.aside()] == ["my own note"]


@pytest.mark.parametrize("left", ["{ half a notebo", "[1, 2]", '{"cells": [3], "metadata": {}}', "\0\0"])
def test_a_damaged_copy_is_replaced_and_what_was_there_kept(folders, left):
    folders.start()
    (folders.copies / NAME).write_text(left, encoding="utf-8")
    [said] = folders.start()
    assert "could not be read" in said
    assert folders.copy["cells"][0]["source"] == "a lesson"
    assert [path.read_text(encoding="utf-8") for path in folders.aside()] == [left]


def test_an_empty_copy_is_laid_out_anew_and_leaves_nothing_behind(folders):
    folders.start()
    (folders.copies / NAME).write_text("", encoding="utf-8")
    assert folders.start() == []
    assert folders.copy["cells"][0]["source"] == "a lesson"
    assert not list(folders.copies.glob(".*.part"))


def test_models_kept_before_are_taken_over_whole_and_never_over_newer_ones(tmp_path):
    before, own = tmp_path / "before", tmp_path / "mine" / "my_models"
    take_over(before, own)
    assert not own.exists()
    before.mkdir()
    (before / "a.toml").write_text("a", encoding="utf-8")
    half = own.with_name(".my_models.half")
    half.mkdir(parents=True)
    (half / "torn.toml").write_text("left by a crash", encoding="utf-8")
    take_over(before, own)
    assert [path.name for path in own.iterdir()] == ["a.toml"]
    assert not half.exists()
    (before / "a.toml").write_text("older", encoding="utf-8")
    take_over(before, own)
    assert (own / "a.toml").read_text(encoding="utf-8") == "a"
