"""What the short form does not ask for: each such value has a usual one, and may be typed."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel

from mixlib.describe import Aircraft, Radio, Station, Surface
from mixlib.describe.numbers import UNITS, read_numbers
from mixlib.describe.words import number
from mixlib.panel.form.drafts import NONE, Field, fields_of, in_other_unit
from mixlib.panel.form.short.questions import Answers, mirror, pairs, unit_for

__all__ = [
    "MORE",
    "Leaf",
    "as_typed",
    "leaves_of",
    "more_with_units",
    "places_of",
    "put_leaf",
    "radio_leaves",
    "unit_asked",
    "usual_words",
]

MORE = "more:"  # before the path of a value that has a usual one and was typed all the same


@dataclass(frozen=True)
class Leaf:
    """One value of the description that has a usual one, with its key among the answers and its field."""

    key: str
    field: Field
    usual: Any


_ASKED = {
    "aircraft": {
        "mass_kg",
        "cg_mm",
        "finish",
        "motor.propeller",
        "tail.span_mm",
        "tail.chord_mm",
        "tail.arm_mm",
    },
    "station": {"y_mm", "chord_mm"},
    "surface": {
        *(
            "name",
            "kind",
            "part",
            "side",
            "servo_of",
            "linkage.arm_mm",
            "linkage.horn_mm",
            "linkage.horn_side",
        ),
        *("servo.longer_pulse_moves_arm",),
    },
}


def leaves_of(answers: Answers, values: dict[str, Any]) -> Iterator[Leaf]:
    """All values of a description that no question asks for, with what is usual for each."""
    aircraft = values["aircraft"]
    yield from _inside(Aircraft, aircraft, "aircraft", "", _ASKED["aircraft"])
    for end, place in (("root", 0), ("tip", -1)):
        asked = _ASKED["station"] | ({"thickness_mm"} if end == "root" else {"dihedral_deg"})
        yield from _inside(Station, aircraft["wing"]["stations"][place], f"wing {end}", "", asked)
    for surface in aircraft["surfaces"]:
        what, name = surface["kind"], surface["name"]
        if surface["side"] == "right" and mirror(answers, what) != "not":
            continue
        asked = set(_ASKED["surface"])
        if what != "rudder":
            asked.add("chord_mm")
        if surface["part"] == "wing":
            asked |= {"y_inner_mm", "y_outer_mm"}
        yield from _inside(Surface, surface, name, "", asked)
    yield from radio_leaves(values["radio"])


def radio_leaves(values: dict[str, Any]) -> Iterator[Leaf]:
    """All values of a radio's description, with what is usual for each."""
    return _inside(Radio, values, "radio", "", set())


def _inside(inside: type[BaseModel], values: dict, owner: str, path: str, asked: set[str]) -> Iterator[Leaf]:
    for field in fields_of(inside):
        here = f"{path}.{field.key}" if path else field.key
        if here in asked or field.sort == "table":
            continue
        value = values.get(field.key)
        if field.sort == "part":
            if value is not None and field.key != "wing":
                yield from _inside(field.inside, value, owner, here, asked)
        elif field.sort == "list":
            if owner == "radio":
                for place, item in enumerate(value or ()):
                    yield from _inside(field.inside, item, owner, f"{here}.{place}", asked)
        else:
            yield Leaf(f"{MORE}{owner}.{here}", field, value)


def put_leaf(values: dict, answers: Answers, leaf: Leaf, value: Any) -> None:
    """Write a value that was typed in place of the usual one."""
    for holder, key in places_of(answers, values, leaf.key):
        holder[key] = value


def places_of(answers: Answers, values: dict, key: str) -> list[tuple[dict, str]]:
    """Where a value of "more" stands: of a mirrored pair in both surfaces."""
    owner, _, path = key.removeprefix(MORE).partition(".")
    aircraft = values["aircraft"]
    if owner in ("aircraft", "radio"):
        holders: list[Any] = [values[owner]]
    elif owner.startswith("wing "):
        holders = [aircraft["wing"]["stations"][0 if owner == "wing root" else -1]]
    else:
        what, names = next((what, names) for what, names in pairs(answers).items() if owner in names)
        same = names if mirror(answers, what) != "not" else (owner,)
        holders = [surface for surface in aircraft["surfaces"] if surface["name"] in same]
    *steps, last = path.split(".")
    for step in steps:
        holders = [holder[int(step) if step.isdigit() else step] for holder in holders]
    return [(holder, last) for holder in holders]


def unit_asked(answers: Answers, field: Field) -> str:
    """The unit in which a value is asked: of lengths and weights the reader's, else the field's own."""
    measure = {"length": "length", "mass": "weight"}.get(UNITS[field.unit][0] if field.unit in UNITS else "")
    return unit_for(answers, measure) if measure else field.unit


def usual_words(answers: Answers, leaf: Leaf) -> str:
    """The usual value as one would type it in the unit in which it is asked."""
    field, usual = leaf.field, leaf.usual
    if (unit := unit_asked(answers, field)) != field.unit and usual is not None:
        share = in_other_unit(1.0, field, unit)
        usual = (
            [round(share * one, 3) for one in usual] if isinstance(usual, list) else round(share * usual, 3)
        )
    return number(usual) if isinstance(usual, float) else as_typed(usual)


def more_with_units(answers: Answers, values: dict[str, Any], measure: str) -> dict[str, str]:
    """As `with_units`, for the values that have a usual one."""
    unit, found = unit_for(answers, measure), {}
    for leaf in leaves_of(answers, values):
        typed = answers.get(leaf.key, "").strip()
        if typed and typed[-1].isdigit() and unit_asked(answers, leaf.field) == unit:
            with suppress(ValueError):  # what cannot be read stays as it is
                read = read_numbers(typed, unit) if leaf.field.sort == "numbers" else None
                found[leaf.key] = (
                    f"{typed} {unit}" if read is None else "; ".join(f"{one:.12g} {unit}" for one in read)
                )
    return found


def as_typed(value: Any) -> str:
    """A value as one would type it, so that it reads back the same."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return "; ".join(map(as_typed, value)) or NONE
    return "" if value is None else f"{value!r}" if isinstance(value, float) else str(value)
