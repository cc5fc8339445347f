"""The shelf at the desk of lesson 00: nothing goes or changes unasked, and what is there is used again."""

from __future__ import annotations

import base64

import pytest
from form_desk import LEAST, item, kept, press, put, said, shown

from mixlib.describe import Aircraft, Radio, shelf
from mixlib.describe.demo import flaperon_setup, four_surface_setup
from mixlib.panel.form.desk import DescriptionDesk


@pytest.fixture
def desk(tmp_path, monkeypatch):
    """A desk over an empty shelf."""
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    return DescriptionDesk()


def test_the_shelf_opens_copies_renames_deletes_and_takes_back(desk):
    kept(desk)
    assert "Kept. garden_glider, among My models." in said(desk)
    assert str(shelf.folder()) not in said(desk), "a guest's page does not tell of the host's folders"
    press(desk, "shelf", "copy:garden_glider")
    assert "new name" in said(desk)
    desk.receive({"put": "new name", "value": "Second"})
    press(desk, "copy:garden_glider")
    assert shelf.kept_names() == ("garden_glider", "second")
    desk.receive({"put": "new name", "value": "Third"})
    press(desk, "rename:second")
    assert shelf.kept_names() == ("garden_glider", "third")
    press(desk, "use:third")
    assert "third" in desk._title.value
    press(desk, "delete:third", "yes")
    assert shelf.kept_names() == ("garden_glider",)
    press(desk, f"restore:{shelf.binned()[0]}")
    assert shelf.kept_names() == ("garden_glider", "third")
    press(desk, "open:third", "yes")
    assert desk.deeds.state.answers["name"] == "Third"


def test_one_file_goes_out_and_comes_in_again(desk):
    kept(desk)
    press(desk, "shelf")
    link = item(desk, "save::garden_glider")
    assert link["name"] == "garden_glider.toml"
    content = link["href"].partition(",")[2]
    press(desk, "delete:garden_glider", "yes")
    desk.receive({"file": content, "name": link["name"]})
    assert shelf.open_kept("garden_glider").aircraft.mass_kg == 0.95
    desk.receive({"file": base64.b64encode(b"\xff\x00").decode(), "name": "picture.png"})
    assert "Not done" in said(desk)
    desk.receive({"file": "", "name": "film", "large": 2e6})
    assert "at most 1 MB" in said(desk)


def test_aircraft_and_radio_go_out_alone_and_come_in_for_another_model(desk, tmp_path, monkeypatch):
    put(desk, **{"more:radio.name": "My radio"})
    kept(desk)
    setup = shelf.open_kept("garden_glider")
    press(desk, "shelf")
    given = {part: item(desk, f"save:{part}:garden_glider") for part in ("aircraft", "radio")}
    assert [link["name"] for link in given.values()] == ["garden_glider_aircraft.toml", "my_radio_radio.toml"]
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path / "elsewhere"))
    other = DescriptionDesk()
    press(other, "shelf")
    for link in given.values():
        other.receive({"file": link["href"].partition(",")[2], "name": link["name"]})
    assert shelf.open_kept("garden_glider", Aircraft) == setup.aircraft
    assert shelf.open_kept("my_radio", Radio) == setup.radio
    assert {"start:garden_glider", "copy:my_radio"} <= {one.get("key") for one in shown(other)}


def test_one_of_ours_is_started_from_and_is_another_model(desk):
    press(desk, "demo:orchard_three", "yes")
    assert desk.deeds.state.answers["wing"] == "ailerons and flaps"
    assert desk.deeds.state.kept_as == ""


def test_a_radio_described_once_is_there_for_the_next_model(desk):
    put(desk, **{"more:radio.outputs": "8", "more:radio.name": "My radio"})
    kept(desk)
    press(desk, "new", "yes")
    put(desk, **LEAST, name="Second")
    put(desk, radio="own:garden_glider")
    radio = desk.deeds.finish()[0].radio
    assert (radio.name, radio.outputs) == ("My radio", 8)
    shelf.keep(radio.replace(name="Alone", outputs=9))
    put(desk, radio="own:alone")
    assert desk.deeds.finish()[0].radio.outputs == 9
    press(desk, "undo")
    assert desk.deeds.finish()[0].radio.outputs == 8


def test_an_aircraft_alone_is_started_from(desk):
    shelf.keep(four_surface_setup().aircraft)
    press(desk, "start:orchard_three", "yes")
    assert desk.deeds.finish()[0].aircraft == four_surface_setup().aircraft


def test_settings_that_moved_plugs_would_lose_are_asked_back(desk):
    shelf.keep(flaperon_setup())
    press(desk, "open:flaperons", "yes")
    assert desk.deeds.finish()[0] == flaperon_setup()
    put(desk, **{"left aileron.output": "5"})
    press(desk, "step:done", "keep")
    assert "Plugs have moved" in said(desk)
    assert shelf.open_kept("flaperons") == flaperon_setup()


def test_a_model_that_was_kept_elsewhere_meanwhile_is_not_overwritten_unasked(desk):
    kept(desk)
    shelf.keep_change(shelf.open_kept("garden_glider"), lambda setup: setup.replace(note="from lesson 05"))
    put(desk, mass="900")
    assert "changed on the shelf meanwhile" in said(desk)
    press(desk, "keep")
    assert shelf.open_kept("garden_glider").note == "from lesson 05"
    assert "on the shelf already" in str(shown(desk))
    press(desk, "yes")
    assert shelf.open_kept("garden_glider").aircraft.mass_kg == 0.9


def test_another_model_of_the_same_name_is_asked_about(desk):
    kept(desk)
    press(desk, "new", "yes")
    kept(desk)
    put(desk, span="2000")
    assert "on the shelf already" in str(shown(desk))
    assert shelf.open_kept("garden_glider").aircraft.wing.span_mm == 1600
