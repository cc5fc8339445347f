"""Read, check and save descriptions as TOML; every error names the file, field, value and what is accepted.

A file holds one description.  Its first line says which: ``describes = "aircraft"``, ``"radio"`` or
``"setup"``.  Units stand in the key names.  A set-up file holds its aircraft and its radio too, so that it
is complete by itself.
"""

from __future__ import annotations

import itertools
import os
import re
import tomllib
from importlib import resources
from pathlib import Path
from typing import Any, Literal, TypeVar, overload

import tomli_w
from pydantic import BaseModel, ValidationError

from mixlib.describe.aircraft import Aircraft
from mixlib.describe.disk import read_whole, write_whole
from mixlib.describe.errors import DescriptionError, explain, one_of, told
from mixlib.describe.numbers import read_number, read_numbers, shortened
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
_DEEPEST = 20
_TEXTS = re.compile(  # texts and remarks, also those that do not end
    r'"""(?:\\.?|[^\\])*?(?:"""|\Z)|"(?:\\.?|[^"\\\n])*(?:"|$)|#[^\n]*'
    r"|'''.*?(?:'''|\Z)|'[^'\n]*(?:'|$)",
    re.DOTALL | re.MULTILINE,
)
_LONG_WORD = re.compile(r'(?<![\w-])(?:[\w-]{200}|(?:[\w-]++|"")(?:[ \t]*+\.[ \t]*+(?:[\w-]++|"")){8})')
_BEGINS = r"[-+−–.,\d]"  # of a number
_QUOTES = "\"'“”„‚‘’«»"
_ENDINGS = {"_mm": "mm", "_m": "m", "_kg": "kg", "_deg": "deg", "_us": "us", "_percent": "%", "_cm2": "cm2"}
_Kind = TypeVar("_Kind", bound=BaseModel)


def build(
    kind: type[_Kind], values: dict[str, Any], source: str = "this description", keys: bool = False
) -> _Kind:
    """Make a description from plain values, with errors for the flyer.

    Parameters
    ----------
    values : dict
        Field names and values, as read from a file or a form.
    keys : bool
        Whether errors tell each field's key, for a reader who has a file before them.

    Raises
    ------
    DescriptionError
        If a value is missing, unknown, or not accepted.
    """
    try:
        return kind.model_validate(values)
    except ValidationError as error:
        raise DescriptionError(source, explain(error, kind, values, keys)) from None


def from_toml(text: str, source: str = "this text") -> Aircraft | Radio | Setup:
    """Read a description from TOML text, of the kind that its key ``describes`` names.

    Raises
    ------
    DescriptionError
        If the text is no TOML, or a field is missing, unknown or not accepted.
    """
    values = values_of(text, source)
    described = values.pop(KEY, None)
    if not isinstance(described, str) or described not in KINDS:
        first = 'Write  describes = "setup"  as its first line, or "aircraft" or "radio" in place of "setup"'
        raise told(source, f"it does not say what it describes. {first}")
    return build(KINDS[described], values, source, keys=True)


def values_of(text: str, source: str) -> dict[str, Any]:
    """Read TOML text as plain values.

    Raises
    ------
    DescriptionError
        If the text is no TOML, or shaped so oddly that reading it would take minutes.
    """
    _refuse_odd(text, source)
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # the reader of TOML also trips over endless digits
        raise told(source, _explained(text, str(error))) from None


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
        known = one_of(shipped_names(word))
        raise told(f"the shipped {word} files", f"“{name}” is none of them. Accepted: {known}")
    file = resources.files("mixlib") / "data" / _folder(word) / f"{name}.toml"
    return from_toml(file.read_text(encoding="utf-8"), file.name)


def _folder(word: str) -> str:
    return {"aircraft": "aircraft", "radio": "radios"}[word]


def _refuse_odd(text: str, source: str) -> None:
    """Refuse keys and brackets that no description has, before they are read."""
    bare = _TEXTS.sub(lambda found: '""' + "\n" * found[0].count("\n"), text)
    steps = (1 if bracket in "[{" else -1 for bracket in re.findall(r"[][{}]", bare))
    if max(itertools.accumulate(steps), default=0) > _DEEPEST:
        raise told(
            source, f"brackets stand inside brackets more than {_DEEPEST} deep. Take a copy of the file"
        )
    if (odd := _LONG_WORD.search(bare)) is not None:
        line = bare.count("\n", 0, odd.start()) + 1
        raise told(source, f"in line {line} a name or a number is far too long. Take a copy of the file")


def _explained(text: str, error: str) -> str:
    """What is wrong with the line that cannot be read, and what to write instead."""
    lines = text.split("\n")
    found = re.search(r"at line (\d+)", error)
    place = min(int(found[1]), len(lines)) if found else len(lines)
    line = lines[place - 1].strip()
    key, equals, value = (part.strip() for part in line.partition("="))
    where = (
        f"line {place}, “{shortened(line, 60)}”, cannot be read. "
        if line
        else f"line {place} cannot be read. "
    )
    if error.startswith("Cannot"):
        return f"{where}It says again what an earlier line says. Keep one of them"
    if line.startswith("["):
        return f"{where}A heading is one or more words in brackets, such as  [tail]"
    if not equals and re.match(_BEGINS, line):  # one line of a list
        return where + _better("", f"[{line}")
    if not equals or not re.fullmatch(r"[\w.-]+", key):
        return f"{where}Write  name = value, the name in one word, such as  mass_kg = 0.8"
    return where + _better(key, re.sub(r"\s#.*", "", value).strip())


def _better(key: str, value: str) -> str:
    """What to write in place of a value that is no TOML."""
    unit = next((unit for ending, unit in _ENDINGS.items() if key.endswith(ending)), "")
    start = f"Write  {shortened(key)} =" if key else "Write "
    try:
        if value[:1] == "[":
            return (
                f"{start} [{', '.join(f'{number:.15g}' for number in read_numbers(value.strip('[]'), unit))}]"
            )
        if re.match(_BEGINS, value):
            return (
                f"{start} {read_number(value, unit):.15g}  in plain digits, with a point and without a unit"
            )
    except ValueError as error:
        return str(error).rstrip(".")
    if not value:
        return f"Nothing stands behind the =. {start} and the value"
    if value.lower() in ("true", "false", "yes", "no"):
        return f"{start} {'true' if value.lower() in ('true', 'yes') else 'false'}"
    if "\\" in value:
        return "Write a backslash twice in a text"
    return f'{start} "{shortened(value.strip(_QUOTES))}"  with straight quotation marks round the text'
