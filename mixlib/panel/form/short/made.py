"""From the answers of the short form to a whole set-up, and back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from mixlib.chain import LinkageError, MixLoopError, Rig
from mixlib.describe import MOTOR, Aircraft, Radio, Setup, plain_setup
from mixlib.describe.files import build
from mixlib.describe.numbers import read_number
from mixlib.panel.form.drafts import Draft, read_field
from mixlib.panel.form.short.more import MORE, leaves_of, put_leaf, unit_asked
from mixlib.panel.form.short.questions import Answers, Resolved, kind, leads, mirror, pairs, resolved
from mixlib.panel.form.short.values import Carried, plain_values

__all__ = ["SETTINGS", "Made", "made", "plug_key", "plugs_of", "usual_plugs"]

SETTINGS = ("outputs", "free_mixes", "shaping", "wanted", "phases", "marks", "ready_made", "trims", "note")


@dataclass(frozen=True)
class Made:
    """What the answers come to.

    Attributes
    ----------
    setup : Setup or None
        None when there are faults.
    values : dict
        The set-up as plain values, right or wrong.
    usual : dict
        The same with the usual value where another one was typed under "more".
    faults : dict of str to str
        Key of an answer to a sentence; the key is empty where no single answer is at fault.
    """

    setup: Setup | None
    values: dict[str, Any]
    usual: dict[str, Any]
    resolved: Resolved
    faults: dict[str, str]


def plug_key(name: str) -> str:
    """Key of the answer that says which output a plug is in."""
    return f"{name}.output"


def made(answers: Answers, carried: Carried | None = None) -> Made:
    """Make the whole set-up of the answers, or say in the form's words why it cannot be made.

    Parameters
    ----------
    carried : dict, optional
        Settings of outputs, mixes, phases ... that the set-up had when it was opened; they stay as long as
        the plugs do.
    """
    read = resolved(answers)
    faults = dict(read.faults)
    values, usual = (plain_values(answers, read.numbers, carried) for _ in range(2))
    typed = {key for key, text in answers.items() if key.startswith(MORE) and text.strip()}
    for leaf in [leaf for leaf in leaves_of(answers, values) if leaf.key in typed]:
        try:
            asked = unit_asked(answers, leaf.field)
            put_leaf(values, answers, leaf, read_field(leaf.field, answers[leaf.key], asked))
        except ValueError as error:
            faults[leaf.key] = f"{leaf.field.name}: {error}"
    if faults:
        return Made(None, values, usual, read, faults)
    parts: dict[str, Any] = {}
    for name, part_kind in (("aircraft", Aircraft), ("radio", Radio)):
        parts[name], problems = Draft.checked(part_kind, values[name], name)
        paths = [problem.field for problem in problems]
        for problem in problems:
            if any(path.startswith(f"{problem.field}.") for path in paths):
                continue  # a list is called too short when one of its items is at fault
            faults.setdefault(_key_of(answers, f"{name}.{problem.field}"), str(problem))
    if faults:
        return Made(None, values, usual, read, faults)
    aircraft, radio = parts["aircraft"], parts["radio"]
    wiring, faults = _wiring(answers, aircraft, radio)
    if faults:
        return Made(None, values, usual, read, faults)
    try:
        setup = _with_settings(answers, plain_setup(aircraft, radio, values["name"], wiring), carried)
        Rig(setup)
    except (LinkageError, MixLoopError, ValueError) as error:
        return Made(None, values, usual, read, {"": str(error)})
    return Made(setup, values, usual, read, {})


def usual_plugs(answers: Answers, values: dict[str, Any]) -> dict[str, int]:
    """Outputs for the plugs that are left blank, put beside those that are typed; {} where there are none."""
    typed = {name: number for name, number in _typed_plugs(answers).items() if isinstance(number, int)}
    try:
        aircraft = build(Aircraft, _shared(answers, values["aircraft"]))
        return dict(plain_setup(aircraft, build(Radio, values["radio"]), "plugs", typed).wiring)
    except ValueError:
        return {}


def _wiring(answers: Answers, aircraft: Aircraft, radio: Radio) -> tuple[dict[str, int], dict[str, str]]:
    typed, faults = _typed_plugs(answers), {}
    for name, number in typed.items():
        if not isinstance(number, int) or not 1 <= number <= radio.outputs:
            faults[plug_key(name)] = (
                f"The output of the {name}: “{answers[plug_key(name)]}” is typed. Accepted: a whole number "
                f"from 1 to {radio.outputs}, the outputs of {radio.name}."
            )
    wiring = (
        {}
        if faults
        else usual_plugs(answers, {"aircraft": aircraft.model_dump(), "radio": radio.model_dump()})
    )
    return wiring, faults


def plugs_of(answers: Answers) -> list[str]:
    """Names of all plugs, the motor's last; a lead has the name of its first surface."""
    return [*leads(answers), *([MOTOR] if kind(answers, "motor") != "none" else [])]


def _typed_plugs(answers: Answers) -> dict[str, int | str]:
    """Output of each typed plug, of a lead for all that hangs on it; text where it is no whole number."""
    found: dict[str, int | str] = {}
    for name in plugs_of(answers):
        text = answers.get(plug_key(name), "").strip()
        if not text:
            continue
        try:
            value = read_number(text)
        except ValueError:
            value = 0.5
        for on in leads(answers).get(name, (name,)):
            found[on] = int(value) if value == int(value) else text
    return found


def _shared(answers: Answers, aircraft: dict) -> dict:
    """The aircraft with all that hangs on one lead moved by one servo, so that it is plugged in together."""
    lead = {name: first for first, names in leads(answers).items() for name in names if name != first}
    surfaces = [surface | {"servo_of": lead.get(surface["name"])} for surface in aircraft["surfaces"]]
    return {**aircraft, "surfaces": surfaces}


def _with_settings(answers: Answers, plain: Setup, carried: Carried | None) -> Setup:
    """The set-up with what came along, if it belongs to these plugs, and the directions answered."""
    setup = plain
    if carried and carried.get("wiring") == dict(plain.wiring):
        setup = build(Setup, plain.model_dump(mode="json") | {key: carried[key] for key in SETTINGS})
    for name in leads(answers):
        given = answers.get(f"{name}.reversed", "")
        number = setup.wiring[name]
        if given in ("yes", "no") and setup.output(number).reversed != (given == "yes"):
            setup = setup.with_output(number, reversed=given == "yes")
    return setup


def _key_of(answers: Answers, path: str) -> str:
    """Key of the answer that a problem's path belongs to; lists count from 1 there."""
    part, _, rest = path.partition(".")
    steps = rest.split(".")
    if part == "radio":
        return MORE + "radio." + ".".join(str(int(step) - 1) if step.isdigit() else step for step in steps)
    direct = {"mass_kg": "mass", "cg_mm": "balance"}
    direct |= {"tail.span_mm": "tail.span", "tail.chord_mm": "tail.chord", "tail.arm_mm": "tail.back"}
    if rest in direct:
        return direct[rest]
    if steps[:2] == ["wing", "stations"] and len(steps) == 4:
        first = steps[2] == "1"
        chord = {
            "y_mm": "span",
            "chord_mm": "root" if first else "tip",
            "thickness_mm": "thick",
            "leading_edge_mm": "sweep",
        }
        return chord.get(steps[3], "") or f"{MORE}wing {'root' if first else 'tip'}.{steps[3]}"
    if steps[0] == "surfaces":
        names = [(what, name) for what, names in pairs(answers).items() for name in names]
        what, name = names[int(steps[1]) - 1]
        own = name if mirror(answers, what) == "not" else pairs(answers)[what][0]
        field = ".".join(steps[2:])
        moving = {"y_inner_mm": "from", "y_outer_mm": "to", "chord_mm": "chord"}
        if field in moving and what in ("aileron", "flap", "elevon"):
            return f"{what}.{moving[field]}"
        if field == "chord_mm" and what != "rudder":
            return "tail.flap"
        lever = {"linkage.arm_mm": "arm", "linkage.horn_mm": "horn"}
        return f"{own}.{lever[field]}" if field in lever else f"{MORE}{own}.{field}"
    return f"{MORE}aircraft.{rest}"
