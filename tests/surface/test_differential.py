"""Ways to less down than up: what each gives, what it leaves of the droop, and when it cannot be had."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from mixlib.bench.surface.differential import WAYS, aileron_throws, ailerons, differential_percent, less_down
from mixlib.chain import Rig, commands
from mixlib.chain.linkage import rod_length_mm
from mixlib.describe import FreeMix, Mark, Output, plain_setup, shipped
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup

GAINS, ENDS, ARM, HORN, TRAP = WAYS


def roll_by_mixes():
    """Flaperons on a dial that moves both outputs, roll by both free mixes: every roll gain can be set."""
    plain = flaperon_setup()
    dial = (Output(number=5, control="camber", reversed=True), Output(number=6, control="camber"))
    return plain.replace(
        radio=plain.radio.with_control("camber", at_once=True),
        wiring={**plain.wiring, "right aileron": 5},
        outputs=(plain.output(2), plain.output(4), *dial),
        free_mixes=(FreeMix.straight("roll", 5, -100), FreeMix.straight("roll", 6, 100)),
    )


def closed_form_mm(arm_deg: float, arm_angle_deg: float = 90.0) -> float:
    """Throw of the Orchard Two's aileron from the rod's fixed length, by a root finder (scipy's brentq)."""

    def length(horn_deg, turn_deg):
        a, h = np.radians(arm_angle_deg + turn_deg), np.radians(90 + horn_deg)
        return np.hypot(70 + 14 * np.cos(h) - 10 * np.cos(a), 14 * np.sin(h) - 10 * np.sin(a))

    angle = brentq(lambda horn: length(horn, arm_deg) - length(0, 0), -60, 60)
    return 2 * 40 * np.sin(np.radians(angle) / 2)


def test_flaperons_with_roll_by_mixes_move_like_the_plain_ones():
    asked = commands(roll=[1, -1, 0, 0, 0.3], camber=[0, 0, 1, -1, -0.4])
    np.testing.assert_allclose(Rig(roll_by_mixes()).run(asked).throw, Rig(flaperon_setup()).run(asked).throw)


@pytest.mark.parametrize("way", [GAINS, ENDS])
def test_less_gain_and_a_closer_end_point_give_a_smaller_arm_angle_one_way_only(way):
    """40 % less of 45 deg is 27 deg of arm; the throw from the rod's length alone."""
    for throws in aileron_throws(less_down(roll_by_mixes(), way, 40)):
        assert throws.down_mm == pytest.approx(closed_form_mm(27), abs=1e-6)
        assert throws.up_mm == pytest.approx(-closed_form_mm(-45), abs=1e-6)
        assert throws.reflex_mm == pytest.approx(closed_form_mm(-45), abs=1e-6)
        droop = 45 if way == GAINS else 27
        assert throws.droop_mm == pytest.approx(closed_form_mm(droop), abs=1e-6)
        assert throws.less_down_percent == pytest.approx(100 * (1 + closed_form_mm(27) / closed_form_mm(-45)))


def test_droop_and_reflex_are_those_at_the_marks_of_the_dial():
    marks = Mark(command="camber", percent=60), Mark(command="camber", side="below", percent=20)
    for throws in aileron_throws(roll_by_mixes().replace(marks=marks)):
        assert throws.droop_mm == pytest.approx(closed_form_mm(0.6 * 45), abs=1e-6)
        assert throws.reflex_mm == pytest.approx(closed_form_mm(-0.2 * 45), abs=1e-6)
        assert throws.down_mm == pytest.approx(closed_form_mm(45), abs=1e-6)


def test_a_leaning_arm_takes_the_same_from_roll_and_droop():
    for throws in aileron_throws(less_down(roll_by_mixes(), ARM, 20)):
        assert throws.down_mm == throws.droop_mm == pytest.approx(closed_form_mm(45, 110), abs=1e-6)
        assert throws.up_mm == -throws.reflex_mm == pytest.approx(-closed_form_mm(-45, 110), abs=1e-6)
        assert throws.rest_mm == pytest.approx(0, abs=1e-9)


def test_an_arm_put_on_turned_with_a_new_rod_is_a_leaning_arm():
    """The same hardware told in two ways: as the angle of the arm, or as an offset with the rod that fits."""
    setup = roll_by_mixes()
    leaning = less_down(setup, ARM, 15)
    turned = []
    for surface, other in zip(setup.aircraft.surfaces, leaning.aircraft.surfaces, strict=True):
        if surface.kind == "aileron":
            lean = other.linkage.arm_angle_deg - surface.linkage.arm_angle_deg
            surface = surface.replace(
                servo=surface.servo.replace(arm_offset_deg=lean),
                linkage=surface.linkage.replace(rod_mm=rod_length_mm(other.linkage)),
            )
        turned.append(surface)
    offset = setup.replace(aircraft=setup.aircraft.replace(surfaces=tuple(turned)))
    # The rod does not fit at the drawn place now, so horn and surface start where the longer rod puts them.
    for one, two in zip(aileron_throws(leaning), aileron_throws(offset), strict=True):
        assert one.up_mm == pytest.approx(two.up_mm, abs=1e-9)
        assert one.down_mm == pytest.approx(two.down_mm, abs=1e-9)
        assert two.rest_mm == pytest.approx(0, abs=1e-9)


def test_sub_trim_undoes_a_turned_arm_as_far_as_it_reaches():
    before = aileron_throws(roll_by_mixes())[0]
    after = less_down(roll_by_mixes(), TRAP, 10)
    assert {after.output(n).sub_trim_percent for n in (5, 6)} == {22, -22}  # 10 deg of 45 for 100 %
    for throws in aileron_throws(after):
        assert abs(throws.rest_mm) < 0.05
        assert abs(throws.less_down_percent - before.less_down_percent) < 3
    for throws in aileron_throws(less_down(roll_by_mixes(), TRAP, 20)):  # 30 % is all there is: 13.5 deg
        assert throws.rest_mm == pytest.approx(closed_form_mm(20 - 13.5), abs=1e-6)


@pytest.mark.parametrize("demo", [roll_by_mixes, four_surface_setup, v_tail_setup])
@pytest.mark.parametrize("way", [GAINS, ENDS, ARM, HORN])
def test_every_way_gives_less_down_than_before_alike_on_both_sides(demo, way):
    before = aileron_throws(demo())
    after = aileron_throws(less_down(demo(), way, 20))
    for old, new in zip(before, after, strict=True):
        assert new.less_down_percent > old.less_down_percent + 5
        assert new.rest_mm == pytest.approx(0, abs=1e-9)
    left, right = ((t.up_mm, t.down_mm, t.droop_mm, t.reflex_mm) for t in after)
    assert left == pytest.approx(right, abs=1e-9)
    assert less_down(demo(), way, 0) == demo()


@pytest.mark.parametrize("arm_side", ["above", "below"])
@pytest.mark.parametrize("horn_side", ["above", "below"])
@pytest.mark.parametrize("way", [ARM, HORN])
def test_arm_or_horn_leans_the_right_way_whatever_side_they_are_on(arm_side, horn_side, way):
    setup = flaperon_setup()
    parts = tuple(
        part.replace(
            linkage=part.linkage.replace(arm_side=arm_side, horn_side=horn_side, arm_mm=8),
            stop_up_deg=60,
            stop_down_deg=60,
        )
        if part.kind == "aileron"
        else part
        for part in setup.aircraft.surfaces
    )
    setup = setup.replace(aircraft=setup.aircraft.replace(surfaces=parts))
    before, after = aileron_throws(setup)[0], aileron_throws(less_down(setup, way, 20))[0]
    assert after.less_down_percent > before.less_down_percent + 10


def test_scaling_and_clipping_end_points_take_the_same_droop_but_part_on_the_way():
    clip = less_down(roll_by_mixes(), ENDS, 40)
    scale = clip.replace(radio=clip.radio.replace(end_points="scale"))
    half = commands(camber=[0.5, 1.0])
    (clip_half, clip_full), (scale_half, scale_full) = (Rig(s).run(half).throw[:, 0] for s in (clip, scale))
    assert clip_full == pytest.approx(scale_full)
    assert clip_half == pytest.approx(closed_form_mm(22.5), abs=1e-6)
    assert scale_half == pytest.approx(closed_form_mm(13.5), abs=1e-6)


def test_settings_keep_to_the_steps_of_the_radio():
    coarse = roll_by_mixes()
    radio = coarse.radio.replace(gain_step_percent=5, travel_step_percent=5)
    coarse = coarse.replace(radio=radio)
    assert less_down(coarse, GAINS, 33).free_mixes[1].gain_above_percent == 65
    assert less_down(coarse, ENDS, 33).output(6).end_high_percent == 65


def test_what_cannot_be_had_is_told_in_words():
    with pytest.raises(ValueError, match="right aileron gets roll straight from the stick on output 1"):
        less_down(flaperon_setup(), GAINS, 20)
    with pytest.raises(ValueError, match="straight from the stick"):
        less_down(elevon_setup(), GAINS, 20)
    y_lead = plain_setup(shipped("aircraft", "orchard_two"), shipped("radio", "bare_four"))
    for way in (GAINS, ENDS, TRAP):
        with pytest.raises(ValueError, match="share output 1: down for one is up for the other"):
            less_down(y_lead, way, 20)
    for throws in aileron_throws(less_down(y_lead, ARM, 30)):
        assert throws.less_down_percent > 25
    still = plain_setup(shipped("aircraft", "orchard_two"), shipped("radio", "simple_six"))
    with pytest.raises(ValueError, match="does not move with roll"):
        less_down(still.replace(outputs=(), free_mixes=()), ENDS, 20)
    curved = roll_by_mixes()
    radio = curved.radio.replace(curve_points=3)
    bent = FreeMix(leader="roll", follower=6, curve_percent=(-100.0, 0.0, 60.0))
    with pytest.raises(ValueError, match="has a curve"):
        less_down(
            curved.replace(radio=radio, free_mixes=(FreeMix.straight("roll", 5, -100), bent)), GAINS, 20
        )


@pytest.mark.parametrize(("way", "amount"), [("magic", 10), (GAINS, -1), (GAINS, 101), (ENDS, float("nan"))])
def test_ways_and_amounts_that_are_none_are_refused(way, amount):
    with pytest.raises(ValueError, match=r"use one of|accepted: 0 to 100"):
        less_down(roll_by_mixes(), way, amount)


def test_an_aircraft_without_ailerons_is_told():
    vee = v_tail_setup()
    tail = tuple(part for part in vee.aircraft.surfaces if part.kind == "v-tail")
    wiring = {part.name: vee.wiring[part.name] for part in tail}
    bare = vee.replace(aircraft=vee.aircraft.replace(surfaces=tail), wiring=wiring)
    with pytest.raises(ValueError, match="has no aileron and no elevon"):
        ailerons(bare)


def test_differential_of_known_throws():
    assert differential_percent(20, 10) == 50
    assert differential_percent(20, 20) == 0
    assert differential_percent(10, 12) == pytest.approx(-20)
    with pytest.raises(ValueError, match="more than 0 mm"):
        differential_percent(0, 5)
