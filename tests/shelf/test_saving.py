"""Saving is all or nothing: a full disk, a crash or a forbidden folder leaves the old file whole."""

import errno
import os
from pathlib import Path

import pytest

from mixlib.describe import DescriptionError, load, plain_setup, save, shipped
from mixlib.describe.shelf import chosen, delete, keep, keep_change, kept_names, open_kept

OLD = plain_setup(shipped("aircraft", "orchard_two"), shipped("radio", "simple_six"), "old")
NEW = OLD.replace(name="new")


@pytest.fixture
def path(tmp_path):
    save(OLD, tmp_path / "mine.toml")
    return tmp_path / "mine.toml"


def full_disk(*_, **__):
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


@pytest.mark.parametrize("place, step", [(os, "fsync"), (os, "replace"), (Path, "open"), (Path, "mkdir")])
def test_full_disk_leaves_the_old_file(path, monkeypatch, place, step):
    monkeypatch.setattr(place, step, full_disk)
    with pytest.raises(
        DescriptionError,
        match=r"mine\.toml: it is not saved \(no room is left on the disk\)\. The old file",
    ):
        save(NEW, path)
    monkeypatch.undo()
    assert load(path) == OLD
    assert os.listdir(path.parent) == ["mine.toml"]


def test_disk_that_fills_up_while_writing_leaves_the_old_file(path, monkeypatch):
    real = Path.open

    class Halfway:
        def __init__(self, *args, **kwargs):
            self.file = real(*args, **kwargs)

        def __enter__(self):
            return self

        def __exit__(self, *_):
            self.file.close()

        def write(self, text):
            self.file.write(text[: len(text) // 2])
            self.file.flush()
            full_disk()

    monkeypatch.setattr(Path, "open", lambda *args: Halfway(*args))
    with pytest.raises(DescriptionError, match="no room is left"):
        save(NEW, path)
    monkeypatch.undo()
    assert load(path) == OLD
    assert os.listdir(path.parent) == ["mine.toml"]


def test_crash_between_writing_and_replacing_leaves_the_old_file(path, monkeypatch):
    """A crash is no OSError: nothing tidies up, and still the old file is whole and the new one beside it."""

    class Crash(BaseException):
        pass

    def crash(*_):
        raise Crash

    monkeypatch.setattr(os, "replace", crash)
    with pytest.raises(Crash):
        save(NEW, path)
    monkeypatch.undo()
    assert load(path) == OLD
    assert save(NEW, path) == path
    assert load(path) == NEW


def test_new_file_appears_only_when_complete(path, monkeypatch):
    seen = []
    real = os.replace

    def watched(source, target):
        seen.append((load(source).name, load(target).name))
        real(source, target)

    monkeypatch.setattr(os, "replace", watched)
    save(NEW, path)
    assert seen == [("new", "old")]


def test_folder_that_is_a_file_is_told(path):
    with pytest.raises(DescriptionError, match="not saved"):
        save(NEW, path / "inside.toml")
    with pytest.raises(DescriptionError, match="not saved"):
        save(NEW, path.parent / "a\0b.toml")


def test_folder_without_write_permission_is_told(path, monkeypatch):
    def refused(*_, **__):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    with monkeypatch.context() as forbidden:
        forbidden.setattr(Path, "open", refused)
        with pytest.raises(DescriptionError, match="you may not write"):
            save(NEW, path)
    assert load(path) == OLD


@pytest.fixture
def shelf(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path / "mine"))
    return tmp_path / "mine"


def test_kept_setup_is_the_one_the_lessons_use(shelf):
    demo = OLD
    assert "both invented" in chosen(demo).sentence
    keep(NEW.replace(name="Club glider / big wing"))
    assert kept_names() == ("club_glider_big_wing",)
    assert open_kept("club_glider_big_wing").name == "Club glider / big wing"
    assert chosen(demo).setup.name == "Club glider / big wing"


@pytest.mark.parametrize("name", ["../../etc", "con", "Übermut 3", "…", "a" * 60, "x\ny"])
def test_any_name_gives_a_plain_file_name_inside_the_shelf(shelf, name):
    path = keep(NEW.replace(name=name))
    assert path.parent == shelf
    assert path.stem.replace("_", "").isalnum()
    assert open_kept(path.stem).name == name


def test_names_that_would_share_a_file_get_one_each(shelf):
    """Names in letters that no file name can hold come down to the same stem; none replaces another."""
    first, second = keep(NEW.replace(name="飞机")), keep(NEW.replace(name="самолёт"))
    assert first != second
    assert open_kept(first.stem).name == "飞机"
    assert keep(NEW.replace(name="самолёт", note="later")) == second
    assert chosen(OLD).setup.note == "later"


def test_spoilt_file_is_not_replaced(shelf):
    path = keep(NEW)
    path.write_text("half written by hand")
    assert keep(NEW) != path
    assert path.read_text() == "half written by hand"


@pytest.mark.parametrize("name", ["con", "NUL", "Com1"])
def test_names_of_devices_are_avoided(shelf, name):
    """Microsoft, "Naming Files, Paths, and Namespaces": CON, PRN, AUX, NUL, COM0-9, LPT0-9 are reserved
    (from memory)."""
    assert keep(NEW.replace(name=name)).stem == f"{name.lower()}_set_up"


def test_spoilt_own_file_falls_back_to_the_demo_and_says_why(shelf):
    path = keep(NEW)
    path.write_text("describes = 'setup'\nname = 5\n")
    told = chosen(OLD)
    assert told.setup is OLD
    assert "Name (name) is 5" in told.sentence
    assert "both invented" in told.sentence


def test_aircraft_file_on_the_shelf_is_no_setup(shelf):
    save(OLD.aircraft, shelf / "plane.toml")
    with pytest.raises(
        DescriptionError, match=r"plane\.toml: it describes an aircraft, and a set-up is asked for here"
    ):
        open_kept("plane")


def test_full_disk_while_noting_the_choice_says_that_the_file_is_saved(shelf, monkeypatch):
    real = os.replace

    def full_for_the_choice(source, target):
        full_disk() if "chosen" in str(target) else real(source, target)

    with monkeypatch.context() as broken:
        broken.setattr(os, "replace", full_for_the_choice)
        with pytest.raises(DescriptionError, match=r"new\.toml itself is saved"):
            keep(NEW)
    assert open_kept("new") == NEW


def test_a_file_that_was_mended_wrongly_is_not_overwritten(shelf):
    path = keep(NEW)
    spoilt = path.read_text().replace("mass_kg = 0.85", "mass_kg = 85")
    path.write_text(spoilt)
    for saving in (lambda: keep(NEW), lambda: keep_change(NEW, lambda newest: newest)):
        with pytest.raises(DescriptionError, match=r"is damaged, and is not overwritten\..*Aircraft: mass"):
            saving()
    assert path.read_text() == spoilt
    delete(path.stem)
    assert open_kept(keep(NEW).stem) == NEW
