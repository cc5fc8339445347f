"""A form over a draft: one line a field with its unit and range, lists by picking one item at a time."""

from __future__ import annotations

import html
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from operator import attrgetter
from typing import Any

import ipywidgets as widgets
from pydantic import BaseModel

from mixlib.describe.errors import Problem
from mixlib.describe.words import sentence_start
from mixlib.panel.base.screen import action_button, choices_row, labelled, refill
from mixlib.panel.form.drafts import Draft, Field, fields_of, in_other_unit, kind_at, plainest, typed_value

__all__ = ["DraftForm"]


class DraftForm:
    """Fields of a draft (or of a part of it) as widgets; each finished entry goes into the draft.

    Parameters
    ----------
    path : tuple
        Part of the draft to show; empty for all of it.
    on_change : callable
        Called without arguments after each change, also of the item that is shown.
    among : mapping of str to callable
        For a field of words, by its key: takes its path, returns what it may name.
    asked : callable, optional
        Takes a field, returns the unit in which it is shown and typed; left out, the field's own.

    Attributes
    ----------
    picked : dict of tuple to int
        For each list, by its path, the item that is shown, from 0; None when the list is empty.
    """

    def __init__(
        self,
        draft: Draft,
        path: tuple = (),
        skip: tuple[str, ...] = (),
        on_change: Callable[[], None] | None = None,
        among: Mapping[str, Callable[[tuple], Sequence[str]]] | None = None,
        asked: Callable[[Field], str] = attrgetter("unit"),
    ):
        self._draft = draft
        self._on_change = on_change or (lambda: None)
        self._among = among or {}
        self._asked = asked
        self.picked: dict[tuple, int | None] = {}
        self._notes: dict[tuple, widgets.HTML] = {}
        self._hints: dict[tuple, str] = {}
        self.box = _column(self._rows(kind_at(draft.kind, path), path, skip))

    def show(self, problems: tuple[Problem, ...], inside: str = "") -> None:
        """Mark the fields at fault and clear the others.

        Parameters
        ----------
        problems : tuple of Problem
            What is wrong; a field path counts lists from 1.
        inside : str
            Path, in the problems, of the draft itself; empty when they are the draft's own.
        """
        of_items = {problem.field.rstrip("0123456789").rstrip("."): problem for problem in problems}
        by_field = of_items | {problem.field: problem for problem in problems}
        for path, note in self._notes.items():
            words = ".".join(str(step + 1) if isinstance(step, int) else step for step in path)
            problem = by_field.get(f"{inside}.{words}" if inside else words)
            note.value = _fault(str(problem)) if problem else self._hints[path]

    def _rows(self, kind: type[BaseModel], path: tuple, skip: tuple[str, ...]) -> list[widgets.Widget]:
        rows: list[widgets.Widget] = []
        for field in fields_of(kind):
            if field.key in skip or field.sort == "table":
                continue
            here = (*path, field.key)
            if field.sort == "list":
                rows.append(self._list(field, here))
            elif field.sort == "part":
                rows.append(self._part(field, here))
            else:
                rows.append(self._row(field, here))
        return rows

    def _row(self, field: Field, path: tuple) -> widgets.Widget:
        self._hints[path] = _hint(field)
        self._notes[path] = widgets.HTML(self._hints[path])
        return labelled("mix-field", widgets.Box([self._entry(field, path), self._notes[path]]))

    def _entry(self, field: Field, path: tuple) -> widgets.Widget:
        value = self._draft.get(path)
        unit = self._asked(field)
        label = f"{field.name} ({unit})" if unit else field.label
        said = {"description": label, "tooltip": f"{label}: {field.meaning}"}
        if field.sort == "choice" or field.key in self._among:
            named = self._among[field.key](path) if field.key in self._among else field.choices
            none = [("none", None)] if field.optional else []
            gone = [value] if value not in (None, *named) else []  # what was chosen stays until it is changed
            entry = choices_row(field.label, [*none, *((word, word) for word in (*named, *gone))])
            entry.value = value
            read: Callable = _as_it_is
        elif field.sort == "yes or no":
            entry = widgets.Checkbox(value=bool(value), indent=False, **said)
            read = bool
        elif field.sort == "numbers":
            shown = (
                value if isinstance(value, str) else "; ".join(_plain(v, field, unit) for v in value or ())
            )
            entry = widgets.Text(shown, continuous_update=False, **said)
            read = partial(typed_value, field=field, unit=unit)
        else:
            shown = "" if value is None else _plain(value, field, unit)
            entry = widgets.Text(shown, continuous_update=False, **said)
            read = partial(typed_value, field=field, unit=unit) if field.sort == "number" else str
        entry.observe(lambda change: self._put(path, read(change["new"])), names="value")
        return entry

    def _put(self, path: tuple, value) -> None:
        self._draft.put(path, value)
        self._on_change()

    def _part(self, field: Field, path: tuple) -> widgets.Widget:
        if not field.optional:
            return _column([_title(field), *self._rows(field.inside, path, ())])
        has = widgets.Checkbox(
            value=self._draft.get(path) is not None, indent=False, description=f"It has a {field.label}"
        )
        body = _column(self._rows(field.inside, path, ()) if has.value else [])
        kept = self._draft.get(path) or plainest(field.inside)

        def toggle(change) -> None:
            self._forget(path)
            self._put(path, kept if change["new"] else None)
            refill(body, self._rows(field.inside, path, ()) if change["new"] else [])

        has.observe(toggle, names="value")
        return _column([_title(field), has, body])

    def _forget(self, path: tuple) -> None:
        for known in [known for known in self._notes if known[: len(path)] == path]:
            del self._notes[known], self._hints[known]

    def _list(self, field: Field, path: tuple) -> widgets.Widget:
        """One item of the list at a time, with a picker, and buttons to copy it and take it out."""
        picker = widgets.ToggleButtons(style={"button_width": "auto"})
        body = _column([])

        def offer(index: int | None) -> None:
            items = self._draft.get(path)
            picker.unobserve(picked, "value")
            picker.options = [(_item_name(field, item, place), place) for place, item in enumerate(items)]
            picker.value = index
            picker.observe(picked, "value")
            remove.disabled = index is None
            add.description = "Add one" if index is None else "Add a copy"
            draw()

        def draw() -> None:
            self.picked[path] = place = picker.value
            self._forget(path)
            refill(body, () if place is None else self._rows(field.inside, (*path, place), ()))

        def picked(_: object) -> None:
            draw()
            self._on_change()

        def change(action: Callable[..., int | None]) -> None:
            offer(action(path, picker.value))
            self._on_change()

        picker.observe(picked, "value")
        add = action_button("Add a copy", lambda: change(self._draft.add))
        remove = action_button("Take out", lambda: change(self._draft.remove))
        offer(0 if self._draft.get(path) else None)
        buttons = labelled("mix-buttons", widgets.Box([add, remove]))
        return _column([_title(field), picker, buttons, body])


def _column(parts: Sequence[widgets.DOMWidget]) -> widgets.DOMWidget:
    return labelled("mix-column", widgets.Box(parts))


def _title(field: Field) -> widgets.HTML:
    return widgets.HTML(f"<p><strong>{html.escape(sentence_start(field.label))}</strong></p>")


def _as_it_is(value: str | None) -> str | None:
    return value


def _item_name(field: Field, item: dict, place: int) -> str:
    if "leader" in item:
        return f"{item['leader']} into {item['follower']}"
    name = item.get("name") or item.get("command") or item.get("kind")
    return str(name) if name else f"{field.label[:-1]} {item.get('number', place + 1)}"


def _plain(value: Any, field: Field, unit: str) -> str:
    """A value as one would type it in a unit; words as they are."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        value = in_other_unit(value, field, unit)
    return f"{value:g}" if isinstance(value, float) else str(value)


def _hint(field: Field) -> str:
    accepted = "" if field.sort in ("choice", "yes or no", "words") else f" {field.accepted}."
    text = f"{field.meaning[:1].upper()}{field.meaning[1:]}.{accepted[:2].upper()}{accepted[2:]}"
    return f"<div class='mix-hint'>{html.escape(text)}</div>"


def _fault(text: str) -> str:
    return f"<div class='mix-fault' role='alert'>Not accepted: {html.escape(text)}</div>"
