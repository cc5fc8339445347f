"""The what-if panel: every number of the bench arrives where it should, for models of all kinds."""

import re

import numpy as np
import pytest
from odd_setups import behind, short, swept

from mixlib.air.aircraft import known_performance
from mixlib.bench.surface import aileron_throws, tried
from mixlib.chain import Rig, commands
from mixlib.describe import FreeMix, Phase, shelf
from mixlib.describe.demo import (
    elevon_setup,
    flaperon_setup,
    four_surface_setup,
    hopper_ready,
    v_tail_setup,
)
from mixlib.panel.what_if import what_if

AILERONS = ("left aileron", "right aileron")
SETUPS = (flaperon_setup, four_surface_setup, hopper_ready, v_tail_setup, elevon_setup, behind, short, swept)


def table(panel):
    rows = re.findall(r"<tr>(.*?)</tr>", panel.extra)
    cells = [[re.sub(r"<[^>]+>", "", cell) for cell in re.findall(r"<t[hd].*?</t[hd]>", row)] for row in rows]
    return {first: rest for first, *rest in cells}


def number(cell):
    return float(re.search(r"[-−]?[\d.]+", cell)[0].replace("−", "-"))


def typed(panel, row, column, value):
    grid = panel.controls["bench"]
    new = [list(line) for line in grid.value]
    new[grid.rows.index(row)][column] = value
    grid.value = new


@pytest.fixture(scope="module")
def beside():
    """The demo with flaps, as it is kept as A."""
    panel = what_if(four_surface_setup())
    panel.press("Keep A")
    return panel


@pytest.fixture
def panel(beside):
    beside.reset()
    return beside


@pytest.mark.parametrize("make", SETUPS)
def test_it_opens_for_every_kind_of_model_and_a_lever_leaves_the_table_as_it_is(make):
    panel = what_if(make())
    assert panel.error == ""
    before = panel.extra
    assert "lets go" in before
    assert "full roll, approach: helix angle" in before
    assert "nan" not in before
    panel.controls["roll"].value = 0.7
    assert panel.error == ""
    assert panel.extra == before, "the table tells the ends, wherever the levers stand"


def test_a_hole_takes_the_same_share_of_all_throws(panel):
    """Small angles: the throw goes with arm over horn, a textbook's lever ratio."""
    typed(panel, "Both ailerons", 0, 8)
    rows = table(panel)
    for end in ("stick right", "droop", "brake out"):
        a, b, _ = rows[f"{end}: right aileron"]
        assert number(b) / number(a) == pytest.approx(0.8, abs=0.03), end
    assert rows["stick back: elevator"][2] == "as A"


def test_mass_goes_with_the_square_of_the_speed(panel):
    """Level flight: lift is 0.5 rho V^2 S CL, a textbook's; the section's own change with speed is small."""
    slider = panel.controls["mass"]
    before = slider.value
    slider.value = before * 1.2
    a, b, words = table(panel)["clean: lets go"]
    assert number(b) / number(a) == pytest.approx(np.sqrt(slider.value / before), rel=0.03)
    assert words.endswith("faster")
    assert table(panel)["stick right: right aileron"][2] == "as A"


def test_mark_gain_end_point_and_balance_point_arrive(panel):
    panel.controls["mark of brake out"].value = 60
    assert number(table(panel)["brake out: left flap"][1]) < number(table(panel)["brake out: left flap"][0])
    panel.reset()
    typed(panel, "Both ailerons", 2, 80)
    gains = table(panel)["brake out: roll left"]
    typed(panel, "Both ailerons", 2, 100)
    typed(panel, "Both ailerons", 3, 80)
    ends = table(panel)["brake out: roll left"]
    assert gains[0] == ends[0]
    assert number(gains[1]) > number(ends[1]) > number(ends[0]) - 1
    panel.reset()
    panel.controls["balance"].value += 25
    assert "tail-heavy" in panel.sentence or "neutral point" in panel.sentence


def test_the_air_can_be_left_out(panel):
    panel.controls["air"].value = False
    assert "stick right: right aileron" in table(panel)
    assert "lets go" not in panel.extra


def test_what_is_not_accepted_is_named_and_stays_typed(panel):
    typed(panel, "Both ailerons", 0, 1)
    assert (
        "Both ailerons: The linkage: Hole in the arm is 1 mm. Accepted: a number from 3 to 60 mm"
        in panel.error
    )
    assert panel.controls["bench"].value[1][0] == 1


@pytest.fixture
def shelf_of_mine(tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    mine = flaperon_setup().replace(name="Mine")
    shelf.keep(mine)
    return mine


def without_air(setup):
    panel = what_if(setup)
    panel.controls["air"].value = False
    return panel


def test_b_is_kept_as_shown_however_often_and_undone(shelf_of_mine):
    mine, panel = shelf_of_mine, without_air(shelf_of_mine)
    panel.controls["roll"].value = 0.5
    panel.press("Keep B as mine")
    assert "Only levers have moved" in panel.saved
    grams = 1000 * mine.aircraft.mass_kg
    typed(panel, "Both ailerons", 0, 8)
    typed(panel, "Both ailerons", 2, 80)
    panel.controls["mass"].value = grams + 50
    for _ in range(2):  # what is told in percent is not taken twice
        panel.press("Keep B as mine")
    kept = shelf.open_kept("mine")
    assert kept.aircraft.surface("left aileron").linkage.arm_mm == 8
    assert kept.free_mixes == tried.with_gains(mine, AILERONS, 80).free_mixes != mine.free_mixes
    assert kept.aircraft.mass_kg == pytest.approx(mine.aircraft.mass_kg + 0.05)
    assert kept.marks == mine.marks, "a mark that nobody moved"
    panel.reset()
    panel.controls["air"].value = False
    panel.controls["balance"].value += 3
    panel.press("Keep B as mine")
    cg = mine.aircraft.cg_mm
    assert f"balance point: {cg:g} → {cg + 3:g} mm" in panel.saved
    assert "left aileron and right aileron, holes: arm 8, horn 14 mm → arm 10, horn 14 mm" in panel.saved
    panel.press("Undo the keeping")
    panel.press("Undo the keeping")
    assert shelf.open_kept("mine") == mine


def test_b_stands_on_what_other_panels_have_kept_and_overwrites_none_of_it(shelf_of_mine):
    mine, panel = shelf_of_mine, without_air(shelf_of_mine)
    speed = Phase(name="speed", angles_deg=dict.fromkeys(AILERONS, -2.0))
    shelf.keep_change(mine, lambda newest: newest.with_phase(speed))
    typed(panel, "Both ailerons", 0, 8)
    panel.press("Keep B as mine")
    assert shelf.open_kept("mine").phases == (speed,)
    bent = tried.with_gains(mine, AILERONS, 90).free_mixes
    shelf.keep(shelf.open_kept("mine").replace(free_mixes=bent))
    typed(panel, "Both ailerons", 2, 80)
    panel.press("Keep B as mine")
    assert "was saved elsewhere since" in panel.saved
    assert shelf.open_kept("mine").free_mixes == bent
    shelf.keep(mine.replace(aircraft=mine.aircraft.replace(mass_kg=mine.aircraft.mass_kg + 0.3)))
    panel.press("Keep B as mine")
    assert "Not saved" in panel.saved
    assert shelf.open_kept("mine").aircraft.mass_kg == mine.aircraft.mass_kg + 0.3


def test_a_demo_with_b_becomes_a_new_set_up(shelf_of_mine):
    panel = without_air(four_surface_setup())
    panel.controls["mark of brake out"].value = 60
    panel.press("Keep B as mine")
    assert "A new set-up, “Four surfaces with crow, what if”" in panel.saved
    assert shelf.open_kept("four_surfaces_with_crow_what_if").used_to("brake", 1) == 0.6


def test_gains_are_taken_once_where_an_output_hands_its_demand_on():
    """By hand: a second output that follows the first's whole demand has its share of the gain already."""
    setup = four_surface_setup()
    radio = setup.radio.replace(mix_takes="output")
    numbers = [setup.wiring[name] for name in AILERONS]
    led = [part.replace(control=None) if part.number == numbers[1] else part for part in setup.outputs]
    mix = FreeMix.straight(numbers[0], numbers[1], 100)
    setup = setup.replace(radio=radio, outputs=tuple(led), free_mixes=(mix,), ready_made=(), shaping={})
    asked = commands(roll=0.2)
    before, after = (Rig(each).run(asked).demand for each in (setup, tried.with_gains(setup, AILERONS, 40)))
    assert before[numbers[1] - 1]
    for place in numbers:
        assert after[place - 1] == pytest.approx(0.4 * before[place - 1])


def test_edits_of_the_bench_leave_everything_else():
    setup = four_surface_setup()
    assert tried.with_gains(setup, AILERONS, 100) == setup
    assert tried.with_end_points(setup, AILERONS, 100).outputs == setup.outputs
    marked = tried.with_mark(setup, "camber", "above", 50)
    assert marked.used_to("camber", 1) == 0.5
    assert tried.with_mark(marked, "camber", "above", 100).used_to("camber", 1) == 1
    ends = tried.with_end_points(setup, AILERONS, 50)
    assert aileron_throws(ends)[0].up_mm < aileron_throws(setup)[0].up_mm
    assert known_performance(ends.aircraft) is known_performance(setup.aircraft)
