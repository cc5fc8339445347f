"""The whole chain: stages by name, signs one axis at a time, wiring, limits and the flaperon by two mixes."""

import numpy as np
import pytest
from description_strategies import linkages, numbers, setups
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from mixlib.chain import STAGES, LinkageError, Rig, commands
from mixlib.chain.linkage import surface_angle_deg
from mixlib.chain.mixing import Mixer
from mixlib.chain.outputs import pulse_us, travel_percent
from mixlib.describe import FreeMix, Output, Shaping, plain_setup, shipped, shipped_names
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup
from mixlib.units import throw_mm_from_angle

TWO, THREE = shipped("aircraft", "orchard_two"), shipped("aircraft", "orchard_three")
SIMPLE, RICH, BARE = (shipped("radio", name) for name in ("simple_six", "rich_ten", "bare_four"))
DEMOS = [flaperon_setup, four_surface_setup, v_tail_setup, elevon_setup]
heavy = settings(suppress_health_check=list(HealthCheck), deadline=None, max_examples=25)


def test_every_stage_by_hand():
    """Elevator of the flaperon set-up, half back stick, 50 % expo: 0.5 (1 - 0.5) + 0.5 x 0.125 = 0.3125;
    31.25 %; reversed -31.25 %; 1500 - 156.25 us; arm 14.0625 deg back; then the rod's geometry."""
    setup = (
        flaperon_setup().with_output(2, reversed=True).replace(shaping={"pitch": Shaping(expo_percent=50)})
    )
    rig, u = Rig(setup), commands(pitch=0.5)
    elevator = setup.aircraft.surface("elevator")
    place = rig.surface_names.index("elevator")
    assert rig.stage("command", u)[1] == pytest.approx(0.3125)
    assert rig.stage("demand", u)[1] == pytest.approx(31.25)
    assert rig.stage("travel", u)[1] == pytest.approx(-31.25)
    assert rig.stage("pulse", u)[1] == pytest.approx(1343.75)
    assert rig.stage("arm", u)[place] == pytest.approx(-14.0625)
    surface = float(surface_angle_deg(elevator.linkage, -14.0625))
    assert rig.stage("surface", u)[place] == pytest.approx(surface)
    assert rig.stage("throw", u)[place] == pytest.approx(2 * 38 * np.sin(np.radians(surface / 2)))


def test_stages_in_order_with_their_units():
    assert list(STAGES.items()) == [
        ("command", ""),
        ("demand", "%"),
        ("travel", "%"),
        ("pulse", "us"),
        ("arm", "deg"),
        ("surface", "deg"),
        ("throw", "mm"),
    ]
    with pytest.raises(ValueError, match="no stage is called 'angle'; use one of command, demand"):
        Rig(flaperon_setup()).stage("angle", commands())


def test_commands_of_another_shape_are_refused():
    for wrong in ([0.0, 1.0], 1.0, np.zeros((6, 2))):
        with pytest.raises(ValueError, match="accepted: 6 numbers on the last axis, roll, pitch"):
            Rig(flaperon_setup()).run(wrong)


SIGNS = [
    # command, surface, way: right wing down wants the right aileron up; nose up wants the elevator up;
    # nose right wants the rudder right; droop is down, reflex up; crow is ailerons up and flaps down
    ({"roll": 1}, "right aileron", -1),
    ({"roll": 1}, "left aileron", 1),
    ({"roll": -1}, "right aileron", 1),
    ({"roll": -1}, "left aileron", -1),
    ({"pitch": 1}, "elevator", -1),
    ({"pitch": -1}, "elevator", 1),
    ({"yaw": 1}, "rudder", -1),
    ({"yaw": -1}, "rudder", 1),
    ({"camber": 1}, "left aileron", 1),
    ({"camber": 1}, "right aileron", 1),
    ({"camber": -1}, "left aileron", -1),
    ({"camber": -1}, "right aileron", -1),
]


@pytest.mark.parametrize("values, surface, sign", SIGNS)
@pytest.mark.parametrize("demo", [flaperon_setup, four_surface_setup])
def test_demos_move_as_the_sign_convention_says(demo, values, surface, sign):
    """ISO 1151-4:1994: a positive deflection gives a negative moment about its own axis (from memory), so
    each command, which asks for a positive moment, moves its own surface negatively."""
    assert np.sign(Rig(demo()).moves(**values)[surface]) == sign


@pytest.mark.parametrize("demo", [flaperon_setup, four_surface_setup])
def test_single_value_of_the_ailerons_has_the_sign_of_iso_1151(demo):
    """Half of right minus left, negative for a roll to the right (ISO 1151-4:1994, from memory)."""
    moves = Rig(demo()).moves(roll=1)
    assert (moves["right aileron"] - moves["left aileron"]) / 2 < 0


def test_crow_is_ailerons_up_and_flaps_down():
    """Common practice, no source."""
    moves = Rig(four_surface_setup()).moves(brake=1)
    assert moves["left aileron"] < -10 > moves["right aileron"]
    assert moves["left flap"] > 40 < moves["right flap"]


@pytest.mark.parametrize("values, left, right", [
    ({"pitch": 1}, -1, -1), ({"pitch": -1}, 1, 1), ({"yaw": 1}, -1, 1), ({"yaw": -1}, 1, -1)
])  # fmt: skip
def test_v_tail_pitches_together_and_yaws_apart(values, left, right):
    """On yaw right the tail must be pushed left: the left half, which leans left, lifts less along its normal
    when its trailing edge goes up, and the right half pushes left when its trailing edge goes down."""
    moves = Rig(v_tail_setup()).moves(**values)
    assert (np.sign(moves["left V-tail"]), np.sign(moves["right V-tail"])) == (left, right)


@pytest.mark.parametrize("values, left, right", [
    ({"roll": 1}, 1, -1), ({"roll": -1}, -1, 1), ({"pitch": 1}, -1, -1), ({"pitch": -1}, 1, 1)
])  # fmt: skip
def test_elevons_pitch_together_and_roll_apart(values, left, right):
    moves = Rig(elevon_setup()).moves(**values)
    assert (np.sign(moves["left elevon"]), np.sign(moves["right elevon"])) == (left, right)


class TestFlaperonByTwoMixes:
    """Two ailerons on two outputs with mirrored servos, one mix at +100/+100 and one at -100/-100: roll moves
    them apart, the dial moves them together, from full reflex through neutral to full flap (common practice,
    no source)."""

    rig = Rig(flaperon_setup())

    def angles(self, **values):
        moves = self.rig.moves(**values)
        return moves["left aileron"], moves["right aileron"]

    def test_demands_are_the_sum_and_the_difference(self):
        """Output 6 adds, output 1 subtracts, because its servo is the mirror image of the other."""
        for roll in (-1, -0.5, 0, 0.5, 1):
            for camber in (-1, 0, 0.5):
                demand = self.rig.run(commands(roll=roll, camber=camber)).demand
                assert demand[5] == pytest.approx(100 * (camber + roll))
                assert demand[0] == pytest.approx(100 * (roll - camber))

    @pytest.mark.parametrize("amount", [0.25, 0.5, 1])
    def test_roll_moves_them_apart_and_the_dial_together(self, amount):
        left, right = self.angles(roll=amount)
        assert left > 0 > right
        left, right = self.angles(camber=amount)
        assert left == pytest.approx(right)
        assert left > 0
        left, right = self.angles(camber=-amount)
        assert left == pytest.approx(right)
        assert left < 0

    def test_neutral_is_neutral(self):
        assert self.angles() == pytest.approx((0, 0), abs=1e-9)

    def test_dial_goes_through_neutral_without_a_jump(self):
        together = self.rig.run(commands(camber=np.linspace(-1, 1, 201))).surface[:, 0]
        assert np.all(np.diff(together) > 0)
        assert np.max(np.diff(together)) < 1

    def test_stick_to_the_other_side_is_the_mirror_image(self):
        for camber in (-0.3, 0, 0.4):
            left, right = self.angles(roll=0.6, camber=camber)
            other_left, other_right = self.angles(roll=-0.6, camber=camber)
            assert (left, right) == pytest.approx((other_right, other_left))

    def test_full_roll_on_full_droop_runs_out_of_travel_on_one_side_only(self):
        """Demand 200 % of output 6 is cut off at its end point of 100 %; output 1 is asked for 0 %."""
        stages = self.rig.run(commands(roll=1, camber=1))
        assert stages.demand[[5, 0]] == pytest.approx([200, 0])
        assert stages.travel[[5, 0]] == pytest.approx([100, 0])
        assert stages.demand_clipped[[5, 0]].tolist() == [True, False]
        left, right = self.angles(roll=1, camber=1)
        assert left == pytest.approx(self.angles(roll=1)[0])
        assert right == pytest.approx(0, abs=1e-9)

    def test_servos_built_in_the_same_way_round_need_the_other_signs(self):
        """The same settings with two equal servos roll on the dial and droop on the stick."""
        setup = flaperon_setup()
        left, right, *rest = setup.aircraft.surfaces
        same = right.replace(servo=left.servo)
        moves = Rig(setup.replace(aircraft=setup.aircraft.replace(surfaces=(left, same, *rest)))).moves
        assert moves(roll=0.5)["left aileron"] == pytest.approx(moves(roll=0.5)["right aileron"])
        assert moves(camber=0.5)["left aileron"] * moves(camber=0.5)["right aileron"] < 0


def test_y_lead_gives_both_servos_the_same_pulse():
    """Mirrored servos on one output work as ailerons and can never droop."""
    setup = plain_setup(TWO, BARE)
    rig = Rig(setup)
    roll = rig.moves(roll=1)
    assert roll["left aileron"] * roll["right aileron"] < 0
    assert rig.run(commands(roll=1)).pulse.shape == (4,)
    assert rig.moves(camber=1)["left aileron"] == pytest.approx(0, abs=1e-9)


def test_y_lead_on_servos_the_same_way_round_moves_both_alike():
    left, right, *rest = TWO.surfaces
    aircraft = TWO.replace(surfaces=(left, right.replace(servo=left.servo), *rest))
    moves = Rig(plain_setup(aircraft, BARE)).moves(roll=1)
    assert moves["left aileron"] == pytest.approx(moves["right aileron"])


def test_swapped_wires_swap_the_movements():
    setup = flaperon_setup()
    swapped = setup.replace(wiring={**setup.wiring, "elevator": 4, "rudder": 2})
    assert Rig(swapped).moves(pitch=1)["elevator"] == pytest.approx(0, abs=1e-9)
    assert abs(Rig(swapped).moves(pitch=1)["rudder"]) > 10


def test_reversing_an_output_turns_its_surface_round():
    setup = flaperon_setup()
    for command, number, name in (("pitch", 2, "elevator"), ("yaw", 4, "rudder")):
        before = Rig(setup).moves(**{command: 0.5})[name]
        after = Rig(setup.with_output(number, reversed=True)).moves(**{command: 0.5})[name]
        assert before * after < 0


def with_surface(setup, name, **changes):
    surfaces = tuple(
        part.replace(**changes) if part.name == name else part for part in setup.aircraft.surfaces
    )
    return setup.replace(aircraft=setup.aircraft.replace(surfaces=surfaces))


def test_stop_holds_the_surface_and_says_so():
    rig = Rig(with_surface(flaperon_setup(), "elevator", stop_up_deg=10))
    stages = rig.run(commands(pitch=[1, -1, 0.1]))
    place = rig.surface_names.index("elevator")
    assert stages.surface[0, place] == -10
    assert stages.at_stop[:, place].tolist() == [True, False, False]
    assert stages.surface[1, place] > 10
    assert not np.delete(stages.at_stop, place, axis=-1).any()


def test_linkage_that_would_lock_is_held_at_its_dead_point():
    """Arm 20, horn 10: the rod comes in line with the horn well before the servo's 45 degrees."""
    link = TWO.surface("elevator").linkage.replace(arm_mm=20, horn_mm=10, distance_mm=100)
    rig = Rig(with_surface(flaperon_setup(), "elevator", linkage=link, stop_up_deg=90, stop_down_deg=90))
    stages = rig.run(commands(pitch=[-1, 0.1, 1]))
    place = rig.surface_names.index("elevator")
    assert stages.binds[:, place].tolist() == [True, False, True]
    assert np.all(np.isfinite(stages.surface))


def test_linkage_that_cannot_close_names_its_surface():
    link = TWO.surface("elevator").linkage.replace(distance_mm=100, horn_mm=20, arm_angle_deg=30, rod_mm=125)
    with pytest.raises(LinkageError, match="elevator: the linkage cannot close with the arm at 30 deg"):
        Rig(with_surface(flaperon_setup(), "elevator", linkage=link))


def test_pulse_that_radio_or_servo_does_not_follow_is_flagged():
    setup = plain_setup(TWO, RICH).with_output(2, control="pitch", end_high_percent=140, end_low_percent=140)
    setup = setup.replace(wiring={**setup.wiring, "elevator": 2, "left aileron": 1})
    rig = Rig(setup)
    assert rig.run(commands(pitch=1)).pulse_clipped[1]  # 2200 us, and the radio ends at 2180
    servo = TWO.surface("elevator").servo.replace(max_us=1900)
    plain = Rig(with_surface(flaperon_setup(), "elevator", servo=servo))
    stages = plain.run(commands(pitch=[0.5, 1, -1]))
    assert stages.pulse_clipped[:, 1].tolist() == [False, True, False]
    place = plain.surface_names.index("elevator")
    assert stages.arm[1, place] == pytest.approx(45 * 0.8)


@pytest.mark.parametrize("radio", shipped_names("radio"))
@pytest.mark.parametrize("aircraft", shipped_names("aircraft"))
def test_plain_setups_run(aircraft, radio):
    rig = Rig(plain_setup(shipped("aircraft", aircraft), shipped("radio", radio)))
    stages = rig.run(np.vstack([np.eye(6), -np.eye(6)[:4], np.zeros(6)]))
    assert np.allclose(stages.surface[-1], 0, atol=1e-9)
    assert not stages.binds.any()
    assert np.abs(stages.surface).max() > 10


@pytest.mark.parametrize("demo", DEMOS)
def test_demos_rest_at_neutral_and_never_bind(demo):
    rig = Rig(demo())
    assert np.allclose(rig.run(commands()).throw, 0, atol=1e-9)
    corners = commands(**dict(zip(("roll", "pitch", "yaw", "camber", "brake"),
                                  np.meshgrid(*[[-1, 0, 1]] * 4, [0, 1]), strict=True)))  # fmt: skip
    stages = rig.run(corners)
    assert not stages.binds.any()
    assert np.isfinite(stages.throw).all()


@pytest.mark.parametrize("demo", DEMOS)
def test_left_and_right_are_mirror_images_under_roll_and_yaw(demo):
    """Turning roll and yaw round swaps left and right, with camber, pitch and brake held."""
    rig = Rig(demo())
    here = rig.moves(roll=0.4, yaw=-0.3, pitch=0.2, camber=0.3, brake=0.2)
    there = rig.moves(roll=-0.4, yaw=0.3, pitch=0.2, camber=0.3, brake=0.2)
    for name, angle in here.items():
        if name.startswith("left"):
            assert angle == pytest.approx(there[name.replace("left", "right")], abs=1e-9)


@given(
    setups(), st.sampled_from([(), (1,), (5,), (2, 3), (0,), (2, 1, 2)]), st.randoms(use_true_random=False)
)
@heavy
def test_arrays_give_what_single_commands_give(setup, shape, random):
    u = np.array([random.uniform(-1, 1) for _ in range(6 * int(np.prod(shape)))]).reshape(*shape, 6)
    rig = Rig(setup)
    together = vars(rig.run(u))
    for name, part in together.items():
        assert part.shape[:-1] == shape
        for place in np.ndindex(shape):
            assert np.allclose(part[place], vars(rig.run(u[place]))[name], atol=1e-9)


@pytest.mark.parametrize("shape", [(2047,), (2048,), (2049,), (3, 5000), (10, 7, 100)])
def test_long_arrays_give_what_their_parts_give(shape):
    """Long arrays go through in blocks; the ends of the blocks and the shape must not show."""
    u = np.random.default_rng(3).uniform(-1, 1, (*shape, 6))
    rig = Rig(four_surface_setup())
    whole = vars(rig.run(u))
    flat = u.reshape(-1, 6)
    for start in range(0, len(flat), 1000):
        for name, part in vars(rig.run(flat[start : start + 1000])).items():
            assert whole[name].shape[:-1] == shape
            assert np.allclose(whole[name].reshape(len(flat), -1)[start : start + 1000], part, atol=1e-9)


@given(setups(), st.tuples(*[numbers(-1, 1)] * 4, *[numbers(0, 1)] * 2))
@heavy
def test_rig_is_its_links_one_after_the_other(setup, u):
    """The rig against the functions of the single links, each tested by itself."""
    stages = Rig(setup).run(u)
    demand = Mixer(setup).demand_percent(stages.command)
    assert np.allclose(stages.demand, demand)
    for place, surface in enumerate(setup.aircraft.surfaces):
        number = setup.wiring[surface.name]
        travel, clipped = travel_percent(demand[number - 1], setup.output(number), setup.radio)
        assert stages.travel[number - 1] == pytest.approx(float(travel))
        assert stages.demand_clipped[number - 1] == clipped
        pulse, _ = pulse_us(travel, setup.radio)
        assert stages.pulse[number - 1] == pytest.approx(float(pulse))
        servo = surface.servo
        turn = 1 if servo.longer_pulse_moves_arm == "forward" else -1
        away_us = min(max(float(pulse), servo.min_us), servo.max_us) - 1500
        arm = servo.arm_offset_deg + turn * servo.arm_deg_per_500us * away_us / 500
        if not stages.binds[place]:
            assert stages.arm[place] == pytest.approx(arm)
        free = float(surface_angle_deg(surface.linkage, stages.arm[place]))
        angle = min(max(free, -surface.stop_up_deg), surface.stop_down_deg)
        assert stages.surface[place] == pytest.approx(angle)
        assert stages.throw[place] == pytest.approx(float(throw_mm_from_angle(angle, surface.chord_mm)))


@given(setups())
@heavy
def test_limits_hold_for_any_setup(setup):
    stages = Rig(setup).run(np.vstack([np.eye(6), -np.eye(6), np.ones(6), -np.ones(6)]))
    radio = setup.radio
    assert np.all((stages.pulse >= radio.min_us) & (stages.pulse <= radio.max_us))
    for place, surface in enumerate(setup.aircraft.surfaces):
        angles = stages.surface[:, place]
        assert np.all((angles >= -surface.stop_up_deg) & (angles <= surface.stop_down_deg))
        assert np.all(np.sign(stages.throw[:, place]) == np.sign(angles))


@given(linkages(), numbers(0, 60))
@heavy
def test_mirrored_servo_on_one_output_moves_the_same_linkage_the_other_way(link, end):
    """Two equal linkages with servos turned round: at +u one stands where the other stands at -u."""
    base = flaperon_setup()
    setup = base.replace(outputs=(Output(number=2, control="pitch"),), free_mixes=(), shaping={})
    forward = with_surface(setup, "elevator", linkage=link)
    servo = TWO.surface("elevator").servo.replace(longer_pulse_moves_arm="back")
    back = with_surface(forward, "elevator", servo=servo)
    u = end / 60
    assert Rig(forward).moves(pitch=u)["elevator"] == pytest.approx(Rig(back).moves(pitch=-u)["elevator"])


def test_switched_off_mix_is_as_good_as_none():
    setup = flaperon_setup()
    off = setup.replace(free_mixes=tuple(mix.replace(on=False) for mix in setup.free_mixes))
    none = setup.replace(free_mixes=())
    assert Rig(off).moves(roll=1, camber=0.5) == Rig(none).moves(roll=1, camber=0.5)


def test_differential_is_less_down_than_up():
    """Common practice, no source; the four-surface demo gives its down-going aileron 45 of 70 %."""
    moves = Rig(four_surface_setup()).moves(roll=1)
    assert 0.55 < moves["left aileron"] / -moves["right aileron"] < 0.8


def test_more_mixes_than_outputs_still_add():
    setup = plain_setup(TWO, RICH).replace(free_mixes=(FreeMix.straight("roll", 6, 5),) * 18)
    assert Rig(setup).run(commands(roll=1)).demand[5] == pytest.approx(90)
