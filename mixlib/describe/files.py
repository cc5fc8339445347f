"""Read, check and save descriptions as TOML; every error names the file, field, value and what is accepted.

A file holds one description.  Its first line says which: ``describes = "aircraft"``, ``"radio"`` or
``"setup"``.  Units stand in the key names.  A set-up file holds its aircraft and its radio too, so that it
is complete by itself.
"""

from __future__ import annotations

import os
import tomllib
from importlib import resources
from pathlib import Path
from typing import Any, Literal, TypeVar, overload

import tomli_w
from pydantic import BaseModel, ValidationError

from mixlib.describe.aircraft import Aircraft
from mixlib.describe.disk import read_whole, write_whole
from mixlib.describe.errors import MISSING, DescriptionError, Problem, explain, one_of
from mixlib.describe.radio import Radio
from mixlib.describe.setup import Setup

__all__ = [
    "as_toml",
    "build",
    "from_toml",
    "load",
    "save",
    "shipped",
    "shipped_names",
    "values_of",
]

KINDS: dict[str, type[Aircraft | Radio | Setup]] = {"aircraft": Aircraft, "radio": Radio, "setup": Setup}
KEY = "describes"
_Kind = TypeVar("_Kind", bound=BaseModel)


def build(kind: type[_Kind], values: dict[str, Any], source: str = "this description") -> _Kind:
    """Make a description from plain values, with errors for the flyer.

    Parameters
    ----------
    values : dict
        Field names and values, as read from a file or a form.

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
    """Read a description from TOML text, of the kind that its key ``describes`` names.

    Raises
    ------
    DescriptionError
        If the text is no TOML, or a field is missing, unknown or not accepted.
    """
    values = values_of(text, source)
    described = values.pop(KEY, MISSING)
    if not isinstance(described, str) or described not in KINDS:
        raise DescriptionError(source, [Problem(KEY, described, one_of(KINDS))])
    return build(KINDS[described], values, source)


def values_of(text: str, source: str) -> dict[str, Any]:
    """Read TOML text as plain values.

    Raises
    ------
    DescriptionError
        If the text is no TOML.
    """
    try:
        return tomllib.loads(text)
    except (
        ValueError,
        RecursionError,
    ) as error:  # the reader of TOML also trips over endless digits or brackets
        accepted = 'lines such as  mass_kg = 0.8  or  name = "my glider"'
        raise DescriptionError(source, [Problem("a line", str(error), accepted)]) from None


def load(path: str | os.PathLike[str]) -> Aircraft | Radio | Setup:
    """Read a description file, of the kind that its key ``describes`` names.

    Raises
    ------
    DescriptionError
        If the file cannot be read or its content is not accepted.
    """
    path = Path(path)
    return from_toml(read_whole(path), path.name)


def as_toml(description: Aircraft | Radio | Setup) -> str:
    """Write a description as TOML text that `from_toml` reads back to an equal description."""
    word = next(word for word, kind in KINDS.items() if isinstance(description, kind))
    values = description.model_dump(mode="json", exclude_none=True)
    return tomli_w.dumps({KEY: word, **values})


def save(description: Aircraft | Radio | Setup, path: str | os.PathLike[str]) -> Path:
    """Save a description; see `mixlib.describe.disk.write_whole`."""
    return write_whole(path, as_toml(description).encode())


def shipped_names(word: str) -> tuple[str, ...]:
    """Names of the invented descriptions that come with the workbook, in alphabetical order."""
    folder = resources.files("mixlib") / "data" / _folder(word)
    return tuple(
        sorted(item.name.removesuffix(".toml") for item in folder.iterdir() if item.name.endswith(".toml"))
    )


@overload
def shipped(word: Literal["aircraft"], name: str) -> Aircraft: ...
@overload
def shipped(word: Literal["radio"], name: str) -> Radio: ...
def shipped(word: str, name: str) -> Aircraft | Radio | Setup:
    """Read one of the invented descriptions that come with the workbook, by one of `shipped_names`.

    Raises
    ------
    DescriptionError
        If there is none of that name.
    """
    if name not in shipped_names(word):
        raise DescriptionError(
            f"the shipped {word} files", [Problem("name", name, one_of(shipped_names(word)))]
        )
    file = resources.files("mixlib") / "data" / _folder(word) / f"{name}.toml"
    return from_toml(file.read_text(encoding="utf-8"), file.name)


def _folder(word: str) -> str:
    return {"aircraft": "aircraft", "radio": "radios"}[word]
