"""From a set-up back to the answers of the short form."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from mixlib.describe import Aircraft, Radio, Setup, shipped, shipped_names
from mixlib.panel.form.short.made import SETTINGS, made, plug_key, plugs_of
from mixlib.panel.form.short.more import Leaf, as_typed, leaves_of, places_of, radio_leaves
from mixlib.panel.form.short.questions import Answers, kind, leads, other_side, pairs, resolved
from mixlib.panel.form.short.values import Carried, plain_values

__all__ = ["answers_of", "fitted", "radio_answers"]


def answers_of(setup: Setup) -> tuple[dict[str, str], Carried] | None:
    """Answers that make a set-up again, and what it has besides; None where the form has no words for it."""
    kinds = _kinds_of(setup.aircraft)
    if kinds is None:
        return None
    answers = kinds | {"name": setup.name}
    carried: Carried = {key: setup.model_dump(mode="json")[key] for key in SETTINGS}
    carried |= {"wiring": dict(setup.wiring), "ribs": []}
    stations = setup.aircraft.wing.stations
    carried["ribs"] = [station.model_dump(mode="json") for station in stations[1:-1]]
    answers |= _measured(setup.aircraft, answers) | _servo_answers(setup, answers)
    answers |= {plug_key(name): str(setup.wiring[name]) for name in plugs_of(answers)}
    answers["radio"] = _nearest_radio(setup.radio)
    if not answers["radio"]:
        return None
    values = plain_values(answers, resolved(answers).numbers, carried)
    answers |= _differing(answers, leaves_of(answers, values), setup.model_dump(mode="json"))
    again = made(answers, carried).setup
    return (answers, carried) if again == setup else None


def radio_answers(radio: Radio) -> dict[str, str]:
    """Answers for a radio of the reader's own; none where the form has no words for it."""
    name = _nearest_radio(radio)
    if not name:
        return {}
    usual = radio_leaves(shipped("radio", name).model_dump(mode="json"))
    return {"radio": name} | _differing({}, usual, {"aircraft": {}, "radio": radio.model_dump(mode="json")})


def fitted(answers: Answers, setup: Setup) -> tuple[dict[str, str], Carried]:
    """Answers for the same model with other settings: what was typed stays, plugs and directions follow.

    Parameters
    ----------
    setup : Setup
        The same aircraft and radio with settings that were found for them.
    """
    short = answers_of(setup)
    if short is None:
        raise ValueError("The settings found cannot be shown here. Find them in lesson 08.")
    ours = (".output", ".reversed")
    kept = {key: text for key, text in answers.items() if not key.endswith(ours)}
    return kept | {key: text for key, text in short[0].items() if key.endswith((*ours, ".seen"))}, short[1]


def _differing(answers: Answers, leaves: Iterable[Leaf], target: dict[str, Any]) -> dict[str, str]:
    """What has to be typed under "more" to come from the usual values to others."""
    found = {}
    for leaf in leaves:
        holder, key = places_of(answers, target, leaf.key)[0]
        if holder.get(key) != leaf.usual:
            found[leaf.key] = as_typed(holder.get(key))
    return found


def _kinds_of(aircraft: Aircraft) -> dict[str, str] | None:
    """The answers by picture that give an aircraft its surfaces; None where none do."""
    motor = aircraft.motor.propeller if aircraft.motor else "none"
    ours = {"motor": motor, "finish": aircraft.finish}
    single = any(surface.servo_of for surface in aircraft.surfaces)
    for tail in ("tail and fin", "V-tail", "tailless"):
        for wing in ("two ailerons", "ailerons and flaps"):
            answers = ours | {"tail": tail, "wing": wing, "lead": "one servo" if single else "two plugs"}
            if tuple(name for names in pairs(answers).values() for name in names) == aircraft.surface_names:
                return answers
    return None


def _measured(aircraft: Aircraft, answers: Answers) -> dict[str, str]:
    root, *_, tip = aircraft.wing.stations
    found: dict[str, float | None] = {
        "span": aircraft.wing.span_mm,
        "root": root.chord_mm,
        "tip": tip.chord_mm,
        "thick": root.thickness_mm,
        "mass": aircraft.mass_kg * 1000,
        "balance": aircraft.cg_mm,
    }
    if kind(answers, "tail") == "tailless":
        found["sweep"] = tip.leading_edge_mm
    elif aircraft.tail is not None:
        tail = aircraft.tail
        found |= {"tail.span": tail.span_mm, "tail.chord": tail.chord_mm}
        found["tail.back"] = tail.arm_mm - 0.25 * tail.chord_mm + aircraft.cg_mm
    for what, names in pairs(answers).items():
        surface = aircraft.surface(names[0])
        if surface.part == "wing":
            found |= {f"{what}.from": surface.y_inner_mm, f"{what}.to": surface.y_outer_mm}
            found[f"{what}.chord"] = surface.chord_mm
        elif what != "rudder":
            found["tail.flap"] = surface.chord_mm
    return {key: as_typed(round(value, 6)) for key, value in found.items() if value is not None}


def _servo_answers(setup: Setup, answers: dict[str, str]) -> dict[str, str]:
    found: dict[str, str] = {}
    aircraft = setup.aircraft
    first, *others = aircraft.of_kind("aileron")[:2] or (aircraft.surfaces[0],)
    if others and answers["lead"] == "two plugs" and setup.wiring[first.name] == setup.wiring[others[0].name]:
        answers["lead"] = "Y-lead"
    for what, names in pairs(answers).items():
        surfaces = [aircraft.surface(name) for name in names]
        if len(surfaces) == 2:
            word = _turned(surfaces[0])
            found[f"{what}.mirror"] = "mirror image" if surfaces[1].servo == word else "not"
            if surfaces[1].linkage != surfaces[0].linkage:
                found[f"{what}.mirror"] = "not"
        for surface in surfaces if found.get(f"{what}.mirror") == "not" else surfaces[:1]:
            link = surface.linkage
            levers = {"arm": as_typed(link.arm_mm), "horn": as_typed(link.horn_mm), "side": link.horn_side}
            reversed_ = setup.output(setup.wiring[surface.name]).reversed
            forward = (surface.servo.longer_pulse_moves_arm == "forward") != reversed_
            side = {"below": "down", "above": "up"}.get(link.horn_side, link.horn_side)
            levers["seen"] = side if forward else other_side(side)
            found |= {f"{surface.name}.{key}": value for key, value in levers.items()}
    for name in leads(answers):
        found[f"{name}.reversed"] = "yes" if setup.output(setup.wiring[name]).reversed else "no"
    return found


def _turned(surface: Any) -> Any:
    servo = surface.servo
    return servo.replace(longer_pulse_moves_arm=other_side(servo.longer_pulse_moves_arm))


def _nearest_radio(radio: Radio) -> str:
    """Shipped radio with the same controls in hand, of equal ones that with the same name; "" for none."""
    alike = [name for name in shipped_names("radio") if shipped("radio", name).commands == radio.commands]
    named = [name for name in alike if shipped("radio", name).name == radio.name]
    return next(iter([*named, *alike]), "")
