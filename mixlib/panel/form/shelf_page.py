"""The page for the kept models: open, use, copy, rename, delete, give away, take in."""

from __future__ import annotations

import base64
from typing import Any, Literal

from mixlib.describe import Aircraft, DescriptionError, Radio, Setup, shelf, shipped, shipped_names
from mixlib.panel.form.memory import draft_names
from mixlib.panel.form.steps import button, line, row, said

__all__ = ["act", "in_use_words", "shelf_rows", "take_in"]

_KINDS: dict[type[Setup] | type[Aircraft] | type[Radio], str] = {
    Setup: "set-up",
    Aircraft: "aircraft",
    Radio: "radio",
}


def in_use_words() -> str:
    """Which model the lessons work with."""
    name = shelf.name_in_use()
    return f"The lessons work with {name}." if name else "The lessons work with the demo model."


def act(what: str, name: str, new_name: str = "") -> None:
    """Do with a kept file what a button says.

    Parameters
    ----------
    what : {"use", "restore", "delete", "copy", "rename"}
        The last two need the new name.

    Raises
    ------
    ValueError
        If it cannot be done; the sentence is for the reader.
    """
    if what in ("copy", "rename"):
        if not new_name:
            raise ValueError("Type the new name first, then press the button again.")
        {"copy": shelf.copy, "rename": shelf.rename}[what](name, new_name)
    else:
        {"use": shelf.choose, "restore": shelf.restore, "delete": shelf.delete}[what](name)


def take_in(told: dict[str, Any]) -> str:
    """Put a file that the reader has picked on the shelf; see `Sheet`.

    Returns
    -------
    str
        Its name there.

    Raises
    ------
    ValueError
        If it is not accepted.
    """
    if "large" in told:
        raise ValueError(f"{told['name']} is too large for a description: at most 1 MB is accepted.")
    return shelf.take_in(base64.b64decode(told["file"]), str(told["name"])).stem


def shelf_rows(new_name: str) -> list[dict[str, Any]]:
    """Everything on the shelf with its buttons.

    Parameters
    ----------
    new_name : str
        What is typed as the new name for a copy or for renaming.
    """
    used = shelf.name_in_use()
    rows: list[dict[str, Any]] = []
    for kind, word in _KINDS.items():
        for name in shelf.kept_names(kind):
            rows.append(row("list", *_one(kind, word, name, used)))
    if rows:
        rows.insert(0, line("new name", "New name (to copy or rename)", new_name))
    else:
        rows.append(said("Nothing is kept yet."))
    for name in shelf.binned():
        rows.append(
            row("list", said(f"In the bin: {name}"), button(f"restore:{name}", "Take out of the bin"))
        )
    for name in draft_names()[1:]:
        words = "A second draft, typed in another window"
        rows.append(row("list", said(words), button(f"draft:{name}", "Go on with it")))
    demos = [button(f"demo:{name}", shipped("aircraft", name).name) for name in shipped_names("aircraft")]
    rows.append(row("list", said("Start from one of ours:"), *demos))
    words = "Take in a model, an aircraft or a radio"
    rows.append(row("list", {"kind": "file", "key": "take in", "words": words}))
    return [row("body", *rows)]


def _given(name: str, part: Literal["", "aircraft", "radio"], words: str) -> dict[str, Any]:
    file, content = shelf.export(name, part)
    href = "data:text/plain;base64," + base64.b64encode(content).decode()
    return {"kind": "save", "words": words, "key": f"save:{part}:{name}", "name": file, "href": href}


def _one(kind: type, word: str, name: str, used: str | None) -> list[dict[str, Any]]:
    try:
        given = [_given(name, "", "Give away")]
        if kind is Setup:
            given += [_given(name, part, f"Give away the {part} alone") for part in ("aircraft", "radio")]
        label = f"{name} ({word})" + (", in use" if name == used else "")
    except DescriptionError:
        given, label = [], f"{name}: cannot be read"
    open_ = (
        [button(f"open:{name}", "Open"), button(f"use:{name}", "Use", off=name == used)]
        if kind is Setup
        else []
    )
    if kind is Aircraft:
        open_ = [button(f"start:{name}", "Start from it")]
    rest = [button(f"{do}:{name}", do.capitalize()) for do in ("copy", "rename", "delete")]
    return [said(label), *open_, *rest, *given]
