"""The picture beside each step of the short form, and the sentence below it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any, Literal

from mixlib.chain.linkage import surface_angle_deg
from mixlib.describe import Aircraft, Surface
from mixlib.describe.words import listed, sentence_start
from mixlib.draw.form.receiver import receiver_view
from mixlib.draw.form.sketch import sketch
from mixlib.draw.linkage import linkage_side
from mixlib.draw.plan import plan_view
from mixlib.draw.shapes import Drawing
from mixlib.panel.base.aircraft import posed
from mixlib.panel.form.drafts import Draft
from mixlib.panel.form.short.assumed import assumed_fields
from mixlib.panel.form.short.made import Made, plug_key, plugs_of, usual_plugs
from mixlib.panel.form.short.questions import kind, measures, questions, shown
from mixlib.panel.form.short.values import seen
from mixlib.panel.form.steps import View, plug_words
from mixlib.say.doubt import assumed_words

__all__ = ["picture_of", "sentence_of"]

_SHOWN_DEG = 15.0  # by which a surface is drawn turned when only its direction is known


def picture_of(view: View, made: Made) -> Callable[..., Drawing] | None:
    """What to draw at a step, for a room; None where there is nothing to draw.

    Raises
    ------
    ValueError
        With a sentence, where it cannot be drawn yet.
    """
    draw = {"servos": _linkage, "ways": _ways, "plugs": _receiver, "done": _whole}.get(view.state.step, _plan)
    return draw(view, made)


def sentence_of(view: View, made: Made) -> str:
    """What the step shows or wants, in a sentence."""
    step = view.state.step
    if step == "have":
        return "Pick what you have. The plan grows with the numbers of the next step."
    if step == "numbers":
        return "Type what ruler and scale say. What you leave blank is assumed, and you can measure it later."
    if step == "servos":
        return "The picture shows the servo that you are at, from the side of the model on which you stand."
    if step == "ways":
        return f"From behind and above: each edge turned by {_SHOWN_DEG:g}°, the way that you say."
    return "" if step == "plugs" else _assumed(view, made)


def _assumed(view: View, made: Made) -> str:
    """What is assumed, and which of it matters most."""
    if made.setup is None:
        return "The model is not complete yet."
    guessed = [question for question in questions(view.answers) if question.key in made.resolved.assumed]
    names = [question.words.lower() for question in guessed if ":" not in question.words]
    holes = len(guessed) - len(names)
    names += [f"{holes} holes of arms and horns" if holes > 1 else "one hole"] if holes else []
    words = f"Assumed: {listed(names)}" if names else "All that was asked is measured. Assumed: nothing of it"
    words += ", and what stands under More. "
    telling = assumed_words(made.setup, assumed_fields(view.answers), flown=False)
    return words + (telling or "None of it tells in the throws.")


def _plan(view: View, made: Made) -> Callable[..., Drawing]:
    sizes = _sizes(view, made)
    title, note = "Your model from above, nose up", "To scale; the circle is the balance point."
    for question in measures(view.answers):
        if question.key == view.at and view.state.step == "numbers":
            value = made.resolved.numbers.get(question.key)
            assumed = " (assumed)" if question.key in made.resolved.assumed else ""
            said = f": {shown(view.answers, question, value)}{assumed}" if value is not None else ""
            title, note = f"{question.words}{said}", f"{sentence_start(question.hint)}."
    return partial(sketch, sizes, view.at, title, note)


def _sizes(view: View, made: Made) -> dict[str, float]:
    aircraft = made.values["aircraft"]
    root, *_, tip = aircraft["wing"]["stations"]
    sizes = {
        "span": 2 * tip["y_mm"],
        "root": root["chord_mm"],
        "tip": tip["chord_mm"],
        "sweep": tip["leading_edge_mm"],
        "balance": aircraft["cg_mm"],
    }
    numbers = made.resolved.numbers
    if "thick" in numbers:
        sizes["thick"] = numbers["thick"]
    for surface in aircraft["surfaces"]:
        if surface["part"] == "wing":
            what = surface["kind"]
            sizes[f"{what}.from"], sizes[f"{what}.to"] = surface["y_inner_mm"], surface["y_outer_mm"]
            sizes[f"{what}.chord"] = surface["chord_mm"]
        elif surface["kind"] != "rudder":
            sizes["tail.flap"] = surface["chord_mm"]
    if aircraft["tail"]:
        tail = aircraft["tail"]
        sizes |= {"tail.span": tail["span_mm"], "tail.chord": tail["chord_mm"]}
        sizes["tail.back"] = tail["arm_mm"] - 0.25 * tail["chord_mm"] + aircraft["cg_mm"]
    if aircraft["fin"]:
        sizes["fin"] = aircraft["fin"]["height_mm"]
    if kind(view.answers, "motor") != "none":
        sizes["motor"] = 1.0
    return sizes


def _linkage(view: View, made: Made) -> Callable[..., Drawing]:
    surfaces: dict[str, dict[str, Any]] = {one["name"]: one for one in made.values["aircraft"]["surfaces"]}
    name = view.more or view.at.rpartition(".")[0]
    of_kind = next((one["name"] for one in surfaces.values() if one["kind"] == name), None)
    name = name if name in surfaces else of_kind or next(iter(surfaces))
    surface, problems = Draft.checked(Surface, surfaces[name], name)
    if surface is None:
        raise ValueError(" ".join(map(str, problems)))
    arm = surface.servo.arm_offset_deg
    nose: Literal["left", "right"] = "right" if surface.side == "right" else "left"
    return partial(linkage_side, surface, arm, float(surface_angle_deg(surface.linkage, arm)), nose=nose)


def _ways(view: View, made: Made) -> Callable[..., Drawing]:
    aircraft, problems = Draft.checked(Aircraft, made.values["aircraft"], "your model")
    if aircraft is None:
        raise ValueError(" ".join(map(str, problems)))
    down = {"down": 1.0, "left": 1.0, "up": -1.0, "right": -1.0}
    angles = {name: _SHOWN_DEG * down[seen(view.answers, name)] for name in aircraft.surface_names}
    return posed(aircraft, angles)


def _receiver(view: View, made: Made) -> Callable[..., Drawing]:
    usual = usual_plugs(view.answers, made.values)
    plugs: list[tuple[str, int | None, bool]] = []
    at = ""
    for name in plugs_of(view.answers):
        words = plug_words(view, name)
        typed = view.answers.get(plug_key(name), "").strip()
        number = usual.get(name) if plug_key(name) not in made.faults else None
        plugs.append((words, number, not typed))
        at = words if view.at == plug_key(name) else at
    return partial(receiver_view, int(made.values["radio"]["outputs"]), plugs, at)


def _whole(view: View, made: Made) -> Callable[..., Drawing]:
    return partial(plan_view, made.setup) if made.setup is not None else _plan(view, made)
