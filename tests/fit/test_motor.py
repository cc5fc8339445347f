"""The fit leaves the motor alone, gives a control that moves one output to one, and knows one servo."""

import pytest

from mixlib.bench.fit import fit, usual_wants
from mixlib.chain import Rig, commands
from mixlib.describe import Control, Want, shipped, shipped_names
from mixlib.describe.demo import hopper_as_bought

HOPPER, SIMPLE, RICH = hopper_as_bought().aircraft, hopper_as_bought().radio, shipped("radio", "rich_ten")
WANTS = usual_wants(HOPPER)


@pytest.mark.parametrize("radio", shipped_names("radio"))
def test_no_servo_on_the_motors_output_and_the_motor_off_when_closed(radio):
    result = fit(HOPPER, shipped("radio", radio), WANTS, marks=True)
    for setup in (result.setup, *(other.setup for other in result.alternatives)):
        number = setup.wiring["motor"]
        assert setup.plugs_on(number) == ("motor",)
        assert setup.output(number).control == "throttle"
        assert "throttle" in setup.radio.can_drive(number)
        rows = [
            commands(**{command: way})
            for command in ("roll", "pitch", "yaw", "camber", "brake")
            for way in (0, 1)
        ]
        assert Rig(setup).run(rows).power.tolist() == [[0]] * len(rows)


def test_hopper_on_simple_six_gets_its_usual_throws_with_two_mixes():
    """Two ailerons with roll and camber: four shares, the roll stick drives one output and the dial one."""
    result = fit(HOPPER, SIMPLE, WANTS, marks=True)
    assert (result.mixes_used, result.mixes_needed) == (2, 2)
    # Stick and dial have no gain: one rate for both ways of roll and pitch, and no mark below a fifth.
    assert result.worst_miss_mm < 2.5
    assert {row.want.command for row in result.rows if abs(row.miss_mm) >= 0.5} <= {"roll", "pitch", "camber"}
    assert sorted(result.setup.wiring[name] for name in ("left aileron", "right aileron"))[0] == 1


def test_a_dial_that_moves_one_output_is_fitted_to_one():
    """Two flaps want camber, and there is no mix: the dial brings it to both, or to none of the pair."""
    aircraft = shipped("aircraft", "orchard_three")
    usual = [w for w in usual_wants(aircraft) if w.command == "camber" and "flap" in w.surface]
    wants = tuple(
        want.replace(amount=3 * want.amount) for want in usual
    )  # enough for marks that a hand can keep
    for at_once, driven in ((True, 2), (False, 0)):
        radio = SIMPLE.with_control("camber", at_once=at_once).replace(free_mixes=0)
        result = fit(aircraft, radio, wants, marks=True)
        assert [output.control for output in result.setup.outputs].count("camber") == driven
        assert result.mixes_needed == (0 if at_once else 1)
        assert bool([words for words in result.cannot if words.startswith("Left out camber")]) == (
            not at_once
        )


def test_a_control_that_does_not_rest_at_nothing_drives_no_surface():
    """A brake lever whose output stands at -100 % when it is in would hold an elevator up."""
    aircraft = shipped("aircraft", "orchard_three")
    wants = (Want(surface="elevator", command="brake", amount=3),)
    for low, control in ((0, "brake"), (-100, None)):
        lever = Control(command="brake", held_by="slider", drives=(1,), at_low_percent=low)
        setup = fit(aircraft, SIMPLE.replace(controls=(lever,), free_mixes=0), wants).setup
        assert setup.output(1).control == control


def test_the_motor_keeps_its_plug_and_its_settings():
    """What a controller has learnt is not turned round by a fit; Rich ten's throttle reaches every output."""
    before = hopper_as_bought().with_output(3, reversed=True, end_low_percent=90)
    fitted = fit(HOPPER, SIMPLE, WANTS, keep=before).setup
    assert fitted.output(3) == before.output(3)
    fitted = fit(HOPPER, RICH, WANTS).setup
    assert fitted.wiring["motor"] == 10
    moved = fitted.replace(
        wiring={**fitted.wiring, "motor": 3, "elevator": 7},
        outputs=tuple(
            o.replace(number={3: 7, 10: 3}.get(o.number, o.number), reversed=o.number == 10)
            for o in fitted.outputs
            if o.number != 7
        ),
    )
    again = fit(HOPPER, RICH, WANTS, keep=moved).setup
    assert again.wiring["motor"] == 3
    assert again.output(3) == moved.output(3)
    assert again.plugs_on(3) == ("motor",)


def test_one_servo_for_both_ailerons_is_said_first():
    left, right, *others = HOPPER.surfaces
    one = HOPPER.replace(surfaces=(left.replace(servo_of="right aileron"), right, *others))
    result = fit(one, SIMPLE, usual_wants(one))
    assert result.cannot[0].startswith(
        "One servo moves right aileron and left aileron: buy a second one first."
    )
    assert not [note for note in result.notes if "Y-lead" in note]
    assert result.setup.wiring["left aileron"] == result.setup.wiring["right aileron"]


def test_too_few_outputs_beside_the_motor():
    radio = SIMPLE.replace(outputs=2, controls=SIMPLE.controls[:2])
    with pytest.raises(
        ValueError, match="at least 4 for 4 surfaces, with each pair on a Y-lead and one for the motor"
    ):
        fit(HOPPER, radio, WANTS)


def test_mixes_that_all_shares_need_by_hand():
    """Roll and camber on two ailerons, pitch, yaw: six shares.  Each of four controls that move one output
    brings one of them; controls that move all outputs at once bring one to each of the four surfaces."""
    for at_once, needed in ((True, 2), (False, 2)):
        radio = RICH.replace(controls=tuple(c.replace(at_once=at_once) for c in RICH.controls))
        wishes = fit(HOPPER, radio, WANTS).setup.wanted
        assert fit(HOPPER, radio, wishes).mixes_needed == needed
