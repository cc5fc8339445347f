"""Read, check and save descriptions as TOML; every error names the file, the field, the value and what is accepted.

A file holds one description.  Its first line says which: ``describes = "aircraft"``, ``"radio"`` or ``"setup"``.
Units stand in the key names.  A set-up file holds its aircraft and its radio too, so that it is complete by itself.
"""

from __future__ import annotations

import difflib
import os
import tempfile
import tomllib
import types
import typing
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import Any, Literal

import tomli_w
from annotated_types import Ge, Le, MaxLen, MinLen
from pydantic import BaseModel, ValidationError

from mixlib.describe.aircraft import Aircraft
from mixlib.describe.radio import Radio
from mixlib.describe.setup import Setup

__all__ = [
    "DescriptionError",
    "Problem",
    "accepted_values",
    "as_toml",
    "build",
    "explain",
    "from_toml",
    "load",
    "save",
    "shipped",
    "shipped_names",
]

KINDS: dict[str, type[BaseModel]] = {"aircraft": Aircraft, "radio": Radio, "setup": Setup}
KEY = "describes"


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong: the field's path, what was given, and what is accepted."""

    field: str
    given: Any
    accepted: str

    def __str__(self) -> str:
        if self.given is MISSING:
            return f"{self.field} is missing. Accepted: {self.accepted}."
        return f"{self.field} is {_shown(self.given)}. Accepted: {self.accepted}."


MISSING = object()


class DescriptionError(ValueError):
    """A description that cannot be used; its text is for the flyer.

    Parameters
    ----------
    source : str
        File, or another word for where the description comes from.
    problems : list of Problem
        What is wrong, in the order of the file.
    """

    def __init__(self, source: str, problems: list[Problem]):
        self.source = source
        self.problems = problems
        super().__init__("\n".join(f"{source}: {problem}" for problem in problems))


def build(kind: type[BaseModel], values: dict[str, Any], source: str = "this description") -> Any:
    """Make a description from plain values, with errors for the flyer.

    Parameters
    ----------
    kind : type
        `Aircraft`, `Radio`, `Setup` or one of their parts.
    values : dict
        Field names and values, as read from a file or a form.
    source : str
        Where the values come from; named in errors.

    Returns
    -------
    object
        The description.

    Raises
    ------
    DescriptionError
        If a value is missing, unknown, or not accepted.
    """
    try:
        return kind.model_validate(values)
    except ValidationError as error:
        raise DescriptionError(source, explain(error, kind)) from None


def from_toml(text: str, source: str = "this text") -> Aircraft | Radio | Setup:
    """Read a description from TOML text.

    Parameters
    ----------
    text : str
        The TOML text.
    source : str
        Where it comes from; named in errors.

    Returns
    -------
    Aircraft, Radio or Setup
        As the key ``describes`` says.

    Raises
    ------
    DescriptionError
        If the text is no TOML, or a field is missing, unknown or not accepted.
    """
    try:
        values = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        accepted = 'lines such as  mass_kg = 0.8  or  name = "my glider"'
        raise DescriptionError(source, [Problem("a line", str(error), accepted)]) from None
    described = values.pop(KEY, MISSING)
    if described not in KINDS:
        raise DescriptionError(source, [Problem(KEY, described, _listed(KINDS))])
    return build(KINDS[described], values, source)


def load(path: str | os.PathLike) -> Aircraft | Radio | Setup:
    """Read a description file.

    Parameters
    ----------
    path : str or path
        The file.

    Returns
    -------
    Aircraft, Radio or Setup
        As the key ``describes`` says.

    Raises
    ------
    DescriptionError
        If the file cannot be read or its content is not accepted.
    """
    path = Path(path)
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        problem = Problem("the file", "not plain text", "a TOML file saved as UTF-8 text")
        raise DescriptionError(path.name, [problem]) from None
    except OSError as error:
        problem = Problem(
            "the file", f"not readable ({error.strerror})", "a file that exists and may be read"
        )
        raise DescriptionError(path.name, [problem]) from None
    return from_toml(text, path.name)


def as_toml(description: Aircraft | Radio | Setup) -> str:
    """Write a description as TOML text that `from_toml` reads back to an equal description.

    Parameters
    ----------
    description : Aircraft, Radio or Setup
        What to write.

    Returns
    -------
    str
        TOML text.
    """
    word = next(word for word, kind in KINDS.items() if isinstance(description, kind))
    values = description.model_dump(mode="json", exclude_none=True)
    return tomli_w.dumps({KEY: word, **values})


def save(description: Aircraft | Radio | Setup, path: str | os.PathLike) -> Path:
    """Save a description so that a crash or a full disk leaves the old file whole.

    Parameters
    ----------
    description : Aircraft, Radio or Setup
        What to save.
    path : str or path
        The file; its folder is made when missing.

    Returns
    -------
    pathlib.Path
        The file that was written.

    Raises
    ------
    DescriptionError
        If the file cannot be written; the old one, if any, is untouched.
    """
    path = Path(path)
    text = as_toml(description)
    scratch = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, scratch = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.replace(scratch, path)
    except OSError as error:
        if scratch is not None:
            Path(scratch).unlink(missing_ok=True)
        accepted = (
            "a folder that may be written to, with room on the disk; nothing was lost, try another place"
        )
        problem = Problem("the file", f"not saved ({error.strerror})", accepted)
        raise DescriptionError(path.name, [problem]) from None
    return path


def shipped_names(word: str) -> tuple[str, ...]:
    """Names of the invented descriptions that come with the workbook.

    Parameters
    ----------
    word : {"aircraft", "radio"}
        Which sort.

    Returns
    -------
    tuple of str
        Names for `shipped`, in alphabetical order.
    """
    folder = resources.files("mixlib") / "data" / _folder(word)
    return tuple(
        sorted(item.name.removesuffix(".toml") for item in folder.iterdir() if item.name.endswith(".toml"))
    )


def shipped(word: str, name: str) -> Aircraft | Radio:
    """Read one of the invented descriptions that come with the workbook.

    Parameters
    ----------
    word : {"aircraft", "radio"}
        Which sort.
    name : str
        One of `shipped_names`.

    Returns
    -------
    Aircraft or Radio
        The description.

    Raises
    ------
    DescriptionError
        If there is none of that name.
    """
    if name not in shipped_names(word):
        raise DescriptionError(
            f"the shipped {word} files", [Problem("name", name, _listed(shipped_names(word)))]
        )
    file = resources.files("mixlib") / "data" / _folder(word) / f"{name}.toml"
    return from_toml(file.read_text(encoding="utf-8"), file.name)


def explain(error: ValidationError, kind: type[BaseModel]) -> list[Problem]:
    """Put a validation error into words for the flyer.

    Parameters
    ----------
    error : pydantic.ValidationError
        What was raised while a description was made.
    kind : type
        The description that was to be made.

    Returns
    -------
    list of Problem
        One for each field at fault, in the order of the fields.
    """
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


def accepted_values(kind: type[BaseModel], location: tuple) -> str:
    """Say what a field accepts, in words.

    Parameters
    ----------
    kind : type
        The description that holds the field.
    location : tuple
        Path of the field: names and indices from 0.

    Returns
    -------
    str
        Such as ``"a number from 3 to 60 mm"``.
    """
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
            _listed(typing.get_args(p)) if typing.get_origin(p) is Literal else "a whole number"
            for p in typing.get_args(plain)
        )
    if origin is tuple:
        lengths = [f"at least {limits[MinLen].min_length}"] if MinLen in limits else []
        lengths += [f"at most {limits[MaxLen].max_length}"] if MaxLen in limits else []
        return " ".join(["a list", *(["of", " and ".join(lengths)] if lengths else [])])
    if isinstance(plain, type) and issubclass(plain, BaseModel):
        return "a table with " + ", ".join(plain.model_fields)
    return "a table of names and values"


def _resolve(kind: Any, location: tuple) -> tuple[Any, Any]:
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


def _known_part(kind: type[BaseModel], location: tuple) -> tuple:
    while location and _resolve(kind, location)[0] is None:
        location = location[:-1]
    return location


def _fields_at(kind: type[BaseModel], location: tuple) -> list[str]:
    annotation, _ = _resolve(kind, location)
    return list(_without_none(annotation).model_fields)


def _without_none(annotation: Any) -> Any:
    options = [option for option in typing.get_args(annotation) if option is not type(None)]
    if type(None) in typing.get_args(annotation) and len(options) == 1:
        return options[0]
    return annotation


def _path(location: tuple) -> str:
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


def _listed(words: typing.Iterable) -> str:
    return "one of " + ", ".join(map(str, words))


def _folder(word: str) -> str:
    return {"aircraft": "aircraft", "radio": "radios"}[word]
