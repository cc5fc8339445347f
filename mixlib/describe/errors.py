"""Errors of a description in a flyer's words: which field, what was given, what is accepted."""

from __future__ import annotations

import difflib
import re
import types
import typing
from dataclasses import dataclass
from typing import Any, Literal

from annotated_types import Ge, Le, MaxLen, MinLen
from pydantic import BaseModel, ValidationError

from mixlib.describe.labels import is_part, label_of, resolve, unit_at, without_none
from mixlib.describe.numbers import read_number, shortened

__all__ = [
    "MISSING",
    "DescriptionError",
    "Problem",
    "Word",
    "accepted_values",
    "explain",
    "one_of",
    "told",
]

MOST_PROBLEMS = 20
"""Problems that are told at once; a damaged file can have thousands."""

MISSING = object()

_MINUS = re.compile(r"(?<!\w)-(?=\d)")
_PLURAL = re.compile(r"(other |free |ready-made )?\w*[^\Ws]s\b", re.IGNORECASE)


class Word(str):
    """What was given, in a word of ours: it is told without quotation marks."""


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong: the field's path, what was given, and what is accepted; or a sentence.

    The label is what the reader calls the field; without one the path stands for it.
    """

    field: str
    given: Any
    accepted: str
    sentence: str = ""
    label: str = ""
    unit: str = ""

    def __str__(self) -> str:
        if self.sentence:
            return self.sentence
        name = self.label or shortened(self.field, 100)
        verb = "are" if _PLURAL.match(name.rpartition(": ")[2]) else "is"
        given = "missing" if self.given is MISSING else _shown(self.given)
        measured = isinstance(self.given, (int, float)) and not isinstance(self.given, bool)
        unit = f" {self.unit}" if measured and self.unit else ""
        accepted = _MINUS.sub("−", shortened(self.accepted, 400))
        return f"{name} {verb} {given}{unit}. Accepted: {accepted}."


class DescriptionError(ValueError):
    """A description that cannot be used, with the word for where it comes from; its text is for the flyer."""

    def __init__(self, source: str, problems: list[Problem]):
        self.source = source = shortened(source, 100)
        self.problems = problems
        super().__init__("\n".join(f"{source}: {problem}" for problem in problems))


def told(source: str, sentence: str) -> DescriptionError:
    """The error of something as a whole, such as a file: where it comes from, and one sentence."""
    return DescriptionError(source, [Problem("", None, "", f"{sentence}.")])


def explain(
    error: ValidationError, kind: type[BaseModel], values: Any = None, keys: bool = False
) -> list[Problem]:
    """Put a validation error into words for the flyer: one problem a field at fault, in their order.

    Parameters
    ----------
    values : object, optional
        What was given for the whole, from which surfaces and phases take their names.
    keys : bool
        Whether each field's key in a file is told too.
    """
    problems: dict[str, Problem] = {}
    for item in error.errors(include_url=False):
        location, given, accepted = item["loc"], item["input"], ""
        if item["type"] == "rule":
            context = item["ctx"]
            location = (*location, *_steps(resolve(kind, location)[0], context["field"]))
            given, accepted = context["value"], context["accepted"]
        elif item["type"] == "missing":
            given = MISSING
        path = _path(location)
        if path in problems:
            continue
        if len(problems) == MOST_PROBLEMS:
            more = len(error.errors(include_url=False)) - MOST_PROBLEMS
            problems[""] = Problem("", None, "", f"And {more} more. Mend these first.")
            break
        if item["type"] == "extra_forbidden":
            problems[path] = Problem(path, given, "", _unknown(kind, location, values))
            continue
        known = _known_part(kind, location)
        label = label_of(kind, known, values)
        if keys and known and isinstance(known[-1], str) and resolve(kind, known)[1] is not None:
            label += f" ({known[-1]})"
        accepted = accepted or accepted_values(kind, known)
        if isinstance(given, str) and accepted.startswith(("a number", "a whole number")):
            accepted += _as_number(given, unit_at(kind, known))
        problems[path] = Problem(path, given, accepted, "", label, unit_at(kind, known))
    return list(problems.values())


def accepted_values(kind: type[BaseModel], location: tuple[int | str, ...]) -> str:
    """Say what a field accepts, such as ``"a number from 3 to 60 mm"``; indices of its path are from 0."""
    annotation, info = resolve(kind, location)
    limits = {type(rule): rule for rule in (info.metadata if info is not None else ())}
    unit = unit_at(kind, location)
    plain = without_none(annotation)
    origin = typing.get_origin(plain)
    if plain in (int, float):
        word = "a whole number" if plain is int else "a number"
        if Ge in limits and Le in limits:
            return f"{word} from {limits[Ge].ge:g} to {limits[Le].le:g} {unit}".rstrip()
        return word
    if plain is bool:
        return "true or false"
    if plain is str:
        most = limits[MaxLen].max_length if MaxLen in limits else None
        return (
            f"text in quotes, {'1' if MinLen in limits else '0'} to {most} characters"
            if most
            else "text in quotes"
        )
    if origin is Literal:
        return "one of " + ", ".join(typing.get_args(plain))
    if origin in (typing.Union, types.UnionType):
        return " or ".join(
            one_of(typing.get_args(p)) if typing.get_origin(p) is Literal else "a whole number"
            for p in typing.get_args(plain)
        )
    if origin is tuple and without_none(typing.get_args(plain)[0]) in (int, float):
        return f"numbers{' in ' if unit else ''}{unit} with commas between them"
    if origin is tuple and typing.get_origin(typing.get_args(plain)[0]) is Literal:
        return f"words with commas between them, each {one_of(typing.get_args(typing.get_args(plain)[0]))}"
    if origin is tuple:
        least = limits[MinLen].min_length if MinLen in limits else 0
        most = f" to {limits[MaxLen].max_length}" if MaxLen in limits else " or more"
        return f"a list of {least}{most} of them"
    if is_part(plain):
        return "a part with " + ", ".join(plain.model_fields)
    return "a table of names and values"


def _known_part(kind: type[BaseModel], location: tuple[int | str, ...]) -> tuple[int | str, ...]:
    while location and resolve(kind, location)[0] is None:
        location = location[:-1]
    return location


def _fields_at(kind: type[BaseModel], location: tuple[int | str, ...]) -> list[str]:
    annotation, _ = resolve(kind, location)
    return list(without_none(annotation).model_fields)


def _path(location: tuple[int | str, ...]) -> str:
    """Path as a flyer counts: lists from 1."""
    return ".".join(str(step + 1) if isinstance(step, int) else step for step in location)


def _steps(kind: Any, path: str) -> list[int | str]:
    """Names, and indices from 0, of a rule's path; a key of a table may have a point in it."""
    steps: list[int | str] = []
    rest = path
    while rest:
        annotation = resolve(kind, tuple(steps))[0]
        if typing.get_origin(without_none(annotation)) is dict and not is_part(
            typing.get_args(without_none(annotation))[1]
        ):
            return [*steps, rest]
        step, _, rest = rest.partition(".")
        steps.append(int(step) - 1 if step.isdigit() else step)
    return steps


def _unknown(kind: type[BaseModel], location: tuple[int | str, ...], values: Any) -> str:
    """The sentence for a key that is not known."""
    key, known = shortened(str(location[-1])), _fields_at(kind, location[:-1])
    nearest = difflib.get_close_matches(key, known, n=1, cutoff=0.5)
    hint = f"Did you mean {nearest[0]}?" if nearest else f"Known here: {', '.join(known)}."
    where = f"{label_of(kind, location[:-1], values)}: " if len(location) > 1 else ""
    return f"{where}“{key}” is not known here. {hint}"


def _as_number(given: str, unit: str) -> str:
    try:
        return f"; write {read_number(given, unit):.15g}, without quotation marks"
    except ValueError:
        return ""


def _shown(value: Any) -> str:
    """What was given, cut off where it is long."""
    if isinstance(value, (dict, BaseModel)):
        return "a part"
    if isinstance(value, (list, tuple)):
        return f"a list of {len(value)}"
    if isinstance(value, str) and not isinstance(value, Word):
        return f"“{shortened(value, 80)}”"
    if isinstance(value, float):
        return f"{value:.15g}".replace("-", "−")
    text = str(value).lower() if isinstance(value, bool) else str(value)
    return shortened(text.replace("-", "−") if isinstance(value, int) else text, 80)


def one_of(words: typing.Iterable[object]) -> str:
    """Say that one of some words is accepted, such as ``"one of a, b, c"``."""
    return "one of " + ", ".join(map(str, words))
