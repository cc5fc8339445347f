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
    Mark,
    Output,
    Radio,
    ReadyMade,
    Setup,
    Surface,
    Want,
    as_toml,
    plain_setup,
    shipped,
)
from mixlib.describe.files import build
from mixlib.describe.labels import field_label, label_of

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


def words(kind, path, values):
    """What the reader calls the field: that its words are the right ones is checked one by one below."""
    return label_of(kind, path, values)


def told(value, unit):
    """A number as a sentence gives it."""
    return f"{value:g} {unit}".replace("-", "−").rstrip()


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
        assert f"mine.toml: {words(Aircraft, path, TWO_VALUES)} is {told(value, unit)}. Accepted: " in text
        assert f"from {told(low, '')} to {told(high, unit)}".rstrip() in text


@pytest.mark.parametrize("path, low, high, unit", RADIO_NUMBERS, ids=lambda part: str(part))
def test_every_number_of_a_radio_says_its_range(path, low, high, unit):
    for value in (low - 1, high + 1):
        text = refusal(Radio, changed(RICH_VALUES, path, value))
        assert f"mine.toml: {words(Radio, path, RICH_VALUES)} is {told(value, unit)}. Accepted: " in text
        assert f"from {told(low, '')} to {told(high, unit)}".rstrip() in text


@pytest.mark.parametrize("wrong", ["12", True, float("nan"), float("inf"), None, [1], {"a": 1}])
@pytest.mark.parametrize("path", [path for path, *_ in AIRCRAFT_NUMBERS if path[-1] not in OPTIONAL], ids=str)
def test_what_is_no_number_is_refused_in_every_number_field(path, wrong):
    text = refusal(Aircraft, changed(TWO_VALUES, path, wrong))
    assert f"mine.toml: {words(Aircraft, path, TWO_VALUES)} is " in text
    assert "Accepted: a number from" in text


@pytest.mark.parametrize("given, missing", [("thickness_mm", "camber_mm"), ("camber_mm", "thickness_mm")])
def test_a_section_by_ruler_needs_both_numbers(given, missing):
    text = refusal(Aircraft, changed(TWO_VALUES, ("wing", "stations", 0, given), 12.0))
    assert f"Rib 1: {missing.removesuffix('_mm')} is missing" in text
    assert "a number too, or leave out both thickness and camber" in text


def removed(values, path):
    copy = dict(values)
    del copy[path]
    return copy


@pytest.mark.parametrize(
    "key, says",
    [
        ("name", "Name is"),
        ("mass_kg", "Mass is"),
        ("cg_mm", "Balance point is"),
        ("wing", "Wing is"),
        ("surfaces", "Surfaces are"),
    ],
)
def test_missing_field_is_named(key, says):
    text = refusal(Aircraft, removed(TWO_VALUES, key))
    assert text.startswith(f"mine.toml: {says} missing. Accepted: ")


def test_all_problems_are_told_at_once():
    values = {**TWO_VALUES, "mass_kg": -1, "cg_mm": 5000}
    assert [line.split(" is ")[0] for line in refusal(Aircraft, values).splitlines()] == [
        "mine.toml: Mass",
        "mine.toml: Balance point",
    ]


def with_surface(**changes):
    return changed(TWO_VALUES, ("surfaces", 0), {**TWO.surfaces[0].model_dump(mode="json"), **changes})


@pytest.mark.parametrize(
    "kind, values, says",
    [
        (
            Aircraft,
            with_surface(kind="rotor"),
            "Left aileron: kind of surface is “rotor”. Accepted: one of aileron, flap, elevator",
        ),
        (
            Aircraft,
            with_surface(y_outer_mm=400),
            "Left aileron: outer end is 400 mm. Accepted: more than the inner end, 480 mm.",
        ),
        (
            Aircraft,
            with_surface(y_outer_mm=1001),
            "Left aileron: outer end is 1001 mm. Accepted: at most the half span, 1000 mm",
        ),
        (
            Aircraft,
            with_surface(chord_mm=80),
            "Left aileron: chord is 80 mm. Accepted: at most 60 % of the wing's chord there, 67 mm",
        ),
        (
            Aircraft,
            with_surface(side="centre"),
            "Left aileron: side is “centre”. Accepted: left or right for a surface on the wing",
        ),
        (
            Aircraft,
            with_surface(name="rudder"),
            "Rudder: name is “rudder”. Accepted: a name that no other surface has",
        ),
        (
            Aircraft,
            with_surface(kind="rudder"),
            "Left aileron: side of the arm is “below”. Accepted: left or right for a rudder",
        ),
        (
            Aircraft,
            {**TWO_VALUES, "tail": None},
            "Elevator: hinged to is “tail”. Accepted: wing or fin, or describe the tail too.",
        ),
        (
            Aircraft,
            {**TWO_VALUES, "fin": None},
            "Rudder: hinged to is “fin”. Accepted: wing or tail, or describe the fin too.",
        ),
        (
            Aircraft,
            changed(TWO_VALUES, ("surfaces", 0, "linkage", "horn_side"), "left"),
            "Left aileron: side of the horn is “left”. Accepted: above or below like the arm",
        ),
        (
            Aircraft,
            changed(TWO_VALUES, ("surfaces", 0, "linkage", "arm_holes_mm"), [8, 99]),
            "Left aileron: other holes in the arm are 99 mm. Accepted: 3 to 80 mm",
        ),
        (
            Aircraft,
            changed(TWO_VALUES, ("wing", "stations", 0, "y_mm"), 5),
            "Rib 1: distance from the middle is 5 mm. Accepted: 0, since the first rib is the root",
        ),
        (
            Aircraft,
            changed(TWO_VALUES, ("wing", "stations", 2, "y_mm"), 600),
            "Rib 3: distance from the middle is 600 mm. Accepted: more than 600 mm, the one before",
        ),
        (
            Aircraft,
            changed(TWO_VALUES, ("wing", "stations"), []),
            "Ribs are a list of 0. Accepted: a list of 2 to 20 of them.",
        ),
        (Radio, {**RICH_VALUES, "curve_points": 2}, "Number of curve points is 2. Accepted: 0, or 3 to 33"),
        (
            Radio,
            changed(RICH_VALUES, ("controls", 1, "command"), "roll"),
            "Control 1: command is “roll”. Accepted: each command from one control only",
        ),
        (
            Radio,
            changed(SIMPLE_VALUES, ("controls", 0, "drives"), [7]),
            "Control 1: outputs that it moves are 7. Accepted: outputs 1 to 6",
        ),
        (
            Radio,
            changed(SIMPLE_VALUES, ("controls", 0, "drives"), [True]),
            "Control 1: outputs that it moves, number 1 are true. Accepted: a whole number",
        ),
        (
            Radio,
            {**SIMPLE_VALUES, "end_points": "bend"},
            "Effect of end points is “bend”. Accepted: one of clip, scale",
        ),
        (
            Radio,
            {**SIMPLE_VALUES, "mix_centre": "maybe"},
            "Centre of mixes is “maybe”. Accepted: true or false",
        ),
        (Radio, {**SIMPLE_VALUES, "name": ""}, "Name is “”. Accepted: text in quotes, 1 to 60 characters"),
    ],
)
def test_rules_between_fields(kind, values, says):
    text = refusal(kind, values)
    assert text.startswith("mine.toml: ")
    assert says in text


@pytest.mark.parametrize(
    "wrong, right",
    [("mas_kg", "mass_kg"), ("cgmm", "cg_mm"), ("surface", "surfaces"), ("Wing", "wing"), ("notes", "note")],
)
def test_unknown_key_suggests_the_nearest(wrong, right):
    text = refusal(Aircraft, {**TWO_VALUES, wrong: 1})
    assert text == f"mine.toml: “{wrong}” is not known here. Did you mean {right}?"


def test_unknown_key_inside_a_list_suggests_the_nearest_there():
    text = refusal(Aircraft, changed(TWO_VALUES, ("surfaces", 1, "servo", "max_uS"), 2000))
    assert text == "mine.toml: Right aileron: servo: “max_uS” is not known here. Did you mean max_us?"


def test_unknown_key_that_is_near_to_nothing_lists_what_is_known():
    assert "“xyzzy” is not known here. Known here: name, note, outputs" in refusal(
        Radio, {**SIMPLE_VALUES, "xyzzy": 1}
    )


@pytest.mark.parametrize("kind", [Aircraft, Surface, Linkage, Radio, Setup, Output, FreeMix])
def test_every_field_says_what_it_is(kind):
    silent = {"wing", "tail", "fin", "linkage", "servo", "aircraft", "radio"}
    assert [
        name for name, info in kind.model_fields.items() if not info.description and name not in silent
    ] == []


@pytest.mark.parametrize(
    "kind", [Aircraft, Surface, Linkage, Radio, Setup, Output, FreeMix, Want, Mark, ReadyMade]
)
def test_no_two_fields_of_a_description_are_called_alike(kind):
    labels = [field_label(kind, key) for key in kind.model_fields]
    assert len(set(labels)) == len(labels)
    assert not [label for label in labels if "_" in label or not label]


@given(setups(), st.data())
@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
def test_number_out_of_range_anywhere_in_a_setup_is_named(setup, data):
    values = setup.model_dump(mode="json")
    path, _, high, _ = data.draw(st.sampled_from(AIRCRAFT_NUMBERS))
    where = ("aircraft", *path)
    if path[-1] == "y_mm" or path[0] in ("tail", "fin"):
        return
    text = refusal(Setup, changed(values, where, high + abs(high) + 1))
    assert f"{words(Setup, where, values)} is " in text
