"""The card of a motor glider: its motor first, nothing that moves the throttle; the dial, and how to trim."""

import pytest

from mixlib.bench.card import as_markdown, bench_card
from mixlib.bench.card.card import MOTOR_CHECKS
from mixlib.bench.cautions import CAUTIONS
from mixlib.describe import FreeMix, Mark, ReadyMade, plain_setup, shipped
from mixlib.describe.demo import (
    elevon_setup,
    flaperon_setup,
    four_surface_setup,
    hopper_as_bought,
    hopper_flaperons,
    hopper_ready,
)

HOPPER = shipped("aircraft", "orchard_hopper")


def test_the_motor_is_a_row_with_its_caution_first():
    card = bench_card(hopper_as_bought())
    assert card.outputs.columns[1] == "Plug of"
    assert card.outputs.rows[0][1] == "left aileron and right aileron (Y-lead)"
    assert card.outputs.rows[2][-1] == "motor off"
    assert card.outputs.rows[2][:4] == ("3", "motor", "normal", "throttle: closed 1000 us, full 2000 us")
    look, *others, with_droop = card.cautions.lines
    assert look.startswith("Before the battery is connected, look: the motor's plug sits in output 3")
    assert tuple(others) == CAUTIONS
    assert with_droop.startswith(
        "Motor on with droop in (going round): power is not in this workbook's air model."
    )
    assert card.bench_checks.boxes[-2:] == MOTOR_CHECKS
    assert "Fail-safe set with the motor off" in MOTOR_CHECKS[1]
    assert not set(MOTOR_CHECKS) & set(bench_card(flaperon_setup()).bench_checks.boxes)


def test_a_reversed_motor_output_is_told_as_a_danger():
    card = bench_card(hopper_as_bought().with_output(3, reversed=True))
    assert card.outputs.rows[2][2:4] == ("reversed", "throttle: closed 2000 us, full 1000 us")
    assert card.cautions.lines[0].startswith(
        "Danger: with the throttle closed output 3 sends 2000 us, 100 % of full"
    )
    assert "Motor: full throttle gives 0 % of its power." in card.limits.lines


def test_an_end_point_that_holds_the_motor_back():
    card = bench_card(hopper_as_bought().with_output(3, end_high_percent=60))
    assert card.limits.lines == ("Motor: full throttle gives 88 % of its power.",)
    assert not [line for line in bench_card(hopper_as_bought()).limits.lines if "otor" in line]


def test_no_movement_of_the_card_is_tried_with_the_throttle():
    """10 % of down elevator: told as calculated, without a box to tick."""
    setup = hopper_as_bought().replace(free_mixes=(FreeMix.straight("throttle", 2, -10),))
    movements = bench_card(setup).movements
    assert not [row for row in movements.rows if "hrottle" in row[1]]
    (line,) = movements.lines
    assert line.startswith("Full throttle, calculated and not to be tried here: elevator down 1.6 mm")


def test_one_servo_is_no_y_lead():
    left, right, *others = HOPPER.surfaces
    one = HOPPER.replace(surfaces=(left.replace(servo_of="right aileron"), right, *others))
    card = bench_card(hopper_as_bought().replace(aircraft=one))
    assert card.outputs.rows[0][1] == "left aileron and right aileron (one servo)"


def test_how_to_trim_roll_where_the_mix_leaves_the_trim_behind():
    setup = hopper_flaperons()
    assert bench_card(setup).trims.lines == (
        "How to trim roll afterwards: the trim lever moves right aileron and not left aileron, since mixes "
        "leave the trim behind on this radio. Move the sub-trim of output 6 (left aileron) as well, or the "
        "rod of the left aileron.",
    )
    carried = setup.replace(radio=setup.radio.replace(mixes_carry_trim=True))
    assert bench_card(carried).trims.empty
    assert bench_card(hopper_as_bought()).trims.empty
    assert bench_card(hopper_as_bought().replace(trims={"roll": -5})).trims.lines == (
        "roll: the trim lever stands at −5 %",
    )
    bare = setup.replace(radio=setup.radio.replace(sub_trim_max_percent=0))
    assert bench_card(bare).trims.lines[0].endswith("on this radio. Move the rod of the left aileron.")
    assert bench_card(setup.replace(radio=setup.radio.replace(trim_max_percent=0))).trims.empty


def test_trims_of_elevons_and_of_a_radio_whose_mixes_carry_them():
    roll, pitch = bench_card(elevon_setup()).trims.lines
    assert "moves left elevon and not right elevon" in roll
    assert "How to trim pitch afterwards: the trim lever moves right elevon and not left elevon" in pitch
    assert bench_card(four_surface_setup()).trims.empty


def test_the_dials_manners():
    """Down 7.5 mm at the mark and 15.6 mm at the end: the movements of the chain, as in its own tests."""
    setup = hopper_flaperons()
    stands, middle = bench_card(setup).dials.lines
    assert stands == "Where the camber dial stands at switch-on is not known: look before every launch."
    assert middle.startswith("The camber dial has no feel for its middle: mark neutral. Neutral at one end")
    assert "it costs reflex" in middle
    marked = setup.replace(
        marks=(Mark(command="camber", percent=46), Mark(command="camber", side="below", percent=100))
    )
    _, past, _ = bench_card(marked).dials.lines
    assert past.startswith(
        "From droop to the mark at 46 % on to the end: both ailerons down 15.6 mm (25.7°) in place of"
    )
    assert "down 7.5 mm (12.3°)." in past
    assert bench_card(hopper_as_bought()).dials.empty


def test_nothing_runs_out_where_rate_and_marks_leave_room_for_each_other():
    """60 % of roll and 40 % of camber fill an output up to its 100 %; without them they ask for 200 %."""
    ready, free = (bench_card(setup).limits.rows for setup in (hopper_ready(), hopper_flaperons()))
    assert ready
    assert all("past its mark" in row[0] for row in ready)
    assert free[0][0] == "Stick right and droop, or mirrored"


def test_a_slider_that_rests_at_its_end_has_no_middle():
    card = bench_card(four_surface_setup())
    assert card.dials.lines[0].startswith("Where the camber dial and the brake slider stand at switch-on")
    assert len(card.dials.lines) == 2
    assert card.dials.title == "The dial"


@pytest.mark.parametrize("opposite, words", [(50, "+50 %"), (-50, "−50 %")])
def test_a_ready_made_function_is_listed_beside_the_free_mixes(opposite, words):
    setup = plain_setup(HOPPER, shipped("radio", "plain_seven")).with_output(1, control=None)
    setup = setup.with_output(6, control=None).replace(
        wiring={**setup.wiring, "left aileron": 6, "right aileron": 1},
        ready_made=(ReadyMade(kind="flaperons", first=6, second=1, opposite_percent=opposite),),
    )
    line, none = bench_card(setup).mixes.lines
    assert line == (
        "Ready-made flaperons: roll alike to outputs 6 and 1, +100 %; camber to output 6 with "
        f"{words}, to output 1 the other way round"
    )
    assert none == "None."
    assert bench_card(setup).trims.empty
    assert "Ready-made flaperons" in as_markdown(bench_card(setup))
