"""No setting of a small radio is better than the fit: searched by hand, with every condition built in."""

from itertools import product

import numpy as np
import pytest
from fit_brute import cheaper, conditions_hold

from mixlib.bench.fit import fit
from mixlib.bench.fit.shares import UNSTEERED_MM2
from mixlib.describe import Aircraft, Radio, Want, shipped

ROUNDING_MM2 = 1e-3  # the fit tries every step of gains, rates and marks that the search by hand tries

SMALL = list(
    product(("clip", "scale"), (True, False), (True, False), (0, 1, 2), ("pitch", "camber"))
)  # end points, sides differ, own gains, mixes, the other command: 48 cases


def small_radio(ends: str, differ: bool, own: bool, mixes: int, other: str) -> Radio:
    """Two outputs and coarse steps, so that all settings can be tried."""
    held = "stick" if other == "pitch" else "dial"
    return Radio.model_validate(
        {
            "name": "Small two",
            "outputs": 2,
            "controls": [
                {"command": "roll", "held_by": "stick", "drives": (1,)},
                {"command": other, "held_by": held, "drives": (2,)},
            ],
            "free_mixes": mixes,
            "gain_step_percent": 25,
            "gain_sides_differ": differ,
            "output_gains": own,
            "end_points": ends,
            "travel_max_percent": 120,
            "rate_and_expo": True,
        }
    )


def pair_of(other: str, odd: bool) -> Aircraft:
    """Elevons, or a glider with nothing but its ailerons; an odd one has another hole on one side."""
    aircraft = shipped("aircraft", "orchard_wing" if other == "pitch" else "orchard_two")
    first, second = aircraft.of_kind("aileron", "elevon")
    if odd:
        horn = 16.0 if other == "pitch" else 12.0
        first = first.replace(linkage=first.linkage.replace(horn_mm=horn, rod_mm=None))
    return aircraft.replace(surfaces=(first, second))


def some_wants(aircraft: Aircraft, other: str, generator: np.random.Generator) -> tuple[Want, ...]:
    up, down = -generator.uniform(8, 20), generator.uniform(4, 14)
    most, least = generator.uniform(4, 14), -generator.uniform(2, 8)
    ends = (most, least) if other == "camber" else (1.5 * least, most)
    wants = []
    for surface in aircraft.surfaces:
        rolls = (up, down) if surface.side == "right" else (down, up)
        for command, both in (("roll", rolls), (other, ends)):
            for side, amount in zip(("above", "below"), both, strict=True):
                wants.append(Want(surface=surface.name, command=command, side=side, amount=round(amount, 1)))
    return tuple(wants)


CASES = [
    pytest.param(case, marks=[] if case % 6 == 0 else pytest.mark.slow, id="-".join(map(str, row)))
    for case, row in enumerate(SMALL)
]


@pytest.mark.parametrize("case", CASES)
def test_no_setting_that_can_be_flown_is_better_than_the_fit(case):
    other = SMALL[case][-1]
    aircraft, radio = pair_of(other, odd=case % 3 == 1), small_radio(*SMALL[case])
    wants = some_wants(aircraft, other, np.random.default_rng(case))
    result = fit(aircraft, radio, wants)
    assert conditions_hold(result.setup)
    score_mm2 = result.score_mm2 + UNSTEERED_MM2 * result.unsteered
    assert next(cheaper(aircraft, radio, wants, score_mm2 - ROUNDING_MM2), None) is None
