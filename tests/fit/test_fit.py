"""Wanted throws to settings: by hand, and through the whole chain."""

from itertools import product

import pytest

from mixlib.bench.fit import FitResult, fit, other_holes, other_radios, usual_wants
from mixlib.bench.fit.shares import TOUCH_MM2
from mixlib.bench.surface.rests import units_of
from mixlib.chain import Rig, commands
from mixlib.describe import Setup, Want, shipped


def cost_mm2(result: FitResult) -> float:
    return sum(row.want.weight * row.miss_mm**2 for row in result.rows)


def settings_touched(setup: Setup) -> int:
    """Mixes, end points, Y-leads, rates and marks."""
    count = (
        len(setup.free_mixes) + sum(s.rate_percent != 100 for s in setup.shaping.values()) + len(setup.marks)
    )
    scales = setup.radio.end_points == "scale"
    for output in setup.outputs:
        ends = (output.end_low_percent != 100) + (output.end_high_percent != 100)
        count += (2 * (ends > 0) if scales else ends) + len(setup.surfaces_on(output.number)) - 1
    return count


def unlike_mm2(setup: Setup) -> float:
    """Four times the squared difference between left and right at the ends of what they answer to."""
    rig, total = Rig(setup), 0.0
    names = setup.aircraft.surface_names
    for right, left in (unit for unit in units_of(setup.aircraft) if len(unit) == 2):
        wants = [w for w in setup.wanted if w.surface in (names[right], names[left])]
        for command in dict.fromkeys(w.command for w in wants if w.command in setup.radio.commands):
            for way in (1, -1) if command != "brake" else (1,):
                mirror = -way if command in ("roll", "yaw") else way
                one, other = (
                    rig.run(commands(**{command: setup.used_to(command, to)})).throw[place]
                    for place, to in ((right, way), (left, mirror))
                )
                weights = [w.weight for w in wants if w.command == command]
                total += 4 * sum(weights) / len(weights) * float(one - other) ** 2
    return total


PAIRS = list(
    product(
        ("orchard_two", "orchard_three", "orchard_vee", "orchard_wing"),
        ("bare_four", "simple_six", "rich_ten"),
    )
)


@pytest.mark.parametrize(("aircraft", "radio"), PAIRS)
def test_rows_and_score_are_those_of_the_whole_chain(aircraft, radio):
    aircraft = shipped("aircraft", aircraft)
    wants = usual_wants(aircraft)
    result = fit(aircraft, shipped("radio", radio), wants)
    rig = Rig(result.setup)
    assert result.setup.wanted == wants
    assert [row.want for row in result.rows] == list(wants)
    for row in result.rows:
        command, way = row.want.command, 1 if row.want.side == "above" else -1
        held = command in result.setup.radio.commands
        full = commands(**({command: result.setup.used_to(command, way)} if held else {}))
        throw = rig.run(full).throw[aircraft.surface_names.index(row.want.surface)]
        assert row.got_mm == pytest.approx(throw)
        assert row.miss_mm == pytest.approx(row.got_mm - row.want.amount)
    touched = TOUCH_MM2 * settings_touched(result.setup) + unlike_mm2(result.setup)
    held = [row for row in result.rows if row.want.command in result.setup.radio.commands]
    cost = sum(row.want.weight * row.miss_mm**2 for row in held)
    assert result.score_mm2 == pytest.approx(cost + touched, abs=2e-3)
    assert result.mixes_used == len(result.setup.free_mixes) <= result.setup.radio.free_mixes
    big = [row for row in result.rows if abs(row.miss_mm) >= 0.5]
    assert bool(big) == bool(result.cannot)


@pytest.mark.parametrize("aircraft", ["orchard_two", "orchard_three", "orchard_vee", "orchard_wing"])
def test_no_gain_one_step_off_is_better(aircraft):
    """Each gain of the rich radio, one step up and down, through the Rig."""
    aircraft = shipped("aircraft", aircraft)
    result = fit(aircraft, shipped("radio", "rich_ten"), usual_wants(aircraft))

    def cost(setup: Setup) -> float:
        rig, total = Rig(setup), 0.0
        for row in result.rows:
            full = commands(**{row.want.command: 1.0 if row.want.side == "above" else -1.0})
            throw = rig.run(full).throw[aircraft.surface_names.index(row.want.surface)]
            total += row.want.weight * float(throw - row.wanted_mm) ** 2
        return total

    best = cost(result.setup)
    assert best == pytest.approx(cost_mm2(result))
    assert result.worst_miss_mm < 0.5  # gains of whole percent: half a per cent of a 50 mm throw at the most
    for field, step in product(("gain_above_percent", "gain_below_percent"), (-1, 1)):
        for output in result.setup.outputs:
            changed = {field: getattr(output, field) + step}
            assert cost(result.setup.with_output(output.number, **changed)) >= best - 1e-9
        for place, mix in enumerate(result.setup.free_mixes):
            mixes = list(result.setup.free_mixes)
            mixes[place] = mix.replace(**{field: getattr(mix, field) + step})
            assert cost(result.setup.replace(free_mixes=tuple(mixes))) >= best - 1e-9


def test_gain_worked_by_hand():
    """A parallelogram linkage passes the arm's angle on; 45 deg for 100 %, so 18 deg takes 40 %."""
    aircraft = shipped("aircraft", "orchard_two")
    square = [
        s.replace(linkage=s.linkage.replace(arm_mm=12.0, horn_mm=12.0, rod_mm=None))
        for s in aircraft.surfaces
    ]
    aircraft = aircraft.replace(surfaces=tuple(square))
    wants = (
        Want(surface="right aileron", command="roll", side="above", amount=-18, unit="deg"),
        Want(surface="right aileron", command="roll", side="below", amount=9, unit="deg"),
    )
    result = fit(aircraft, shipped("radio", "rich_ten"), wants)
    output = result.setup.output(result.setup.wiring["right aileron"])
    assert (output.control, output.gain_above_percent, output.gain_below_percent) == ("roll", 40, 20)
    assert result.worst_miss_mm < 1e-6


def test_flaperons_by_two_mixes_on_the_simple_radio():
    aircraft = shipped("aircraft", "orchard_two")
    radio = shipped(
        "radio", "simple_six"
    )  # with the dial on one output: roll to the one side, camber to the other
    controls = tuple(c.replace(drives=(6,)) if c.command == "camber" else c for c in radio.controls)
    result = fit(aircraft, radio.replace(controls=controls), usual_wants(aircraft))
    assert result.mixes_used == result.mixes_needed == 2
    gains = {(mix.gain_above_percent, mix.gain_below_percent) for mix in result.setup.free_mixes}
    assert all(abs(gain) == pytest.approx(100, abs=12) for pair in gains for gain in pair)  # the worked case
    moves = Rig(result.setup).moves
    for command, same in (("roll", False), ("camber", True)):
        for value in (-1.0, 1.0):
            moved = moves(**{command: value})
            left, right = moved["left aileron"], moved["right aileron"]
            assert (left * right > 0) == same
    assert moves(roll=1.0)["right aileron"] < 0 < moves(camber=1.0)["right aileron"]
    assert {mix.leader for mix in result.setup.free_mixes} == {"roll", "camber"}


def test_too_few_mixes_leave_out_the_least_and_say_so():
    aircraft = shipped("aircraft", "orchard_two")
    compensation = (
        Want(surface="elevator", command="camber", side="above", amount=2, weight=0.4),
        Want(surface="elevator", command="camber", side="below", amount=-1, weight=0.4),
    )
    wants = usual_wants(aircraft) + compensation
    result = fit(aircraft, shipped("radio", "simple_six"), wants)
    assert (result.mixes_needed, result.mixes_used) == (3, 2)
    assert "Left out camber into elevator: it takes one mix, and of two none is left." in result.cannot
    assert "All of it needs three mixes; the radio has two." in result.cannot
    assert any("have camber into elevator" in other.words for other in result.alternatives)
    assert all(cost_mm2(other) > cost_mm2(result) for other in result.alternatives)
    rich = other_radios(result, [shipped("radio", "rich_ten"), shipped("radio", "bare_four")])
    assert [other.setup.radio.name for other in rich] == ["Rich ten"]  # the bare one brings nothing nearer
    assert rich[0].words.startswith("with Rich ten, three mixes: nearer: aileron with roll by 2.3 mm")
    assert cost_mm2(rich[0]) < 1


def test_another_hole_helps_a_rudder_that_the_bare_radio_cannot_move_far_enough():
    """100 % is 420 us, 37.8 deg of the arm; a hole nearer to the horn's hinge makes more of it."""
    aircraft = shipped("aircraft", "orchard_two")
    result = fit(aircraft, shipped("radio", "bare_four"), usual_wants(aircraft))
    assert (
        "Rudder, nose right: wanted −26.0 mm, gets −23.4 mm, since it takes 113 % and the radio gives 100 %."
        in result.cannot
    )
    rudder = [hole for hole in other_holes(result) if hole.words.startswith("rudder")]
    assert rudder
    assert all(cost_mm2(hole) < cost_mm2(result) for hole in rudder)
    chosen = rudder[0].setup.aircraft.surface("rudder").linkage
    assert chosen.arm_mm > 10 or chosen.horn_mm < 16


def test_a_throw_beyond_the_linkage_is_told_as_that():
    """A rudder that is stopped at 20 deg moves 2 x 60 sin 10 deg = 20.8 mm, whatever the radio gives."""
    aircraft = shipped("aircraft", "orchard_two")
    stopped = tuple(
        s.replace(stop_up_deg=20, stop_down_deg=20) if s.kind == "rudder" else s for s in aircraft.surfaces
    )
    wants = (Want(surface="rudder", command="yaw", side="above", amount=-26),)
    result = fit(aircraft.replace(surfaces=stopped), shipped("radio", "bare_four"), wants)
    assert result.cannot == (
        "Rudder, nose left: the last 12 % of the way move nothing.",
        "Rudder, nose right: wanted −26.0 mm, gets −20.8 mm, since pulses, servo, linkage and stops reach "
        "−20.8 to 20.8 mm only.",
    )


GOOD = Want(surface="rudder", command="yaw", amount=10)
BAD = [
    ((), "wanted is empty. Accepted: at least one throw with a weight above 0."),
    ((GOOD.replace(weight=0),), "wanted is empty. Accepted: at least one throw with a weight above 0."),
    ((GOOD.replace(surface="flap"),), 'wanted.1.surface is "flap". Accepted: one of left aileron'),
    ((GOOD, GOOD), "Accepted: each throw once"),
    ((GOOD.replace(amount=130.0),), "wanted of the rudder is 130. Accepted: -120 to 120 mm"),
    (
        (GOOD.replace(amount=6.0, unit="inch"),),
        "the throw wanted of the rudder is 6. Accepted: -4.724 to 4.724 inch",
    ),
    (
        (GOOD.replace(amount=91.0, unit="deg"),),
        "wanted of the rudder is 91. Accepted: -90 to 90 deg",
    ),
    ((GOOD.replace(command="brake", side="below"),), 'wanted.1.side is "below". Accepted: "above"'),
]


@pytest.mark.parametrize(("wants", "words"), BAD, ids=range(len(BAD)))
def test_bad_wants_get_a_sentence(wants, words):
    with pytest.raises(ValueError) as caught:
        fit(shipped("aircraft", "orchard_two"), shipped("radio", "simple_six"), wants)
    assert words in str(caught.value)


def test_too_few_outputs_get_a_sentence():
    aircraft, radio = shipped("aircraft", "orchard_three"), shipped("radio", "bare_four")
    two = radio.replace(outputs=2, controls=radio.controls[:2])
    with pytest.raises(ValueError, match=r"radio\.outputs is 2\. Accepted: at least 4 for 6 surfaces"):
        fit(aircraft, two, usual_wants(aircraft))
