"""A form over a draft: one line a field with its unit and range, lists by picking one item at a time."""

from __future__ import annotations

import html
from collections.abc import Callable

import ipywidgets as widgets
from pydantic import BaseModel

from mixlib.describe.errors import Problem
from mixlib.describe.words import sentence_start
from mixlib.panel.form.drafts import Draft, Field, fields_of, kind_at, plainest, typed_value

__all__ = ["DraftForm"]

_LABEL = widgets.Layout(width="15em")
_ENTRY = widgets.Layout(width="13em")
_WIDE = widgets.Layout(width="auto", min_width="13em")


class DraftForm:
    """Fields of a draft (or of a part of it) as widgets; each finished entry goes into the draft.

    Parameters
    ----------
    path : tuple
        Part of the draft to show; empty for all of it.
    on_change : callable
        Called without arguments after each change, also of the item that is shown.

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
    ):
        self._draft = draft
        self._on_change = on_change or (lambda: None)
        self.picked: dict[tuple, int | None] = {}
        self._notes: dict[tuple, widgets.HTML] = {}
        self._hints: dict[tuple, str] = {}
        self.box = widgets.VBox(self._rows(kind_at(draft.kind, path), path, skip))

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
        entry.layout = _WIDE if field.sort == "choice" else _ENTRY
        label = widgets.Label(field.label, layout=_LABEL)
        self._hints[path] = _hint(field)
        self._notes[path] = widgets.HTML(
            self._hints[path], layout=widgets.Layout(flex="1 1 18em", margin="2px 0 2px 10px")
        )
        return widgets.HBox(
            [label, entry, self._notes[path]],
            layout=widgets.Layout(flex_flow="row wrap", align_items="center"),
        )

    def _entry(self, field: Field, path: tuple) -> widgets.Widget:
        value = self._draft.get(path)
        said = f"{field.label}: {field.meaning}"
        if field.sort == "choice":
            entry = widgets.RadioButtons(options=field.choices, value=value)
            entry.add_class("mix-sideways")
            read: Callable = str
        elif field.sort == "yes or no":
            entry = widgets.Checkbox(value=bool(value), indent=False, tooltip=said)
            read = bool
        elif field.sort == "numbers":
            entry = widgets.Text(", ".join(map(_plain, value or ())), tooltip=said)
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
        if not field.optional:
            return widgets.VBox([_title(field), *self._rows(field.part, path, ())])
        has = widgets.Checkbox(
            value=self._draft.get(path) is not None, indent=False, description=f"It has a {field.label}"
        )
        body = widgets.VBox(self._rows(field.part, path, ()) if has.value else [])
        kept = self._draft.get(path) or plainest(field.part)

        def toggle(change) -> None:
            self._forget(path)
            self._put(path, kept if change["new"] else None)
            body.children = self._rows(field.part, path, ()) if change["new"] else []

        has.observe(toggle, names="value")
        return widgets.VBox([_title(field), has, body])

    def _forget(self, path: tuple) -> None:
        for known in [known for known in self._notes if known[: len(path)] == path]:
            del self._notes[known], self._hints[known]

    def _list(self, field: Field, path: tuple) -> widgets.Widget:
        """One item of the list at a time, with a picker, and buttons to copy it and take it out."""
        picker = widgets.ToggleButtons(style={"button_width": "auto"})
        add = widgets.Button(description="Add a copy", tooltip="add one more, starting from this one")
        remove = widgets.Button(description="Take out", tooltip="take this one out")
        body = widgets.VBox()

        def refill(index: int | None) -> None:
            items = self._draft.get(path)
            picker.options = [(_item_name(field, item, place), place) for place, item in enumerate(items)]
            picker.value = index
            remove.disabled = index is None
            add.description = "Add one" if index is None else "Add a copy"
            draw()

        def draw(_=None) -> None:
            self.picked[path] = picker.value
            self._forget(path)
            there = picker.value is not None
            body.children = self._rows(field.part, (*path, picker.value), ()) if there else ()

        def change(action: Callable[[tuple, int | None], int | None]) -> None:
            refill(action(path, picker.value))
            self._on_change()

        add.on_click(lambda _: change(self._draft.add))
        remove.on_click(lambda _: change(self._draft.remove))
        picker.observe(draw, names="value")
        picker.observe(lambda _: self._on_change(), names="value")
        refill(0 if self._draft.get(path) else None)
        return widgets.VBox([_title(field), picker, widgets.HBox([add, remove]), body])


def _title(field: Field) -> widgets.HTML:
    return widgets.HTML(f"<p><strong>{html.escape(sentence_start(field.label))}</strong></p>")


def _typed_numbers(text: str) -> list:
    return [typed_value(piece) for piece in text.replace(";", ",").split(",") if piece.strip()]


def _item_name(field: Field, item: dict, place: int) -> str:
    if "leader" in item:
        return f"{item['leader']} into {item['follower']}"
    name = item.get("name") or item.get("command")
    return str(name) if name else f"{field.label[:-1]} {item.get('number', place + 1)}"


def _plain(value) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def _hint(field: Field) -> str:
    accepted = "" if field.sort in ("choice", "yes or no", "words") else f" {field.accepted}."
    text = f"{field.meaning[:1].upper()}{field.meaning[1:]}.{accepted[:2].upper()}{accepted[2:]}"
    return f'<span style="color:#555">{html.escape(text)}</span>'


def _fault(text: str) -> str:
    return f'<span style="color:#8a1c00" role="alert"><b>Not accepted:</b> {html.escape(text)}</span>'
