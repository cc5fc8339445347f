"""Bad input ends in a sentence that names file, field, value and what is accepted; nothing else comes out."""

import typing

import pytest
from description_strategies import setups
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import BaseModel

from mixlib.describe import (
    Aircraft,
    DescriptionError,
    FreeMix,
    Linkage,
    Output,
    Radio,
    Setup,
    Surface,
    as_toml,
    plain_setup,
    shipped,
)
from mixlib.describe.files import build

TWO, THREE, VEE = (shipped("aircraft", f"orchard_{name}") for name in ("two", "three", "vee"))
BARE, SIMPLE, RICH = (shipped("radio", name) for name in ("bare_four", "simple_six", "rich_ten"))
TWO_VALUES, SIMPLE_VALUES, RICH_VALUES = (part.model_dump(mode="json") for part in (TWO, SIMPLE, RICH))
TEXTS = [as_toml(TWO), as_toml(RICH), as_toml(plain_setup(TWO, SIMPLE))]


def number_fields(kind, path=()):
    """Paths, limits and unit of every number field inside a description, through lists and tables."""
    for name, info in kind.model_fields.items():
        here = (*path, name)
        limits = {type(rule).__name__: rule for rule in info.metadata}
        if "Ge" in limits:
            yield here, limits["Ge"].ge, limits["Le"].le, (info.json_schema_extra or {}).get("unit", "")
        for inner in (info.annotation, *typing.get_args(info.annotation)):
            if isinstance(inner, type) and issubclass(inner, BaseModel):
                in_list = typing.get_origin(info.annotation) is tuple
                yield from number_fields(inner, (*here, 0) if in_list else here)


AIRCRAFT_NUMBERS = list(number_fields(Aircraft))
RADIO_NUMBERS = list(number_fields(Radio))
OPTIONAL = ("rod_mm", "thickness_mm", "camber_mm", "outer_chord_mm")  # for which no number is an answer


def changed(values, path, value):
    """Copy of nested plain values with one of them changed."""
    if not path:
        return value
    copy = dict(values) if isinstance(values, dict) else list(values)
    inside = values.get(path[0], {}) if isinstance(values, dict) else values[path[0]]
    copy[path[0]] = changed(inside if inside is not None else {}, path[1:], value)
    return copy


def words(path):
    """Path as a flyer counts."""
    return ".".join(str(step + 1) if isinstance(step, int) else step for step in path)


def refusal(kind, values):
    with pytest.raises(DescriptionError) as caught:
        build(kind, values, "mine.toml")
    return str(caught.value)


def test_there_are_number_fields_to_sweep():
    assert len(AIRCRAFT_NUMBERS) >= 31
    assert len(RADIO_NUMBERS) >= 15


@pytest.mark.parametrize("path, low, high, unit", AIRCRAFT_NUMBERS, ids=lambda part: str(part))
def test_every_number_of_an_aircraft_says_its_range(path, low, high, unit):
    for value in (low - 1, high + 1):
        text = refusal(Aircraft, changed(TWO_VALUES, path, value))
        assert f"mine.toml: {words(path)} is {value}. Accepted: " in text
        assert f"from {low:g} to {high:g} {unit}".rstrip() in text


@pytest.mark.parametrize("path, low, high, unit", RADIO_NUMBERS, ids=lambda part: str(part))
def test_every_number_of_a_radio_says_its_range(path, low, high, unit):
    for value in (low - 1, high + 1):
        text = refusal(Radio, changed(RICH_VALUES, path, value))
        assert f"mine.toml: {words(path)} is {value}. Accepted: " in text
        assert f"from {low:g} to {high:g} {unit}".rstrip() in text


@pytest.mark.parametrize("wrong", ["12", True, float("nan"), float("inf"), None, [1], {"a": 1}])
@pytest.mark.parametrize(
    "path", [path for path, *_ in AIRCRAFT_NUMBERS if path[-1] not in OPTIONAL], ids=words
)
def test_what_is_no_number_is_refused_in_every_number_field(path, wrong):
    text = refusal(Aircraft, changed(TWO_VALUES, path, wrong))
    assert f"mine.toml: {words(path)} is " in text
    assert "Accepted: a number from" in text


@pytest.mark.parametrize("given, missing", [("thickness_mm", "camber_mm"), ("camber_mm", "thickness_mm")])
def test_a_section_by_ruler_needs_both_numbers(given, missing):
    text = refusal(Aircraft, changed(TWO_VALUES, ("wing", "stations", 0, given), 12.0))
    assert f'{missing} is "left out"' in text
    assert "a number too, or leave out both thickness and camber" in text


def removed(values, path):
    copy = dict(values)
    del copy[path]
    return copy


@pytest.mark.parametrize("name", ["name", "mass_kg", "cg_mm", "wing", "surfaces"])
def test_missing_field_is_named(name):
    text = refusal(Aircraft, removed(TWO_VALUES, name))
    assert text.startswith(f"mine.toml: {name} is missing. Accepted: ")


def test_all_problems_are_told_at_once():
    values = {**TWO_VALUES, "mass_kg": -1, "cg_mm": 5000}
    assert [line.split(" is ")[0] for line in refusal(Aircraft, values).splitlines()] == [
        "mine.toml: mass_kg",
        "mine.toml: cg_mm",
    ]


def with_surface(**changes):
    return changed(TWO_VALUES, ("surfaces", 0), {**TWO.surfaces[0].model_dump(mode="json"), **changes})


@pytest.mark.parametrize(
    "kind, values, says",
    [
        (Aircraft, with_surface(kind="rotor"), 'kind is "rotor". Accepted: one of aileron, flap, elevator'),
        (
            Aircraft,
            with_surface(y_outer_mm=400),
            "surfaces.1.y_outer_mm is 400.0. Accepted: more than y_inner_mm, which is 480",
        ),
        (
            Aircraft,
            with_surface(y_outer_mm=1001),
            "surfaces.1.y_outer_mm is 1001.0. Accepted: at most the half span, 1000 mm",
        ),
        (
            Aircraft,
            with_surface(chord_mm=80),
            "surfaces.1.chord_mm is 80.0. Accepted: at most 60 % of the wing's chord there, 67 mm",
        ),
        (
            Aircraft,
            with_surface(side="centre"),
            'surfaces.1.side is "centre". Accepted: left or right for a surface on the wing',
        ),
        (
            Aircraft,
            with_surface(name="rudder"),
            'name is "rudder". Accepted: a name that no other surface has',
        ),
        (
            Aircraft,
            with_surface(kind="rudder"),
            'linkage.arm_side is "below". Accepted: left or right for a rudder',
        ),
        (Aircraft, {**TWO_VALUES, "tail": None}, 'surfaces.3.part is "tail". Accepted: wing or fin, or give'),
        (Aircraft, {**TWO_VALUES, "fin": None}, 'surfaces.4.part is "fin". Accepted: wing or tail, or give'),
        (
            Aircraft,
            changed(TWO_VALUES, ("surfaces", 0, "linkage", "horn_side"), "left"),
            'surfaces.1.linkage.horn_side is "left". Accepted: above or below like the arm',
        ),
        (
            Aircraft,
            changed(TWO_VALUES, ("surfaces", 0, "linkage", "arm_holes_mm"), [8, 99]),
            "arm_holes_mm is 99.0. Accepted: 3 to 80 mm",
        ),
        (
            Aircraft,
            changed(TWO_VALUES, ("wing", "stations", 0, "y_mm"), 5),
            "wing.stations.1.y_mm is 5.0. Accepted: 0, since the first station is the root",
        ),
        (
            Aircraft,
            changed(TWO_VALUES, ("wing", "stations", 2, "y_mm"), 600),
            "wing.stations.3.y_mm is 600.0. Accepted: more than 600",
        ),
        (
            Aircraft,
            changed(TWO_VALUES, ("wing", "stations"), []),
            "wing.stations is a list. Accepted: a list of at least 2 and at most 20",
        ),
        (Radio, {**RICH_VALUES, "curve_points": 2}, "curve_points is 2. Accepted: 0, or 3 to 33"),
        (
            Radio,
            changed(RICH_VALUES, ("controls", 1, "command"), "roll"),
            'controls.1.command is "roll". Accepted: each command from one control only',
        ),
        (
            Radio,
            changed(SIMPLE_VALUES, ("controls", 0, "drives"), [7]),
            "controls.1.drives is 7. Accepted: outputs 1 to 6",
        ),
        (
            Radio,
            changed(SIMPLE_VALUES, ("controls", 0, "drives"), [True]),
            "controls.1.drives.1 is true. Accepted: a whole number",
        ),
        (
            Radio,
            {**SIMPLE_VALUES, "end_points": "bend"},
            'end_points is "bend". Accepted: one of clip, scale',
        ),
        (Radio, {**SIMPLE_VALUES, "mix_centre": "maybe"}, 'mix_centre is "maybe". Accepted: true or false'),
        (Radio, {**SIMPLE_VALUES, "name": ""}, 'name is "". Accepted: text in quotes, 1 to 60 characters'),
    ],
)
def test_rules_between_fields(kind, values, says):
    text = refusal(kind, values)
    assert text.startswith("mine.toml: ")
    assert says in text


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
            'wiring.right aileron is "nothing". Accepted: the output of its servo, 1 to 6',
        ),
        (
            setup_values(SIMPLE, wiring={**WIRING, "flap": 3}),
            'wiring is "flap". Accepted: surface names among left aileron',
        ),
        (
            setup_values(SIMPLE, wiring={**WIRING, "rudder": 7}),
            "wiring.rudder is 7. Accepted: 1 to 6, the outputs of the radio",
        ),
        (
            setup_values(SIMPLE, wiring={**WIRING, "rudder": True}),
            "wiring.rudder is true. Accepted: a whole number",
        ),
        (setup_values(SIMPLE, outputs=[{"number": 7}]), "outputs.1.number is 7. Accepted: 1 to 6"),
        (
            setup_values(SIMPLE, outputs=[{"number": 1}, {"number": 1}]),
            "outputs.1.number is 1. Accepted: each output once only",
        ),
        (
            setup_values(SIMPLE, outputs=[{"number": 1, "control": "pitch"}]),
            'outputs.1.control is "pitch". Accepted: one of roll',
        ),
        (
            setup_values(SIMPLE, outputs=[{"number": 1, "gain_above_percent": 50}]),
            "gain_above_percent is 50.0. Accepted: 100: this radio cannot set it",
        ),
        (
            setup_values(SIMPLE, outputs=[{"number": 1, "end_high_percent": 140}]),
            "end_high_percent is 140.0. Accepted: 0 to 130 %",
        ),
        (
            setup_values(SIMPLE, outputs=[{"number": 1, "sub_trim_percent": -40}]),
            "sub_trim_percent is -40.0. Accepted: -30 to 30 %",
        ),
        (
            setup_values(SIMPLE, outputs=[{"number": 1, "sub_trim_percent": 1.5}]),
            "sub_trim_percent is 1.5. Accepted: steps of 1 %",
        ),
        (
            setup_values(BARE, outputs=[{"number": 1, "sub_trim_percent": 5}]),
            "sub_trim_percent is 5.0. Accepted: 0: this radio does not have it",
        ),
        (
            setup_values(BARE, shaping={"roll": {"rate_percent": 50}}),
            'shaping.roll is "set". Accepted: none: this radio has no rate and expo',
        ),
        (
            setup_values(SIMPLE, shaping={"camber": {"expo_percent": 50}}),
            'shaping.camber is "set". Accepted: rate and expo on roll, pitch',
        ),
        (setup_values(SIMPLE, free_mixes=[mix(), mix(), mix()]), "free_mixes is 3. Accepted: at most 2"),
        (setup_values(SIMPLE, free_mixes=[mix(follower=7)]), "free_mixes.1.follower is 7. Accepted: 1 to 6"),
        (
            setup_values(SIMPLE, free_mixes=[mix(leader=9)]),
            "free_mixes.1.leader is 9. Accepted: a command, or an output from 1 to 6",
        ),
        (
            setup_values(SIMPLE, free_mixes=[mix(leader="brake")]),
            'free_mixes.1.leader is "brake". Accepted: one of roll, pitch',
        ),
        (
            setup_values(SIMPLE, free_mixes=[mix(leader="spoiler")]),
            'free_mixes.1.leader is "spoiler". Accepted: one of roll, pitch',
        ),
        (
            setup_values(SIMPLE, free_mixes=[mix(leader=True)]),
            "free_mixes.1.leader is true. Accepted: one of roll, pitch",
        ),
        (
            setup_values(SIMPLE, free_mixes=[mix(centre_percent=10)]),
            "centre_percent is 10.0. Accepted: 0: this radio's mixes have no centre",
        ),
        (
            setup_values(SIMPLE, free_mixes=[mix(curve_percent=[0, 1, 2])]),
            'curve_percent is "3 points". Accepted: none: this radio has no curves',
        ),
        (
            setup_values(RICH, free_mixes=[mix(curve_percent=[0, 200, 2])]),
            "curve_percent is 200.0. Accepted: -140 to 140 %",
        ),
        (
            setup_values(RICH, free_mixes=[mix(curve_percent=[0, 1])]),
            'curve_percent is "2 points". Accepted: 3 to 9 points',
        ),
        (
            setup_values(RICH, free_mixes=[mix(curve_percent=["a"])]),
            'curve_percent.1 is "a". Accepted: a number',
        ),
        (
            setup_values(SIMPLE, free_mixes=[mix(gain_above_percent=101)]),
            "gain_above_percent is 101.0. Accepted: -100 to 100 %",
        ),
        (
            setup_values(SIMPLE, free_mixes=[mix(gain_below_percent=0.5)]),
            "gain_below_percent is 0.5. Accepted: steps of 1 %",
        ),
        (
            setup_values(SIMPLE.replace(gain_sides_differ=False), free_mixes=[mix(gain_below_percent=20)]),
            "gain_below_percent is 20.0. Accepted: 50, the same as above",
        ),
        (
            setup_values(SIMPLE, wanted=[{"surface": "flap", "command": "roll", "amount": 1}]),
            'wanted.1.surface is "flap". Accepted: one of left aileron',
        ),
        (
            setup_values(SIMPLE, wanted=[{"surface": "rudder", "command": "yaw", "amount": 1, "unit": "cm"}]),
            'wanted.1.unit is "cm". Accepted: one of mm, inch, deg',
        ),
        (
            setup_values(SIMPLE, phases=[{"name": "slow", "angles_deg": {"flap": 3}}]),
            'phases.1.angles_deg is "flap". Accepted: names among left aileron',
        ),
        (
            setup_values(SIMPLE, phases=[{"name": "slow", "angles_deg": {"rudder": 95}}]),
            "phases.1.angles_deg.rudder is 95.0. Accepted: -90 to 90 deg",
        ),
    ],
)
def test_rules_of_a_setup(values, says):
    assert says in refusal(Setup, values)


@pytest.mark.parametrize(
    "wrong, right",
    [("mas_kg", "mass_kg"), ("cgmm", "cg_mm"), ("surface", "surfaces"), ("Wing", "wing"), ("notes", "note")],
)
def test_unknown_key_suggests_the_nearest(wrong, right):
    text = refusal(Aircraft, {**TWO_VALUES, wrong: 1})
    assert f"{wrong} is not one (did you mean {right}?)" in text


def test_unknown_key_inside_a_list_suggests_the_nearest_there():
    text = refusal(Aircraft, changed(TWO_VALUES, ("surfaces", 1, "servo", "max_uS"), 2000))
    assert "surfaces.2.servo.max_uS is 2000" in text
    assert "did you mean max_us?" in text


def test_unknown_key_that_is_near_to_nothing_lists_what_is_known():
    assert "known here: name, note, outputs" in refusal(Radio, {**SIMPLE_VALUES, "xyzzy": 1})


@pytest.mark.parametrize("kind", [Aircraft, Surface, Linkage, Radio, Setup, Output, FreeMix])
def test_every_field_says_what_it_is(kind):
    silent = {"wing", "tail", "fin", "linkage", "servo", "aircraft", "radio"}
    assert [
        name for name, info in kind.model_fields.items() if not info.description and name not in silent
    ] == []


@given(setups(), st.data())
@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
def test_number_out_of_range_anywhere_in_a_setup_is_named(setup, data):
    values = setup.model_dump(mode="json")
    path, _, high, _ = data.draw(st.sampled_from(AIRCRAFT_NUMBERS))
    where = ("aircraft", *path)
    if path[-1] == "y_mm" or path[0] in ("tail", "fin"):
        return
    text = refusal(Setup, changed(values, where, high + abs(high) + 1))
    assert f"{words(where)} is " in text
