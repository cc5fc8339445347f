"""Nothing that cannot be flown is recommended: every aircraft on every radio, through a plain chain."""

from __future__ import annotations

from itertools import product

import own_hangar
import pytest
from plain_chain import throws_mm

from mixlib.bench.fit import FitResult, fit, usual_wants
from mixlib.bench.surface.flown import flyable
from mixlib.bench.surface.rests import STEERED, units_of
from mixlib.describe import Setup, shipped, shipped_names

PLANES = {name: shipped("aircraft", name) for name in shipped_names("aircraft")}
SIMPLE = shipped("radio", "simple_six")
RADIOS = {name: shipped("radio", name) for name in shipped_names("radio")} | {
    f"simple six with {mixes}": SIMPLE.replace(free_mixes=mixes) for mixes in (0, 1, 3, 4)
}
EVERYWHERE = (
    "simple_six",
    "rich_ten",
)  # the other rows take their time: only continuous integration runs them
SHIPPED = [
    pytest.param(*row, marks=[] if row[1] in EVERYWHERE else pytest.mark.slow)
    for row in product(PLANES, RADIOS)
]
OWN = [
    pytest.param(*row, marks=[] if place % 7 == 0 else pytest.mark.slow)
    for place, row in enumerate(product(own_hangar.aircraft(), own_hangar.radios()))
]


def rests(setup: Setup) -> list[dict[str, float]]:
    """Every place of the levers."""
    held = setup.radio.commands
    places = {"camber": (1, -1), "brake": (1,)}
    found: list[dict[str, float]] = [{}]
    for name in (name for name in places if name in held):
        used = [0.0, *(setup.used_to(name, way) for way in places[name])]
        used += [used[1] / 2] if name == "brake" else []
        found = [{**rest, name: value} for rest in found for value in used]
    return found


def check(result: FitResult) -> None:
    setup = result.setup
    names = setup.aircraft.surface_names
    still = throws_mm(setup)
    pairs = [(names[unit[0]], names[unit[1]]) for unit in units_of(setup.aircraft) if len(unit) == 2]
    neutral: dict[str, dict[str, float]] = {}
    for rest in rests(setup):
        for roll, yaw in ((1.0, 0.0), (0.5, 0.0), (0.0, 0.0), (0.0, 1.0), (1.0, -1.0)):
            one = throws_mm(setup, roll=roll, yaw=yaw, **rest)
            other = throws_mm(setup, roll=-roll, yaw=-yaw, **rest)
            for (right, left), (ours, theirs) in product(pairs, ((one, other), (other, one))):
                moved = max(abs(ours[right] - still[right]), abs(theirs[left] - still[left]))
                apart = abs(ours[right] - theirs[left])
                assert apart <= max(1.0, 0.1 * moved) + 1e-6, (right, roll, yaw, rest)
        for command, kinds in STEERED.items():
            ends = [throws_mm(setup, **{command: way}, **rest) for way in (1.0, -1.0)]
            way = {
                s.name: ends[0][s.name] - ends[1][s.name] for s in setup.aircraft.surfaces if s.kind in kinds
            }
            first = neutral.setdefault(command, way)
            if sum(map(abs, first.values())) > 1:
                kept = sum(way[name] * (1 if first[name] > 0 else -1) for name in first)
                assert kept >= 0.49 * sum(map(abs, first.values())), (command, rest)
    for command, way in product(STEERED, (1.0, -1.0)):
        end, near = throws_mm(setup, **{command: way}), throws_mm(setup, **{command: 0.87 * way})
        for unit in units_of(setup.aircraft):
            moves = max(abs(end[names[place]] - still[names[place]]) for place in unit)
            if moves > 0.5:
                assert max(abs(end[names[p]] - near[names[p]]) for p in unit) > min(0.05, 0.02 * moves)
    for surface in setup.aircraft.surfaces:
        main = {"elevator": "pitch", "rudder": "yaw"}.get(surface.kind)
        if main in setup.radio.commands and not (surface.kind == "elevator" and surface.side != "centre"):
            assert setup.output(setup.wiring[surface.name]).control == main
    assert all(mark.percent >= 20 for mark in setup.marks)
    assert flyable(setup).faults == ()


@pytest.mark.parametrize(("plane", "radio"), SHIPPED)
def test_no_recommended_row_breaks_a_condition(plane, radio):
    aircraft = PLANES[plane]
    result = fit(aircraft, RADIOS[radio], usual_wants(aircraft))
    check(result)
    for other in result.alternatives:
        assert other.flown.faults == ()


@pytest.mark.parametrize(("plane", "radio"), OWN)
def test_nor_with_odd_aircraft_and_odd_radios(plane, radio):
    aircraft = own_hangar.aircraft()[plane]
    check(fit(aircraft, own_hangar.radios()[radio], usual_wants(aircraft)))


def test_a_pair_without_enough_mixes_loses_the_command_on_both_sides():
    """Without a mix neither elevon can get both sticks; roll into one of them alone would be worse."""
    aircraft = PLANES["orchard_wing"]
    result = fit(aircraft, RADIOS["simple six with 0"], usual_wants(aircraft))
    assert result.cannot[0] == "Not to be flown like this: no surface answers to pitch."
    setup = result.setup
    for command in ("roll", "pitch"):
        moved = [abs(mm) > 0.5 for mm in throws_mm(setup, **{command: 1.0}).values()]
        assert all(moved) or not any(moved)


def test_droop_gives_way_before_roll_keeps_less_than_half():
    """Ailerons whose stops leave 15 deg: droop of 12 deg would take most of the way down away."""
    plane = PLANES["orchard_two"]
    short = tuple(
        s.replace(stop_down_deg=15.0, stop_up_deg=15.0) if s.kind == "aileron" else s for s in plane.surfaces
    )
    plane = plane.replace(surfaces=short)
    radio = RADIOS["rich_ten"]
    wants = usual_wants(PLANES["orchard_two"])
    result = fit(plane, radio, wants, keep_share=0.9)
    free = fit(plane, radio, wants, keep_share=0.1)
    assert result.flown.least_kept("roll", "droop") >= 0.89
    droop = {
        r.want.surface: r.got_mm for r in result.rows if (r.want.command, r.want.side) == ("camber", "above")
    }
    more = {
        r.want.surface: r.got_mm for r in free.rows if (r.want.command, r.want.side) == ("camber", "above")
    }
    assert 0 < droop["left aileron"] < more["left aileron"]
    assert droop["left aileron"] == pytest.approx(droop["right aileron"], abs=0.3)
