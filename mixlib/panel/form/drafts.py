"""A draft: the values of a description as typed, right or wrong, until they can be made into one.

Nothing typed is lost: a word where a number belongs stays in the draft and is answered with a sentence.
"""

from __future__ import annotations

import copy
import typing
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from pydantic import BaseModel

from mixlib.describe.base import Count
from mixlib.describe.errors import MISSING, DescriptionError, Problem, accepted_values
from mixlib.describe.files import build
from mixlib.describe.labels import field_label
from mixlib.describe.numbers import UNITS, read_number, read_numbers

__all__ = [
    "NONE",
    "Draft",
    "Field",
    "fields_of",
    "in_other_unit",
    "kind_at",
    "plainest",
    "read_field",
    "typed_value",
]


NONE = "none"
"""What is typed for an empty list; a blank line may mean the usual one."""


@dataclass(frozen=True)
class Field:
    """One field of a description, as a form needs it.

    Attributes
    ----------
    label : str
        Name for the reader, with its unit.
    meaning : str
        What it is, in a flyer's words.
    accepted : str
        What may be typed.
    sort : {"words", "number", "choice", "yes or no", "numbers", "part", "list", "table"}
        How it is typed: a line, one of some words, a tick, numbers with commas, or a part with fields
        of its own.
    part : type or None
        For a part, a list or a table: the description inside.
    optional : bool
        Whether it can be left out.
    """

    key: str
    label: str
    meaning: str
    accepted: str
    sort: str
    choices: tuple[str, ...]
    part: type[BaseModel] | None
    optional: bool
    unit: str = ""
    whole: bool = False

    @property
    def name(self) -> str:
        """Its label without the unit."""
        return self.label.removesuffix(f" ({self.unit})")

    @property
    def inside(self) -> type[BaseModel]:
        """The description inside a field that has one."""
        assert self.part is not None, self.key
        return self.part


@cache
def fields_of(kind: type[BaseModel]) -> tuple[Field, ...]:
    """Fields of a description in their order.

    Parameters
    ----------
    kind : type
        Such as `Aircraft` or `Surface`.
    """
    return tuple(_field(kind, key) for key in kind.model_fields)


def read_field(field: Field, text: str, unit: str = "") -> Any:
    """Value of what was typed for a field.

    Parameters
    ----------
    unit : str
        That a number without one is in; left out, the field's own.

    Raises
    ------
    ValueError
        If it cannot be read; the sentence is for the reader.
    """
    if field.sort == "number":
        return _whole(_in_its_unit(read_number(text, unit or field.unit), unit, field), field)
    if field.sort == "numbers" and text.strip() == NONE:
        return []
    if field.sort == "numbers" and field.choices:
        return [word.strip() for word in text.replace(";", ",").split(",") if word.strip()]
    if field.sort == "numbers":
        read = read_numbers(text, unit or field.unit)
        return [_whole(_in_its_unit(value, unit, field), field) for value in read]
    return text == "yes" if field.sort == "yes or no" else text


def typed_value(text: str, field: Field, unit: str = "") -> Any:
    """As `read_field`; the text itself where it cannot be read, None if it is empty."""
    try:
        return read_field(field, text, unit) if text.strip() or field.sort == "numbers" else None
    except ValueError:
        return text


def in_other_unit(value: float, field: Field, unit: str) -> float:
    """A value of a field in another unit of its kind."""
    return value if unit == field.unit else value * float(UNITS[field.unit][1] / UNITS[unit][1])


def _in_its_unit(value: float, unit: str, field: Field) -> float:
    if unit in ("", field.unit):
        return value
    return round(value * float(UNITS[unit][1] / UNITS[field.unit][1]), 9)


def _whole(value: float, field: Field) -> float | int:
    return int(value) if field.whole and value == int(value) else value


class Draft:
    """Values of one description, free to be wrong."""

    def __init__(self, kind: type[BaseModel], values: dict[str, Any]):
        self.kind, self.values = kind, values

    def get(self, path: tuple) -> Any:
        """Value at a path.

        Parameters
        ----------
        path : tuple
            Names and indices from 0.

        Returns
        -------
        object
            What stands there; None where nothing does.
        """
        value = self.values
        for step in path:
            try:
                value = value[step]
            except (KeyError, IndexError, TypeError):
                return None
        return value

    def put(self, path: tuple, value: Any) -> None:
        """Write a value at a path.

        Parameters
        ----------
        path : tuple
            Names and indices from 0; all but the last must exist.
        """
        self.get(path[:-1])[path[-1]] = value

    def add(self, path: tuple, index: int | None) -> int:
        """Add an item to a list: a copy of one that is there, or a first one with the plainest values.

        Parameters
        ----------
        index : int or None
            Item to copy, from 0; None when the list is empty.
        """
        items = self.get(path)
        if index is None:
            items.append(plainest(kind_at(self.kind, (*path, 0))))
            return 0
        item = copy.deepcopy(items[index])
        if isinstance(item, dict) and "name" in item:
            item["name"] = f"{item['name']} (copy)"
        items.insert(index + 1, item)
        return index + 1

    def remove(self, path: tuple, index: int) -> int | None:
        """Take one item out of a list.

        Parameters
        ----------
        index : int
            Item to take out, from 0.

        Returns
        -------
        int or None
            Index of the item that stands in its place; None when the list is empty now.
        """
        items = self.get(path)
        del items[index]
        return min(index, len(items) - 1) if items else None

    @staticmethod
    def checked(kind: type[BaseModel], values: dict, source: str) -> tuple[Any, tuple[Problem, ...]]:
        """Make a description of typed values, or say why it cannot be made.

        Parameters
        ----------
        values : dict
            Values as typed; blank lines count as left out.

        Returns
        -------
        description : object or None
            The description; None when there are problems.
        problems : tuple of Problem
            What is wrong, in the order of the fields; empty when nothing is.
        """
        try:
            return build(kind, _without_blanks(values, kind), source), ()
        except DescriptionError as error:
            return None, tuple(error.problems)


def kind_at(kind: type[BaseModel], path: tuple) -> type[BaseModel]:
    """Find the description that stands at a path.

    Parameters
    ----------
    path : tuple
        Names and indices from 0.

    Returns
    -------
    type
        Such as `Linkage` for ``("surfaces", 0, "linkage")`` in an aircraft.
    """
    steps = iter(path)
    for step in steps:
        if isinstance(step, str):
            field = next(field for field in fields_of(kind) if field.key == step)
            kind = field.inside
            if field.sort == "table":
                next(steps, None)  # the table's own key, such as the command of a shaping
    return kind


def plainest(kind: type[BaseModel]) -> dict[str, Any]:
    """Plainest values of a description: its defaults, and else the first word or the least number accepted.

    Parameters
    ----------
    kind : type
        Such as `FreeMix` or `Tail`.
    """
    values = {}
    for key, info in kind.model_fields.items():
        field = _field(kind, key)
        if not info.is_required():
            values[key] = info.get_default(call_default_factory=True)
        elif field.sort == "part":
            values[key] = plainest(field.inside)
        elif field.sort == "table":
            values[key] = {}
        elif field.sort == "choice":
            values[key] = field.choices[0]
        elif field.sort == "number":
            values[key] = next((rule.ge for rule in info.metadata if hasattr(rule, "ge")), "roll")
        else:
            values[key] = field.label
    return values


def _field(kind: type[BaseModel], key: str) -> Field:
    info = kind.model_fields[key]
    options = [option for option in typing.get_args(info.annotation) if option is not type(None)]
    optional = type(None) in typing.get_args(info.annotation)
    plain = options[0] if optional and len(options) == 1 else info.annotation
    extra = info.json_schema_extra
    unit = str(extra.get("unit", "")) if isinstance(extra, dict) else ""
    sort, choices, part = _sort(plain)
    name = field_label(kind, key)
    label = f"{name} ({unit})" if unit else name
    accepted = accepted_values(kind, (key,))
    whole = plain is int or Count in typing.get_args(plain)
    return Field(key, label, info.description or "", accepted, sort, choices, part, optional, unit, whole)


def _sort(plain: Any) -> tuple[str, tuple[str, ...], type[BaseModel] | None]:
    origin, arguments = typing.get_origin(plain), typing.get_args(plain)
    if origin is Literal:
        return "choice", tuple(map(str, arguments)), None
    if plain is bool:
        return "yes or no", (), None
    if isinstance(plain, type) and issubclass(plain, BaseModel):
        return "part", (), plain
    if origin is tuple:
        inside = arguments[0]
        if isinstance(inside, type) and issubclass(inside, BaseModel):
            return "list", (), inside
        words = typing.get_args(inside) if typing.get_origin(inside) is Literal else ()
        return "numbers", tuple(map(str, words)), None
    if origin is dict:
        inside = arguments[1]
        return "table", (), inside if isinstance(inside, type) and issubclass(inside, BaseModel) else None
    return ("words" if plain is str else "number"), (), None


def _without_blanks(values: Any, kind: type[BaseModel] | None) -> Any:
    """Leave blank lines out, so that a default applies or the field is said to be missing."""
    if not isinstance(values, dict):
        return values
    parts = {field.key: field for field in fields_of(kind)} if kind is not None else {}
    kept = {}
    for key, value in values.items():
        if value is None or value is MISSING:
            continue
        field = parts.get(key)
        if field is not None and field.sort == "list":
            kept[key] = [_without_blanks(item, field.part) for item in value]
        else:
            kept[key] = _without_blanks(value, field.part if field is not None else None)
    return kept
