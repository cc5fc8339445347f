"""Drafts: what is typed is on disk, comes back, and two tabs do not overwrite each other."""

import pytest

from mixlib.describe import DescriptionError, shelf


@pytest.fixture(autouse=True)
def own(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path / "mine"))
    return tmp_path / "mine"


TYPED = {"mass": "0,85", "holes": "8,5; 10,5", "name": "Übermut ✈", "pairs": [[1, None], [True, "−3"]]}


def test_what_is_typed_comes_back_as_it_was():
    assert shelf.load_draft("form").data is None
    version = shelf.save_draft("form", TYPED, shelf.load_draft("form").version)
    back = shelf.load_draft("form")
    assert (back.data, back.version, back.sentence) == (TYPED, version, "")


def test_two_tabs_notice_each_other_and_lose_nothing(own):
    version = shelf.save_draft("form", "of both", "")
    later = shelf.save_draft("form", "of the first tab", version)
    with pytest.raises(shelf.ChangedElsewhere, match="changed in another tab or notebook"):
        shelf.save_draft("form", "of the second tab", version)
    assert shelf.load_draft("form").data == "of the first tab"
    assert shelf.load_draft("form").version == later
    shelf.save_draft("form", "of the second tab", None)
    assert shelf.load_draft("form").data == "of the second tab"
    assert [path.read_text() for path in own.glob("drafts/*set_aside*")] == ['"of the first tab"']


@pytest.mark.parametrize("content", [b"{", b"", b"\xff\xff", b"[" * 100_000, b'"' + b"x" * 2_000_000 + b'"'])
def test_a_damaged_draft_is_set_aside_and_named(content, own):
    shelf.save_draft("form", TYPED, "")
    (own / "drafts" / "form.json").write_bytes(content)
    back = shelf.load_draft("form")
    (aside,) = own.glob("drafts/*set_aside*")
    assert (back.data, back.version) == (None, "")
    assert f"It is set aside as {aside.name}." in back.sentence
    assert aside.read_bytes() == content
    shelf.save_draft("form", TYPED, back.version)
    assert shelf.load_draft("form").data == TYPED


def test_a_draft_stays_in_its_folder():
    for use in (shelf.load_draft, lambda name: shelf.save_draft(name, 1, None)):
        with pytest.raises(DescriptionError, match="no file here can have this name"):
            use("../form")
