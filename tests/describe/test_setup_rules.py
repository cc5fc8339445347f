"""Rules between the parts of a set-up: what does not fit together ends in a sentence that says what does."""

import pytest

from mixlib.describe import DescriptionError, Setup, plain_setup, shipped
from mixlib.describe.files import build

TWO, BARE, SIMPLE, RICH = (
    shipped("aircraft", "orchard_two"),
    shipped("radio", "bare_four"),
    shipped("radio", "simple_six"),
    shipped("radio", "rich_ten"),
)


def setup_values(radio, **changes):
    return {**plain_setup(TWO, radio).model_dump(mode="json"), **changes}


WIRING = plain_setup(TWO, SIMPLE).wiring


def mix(**changes):
    return {"leader": "roll", "follower": 6, "gain_above_percent": 50, "gain_below_percent": 50, **changes}


@pytest.mark.parametrize(
    "values, says",
    [
        (
            setup_values(SIMPLE, wiring={"left aileron": 1}),
            "Plug of right aileron is missing. Accepted: the output of its servo, 1 to 6",
        ),
        (
            setup_values(SIMPLE, wiring={**WIRING, "flap": 3}),
            "Plug is “flap”. Accepted: plugs of left aileron, right aileron, elevator and rudder.",
        ),
        (
            setup_values(SIMPLE, wiring={**WIRING, "rudder": 7}),
            "Plug of rudder is 7. Accepted: 1 to 6, the outputs of the radio",
        ),
        (
            setup_values(SIMPLE, wiring={**WIRING, "rudder": True}),
            "Plug of rudder is true. Accepted: a whole number",
        ),
        (setup_values(SIMPLE, outputs=[{"number": 7}]), "Output 7: number is 7. Accepted: 1 to 6"),
        (
            setup_values(SIMPLE, outputs=[{"number": 1}, {"number": 1}]),
            "Output 1: number is 1. Accepted: each output once only",
        ),
        (
            setup_values(SIMPLE, outputs=[{"number": 1, "control": "pitch"}]),
            "Output 1: control is “pitch”. Accepted: one of roll",
        ),
        (
            setup_values(SIMPLE, outputs=[{"number": 1, "gain_above_percent": 50}]),
            "Output 1: gain above is 50 %. Accepted: 100: this radio cannot set it",
        ),
        (
            setup_values(SIMPLE, outputs=[{"number": 1, "end_high_percent": 140}]),
            "Output 1: end point towards the longer pulse is 140 %. Accepted: 0 to 130 %",
        ),
        (
            setup_values(SIMPLE, outputs=[{"number": 1, "sub_trim_percent": -40}]),
            "Output 1: sub-trim is −40 %. Accepted: −30 to 30 %",
        ),
        (
            setup_values(SIMPLE, outputs=[{"number": 1, "sub_trim_percent": 1.5}]),
            "Output 1: sub-trim is 1.5 %. Accepted: steps of 1 %",
        ),
        (
            setup_values(BARE, outputs=[{"number": 1, "sub_trim_percent": 5}]),
            "Output 1: sub-trim is 5 %. Accepted: 0: this radio does not have it",
        ),
        (
            setup_values(BARE, shaping={"roll": {"rate_percent": 50}}),
            "Rate and expo of roll is set. Accepted: none: this radio has no rate and expo",
        ),
        (
            setup_values(SIMPLE, shaping={"camber": {"expo_percent": 50}}),
            "Rate and expo of camber is set. Accepted: rate and expo on roll, pitch",
        ),
        (setup_values(SIMPLE, free_mixes=[mix(), mix(), mix()]), "Free mixes are 3. Accepted: at most 2"),
        (setup_values(SIMPLE, free_mixes=[mix(follower=7)]), "Mix 1: follower is 7. Accepted: 1 to 6"),
        (
            setup_values(SIMPLE, free_mixes=[mix(leader=9)]),
            "Mix 1: leader is 9. Accepted: a command, or an output from 1 to 6",
        ),
        (
            setup_values(SIMPLE, free_mixes=[mix(leader="brake")]),
            "Mix 1: leader is “brake”. Accepted: one of roll, pitch",
        ),
        (
            setup_values(SIMPLE, free_mixes=[mix(leader="spoiler")]),
            "Mix 1: leader is “spoiler”. Accepted: one of roll, pitch",
        ),
        (
            setup_values(SIMPLE, free_mixes=[mix(leader=True)]),
            "Mix 1: leader is true. Accepted: one of roll, pitch",
        ),
        (
            setup_values(SIMPLE, free_mixes=[mix(centre_percent=10)]),
            "Mix 1: centre is 10 %. Accepted: 0: this radio's mixes have no centre",
        ),
        (
            setup_values(SIMPLE, free_mixes=[mix(curve_percent=[0, 1, 2])]),
            "Mix 1: curve is 3 points. Accepted: none: this radio has no curves",
        ),
        (
            setup_values(RICH, free_mixes=[mix(curve_percent=[0, 200, 2])]),
            "Mix 1: curve is 200. Accepted: −140 to 140 %",
        ),
        (
            setup_values(RICH, free_mixes=[mix(curve_percent=[0, 1])]),
            "Mix 1: curve is 2 points. Accepted: 3 to 9 points",
        ),
        (
            setup_values(RICH, free_mixes=[mix(curve_percent=["a"])]),
            "Mix 1: curve, number 1 is “a”. Accepted: a number",
        ),
        (
            setup_values(SIMPLE, free_mixes=[mix(gain_above_percent=101)]),
            "Mix 1: gain above is 101 %. Accepted: −100 to 100 %",
        ),
        (
            setup_values(SIMPLE, free_mixes=[mix(gain_below_percent=0.5)]),
            "Mix 1: gain below is 0.5 %. Accepted: steps of 1 %",
        ),
        (
            setup_values(SIMPLE.replace(gain_sides_differ=False), free_mixes=[mix(gain_below_percent=20)]),
            "Mix 1: gain below is 20 %. Accepted: 50, the same as above",
        ),
        (
            setup_values(SIMPLE, wanted=[{"surface": "flap", "command": "roll", "amount": 1}]),
            "Wish 1: surface is “flap”. Accepted: one of left aileron",
        ),
        (
            setup_values(SIMPLE, wanted=[{"surface": "rudder", "command": "yaw", "amount": 1, "unit": "cm"}]),
            "Wish 1: unit is “cm”. Accepted: one of mm, inch, deg",
        ),
        (
            setup_values(SIMPLE, phases=[{"name": "slow", "angles_deg": {"flap": 3}}]),
            "Phase slow: angle is “flap”. Accepted: angles of left aileron",
        ),
        (
            setup_values(SIMPLE, phases=[{"name": "slow", "angles_deg": {"rudder": 95}}]),
            "Phase slow: angle of rudder is 95. Accepted: −90 to 90 deg",
        ),
    ],
)
def test_rules_of_a_setup(values, says):
    with pytest.raises(DescriptionError) as caught:
        build(Setup, values, "mine.toml")
    assert f"mine.toml: {says}" in str(caught.value)
