"""Descriptions written as TOML and read back, saved and loaded."""

import pytest
from description_strategies import aircrafts, radios, setups
from hypothesis import HealthCheck, given, settings

from mixlib.describe import (
    Aircraft,
    Radio,
    Setup,
    as_toml,
    from_toml,
    load,
    plain_setup,
    save,
    shipped,
    shipped_names,
)

AIRCRAFT, RADIOS = shipped_names("aircraft"), shipped_names("radio")
heavy = settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large], deadline=None)


@given(setups())
@heavy
def test_setup_comes_back_equal(setup):
    assert from_toml(as_toml(setup)) == setup


@given(aircrafts())
@heavy
def test_aircraft_comes_back_equal(aircraft):
    assert from_toml(as_toml(aircraft)) == aircraft


@given(radios())
@heavy
def test_radio_comes_back_equal(radio):
    assert from_toml(as_toml(radio)) == radio


@given(setups())
@settings(heavy, max_examples=20)
def test_file_comes_back_equal(tmp_path_factory, setup):
    path = tmp_path_factory.mktemp("shelf") / "new folder" / "glider.toml"
    assert load(save(setup, path)) == setup
    assert [item.name for item in path.parent.iterdir()] == ["glider.toml"]


def test_mark_that_some_editors_put_in_front_is_read_over(tmp_path):
    path = tmp_path / "radio.toml"
    path.write_text(as_toml(shipped("radio", "simple_six")), encoding="utf-8-sig")
    assert load(path) == shipped("radio", "simple_six")


def test_default_values_may_be_left_out():
    text = """describes = "radio"
name = "least"
outputs = 1
[[controls]]
command = "roll"
held_by = "stick"
"""
    radio = from_toml(text)
    assert radio.free_mixes == 0
    assert radio.can_drive(1) == ()


def test_what_is_shipped_says_that_it_is_invented():
    for word, names, kind in (("aircraft", AIRCRAFT, Aircraft), ("radio", RADIOS, Radio)):
        assert len(names) >= 3
        for name in names:
            description = shipped(word, name)
            assert isinstance(description, kind)
            assert "nvented for this workbook" in description.note


@pytest.mark.parametrize("radio", RADIOS)
@pytest.mark.parametrize("aircraft", AIRCRAFT)
def test_plain_setup_of_every_aircraft_on_every_radio(aircraft, radio):
    setup = plain_setup(shipped("aircraft", aircraft), shipped("radio", radio))
    assert isinstance(setup, Setup)
    motor = {"motor"} if setup.aircraft.motor else set()
    assert set(setup.wiring) == {*setup.aircraft.surface_names, *motor}
    assert setup.free_mixes == ()
    for surface in setup.aircraft.surfaces:
        number = setup.wiring[surface.name]
        assert surface in setup.surfaces_on(number)
        control = setup.output(number).control
        assert control is None or control in setup.radio.can_drive(number)
    assert from_toml(as_toml(setup)) == setup


def test_plain_setup_gives_each_surface_its_own_output_while_there_are_any():
    setup = plain_setup(shipped("aircraft", "orchard_three"), shipped("radio", "rich_ten"))
    assert len(set(setup.wiring.values())) == 6
    for name, command in (("left aileron", "roll"), ("left flap", "camber"), ("elevator", "pitch")):
        assert setup.output(setup.wiring[name]).control == command


def test_plain_setup_leaves_the_throttle_output_to_the_motor():
    """Six surfaces, six outputs, but the throttle stick owns the third: the ailerons share the first."""
    setup = plain_setup(shipped("aircraft", "orchard_three"), shipped("radio", "simple_six"))
    assert 3 not in setup.wiring.values()
    assert setup.wiring["left aileron"] == setup.wiring["right aileron"] == 1
    assert setup.wiring["left flap"] != setup.wiring["right flap"]


def test_plain_setup_shares_an_output_among_equals_when_none_is_left():
    """Two ailerons on four fixed outputs: throttle, elevator and rudder own theirs, so a Y-lead it is."""
    setup = plain_setup(shipped("aircraft", "orchard_two"), shipped("radio", "bare_four"))
    assert setup.wiring == {"left aileron": 1, "right aileron": 1, "elevator": 2, "rudder": 4}
    assert [surface.name for surface in setup.surfaces_on(1)] == ["left aileron", "right aileron"]


def test_wing_numbers_by_hand():
    """Orchard Two: 2 x [600 x (185 + 165)/2 + 400 x (165 + 105)/2] = 318 000 mm2; 2000^2/318 000 = 12.579."""
    wing = shipped("aircraft", "orchard_two").wing
    assert wing.span_mm == 2000
    assert wing.area_dm2 == pytest.approx(31.8)
    assert wing.aspect_ratio == pytest.approx(12.5786, abs=1e-4)
    assert wing.chord_at_mm(300) == pytest.approx(175)
    assert wing.chord_at_mm(800) == pytest.approx(135)
