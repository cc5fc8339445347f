"""Errors of a description in a flyer's words: which field, what was given, what is accepted."""

from __future__ import annotations

import difflib
import types
import typing
from dataclasses import dataclass
from typing import Any, Literal

from annotated_types import Ge, Le, MaxLen, MinLen
from pydantic import BaseModel, ValidationError

__all__ = ["MISSING", "DescriptionError", "Problem", "accepted_values", "explain", "one_of", "told"]


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong: the field's path, what was given, and what is accepted; or a sentence."""

    field: str
    given: Any
    accepted: str
    sentence: str = ""

    def __str__(self) -> str:
        if self.sentence:
            return self.sentence
        if self.given is MISSING:
            return f"{self.field} is missing. Accepted: {self.accepted}."
        return f"{self.field} is {_shown(self.given)}. Accepted: {self.accepted}."


MISSING = object()


class DescriptionError(ValueError):
    """A description that cannot be used, with the word for where it comes from; its text is for the flyer."""

    def __init__(self, source: str, problems: list[Problem]):
        self.source = source
        self.problems = problems
        super().__init__("\n".join(f"{source}: {problem}" for problem in problems))


def told(source: str, sentence: str) -> DescriptionError:
    """The error of something as a whole, such as a file: where it comes from, and one sentence."""
    return DescriptionError(source, [Problem("", None, "", f"{sentence}.")])


def explain(error: ValidationError, kind: type[BaseModel]) -> list[Problem]:
    """Put a validation error into words for the flyer: one problem a field at fault, in their order."""
    problems: dict[str, Problem] = {}
    for item in error.errors(include_url=False):
        location, given = item["loc"], item["input"]
        if item["type"] == "rule":
            context = item["ctx"]
            field = ".".join(filter(None, [_path(location), context["field"]]))
            problem = Problem(field, context["value"], context["accepted"])
        elif item["type"] == "extra_forbidden":
            known = _fields_at(kind, location[:-1])
            nearest = difflib.get_close_matches(str(location[-1]), known, n=1, cutoff=0.5)
            hint = f"did you mean {nearest[0]}?" if nearest else f"known here: {', '.join(known)}"
            problem = Problem(_path(location), given, f"only known keys; {location[-1]} is not one ({hint})")
        else:
            location = _known_part(kind, location)
            problem = Problem(
                _path(location),
                MISSING if item["type"] == "missing" else given,
                accepted_values(kind, location),
            )
        problems.setdefault(problem.field, problem)
    return list(problems.values())


def accepted_values(kind: type[BaseModel], location: tuple[int | str, ...]) -> str:
    """Say what a field accepts, such as ``"a number from 3 to 60 mm"``; indices of its path are from 0."""
    annotation, info = _resolve(kind, location)
    limits = {type(rule): rule for rule in (info.metadata if info is not None else ())}
    unit = (info.json_schema_extra or {}).get("unit", "") if info is not None else ""
    plain = _without_none(annotation)
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
    if origin is tuple and _without_none(typing.get_args(plain)[0]) in (int, float):
        return f"numbers{' in ' if unit else ''}{unit} with commas between them"
    if origin is tuple and typing.get_origin(typing.get_args(plain)[0]) is Literal:
        return f"words with commas between them, each {one_of(typing.get_args(typing.get_args(plain)[0]))}"
    if origin is tuple:
        lengths = [f"at least {limits[MinLen].min_length}"] if MinLen in limits else []
        lengths += [f"at most {limits[MaxLen].max_length}"] if MaxLen in limits else []
        return " ".join(["a list", *(["of", " and ".join(lengths)] if lengths else [])])
    if isinstance(plain, type) and issubclass(plain, BaseModel):
        return "a table with " + ", ".join(plain.model_fields)
    return "a table of names and values"


def _resolve(kind: Any, location: tuple[int | str, ...]) -> tuple[Any, Any]:
    """Type and field declaration at a path, or (None, None) where the path leaves the known fields."""
    annotation, info = kind, None
    for step in location:
        plain = _without_none(annotation)
        origin, arguments = typing.get_origin(plain), typing.get_args(plain)
        if isinstance(plain, type) and issubclass(plain, BaseModel) and step in plain.model_fields:
            info = plain.model_fields[step]
            annotation = info.annotation
        elif origin is tuple and isinstance(step, int):
            annotation, info = arguments[0], None
        elif origin is dict and not (isinstance(step, str) and step == "[key]"):
            annotation, info = arguments[1], None
        else:
            return None, None
    return annotation, info


def _known_part(kind: type[BaseModel], location: tuple[int | str, ...]) -> tuple[int | str, ...]:
    while location and _resolve(kind, location)[0] is None:
        location = location[:-1]
    return location


def _fields_at(kind: type[BaseModel], location: tuple[int | str, ...]) -> list[str]:
    annotation, _ = _resolve(kind, location)
    return list(_without_none(annotation).model_fields)


def _without_none(annotation: Any) -> Any:
    if typing.get_origin(annotation) is typing.Annotated:
        return typing.get_args(annotation)[0]
    options = [option for option in typing.get_args(annotation) if option is not type(None)]
    if type(None) in typing.get_args(annotation) and len(options) == 1:
        return options[0]
    return annotation


def _path(location: tuple[int | str, ...]) -> str:
    """Path as a flyer counts: lists from 1."""
    return ".".join(str(step + 1) if isinstance(step, int) else str(step) for step in location)


def _shown(value: Any) -> str:
    if isinstance(value, (dict, list, tuple)):
        return "a table" if isinstance(value, dict) else "a list"
    text = (
        f'"{value}"'
        if isinstance(value, str)
        else f"{str(value).lower() if isinstance(value, bool) else value}"
    )
    return text if len(text) <= 80 else text[:77] + "..."


def one_of(words: typing.Iterable[object]) -> str:
    """Say that one of some words is accepted, such as ``"one of a, b, c"``."""
    return "one of " + ", ".join(map(str, words))
