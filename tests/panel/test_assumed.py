"""What nobody has measured: which of it matters most is said until it is measured."""

import re

import pytest
from form_desk import kept, press, put, said

from mixlib.air import aircraft as air
from mixlib.bench.surface.matters import matters
from mixlib.chain import Rig, commands
from mixlib.describe import flaperon_setup, shelf
from mixlib.panel import whose
from mixlib.panel.card import card_panel
from mixlib.panel.form.desk import DescriptionDesk
from mixlib.say.doubt import assumed_words

MOST = "What matters most of what is assumed"


@pytest.fixture
def desk(tmp_path, monkeypatch):
    """A desk over an empty shelf."""
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    return DescriptionDesk()


def test_a_lesson_and_the_card_say_it_of_a_kept_model_and_of_no_demo(desk):
    assert MOST not in whose.model(flaperon_setup()).stage.said
    kept(desk)
    setup = shelf.open_kept("garden_glider")
    at_bench, in_air = (whose.model(flaperon_setup(), *how).stage.said for how in ((), (air.flyable,)))
    assert MOST in at_bench
    assert "in the air" not in at_bench
    assert "in the air" in in_air
    assert MOST in card_panel(setup).extra


def test_it_is_the_number_that_does_most_to_the_throw(desk):
    kept(desk)
    setup = shelf.open_kept("garden_glider")
    words = assumed_words(setup, shelf.assumed_in(setup), flown=False)
    name, change = re.search(r"throws, ([\w -]+): .* is ([\d.]+) mm at the edge", words).groups()
    assert float(change) == pytest.approx(matters(setup)[0].change_mm, abs=0.05)
    part = setup.aircraft.surface(name)
    longer = part.replace(linkage=part.linkage.replace(arm_mm=part.linkage.arm_mm + 1))
    surfaces = tuple(longer if one is part else one for one in setup.aircraft.surfaces)
    place = setup.aircraft.surface_names.index(name)
    asked = [commands(**{command: value}) for command, value in setup.ends]
    throw = [
        max(abs(float(Rig(each).run(one).throw[place])) for one in asked)
        for each in (setup, setup.replace(aircraft=setup.aircraft.replace(surfaces=surfaces)))
    ]
    assert 0 < throw[1] - throw[0] <= float(change) + 0.06


def test_what_is_measured_or_changed_since_is_no_longer_assumed(desk):
    kept(desk)
    setup = shelf.open_kept("garden_glider")
    before = shelf.assumed_in(setup)
    assert {"tail.arm_mm", "wing.stations.0.thickness_mm", "surfaces.right aileron.linkage.arm_mm"} <= before
    longer = setup.aircraft.replace(tail=setup.aircraft.tail.replace(arm_mm=700.0))
    assert shelf.assumed_in(setup.replace(aircraft=longer)) == before - {"tail.arm_mm"}
    put(desk, thick="22", **{"left aileron.arm": "9"})
    press(desk, "keep")
    assert "Kept" in said(desk)
    after = shelf.assumed_in(shelf.open_kept("garden_glider"))
    gone = {"wing.stations.0.thickness_mm"} | {
        f"surfaces.{side} aileron.linkage.arm_mm" for side in ("left", "right")
    }
    assert before - after == gone


def test_nothing_is_said_where_nothing_is_assumed():
    assert assumed_words(flaperon_setup(), ()) == ""
