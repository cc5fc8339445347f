"""What is the reader's stays: couplings, expo, sub-trim, plugs; what changes and what is dropped is told."""

from __future__ import annotations

import pytest

from mixlib.bench.fit import Locks, fit, other_radios, other_ways, usual_wants
from mixlib.bench.fit.typed import changes, entries
from mixlib.chain import Rig
from mixlib.describe import FreeMix, Phase, Shaping, shipped
from mixlib.describe.demo import flaperon_setup, four_surface_setup, hopper_ready


def own_setup():
    """Four surfaces, with rudder that goes with roll, expo, a sub-trim and a rate of the reader's own."""
    setup = four_surface_setup().with_mix(FreeMix.straight("roll", 6, 20)).with_output(6, sub_trim_percent=3)
    return setup.replace(
        shaping={"roll": Shaping(expo_percent=30), "pitch": Shaping(rate_percent=80, expo_percent=20)}
    )


@pytest.fixture(scope="module")
def kept():
    before = own_setup()
    return fit(before.aircraft, before.radio, usual_wants(before.aircraft), keep=before)


def test_a_coupling_that_nobody_asked_for_stays(kept):
    before, after = Rig(kept.before).moves(roll=1)["rudder"], Rig(kept.setup).moves(roll=1)["rudder"]
    assert abs(before) > 3
    assert after == pytest.approx(before, abs=0.5)
    assert kept.dropped == ()


def test_expo_rate_and_sub_trim_stay(kept):
    assert kept.setup.shaping["roll"] == Shaping(expo_percent=30)
    assert kept.setup.shaping["pitch"] == Shaping(rate_percent=80, expo_percent=20)
    assert kept.setup.output(kept.setup.wiring["rudder"]).sub_trim_percent == 3


def test_throws_are_met_with_what_stays(kept):
    assert kept.worst_miss_mm < 0.5
    assert kept.flown.faults == ()


def test_what_must_be_dropped_is_told():
    """The simple radio has two mixes, and both are needed for roll and camber: rudder with roll goes."""
    before = flaperon_setup()
    mixes = (*before.free_mixes[:1], FreeMix.straight("roll", 4, 40))
    before = before.replace(free_mixes=mixes)
    result = fit(before.aircraft, before.radio, usual_wants(before.aircraft), keep=before)
    assert any(
        words.startswith("rudder with roll above") and words.endswith("0.0 mm now")
        for words in result.dropped
    )


def test_roll_of_its_own_stays_with_its_phase_and_is_told_where_a_radio_has_none():
    rich = flaperon_setup().radio.replace(phases_keep=("roll rate", "differential"))
    speed = Phase(name="speed", angles_deg={}, roll_rate_percent=40)
    before = flaperon_setup().replace(radio=rich, phases=(speed,))
    wants = usual_wants(before.aircraft)
    same = fit(before.aircraft, rich, wants, keep=before)
    assert same.setup.phase("speed").own_roll == {"roll rate": 40}
    assert same.flown.faults == ()  # a rate of less than half is the reader's own choice
    other = fit(before.aircraft, flaperon_setup().radio, wants, keep=before)
    assert other.setup.phase("speed").own_roll == {}
    assert "speed: roll rate 40 % before, roll as in all phases now" in other.dropped


def test_locked_plugs_directions_and_leads_stay():
    before = four_surface_setup()
    turned = before.replace(wiring={**before.wiring, "rudder": 9, "elevator": 8})
    turned = turned.with_output(9, control="yaw", reversed=True).with_output(8, control="pitch")
    locks = Locks(
        plugs=frozenset({"rudder", "elevator"}),
        directions=frozenset({"rudder"}),
        leads=frozenset({"rudder"}),
    )
    result = fit(turned.aircraft, turned.radio, usual_wants(turned.aircraft), keep=turned, locked=locks)
    assert (result.setup.wiring["rudder"], result.setup.wiring["elevator"]) == (9, 8)
    output = result.setup.output(9)
    assert (output.control, output.reversed) == ("yaw", True)
    assert result.flown.faults == ()


def test_changes_are_old_beside_new_and_the_rest_is_the_same(kept):
    told = {(change.where, change.what): (change.old, change.new) for change in kept.changes}
    old = {(entry.where, entry.what): entry.value for entry in entries(kept.before)}
    new = {(entry.where, entry.what): entry.value for entry in entries(kept.setup)}
    for key in {*old, *new}:
        pair = old.get(key, ""), new.get(key, "")
        assert told.get(key, pair) == pair
        assert (key in told) == (pair[0] != pair[1])


def test_entries_come_in_the_order_of_typing():
    told = [entry.what for entry in entries(own_setup())]
    assert told.index("plug") < told.index("direction") < told.index("end points") < told.index("rate")
    assert told.index("rate") < told.index("gain")
    gains = {e.where: e.value for e in entries(own_setup()) if e.what == "gain"}
    assert gains["mix roll into output 6"] == "+20 % both sides"
    assert gains["mix brake into output 3"] == "+94 %"


def test_a_leaning_arm_is_offered_where_the_radio_has_no_differential():
    aircraft, radio = shipped("aircraft", "orchard_two"), shipped("radio", "simple_six")
    result = fit(aircraft, radio, usual_wants(aircraft))
    assert any(words.startswith("Less down than up cannot be had") for words in result.cannot)
    first = other_ways(result)[0]
    assert first.words.startswith("the aileron servo arms 2 teeth over, with new rods: nearer: aileron with")
    assert first.score_mm2 < result.score_mm2
    assert first.flown.faults == ()


def test_crow_on_the_simple_radio_is_answered():
    aircraft, radio = shipped("aircraft", "orchard_three"), shipped("radio", "simple_six")
    result = fit(aircraft, radio, usual_wants(aircraft))
    assert any(words.startswith("All of it needs six mixes; the radio has two") for words in result.cannot)
    ways = [other.words for other in other_ways(result)]
    assert any(words.startswith("the camber dial as landing flap") for words in ways)
    assert any(words.startswith("the throttle stick as air brake") for words in ways)


def worst_mm(result, kind, command):
    rows = [row for row in result.rows if kind in row.want.surface and row.want.command == command]
    return max(abs(row.miss_mm) for row in rows)


def test_other_plans_tell_what_they_gain_and_cost_and_poor_ones_are_not_shown():
    """Full differential without droop is a choice; a stick without its surface is none."""
    aircraft, radio = shipped("aircraft", "orchard_two"), shipped("radio", "simple_six")
    result = fit(aircraft, radio, usual_wants(aircraft))
    (other,) = result.alternatives
    gain, cost = (
        way * (worst_mm(result, "aileron", command) - worst_mm(other, "aileron", command))
        for way, command in ((1, "roll"), (-1, "camber"))
    )
    assert other.words == (
        "leave out camber into right aileron and left aileron: "
        f"nearer: aileron with roll by {gain:.1f} mm; further off: aileron with camber by {cost:.1f} mm"
    )
    assert gain > 0.25 * cost
    assert fit(aircraft, shipped("radio", "rich_ten"), usual_wants(aircraft)).alternatives == ()


def test_every_other_way_can_be_taken_over():
    aircraft, radio = shipped("aircraft", "orchard_three"), shipped("radio", "simple_six")
    result = fit(aircraft, radio, usual_wants(aircraft))
    ways = (*result.alternatives, *other_ways(result), *other_radios(result, [shipped("radio", "rich_ten")]))
    assert len(ways) >= 5
    for other in ways:
        assert other.entries
        assert len(other.rows) >= len(other.setup.wanted)
        assert other.unsteered <= result.unsteered
        assert "nearer: " in other.words


def test_the_first_rate_stands_beside_the_hundred_percent_that_it_was():
    before = four_surface_setup()
    slower = before.replace(shaping={"roll": Shaping(rate_percent=60, expo_percent=20)})
    told = {(one.where, one.what): (one.old, one.new) for one in changes(before, slower)}
    assert told == {("roll", "rate"): ("100 %", "60 %"), ("roll", "expo"): ("0 %", "+20 %")}
    assert changes(slower, before)[0].new == "100 %"


def test_a_plug_stays_where_another_output_is_all_one():
    """The dial drives either of two outputs alike: the one that is in use stays in use."""
    ready = hopper_ready()
    assert ready.wiring["left aileron"] == 6
    found = fit(ready.aircraft, ready.radio, usual_wants(ready.aircraft), keep=ready)
    assert found.setup.wiring == ready.wiring


def test_phases_expo_and_a_sub_trim_that_another_radio_cannot_set():
    """Taken over with another radio the phases and the expo stay; what it cannot set is found anew."""
    before = own_setup().replace(phases=(Phase(name="slow", angles_deg={"left flap": 8.0}),))
    result = fit(before.aircraft, before.radio, usual_wants(before.aircraft), keep=before)
    assert result.setup.phases == before.phases
    radios = [shipped("radio", name) for name in ("bare_four", "simple_six")]
    for radio in radios:
        other = fit(before.aircraft, radio, result.setup.wanted, keep=before).setup
        assert other.phases == before.phases
        assert other.output(other.wiring["rudder"]).sub_trim_percent <= radio.sub_trim_max_percent
    assert other.shaping["roll"].expo_percent == 30
    assert other_radios(result, radios) == ()  # neither brings anything nearer
