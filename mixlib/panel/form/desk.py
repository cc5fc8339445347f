"""The reader's desk of lesson 00: describe aircraft, radio and settings in a form, check, and save."""

from __future__ import annotations

import html

import ipywidgets as widgets

from mixlib.chain import LinkageError, MixLoopError, Rig
from mixlib.chain.linkage import surface_angle_deg
from mixlib.describe import (
    MOTOR,
    DescriptionError,
    Setup,
    Surface,
    plain_setup,
    shelf,
    shipped,
    shipped_names,
)
from mixlib.describe.demo import flaperon_setup
from mixlib.describe.errors import Problem
from mixlib.draw.linkage import linkage_side
from mixlib.draw.svg import svg
from mixlib.panel.base.screen import card, choices_row, show_widget, spoken
from mixlib.panel.form.drafts import Draft, fields_of
from mixlib.panel.form.fields import DraftForm

__all__ = ["DescriptionDesk"]

_OWN_OUTPUT = "own output"  # where the wiring of a surface rides along in the draft of that surface
_STICKS = ("roll", "pitch", "yaw")


class DescriptionDesk:
    """A form over one set-up, page by page, with a place to start from and a place to save to.

    Whatever is typed stays until the reader opens another set-up; problems are named beside their field and
    in a list.  Nothing is saved before everything is accepted.
    """

    def __init__(self) -> None:
        self._aircraft = choices_row("aircraft", _named("aircraft"))
        self._radio = choices_row("radio", _named("radio"))
        self._aircraft.value, self._radio.value = "orchard_two", "simple_six"
        self._own = choices_row("my own", shelf.kept_names())
        from_demo = widgets.Button(description="Start from this aircraft and radio")
        from_own = widgets.Button(description="Open my own")
        from_demo.on_click(lambda _: self._open_demo())
        from_own.on_click(lambda _: self._open_own())
        self._own_row = widgets.VBox([self._own, from_own])
        self._page = widgets.ToggleButtons(
            options=["Aircraft", "Surfaces", "Radio", "Wiring", "Outputs", "Mixes", "Sticks"],
            style={"button_width": "7em"},
        )
        self._name = widgets.Text(
            description="Name", style={"description_width": "6em"}, layout=widgets.Layout(width="24em")
        )
        save = widgets.Button(description="Check and save", layout=widgets.Layout(width="auto"))
        last_row = widgets.HBox([self._name, save], layout=widgets.Layout(flex_flow="row wrap"))
        self._picture = widgets.HTML()
        self._body = widgets.VBox()
        self._told = widgets.HTML()
        self._form: DraftForm | None = None
        self._show_own()
        self.open(shelf.chosen(flaperon_setup()).setup)
        self._page.observe(lambda _: self._draw(), names="value")
        self._name.observe(lambda change: self.draft.put(("name",), change["new"]), names="value")
        save.on_click(lambda _: self.save())
        intro = widgets.HTML("<h3>Your aircraft and your radio</h3>")
        self.widget = card(
            [
                intro,
                self._aircraft,
                self._radio,
                from_demo,
                self._own_row,
                self._page,
                self._body,
                self._picture,
                last_row,
                self._told,
            ],
            "mix-panel",
        )

    def open(self, setup: Setup) -> None:
        """Fill the form from a set-up."""
        self.draft = Draft(setup)
        for surface in self.draft.get(("aircraft", "surfaces")):
            surface[_OWN_OUTPUT] = setup.wiring[surface["name"]]
        for stick in _STICKS:
            self.draft.get(("shaping",)).setdefault(stick, {"rate_percent": 100.0, "expo_percent": 0.0})
        self._name.value = setup.name
        self._told.value = spoken("", "Nothing is saved yet.")
        self._draw()

    def save(self) -> Setup | None:
        """Check the whole set-up and save it when it is accepted.

        Returns
        -------
        Setup or None
            What was saved; None when something is not accepted, which is then said on the screen.
        """
        setup, problems = self.finish()
        if self._form is not None:
            self._form.show(problems)
        if setup is None:
            self._told.value = spoken("Not saved yet", " ".join(map(str, problems)), "try")
            return None
        try:
            path = shelf.keep(setup)
        except DescriptionError as error:
            self._told.value = spoken("Not saved", str(error), "try")
            return None
        self._show_own()
        said = f"{path.name} in the folder {path.parent}. The lessons now work with it; run them again."
        self._told.value = spoken("Saved", said, "good")
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
        motor = {name: number for name, number in values["wiring"].items() if name == MOTOR}
        values["wiring"] = {surface["name"]: surface[_OWN_OUTPUT] for surface in surfaces} | motor
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
            self._told.value = spoken("", "Choose one of your own first.")
            return
        try:
            self.open(shelf.open_kept(self._own.value))
        except DescriptionError as error:
            self._told.value = spoken("Not opened", str(error), "try")

    def _draw(self) -> None:
        page = self._page.value
        self._form = None
        self._picture.value = ""
        if page == "Wiring":
            self._body.children = self._wiring_rows()
            return
        if page == "Sticks":
            forms = [DraftForm(self.draft, ("shaping", stick)) for stick in _STICKS]
            pairs = zip(_STICKS, forms, strict=True)
            rows = [part for stick, form in pairs for part in (_heading(stick), form.box)]
            self._body.children = rows
            return
        path, key = {
            "Aircraft": (("aircraft",), None),
            "Surfaces": (("aircraft",), "surfaces"),
            "Radio": (("radio",), None),
            "Outputs": ((), "outputs"),
            "Mixes": ((), "free_mixes"),
        }[page]
        keys = [
            field.key for field in fields_of(Setup if not path else Setup.model_fields[path[0]].annotation)
        ]
        skip = tuple(k for k in keys if k != key) if key else ("surfaces",)
        self._form = DraftForm(self.draft, path, skip, self._draw_linkage if page == "Surfaces" else None)
        self._body.children = [self._form.box]
        if page == "Surfaces":
            self._draw_linkage()

    def _draw_linkage(self) -> None:
        """Show the linkage of the surface on the page as it is described now, at neutral."""
        if self._form is None:  # the page is being filled
            return
        path = ("aircraft", "surfaces")
        values = {**self.draft.get(path)[self._form.picked[path]]}
        values.pop(_OWN_OUTPUT)
        surface, problems = Draft.checked(Surface, values, "this surface")
        if surface is None:
            self._picture.value = spoken("No picture yet", " ".join(map(str, problems)), "try")
            return
        try:
            neutral = surface_angle_deg(surface.linkage, surface.servo.arm_offset_deg)
        except LinkageError as error:
            self._picture.value = spoken("No picture yet", str(error), "try")
            return
        drawing = linkage_side(surface, surface.servo.arm_offset_deg, float(neutral))
        self._picture.value = svg(drawing)

    def _wiring_rows(self) -> list[widgets.Widget]:
        rows: list[widgets.Widget] = [
            widgets.HTML(
                "<p>Which output is each servo plugged into? Two on the same output share a Y-lead.</p>"
            )
        ]
        for place, surface in enumerate(self.draft.get(("aircraft", "surfaces"))):
            path = ("aircraft", "surfaces", place, _OWN_OUTPUT)
            entry = widgets.BoundedIntText(
                value=surface[_OWN_OUTPUT],
                min=1,
                max=32,
                description=str(surface["name"]),
                style={"description_width": "12em"},
            )
            entry.observe(lambda change, path=path: self.draft.put(path, change["new"]), names="value")
            rows.append(entry)
        return rows

    def _ipython_display_(self) -> None:
        show_widget(self.widget, "Form: describe your aircraft and your radio")


def _named(word: str) -> list[tuple[str, str]]:
    return [(shipped(word, name).name, name) for name in shipped_names(word)]


def _heading(text: str) -> widgets.HTML:
    return widgets.HTML(f"<p><strong>{html.escape(text)}</strong></p>")
