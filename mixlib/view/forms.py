"""A form over a draft: one line a field with its unit and range, lists by picking one item at a time."""

from __future__ import annotations

import html
from collections.abc import Callable

import ipywidgets as widgets
from pydantic import BaseModel

from mixlib.describe.errors import Problem
from mixlib.view.drafts import Draft, Field, fields_of, typed_value

__all__ = ["DraftForm"]

_LABEL = widgets.Layout(width="15em")
_ENTRY = widgets.Layout(width="13em")


class DraftForm:
    """Fields of a draft (or of a part of it) as widgets; every keystroke that is finished goes into the draft.

    Parameters
    ----------
    draft : Draft
        Where the values live.
    path : tuple
        Part of the draft to show; empty for all of it.
    skip : tuple of str
        Keys that are not shown.
    on_change : callable
        Called without arguments after each change.
    """

    def __init__(
        self,
        draft: Draft,
        path: tuple = (),
        skip: tuple[str, ...] = (),
        on_change: Callable[[], None] = lambda: None,
    ):
        self._draft = draft
        self._on_change = on_change
        self._notes: dict[tuple, widgets.HTML] = {}
        self._hints: dict[tuple, str] = {}
        kind = _kind_at(draft.kind, path)
        self.box = widgets.VBox(self._rows(kind, path, skip))

    def show(self, problems: tuple[Problem, ...], inside: str = "") -> None:
        """Mark the fields at fault and clear the others.

        Parameters
        ----------
        problems : tuple of Problem
            What is wrong; a field path counts lists from 1.
        inside : str
            Path, in the problems, of the draft itself; empty when they are the draft's own.
        """
        by_field = {problem.field: problem for problem in problems}
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
        entry = self._entry(field, path)
        entry.layout = _ENTRY
        label = widgets.Label(field.label, layout=_LABEL)
        self._hints[path] = _hint(field)
        self._notes[path] = widgets.HTML(self._hints[path], layout=widgets.Layout(flex="1 1 18em"))
        return widgets.HBox([label, entry, self._notes[path]], layout=widgets.Layout(flex_flow="row wrap"))

    def _entry(self, field: Field, path: tuple) -> widgets.Widget:
        value = self._draft.get(path)
        said = f"{field.label}: {field.meaning}"
        if field.sort == "choice":
            entry = widgets.Dropdown(options=field.choices, value=value, tooltip=said)
            read: Callable = str
        elif field.sort == "yes or no":
            entry = widgets.Checkbox(value=bool(value), indent=False, tooltip=said)
            read = bool
        elif field.sort == "numbers":
            entry = widgets.Text(", ".join(f"{item:g}" for item in value or ()), tooltip=said)
            read = _typed_numbers
        else:
            entry = widgets.Text(
                "" if value is None else _plain(value), continuous_update=False, tooltip=said
            )
            read = typed_value if field.sort == "number" else str
        entry.observe(lambda change: self._put(path, read(change["new"])), names="value")
        return entry

    def _put(self, path: tuple, value) -> None:
        self._draft.put(path, value)
        self._on_change()

    def _part(self, field: Field, path: tuple) -> widgets.Widget:
        title = widgets.HTML(f"<b>{html.escape(field.label)}</b>")
        return widgets.VBox([title, *self._rows(field.part, path, ())])

    def _list(self, field: Field, path: tuple) -> widgets.Widget:
        """One item of the list at a time, with a picker, and buttons to copy it and take it out."""
        picker = widgets.Dropdown(
            description="", layout=widgets.Layout(width="18em"), tooltip=f"which of the {field.label}"
        )
        add = widgets.Button(description="Add a copy", tooltip="add one more, starting from this one")
        remove = widgets.Button(description="Take out", tooltip="take this one out")
        body = widgets.VBox()

        def refill(index: int) -> None:
            items = self._draft.get(path)
            picker.options = [(_item_name(field, item, place), place) for place, item in enumerate(items)]
            picker.value = index
            draw()

        def draw(_=None) -> None:
            if picker.value is None:
                return
            for known in [known for known in self._notes if known[: len(path)] == path]:
                del self._notes[known], self._hints[known]
            body.children = self._rows(field.part, (*path, picker.value), ())

        def change(action: Callable[[tuple, int], int]) -> None:
            refill(action(path, picker.value))
            self._on_change()

        picker.observe(draw, names="value")
        add.on_click(lambda _: change(self._draft.add_copy))
        remove.on_click(lambda _: change(self._draft.remove))
        refill(0)
        title = widgets.HTML(f"<b>{html.escape(field.label)}</b>")
        return widgets.VBox([title, widgets.HBox([picker, add, remove]), body])


def _kind_at(kind: type[BaseModel], path: tuple) -> type[BaseModel]:
    for step in path:
        if isinstance(step, str):
            kind = next(field.part for field in fields_of(kind) if field.key == step)
    return kind


def _typed_numbers(text: str) -> list:
    return [typed_value(piece) for piece in text.replace(";", ",").split(",") if piece.strip()]


def _item_name(field: Field, item: dict, place: int) -> str:
    name = item.get("name") or item.get("command")
    return str(name) if name else f"{field.label[:-1]} {place + 1}"


def _plain(value) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def _hint(field: Field) -> str:
    accepted = "" if field.sort in ("choice", "yes or no", "words") else f" {field.accepted}."
    text = f"{field.meaning[:1].upper()}{field.meaning[1:]}.{accepted[:2].upper()}{accepted[2:]}"
    return f'<span style="color:#555">{html.escape(text)}</span>'


def _fault(text: str) -> str:
    return f'<span style="color:#8a1c00" role="alert"><b>Not accepted:</b> {html.escape(text)}</span>'
