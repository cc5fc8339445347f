"""Flight phases on the bench: levers, throws, the card, and what a fit takes over."""

from __future__ import annotations

import numpy as np
import pytest
from description_strategies import setups
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from mixlib.bench.card import as_markdown, bench_card
from mixlib.bench.fit.phase_wants import phases_of_wants, wants_of_phases
from mixlib.bench.fit.recommend import fit
from mixlib.bench.fit.wants import usual_wants
from mixlib.bench.surface.levers import added, lever_end, nearest_lever
from mixlib.bench.surface.throws import demand_for_angle_percent, follow_demand
from mixlib.chain import Rig
from mixlib.describe import FreeMix, Mark, Phase, Want
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup

heavy = settings(suppress_health_check=list(HealthCheck), max_examples=25)
DEMOS = [flaperon_setup, four_surface_setup, v_tail_setup, elevon_setup]


def resting(setup, name, **values):
    return Phase(name=name, angles_deg=Rig(setup).moves(**values))


@pytest.fixture
def phased():
    """Four surfaces with phases that their levers reach, but for the elevator."""
    setup = four_surface_setup()
    phases = (
        resting(setup, "thermal", camber=0.4),
        resting(setup, "cruise"),
        resting(setup, "speed", camber=-0.5),
        resting(setup, "landing", brake=1.0),
    )
    return setup.replace(phases=phases)


@pytest.mark.parametrize(
    ("name", "command", "value"),
    [
        ("thermal", "camber", 0.4),
        ("cruise", "", 0.0),
        ("speed", "camber", -0.5),
        ("landing", "brake", 1.0),
    ],
)
def test_the_lever_that_made_a_phase_is_found_again(phased, name, command, value):
    found = nearest_lever(phased, phased.phase(name))
    assert (found.command, found.value) == (command, pytest.approx(value))
    assert max(map(abs, found.missed_mm.values())) < 1e-6


def test_a_lever_is_looked_for_no_further_than_its_mark(phased):
    marked = phased.replace(
        marks=(Mark(command="camber", side="below", percent=30), Mark(command="brake", percent=80))
    )
    speed, landing = (nearest_lever(marked, marked.phase(name)) for name in ("speed", "landing"))
    assert (speed.command, speed.value) == ("camber", -0.3)
    assert (landing.command, landing.value) == ("brake", 0.8)
    assert abs(landing.worst[1]) > 1


def test_a_miss_is_what_the_lever_gives_less_what_the_phase_wants(phased):
    thermal = phased.phase("thermal")
    moved = thermal.replace(angles_deg=thermal.angles_deg | {"elevator": 3.0})
    found = nearest_lever(phased, moved)
    chord = phased.aircraft.surface("elevator").chord_mm
    assert found.worst == ("elevator", pytest.approx(-2 * chord * np.sin(np.radians(1.5))))


@pytest.mark.parametrize("demo", DEMOS)
@given(camber=st.floats(-1, 1), roll=st.floats(-1, 1), pitch=st.floats(-1, 1))
def test_commands_on_top_of_a_rest_are_those_of_the_whole_chain(demo, camber, roll, pitch):
    """The rest that camber gives, with roll and pitch on top, is all three at once, limits and all."""
    setup = demo()
    rest = Phase(name="rest", angles_deg=Rig(setup).moves(camber=camber))
    on_top = added(setup, rest, roll=roll, pitch=pitch)
    whole = Rig(setup).moves(camber=camber, roll=roll, pitch=pitch)
    assert on_top == pytest.approx(whole, abs=1e-6)


@given(setups(), st.floats(-300, 300))
@heavy
def test_the_demand_for_an_angle_is_the_smallest_that_gives_it(setup, demand):
    for name in setup.aircraft.surface_names:
        angle = follow_demand(setup, name, demand).angle_deg
        back = demand_for_angle_percent(setup, name, angle)
        assert follow_demand(setup, name, back).angle_deg == pytest.approx(angle, abs=1e-5)
        assert abs(back) <= abs(demand) + 1e-3


@given(setups(), st.floats(-90, 90))
@heavy
def test_the_demand_for_an_angle_out_of_reach_comes_nearest(setup, angle):
    tried = np.linspace(-300, 300, 241)
    for name in setup.aircraft.surface_names:
        missed = np.abs(follow_demand(setup, name, tried).angle_deg - angle)
        found = demand_for_angle_percent(setup, name, angle)
        left = abs(follow_demand(setup, name, found).angle_deg - angle)
        assert left <= missed.min() + 1e-5
        equal = tried[missed <= left + 1e-9]
        assert abs(found) <= np.abs(equal).min(initial=np.inf) + 1e-3


@pytest.mark.parametrize("sub_trim", [40, -40])
def test_a_sub_trim_past_a_limit_needs_no_demand(sub_trim):
    """40 % of sub-trim is 200 us, the servo follows 100: with nothing asked for the surface is at its end."""
    setup = four_surface_setup()
    surfaces = tuple(
        part.replace(servo=part.servo.replace(min_us=1400, max_us=1600)) if part.kind == "rudder" else part
        for part in setup.aircraft.surfaces
    )
    setup = setup.replace(aircraft=setup.aircraft.replace(surfaces=surfaces))
    setup = setup.with_output(setup.wiring["rudder"], sub_trim_percent=sub_trim)
    held = follow_demand(setup, "rudder", [0.0, -sub_trim / 2, -sub_trim])
    assert held.cut.tolist() == [True, False, False]
    assert held.angle_deg[0] == pytest.approx(held.angle_deg[1])
    found = demand_for_angle_percent(setup, "rudder", held.angle_deg)
    assert found == pytest.approx([0, 0, -sub_trim], abs=1e-4)


def test_phases_take_the_place_of_droop_reflex_and_brake(phased):
    wants = {(w.surface, w.command, w.side): w.amount for w in wants_of_phases(phased)}
    given_mm = {
        (name, command, side): throw
        for command, side, phase in (("camber", "above", "thermal"), ("brake", "above", "landing"))
        for name, throw in _throws_mm(phased, phase).items()
    }
    for key, throw in given_mm.items():
        if key in wants:
            assert wants[key] == pytest.approx(throw, abs=0.26)  # half millimetres
        else:
            assert abs(throw) < 1.26  # not worth a mix of its own
    usual = {(w.surface, w.command, w.side): w.amount for w in usual_wants(phased.aircraft)}
    assert {key: wants[key] for key in usual if key[1] in ("roll", "pitch", "yaw")} == {
        key: amount for key, amount in usual.items() if key[1] in ("roll", "pitch", "yaw")
    }


def _throws_mm(setup, name):
    angles = setup.phase(name).angles_deg
    return {
        part.name: 2 * part.chord_mm * np.sin(np.radians(angles[part.name]) / 2)
        for part in setup.aircraft.surfaces
    }


def test_without_a_brake_landing_has_the_droop_end_and_thermal_none():
    setup = flaperon_setup()
    both = {"left aileron": 10.0, "right aileron": 10.0}
    assert lever_end(setup.with_phase(Phase(name="thermal", angles_deg=both)), "thermal") == (
        "camber",
        "above",
    )
    setup = setup.with_phase(Phase(name="landing", angles_deg=both))
    assert lever_end(setup, "landing") == ("camber", "above")
    assert lever_end(setup, "thermal") is None
    assert lever_end(setup, "speed") == ("camber", "below")
    assert lever_end(setup, "cruise") is None


def test_throws_changed_by_the_reader_change_the_phase_and_nothing_else(phased):
    wants = wants_of_phases(phased)
    assert phases_of_wants(phased, wants) == phased.phases
    key = ("left flap", "camber", "above")
    changed = tuple(
        want.replace(amount=10.0) if (want.surface, want.command, want.side) == key else want
        for want in wants
    )
    after = phased.replace(phases=phases_of_wants(phased, changed))
    chord = phased.aircraft.surface("left flap").chord_mm
    expected = np.degrees(2 * np.arcsin(10.0 / (2 * chord)))
    assert after.phase("thermal").angles_deg["left flap"] == pytest.approx(expected, abs=0.051)
    assert after.phase("speed") == phased.phase("speed")
    angles = after.phase("thermal").angles_deg
    back = angles | {"left flap": phased.phase("thermal").angles_deg["left flap"]}
    assert back == phased.phase("thermal").angles_deg


def test_the_card_lists_every_phase_with_its_lever(phased):
    text = as_markdown(bench_card(phased))
    assert "Where it rests in each phase" in text
    for word in ("Thermal", "Cruise", "Speed", "Landing"):
        assert f"| {word} |" in text
    assert "40 % of the way to droop" in text
    assert "100 % of the way to brake out" in text
    assert "Where it rests" not in as_markdown(bench_card(four_surface_setup()))


def test_a_fit_takes_phases_over_and_bends_its_mixes_as_before(phased):
    elevator = phased.wiring["elevator"]
    curve = (0.0, 0.0, 0.0, 0.0, 0.0, -20.0, -30.0, -38.0, -40.0)
    before = phased.with_mix(FreeMix(leader="brake", follower=elevator, curve_percent=curve))
    wants = tuple(
        want.replace(amount=5.0) if (want.surface, want.command) == ("elevator", "brake") else want
        for want in wants_of_phases(before)
    )
    after = fit(before.aircraft, before.radio, wants, keep=before).setup
    assert [phase.name for phase in after.phases] == ["thermal", "cruise", "speed", "landing"]
    output = after.wiring["elevator"]
    mix = next(mix for mix in after.free_mixes if (mix.leader, mix.follower) == ("brake", output))
    shares = np.array(mix.curve_percent[5:]) / mix.curve_percent[-1]
    assert shares == pytest.approx([0.5, 0.75, 0.95, 1.0], abs=0.03)
    moved = (
        Rig(after).run(np.array([0, 0, 0, 0, 0, 1.0])).throw[after.aircraft.surface_names.index("elevator")]
    )
    assert moved == pytest.approx(5.0, abs=0.3)


def test_a_half_of_its_own_keeps_its_share_when_the_phase_has_another_end(phased):
    (end,) = (w.amount for w in wants_of_phases(phased) if (w.surface, w.command) == ("elevator", "brake"))
    ours = Want(surface="elevator", command="brake", amount=4.0, half=3.0, weight=2.0)
    (want,) = (
        want
        for want in wants_of_phases(phased.replace(wanted=(*usual_wants(phased.aircraft), ours)))
        if (want.surface, want.command) == ("elevator", "brake")
    )
    assert (want.amount, want.weight) == (end, 2.0)
    assert want.half == pytest.approx(0.75 * end, abs=0.06)


def test_a_wish_that_its_phase_only_rounds_stays_as_typed(phased):
    """3.8 mm and the way to it, beside a phase that is kept to a tenth of a degree."""
    typed = Want(surface="elevator", command="brake", amount=3.8, half=3.0, quarter=2.5)
    degrees = round(typed.angle_deg(phased.aircraft), 1)
    landing = [phase.replace(angles_deg={**phase.angles_deg, "elevator": degrees}) for phase in phased.phases]
    wanted = (*usual_wants(phased.aircraft), typed)
    assert typed in wants_of_phases(phased.replace(wanted=wanted, phases=tuple(landing)))


def test_a_brake_that_moves_nothing_is_not_the_lever_of_the_landing():
    setup = v_tail_setup().replace(wanted=())
    assert "brake" in setup.radio.commands
    assert lever_end(setup, "landing") == ("camber", "above")
    wished = Want(surface="left aileron", command="brake", amount=-10, unit="mm")
    assert lever_end(setup.replace(wanted=(wished,)), "landing") == ("brake", "above")
    braked = setup.with_mix(FreeMix.straight("brake", setup.wiring["left aileron"], -50))
    assert lever_end(braked, "landing") == ("brake", "above")
    assert lever_end(four_surface_setup().replace(wanted=()), "landing") == ("brake", "above")
