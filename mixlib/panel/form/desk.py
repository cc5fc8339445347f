"""The reader's desk of lesson 00: describe aircraft, radio and settings in a form, check, and save."""

from __future__ import annotations

import html

import ipywidgets as widgets
from pydantic import BaseModel

from mixlib.bench.cautions import motor_dangers
from mixlib.chain import LinkageError, MixLoopError, Rig
from mixlib.chain.linkage import surface_angle_deg
from mixlib.describe import (
    MOTOR,
    Aircraft,
    DescriptionError,
    Output,
    Radio,
    Setup,
    Surface,
    plain_setup,
    shelf,
    shipped,
    shipped_names,
)
from mixlib.describe.demo import hopper_as_bought
from mixlib.describe.errors import Problem
from mixlib.draw.linkage import linkage_side
from mixlib.draw.shapes import Room
from mixlib.draw.svg import svg
from mixlib.panel.base.screen import (
    Stage,
    action_button,
    card,
    choices_row,
    labelled,
    refill,
    show_widget,
    spoken,
)
from mixlib.panel.form.drafts import Draft, fields_of, plainest, typed_value
from mixlib.panel.form.fields import DraftForm

__all__ = ["DescriptionDesk"]

_OWN_OUTPUT = "own output"  # where the wiring of a surface rides along in the draft of that surface
_STICKS = ("roll", "pitch", "yaw")
_PAGES: dict[str, tuple[type[BaseModel], tuple[str, ...], tuple[str, ...]]] = {
    "Aircraft": (Aircraft, ("aircraft",), ()),
    "Surfaces": (Aircraft, ("aircraft",), ("surfaces",)),
    "Radio": (Radio, ("radio",), ()),
    "Outputs": (Setup, (), ("outputs",)),
    "Mixes": (Setup, (), ("ready_made", "free_mixes")),
}
"""Page to the description on it, its path in the draft, and the fields that are shown, if not all."""


class DescriptionDesk:
    """A form over one set-up, page by page, with a place to start from and a place to save to.

    Whatever is typed stays until the reader opens another set-up; problems are named beside their field and
    in a list.  Nothing is saved before everything is accepted.
    """

    def __init__(self) -> None:
        aircraft = [(shipped("aircraft", name).name, name) for name in shipped_names("aircraft")]
        radios = [(shipped("radio", name).name, name) for name in shipped_names("radio")]
        self._aircraft, self._radio = choices_row("aircraft", aircraft), choices_row("radio", radios)
        self._aircraft.value, self._radio.value = "orchard_hopper", "simple_six"
        self._own = choices_row("my own", shelf.kept_names())
        self._own_row = widgets.Box([self._own, action_button("Open my own", self._open_own)])
        self._page = widgets.ToggleButtons(
            options=["Aircraft", "Surfaces", "Radio", "Wiring", "Outputs", "Mixes", "Sticks"]
        )
        self._name = widgets.Text(description="Name", tooltip="Name")
        self._body = labelled("mix-column", widgets.Box())
        self.stage = Stage()
        self._forms: list[DraftForm] = []
        self._show_own()
        self.open(shelf.chosen(hopper_as_bought()).setup)
        self._page.observe(lambda _: self._draw(), names="value")
        self._name.observe(lambda change: self.draft.put(("name",), change["new"]), names="value")
        self.stage.observe(lambda _: self._draw_linkage(), "room")
        start = action_button("Start from this aircraft and radio", self._open_demo)
        title = widgets.HTML("<h3>Your aircraft and your radio</h3>")
        head = [title, self._aircraft, self._radio, start, self._own_row]
        self.widget = card(
            {
                "head": labelled("mix-column", widgets.Box(head)),
                "controls": labelled("mix-column", widgets.Box([self._page, self._body])),
                "buttons": widgets.Box([self._name, action_button("Check and save", self.save)]),
                "stage": self.stage,
            },
            "mix-form",
        )

    def open(self, setup: Setup) -> None:
        """Fill the form from a set-up."""
        self.draft = Draft(setup)
        for surface in self.draft.get(("aircraft", "surfaces")):
            surface[_OWN_OUTPUT] = setup.wiring[surface["name"]]
        for stick in _STICKS:
            self.draft.get(("shaping",)).setdefault(stick, {"rate_percent": 100.0, "expo_percent": 0.0})
        self._name.value = setup.name
        self.stage.said = spoken("", "Nothing is saved yet.")
        self._draw()

    def save(self) -> Setup | None:
        """Check the whole set-up and save it when it is accepted.

        Returns
        -------
        Setup or None
            What was saved; None when something is not accepted, which is then said on the screen.
        """
        setup, problems = self.finish()
        for form in self._forms:
            form.show(problems)
        if setup is None:
            self.stage.said = spoken("Not saved yet", " ".join(map(str, problems)), "try")
            return None
        try:
            path = shelf.keep(setup)
        except DescriptionError as error:
            self.stage.said = spoken("Not saved", str(error), "try")
            return None
        self._show_own()
        said = f"{path.name} in the folder {path.parent}. The lessons now work with it; run them again."
        dangers = motor_dangers(setup)
        self.stage.said = spoken("Saved", " ".join([said, *dangers]), "try" if dangers else "good")
        return setup

    def finish(self) -> tuple[Setup | None, tuple[Problem, ...]]:
        """Make the set-up, or say why it cannot be made; the chain is tried too.

        Returns
        -------
        setup : Setup or None
            None when there are problems.
        """
        setup, problems = Draft.checked(Setup, self._with_wiring(), "your set-up")
        if setup is None:
            return None, problems
        try:
            Rig(setup)
        except (LinkageError, MixLoopError) as error:
            return None, (Problem("the chain", "not able to work", str(error)),)
        return setup, ()

    def _with_wiring(self) -> dict:
        values = {**self.draft.values, "aircraft": {**self.draft.values["aircraft"]}}
        surfaces = values["aircraft"]["surfaces"]
        plugs = {surface["name"]: surface.get(_OWN_OUTPUT) for surface in surfaces}
        moved = {
            surface["name"]: plugs.get(surface["servo_of"]) for surface in surfaces if surface["servo_of"]
        }
        motor = {MOTOR: values["wiring"].get(MOTOR)} if values["aircraft"]["motor"] is not None else {}
        values["wiring"] = plugs | moved | motor
        values["aircraft"]["surfaces"] = [
            {key: value for key, value in surface.items() if key != _OWN_OUTPUT} for surface in surfaces
        ]
        return values

    def _show_own(self) -> None:
        """Offer what the reader has saved, once there is something."""
        names = shelf.kept_names()
        self._own.options = names
        self._own_row.layout.display = "" if names else "none"

    def _open_demo(self) -> None:
        aircraft, radio = shipped("aircraft", self._aircraft.value), shipped("radio", self._radio.value)
        self.open(plain_setup(aircraft, radio, name=f"{aircraft.name} on {radio.name}"))

    def _open_own(self) -> None:
        if self._own.value is None:
            self.stage.said = spoken("", "Choose one of your own first.")
            return
        try:
            self.open(shelf.open_kept(self._own.value))
        except DescriptionError as error:
            self.stage.said = spoken("Not opened", str(error), "try")

    def _draw(self) -> None:
        """Fill the page; the widgets of the page before are closed."""
        page = self._page.value
        self._forms = []
        rows: list[widgets.DOMWidget] = []
        if page == "Wiring":
            rows = self._wiring_rows()
        elif page == "Sticks":
            for stick in _STICKS:
                self._forms.append(DraftForm(self.draft, ("shaping", stick)))
                rows += [widgets.HTML(f"<p><strong>{stick}</strong></p>"), self._forms[-1].box]
        else:
            kind, path, shown = _PAGES[page]
            others = tuple(field.key for field in fields_of(kind) if field.key not in shown)
            skip = others if shown else ("surfaces",)
            then = {"Surfaces": self._draw_linkage, "Aircraft": self._plug_motor}.get(page)
            form = DraftForm(self.draft, path, skip, then, {"servo_of": self._other_servos})
            self._forms, rows = [form], [form.box]
        refill(self._body, rows)
        self._draw_linkage()

    def _draw_linkage(self) -> None:
        """Show the linkage of the surface on the page as it is described now, at neutral."""
        path = ("aircraft", "surfaces")
        place = self._forms[0].picked.get(path) if self._page.value == "Surfaces" else None
        if place is None:
            self.stage.picture = ""
            return
        values = {key: value for key, value in self.draft.get(path)[place].items() if key != _OWN_OUTPUT}
        surface, problems = Draft.checked(Surface, values, "this surface")
        fault = " ".join(map(str, problems))
        if surface is not None:
            arm = surface.servo.arm_offset_deg
            try:
                angle = float(surface_angle_deg(surface.linkage, arm))
                self.stage.picture = svg(linkage_side(surface, arm, angle, room=Room(*self.stage.room)))
                return
            except LinkageError as error:
                fault = str(error)
        self.stage.picture = spoken("No picture yet", fault, "try")

    def _other_servos(self, path: tuple) -> list[str]:
        """Surfaces with a servo of their own, besides the one at a path."""
        surfaces = enumerate(self.draft.get(path[:-2]))
        return [str(part["name"]) for place, part in surfaces if not part["servo_of"] and place != path[-2]]

    def _plug_motor(self) -> None:
        """Give a motor that is new an output: the one that the throttle drives, with the throttle on it."""
        wiring, outputs = self.draft.get(("wiring",)), self.draft.get(("outputs",))
        if self.draft.get(("aircraft", "motor")) is None or MOTOR in wiring:
            return
        controls = self.draft.get(("radio", "controls"))
        driven = [control["drives"] for control in controls if control["command"] == "throttle"]
        wiring[MOTOR] = number = next((numbers[0] for numbers in driven if numbers), None)
        if isinstance(number, int) and number not in [output["number"] for output in outputs]:
            outputs.append(plainest(Output) | {"number": number, "control": "throttle"})
        where = f"is put into output {number}" if number else "has no output yet"
        self.stage.said = spoken("", f"The motor's plug {where}: look at the pages Wiring and Outputs.")

    def _wiring_rows(self) -> list[widgets.DOMWidget]:
        words = "Which output is each plug in? Two servos on the same output share a Y-lead."
        rows: list[widgets.DOMWidget] = [widgets.HTML(f"<p>{words}</p>")]
        for place, surface in enumerate(self.draft.get(("aircraft", "surfaces"))):
            if surface["servo_of"]:
                said = f"{surface['name']}: moved by the servo of {surface['servo_of']}"
                rows.append(widgets.HTML(f"<p>{html.escape(said)}</p>"))
            else:
                rows.append(self._plug(str(surface["name"]), ("aircraft", "surfaces", place, _OWN_OUTPUT)))
        if self.draft.get(("aircraft", "motor")) is not None:
            rows.append(self._plug(MOTOR, ("wiring", MOTOR)))
        return rows

    def _plug(self, name: str, path: tuple) -> widgets.Text:
        number = self.draft.get(path)
        shown = "" if number is None else str(number)
        entry = widgets.Text(shown, description=name, tooltip=f"{name}: its output", continuous_update=False)
        entry.observe(lambda change: self.draft.put(path, typed_value(change["new"])), names="value")
        return entry

    def _ipython_display_(self) -> None:
        show_widget(self.widget, "Form: describe your aircraft and your radio")
