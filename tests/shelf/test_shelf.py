"""The shelf: what is kept, opened, copied, renamed, thrown away, given away and undone; nothing is lost."""

import pytest

from mixlib.describe import Aircraft, DescriptionError, Radio, as_toml, plain_setup, shelf, shipped

TWO, VEE = shipped("aircraft", "orchard_two"), shipped("aircraft", "orchard_vee")
SIMPLE, RICH = shipped("radio", "simple_six"), shipped("radio", "rich_ten")
MINE = plain_setup(TWO, SIMPLE, "My plane")
OTHER = plain_setup(VEE, RICH, "Other")


@pytest.fixture(autouse=True)
def own(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path / "mine"))
    return tmp_path / "mine"


def noted(text):
    return MINE.replace(note=text)


def test_undo_walks_back_to_where_nothing_was():
    for text in ("first", "second", "third"):
        shelf.keep(noted(text))
    assert shelf.put_back("my_plane")
    assert shelf.open_kept("my_plane").note == "second"
    assert shelf.put_back("my_plane")
    assert shelf.open_kept("my_plane").note == "first"
    assert not shelf.put_back("my_plane")
    assert shelf.kept_names() == ()
    assert shelf.name_in_use() is None
    with pytest.raises(DescriptionError, match="no state before is known; nothing is changed"):
        shelf.put_back("my_plane")


def test_undo_of_a_new_set_up_returns_to_the_one_before():
    shelf.keep(OTHER)
    shelf.keep(MINE)
    assert shelf.name_in_use() == "my_plane"
    shelf.put_back("my_plane")
    assert shelf.name_in_use() == "other"
    assert shelf.chosen(MINE).setup == OTHER


def test_undo_of_a_changed_set_up_returns_to_what_was_in_use_before():
    shelf.keep(noted("first"))
    shelf.keep(OTHER)
    shelf.keep(noted("second"))
    assert shelf.put_back("my_plane")
    assert shelf.name_in_use() == "other"
    shelf.choose("my_plane")
    assert shelf.chosen(OTHER).setup.note == "first"


def test_what_was_undone_is_in_the_bin():
    shelf.keep(noted("first"))
    shelf.keep(noted("second"))
    shelf.put_back("my_plane")
    (name,) = shelf.binned()
    path = shelf.restore(name)
    assert shelf.open_kept(path.stem).note == "second"
    assert shelf.open_kept("my_plane").note == "first"
    assert shelf.binned() == ()


def test_the_last_twenty_states_are_known():
    for number in range(25):
        shelf.keep(noted(str(number)))
    backwards = []
    for _ in range(20):
        assert shelf.put_back("my_plane")
        backwards.append(int(shelf.open_kept("my_plane").note))
    assert backwards == list(range(23, 3, -1))
    with pytest.raises(DescriptionError, match="no state before"):
        shelf.put_back("my_plane")


def test_an_open_page_notices_what_another_one_saves():
    shelf.keep(noted("first"))
    seen, in_use = shelf.version("my_plane"), shelf.version()
    shelf.keep(noted("second"), seen)
    assert shelf.version("my_plane") != seen
    assert shelf.version() != in_use
    with pytest.raises(shelf.ChangedElsewhere, match="saved from another tab or notebook since"):
        shelf.keep(noted("third"), seen)
    assert shelf.open_kept("my_plane").note == "second"
    in_use = shelf.version()
    shelf.keep(OTHER)
    assert shelf.version() != in_use


def test_a_new_one_does_not_replace_another_of_its_name():
    shelf.keep(MINE)
    with pytest.raises(shelf.ChangedElsewhere):
        shelf.keep(noted("new"), seen="")
    with pytest.raises(DescriptionError, match="this name is kept for another aircraft"):
        shelf.keep(OTHER.replace(name=MINE.name))
    assert shelf.open_kept("my_plane") == MINE


def test_a_copy_is_another_one_and_the_choice_stays():
    shelf.keep(MINE)
    path = shelf.copy("my_plane", "My plane, windy")
    assert shelf.open_kept(path.stem) == MINE.replace(name="My plane, windy")
    assert shelf.open_kept("my_plane") == MINE
    assert shelf.name_in_use() == "my_plane"
    with pytest.raises(DescriptionError, match="“My plane” is on the shelf already; choose another one"):
        shelf.copy(path.stem, "My plane")


def test_a_new_name_takes_choice_and_earlier_states_along():
    shelf.keep(noted("first"))
    shelf.keep(noted("second"))
    path = shelf.rename("my_plane", "Übermut")
    assert shelf.kept_names() == (path.stem,) == ("ubermut",)
    assert shelf.open_kept("ubermut").name == "Übermut"
    assert shelf.name_in_use() == "ubermut"
    shelf.put_back("ubermut")
    assert shelf.open_kept("ubermut").note == "first"


def test_what_is_thrown_away_comes_back_with_its_states():
    shelf.keep(OTHER)
    shelf.keep(noted("first"))
    shelf.keep(noted("second"))
    name = shelf.delete("my_plane")
    assert shelf.kept_names() == ("other",)
    assert shelf.name_in_use() == "other"
    assert shelf.binned() == (name,)
    path = shelf.restore(name)
    assert shelf.open_kept(path.stem).note == "second"
    shelf.put_back(path.stem)
    assert shelf.open_kept(path.stem).note == "first"


def test_what_comes_back_does_not_replace_a_newer_one():
    shelf.keep(noted("old"))
    name = shelf.delete("my_plane")
    shelf.keep(noted("new"))
    path = shelf.restore(name)
    assert shelf.open_kept(path.stem).name == "My plane 2"
    assert shelf.open_kept(path.stem).note == "old"
    assert shelf.open_kept("my_plane").note == "new"


def test_one_file_goes_out_and_comes_in_whole(monkeypatch, tmp_path):
    shelf.keep(MINE)
    name, content = shelf.export("my_plane")
    assert name == "my_plane.toml"
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path / "another computer"))
    path = shelf.take_in(content, name)
    assert shelf.open_kept(path.stem) == MINE
    assert shelf.name_in_use() is None
    assert shelf.take_in(content, name) == path
    shelf.keep(noted("changed here"))
    assert shelf.open_kept(shelf.take_in(content, name).stem) == MINE.replace(name="My plane 2")
    assert shelf.open_kept("my_plane").note == "changed here"


@pytest.mark.parametrize(
    "content, says",
    [
        (b"\xff\xfea\0", "saved as UTF-16"),
        (b"\x89PNG\xff", "not plain text"),
        (b"a\0b", "a zero byte"),
        (b"x" * 1_000_001, "larger than 1000 kB"),
        (b"", "does not say what it describes"),
    ],
)
def test_what_cannot_be_taken_in_is_told(content, says, own):
    with pytest.raises(DescriptionError, match=f"from a friend: .*{says}"):
        shelf.take_in(content, "from a friend")
    assert not own.exists()


def test_aircraft_and_radios_stand_on_the_shelf_too():
    for part in (TWO, SIMPLE, MINE):
        shelf.keep(part)
    assert shelf.kept_names(Aircraft) == ("orchard_two",)
    assert shelf.kept_names(Radio) == ("simple_six",)
    assert shelf.kept_names() == ("my_plane",)
    assert shelf.open_kept("orchard_two", Aircraft) == TWO
    assert shelf.open_kept("simple_six", Radio) == SIMPLE
    assert shelf.name_in_use() == "my_plane"
    with pytest.raises(DescriptionError, match="it describes a radio, and a set-up is asked for here"):
        shelf.open_kept("simple_six")


def test_a_file_that_the_reader_named_stays_where_it_is(own):
    own.mkdir()
    (own / "Bought In Spring.toml").write_text(as_toml(MINE), encoding="utf-8")
    assert shelf.keep(noted("later")).name == "Bought In Spring.toml"
    assert shelf.kept_names() == ("Bought In Spring",)


@pytest.mark.parametrize(
    "name", ["../mine", "..", "/etc/passwd", "a/b", "a\\b", "a\0b", "", ".lock", "x" * 300]
)
def test_a_name_does_not_lead_out_of_the_folder(name, own):
    shelf.keep(MINE)
    (own.parent / "mine.toml").write_text(as_toml(OTHER), encoding="utf-8")
    for use in (shelf.open_kept, shelf.choose, shelf.delete, shelf.put_back, shelf.export, shelf.version):
        with pytest.raises(DescriptionError, match="no file here can have this name"):
            use(name)
    (own / "chosen.txt").write_text(name, encoding="utf-8")
    assert shelf.chosen(OTHER).setup is OTHER


def test_a_link_out_of_the_folder_is_not_followed(own):
    own.mkdir()
    (own.parent / "secret.toml").write_text(as_toml(OTHER), encoding="utf-8")
    (own / "secret.toml").symlink_to(own.parent / "secret.toml")
    with pytest.raises(DescriptionError, match="it is a link out of the folder"):
        shelf.open_kept("secret")


@pytest.mark.parametrize("content", [b"\xff\xff", b"a\0", b"x" * 2_000_000])
def test_a_damaged_choice_is_told_and_set_aside_when_the_next_is_written(content, own):
    shelf.keep(MINE)
    (own / "chosen.txt").write_bytes(content)
    assert "Your own set-up could not be used. chosen.txt: it is" in shelf.chosen(OTHER).sentence
    shelf.choose("my_plane")
    assert shelf.name_in_use() == "my_plane"
    assert [path.read_bytes() for path in own.glob("chosen_set_aside_*")] == [content]


def test_an_empty_choice_is_none(own):
    shelf.keep(MINE)
    (own / "chosen.txt").write_text("")
    assert "both invented" in shelf.chosen(OTHER).sentence
    assert shelf.name_in_use() is None
