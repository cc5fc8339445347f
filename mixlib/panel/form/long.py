"""The long form: every field of a set-up, page by page, for what the short form has no question for."""

from __future__ import annotations

import copy
import html
from collections.abc import Callable
from functools import partial

import ipywidgets as widgets
from pydantic import BaseModel

from mixlib.chain.linkage import surface_angle_deg
from mixlib.describe import MOTOR, Aircraft, Output, Radio, Setup, Surface
from mixlib.describe.errors import Problem
from mixlib.draw.linkage import linkage_side
from mixlib.draw.shapes import Drawing
from mixlib.panel.base.screen import labelled, refill
from mixlib.panel.form.drafts import Draft, Field, fields_of, plainest, typed_value
from mixlib.panel.form.every import OWN_OUTPUT, STICKS, every_field_made
from mixlib.panel.form.fields import DraftForm
from mixlib.panel.form.short.more import unit_asked

__all__ = ["LongForm"]

_NUMBER = next(field for field in fields_of(Output) if field.key == "number")
_PAGES: dict[str, tuple[type[BaseModel], tuple[str, ...], tuple[str, ...]]] = {
    "Aircraft": (Aircraft, ("aircraft",), ()),
    "Surfaces": (Aircraft, ("aircraft",), ("surfaces",)),
    "Radio": (Radio, ("radio",), ()),
    "Outputs": (Setup, (), ("outputs",)),
    "Mixes": (Setup, (), ("ready_made", "free_mixes")),
    "Phases": (Setup, (), ("phases",)),
}
"""Page to the description on it, its path in the draft, and the fields that are shown, if not all."""


class LongForm:
    """A form over every field of one set-up; whatever is typed stays until the reader opens another one.

    Parameters
    ----------
    changed : callable
        Called without arguments after each change, also of the page.

    Attributes
    ----------
    said : str
        What the form itself did, to be told.
    """

    def __init__(self, changed: Callable[[], None]) -> None:
        self._changed = changed
        self.said = ""
        self._page = widgets.ToggleButtons(
            options=["Aircraft", "Surfaces", "Radio", "Wiring", "Outputs", "Mixes", "Sticks", "Phases"]
        )
        self._body = labelled("mix-column", widgets.Box())
        self._forms: list[DraftForm] = []
        self._page.observe(lambda _: self.draw(), names="value")
        self.widget = labelled("mix-column", widgets.Box([self._page, self._body]))
        self.draft = Draft(Setup, {})
        self._units: dict[str, str] = {}

    @property
    def page(self) -> str:
        """Name of the page that is shown."""
        return str(self._page.value)

    def values(self) -> dict:
        """A copy of all values as typed."""
        return copy.deepcopy(self.draft.values)

    def fill(self, values: dict, units: dict[str, str] | None = None) -> None:
        """Fill the form with values as they were typed; the units are the reader's answers of them."""
        self.draft, self._units = Draft(Setup, copy.deepcopy(values)), units or {}
        self.draw()

    def close(self) -> None:
        """Empty the form; its widgets are closed."""
        self._forms = []
        refill(self._body, [])

    def finish(self) -> tuple[Setup | None, tuple[Problem, ...]]:
        """Make the set-up, or say why it cannot be made, also beside the fields."""
        setup, problems = every_field_made(self.draft.values)
        for form in self._forms:
            form.show(problems)
        return setup, problems

    def draw(self) -> None:
        """Fill the page; the widgets of the page before are closed."""
        page = self._page.value
        self._forms = []
        rows: list[widgets.DOMWidget] = []
        if page == "Wiring":
            rows = self._wiring_rows()
        elif page == "Sticks":
            for stick in STICKS:
                self._forms.append(DraftForm(self.draft, ("shaping", stick), (), self._changed))
                rows += [widgets.HTML(f"<p><strong>{stick}</strong></p>"), self._forms[-1].box]
        else:
            kind, path, shown = _PAGES[page]
            others = tuple(field.key for field in fields_of(kind) if field.key not in shown)
            skip = others if shown else ("surfaces",)
            then = self._plug_motor if page == "Aircraft" else self._changed
            form = DraftForm(self.draft, path, skip, then, {"servo_of": self._other_servos}, self._asked)
            self._forms, rows = [form], [form.box]
        refill(self._body, rows)
        self._changed()

    def picture(self) -> Callable[..., Drawing] | None:
        """The linkage of the surface on the page as it is described now, at neutral; None on other pages.

        Raises
        ------
        ValueError
            With a sentence, if it cannot be drawn yet.
        """
        path = ("aircraft", "surfaces")
        place = self._forms[0].picked.get(path) if self._page.value == "Surfaces" and self._forms else None
        if place is None:
            return None
        values = {key: value for key, value in self.draft.get(path)[place].items() if key != OWN_OUTPUT}
        surface, problems = Draft.checked(Surface, values, "this surface")
        if surface is None:
            raise ValueError(" ".join(map(str, problems)))
        arm = surface.servo.arm_offset_deg
        return partial(linkage_side, surface, arm, float(surface_angle_deg(surface.linkage, arm)))

    def _asked(self, field: Field) -> str:
        """The unit of a field: the reader's, where one of its kind was picked."""
        unit = unit_asked(self._units, field)
        return unit if unit in self._units.values() else field.unit

    def _other_servos(self, path: tuple) -> list[str]:
        """Surfaces with a servo of their own, besides the one at a path."""
        surfaces = enumerate(self.draft.get(path[:-2]))
        return [str(part["name"]) for place, part in surfaces if not part["servo_of"] and place != path[-2]]

    def _plug_motor(self) -> None:
        """Give a motor that is new an output: the one that the throttle drives, with the throttle on it."""
        self._give_motor_a_plug()
        self._changed()

    def _give_motor_a_plug(self) -> None:
        wiring, outputs = self.draft.get(("wiring",)), self.draft.get(("outputs",))
        if self.draft.get(("aircraft", "motor")) is None or MOTOR in wiring:
            return
        controls = self.draft.get(("radio", "controls"))
        driven = [control["drives"] for control in controls if control["command"] == "throttle"]
        wiring[MOTOR] = number = next((numbers[0] for numbers in driven if numbers), None)
        if isinstance(number, int) and number not in [output["number"] for output in outputs]:
            outputs.append(plainest(Output) | {"number": number, "control": "throttle"})
        where = f"is put into output {number}" if number else "has no output yet"
        self.said = f"The motor's plug {where}: look at the pages Wiring and Outputs."

    def _wiring_rows(self) -> list[widgets.DOMWidget]:
        words = "Which output is each plug in? Two servos on the same output share a Y-lead."
        rows: list[widgets.DOMWidget] = [widgets.HTML(f"<p>{words}</p>")]
        for place, surface in enumerate(self.draft.get(("aircraft", "surfaces"))):
            if surface["servo_of"]:
                said = f"{surface['name']}: moved by the servo of {surface['servo_of']}"
                rows.append(widgets.HTML(f"<p>{html.escape(said)}</p>"))
            else:
                rows.append(self._plug(str(surface["name"]), ("aircraft", "surfaces", place, OWN_OUTPUT)))
        if self.draft.get(("aircraft", "motor")) is not None:
            rows.append(self._plug(MOTOR, ("wiring", MOTOR)))
        return rows

    def _plug(self, name: str, path: tuple) -> widgets.Text:
        number = self.draft.get(path)
        shown = "" if number is None else str(number)
        entry = widgets.Text(shown, description=name, tooltip=f"{name}: its output", continuous_update=False)

        def put(change: dict) -> None:
            self.draft.put(path, typed_value(change["new"], _NUMBER))
            self._changed()

        entry.observe(put, names="value")
        return entry
