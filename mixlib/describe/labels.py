"""What a reader calls each field: the one table of labels, and the walk to the field at a path."""

from __future__ import annotations

import re
import typing
from typing import Any

from pydantic import BaseModel

from mixlib.describe.numbers import shortened

__all__ = ["field_label", "is_part", "label_of", "resolve", "unit_at", "without_none"]

_LABELS = {
    # aircraft
    "cg_mm": "balance point",
    "body_drag_area_cm2": "drag of the body",
    "finish": "skin",
    "stations": "ribs",
    "y_mm": "distance from the middle",
    "Station.section": "kind of section",
    "y_inner_mm": "inner end",
    "y_outer_mm": "outer end",
    "outer_chord_mm": "chord at the outer end",
    "Surface.kind": "kind of surface",
    "Surface.part": "hinged to",
    "stop_up_deg": "stop on the way up",
    "stop_down_deg": "stop on the way down",
    "servo_of": "servo shared with",
    "arm_mm": "hole in the arm",
    "horn_mm": "hole in the horn",
    "arm_holes_mm": "other holes in the arm",
    "horn_holes_mm": "other holes in the horn",
    "distance_mm": "servo to hinge",
    "arm_side": "side of the arm",
    "horn_side": "side of the horn",
    "arm_angle_deg": "angle of the arm",
    "horn_angle_deg": "angle of the horn",
    "rod_mm": "length of the rod",
    "arm_deg_per_500us": "turn of the servo arm for 500 us",
    "longer_pulse_moves_arm": "way of the servo arm with a longer pulse",
    "arm_offset_deg": "servo arm ahead of its drawn place",
    "seconds_per_60deg": "time of the servo for 60 degrees",
    "Servo.min_us": "shortest pulse of the servo",
    "Servo.max_us": "longest pulse of the servo",
    "Tail.arm_mm": "distance behind the balance point",
    "Fin.arm_mm": "distance behind the balance point",
    "off_us": "pulse for off",
    "full_us": "pulse for full power",
    # radio
    "Radio.outputs": "number of outputs",
    "Radio.free_mixes": "number of free mixes",
    "drives": "outputs that it moves",
    "at_once": "use of several outputs at once",
    "at_low_percent": "what its output gets at the low end",
    "at_high_percent": "what its output gets at the high end",
    "gain_min_percent": "lowest gain",
    "gain_max_percent": "highest gain",
    "gain_step_percent": "step of a gain",
    "gain_sides_differ": "difference between gain above and below",
    "mix_takes": "what a mix takes from an output",
    "mix_centre": "centre of mixes",
    "curve_points": "number of curve points",
    "output_gains": "gain of outputs",
    "shift_max_percent": "largest shift",
    "end_points": "effect of end points",
    "travel_max_percent": "largest end point",
    "travel_step_percent": "step of an end point",
    "sub_trim_percent": "sub-trim",
    "sub_trim_max_percent": "largest sub-trim",
    "sub_trim_step_percent": "step of the sub-trim",
    "us_per_100_percent": "change of the pulse for 100 %",
    "centre_us": "pulse at neutral",
    "min_us": "shortest pulse",
    "max_us": "longest pulse",
    "rate_and_expo": "rate and expo of the sticks",
    "ready_made": "ready-made functions",
    "phases_keep": "kept for each phase",
    "mixes_carry_trim": "trim passed on by mixes",
    "trim_max_percent": "most that a trim lever adds",
    # settings
    "wiring": "plug",
    "shaping": "rate and expo",
    "wanted": "wishes",
    "trims": "trim",
    "angles_deg": "angle",
    "LandingField.length_m": "length of the field",
    "obstacle_m": "height of what stands in front",
    "obstacle": "what stands in front",
    "ground": "ground of the field",
    "amount": "throw",
    "Mark.percent": "place of the mark",
    "end_low_percent": "end point towards the shorter pulse",
    "end_high_percent": "end point towards the longer pulse",
    "curve_percent": "curve",
    "on": "switched on",
    "ReadyMade.first": "output with the sum",
    "ReadyMade.second": "output with the difference",
    "alike_percent": "gain of the command that comes alike",
    "opposite_percent": "gain of the command that comes opposite",
}
"""Labels of fields whose keys, without their unit, are no words; with the kind where two keys are alike."""

_SILENT = ("wing", "linkage", "servo", "aircraft")  # parts whose fields say by themselves where they are
_ITEMS = {
    "stations": "rib",
    "surfaces": "surface",
    "outputs": "output",
    "free_mixes": "mix",
    "wanted": "wish",
    "phases": "phase",
    "marks": "mark",
    "ready_made": "ready-made function",
    "controls": "control",
}


def field_label(kind: type[BaseModel], key: str) -> str:
    """What a reader calls a field, such as ``"hole in the arm"`` for ``"arm_mm"``; its unit stands apart."""
    plain = re.sub(r"_(mm|m|deg|kg|us|percent|cm2)$", "", key).replace("_", " ")
    return _LABELS.get(f"{kind.__name__}.{key}", _LABELS.get(key, plain))


def label_of(kind: type[BaseModel], location: tuple[int | str, ...], values: Any = None) -> str:
    """What a reader calls the field at a path, such as ``"Right aileron: hole in the arm"``.

    Parameters
    ----------
    location : tuple of int or str
        Names, and indices from 0.
    values : object, optional
        What stands in the description, from which surfaces and phases take their names.
    """
    parts: list[str] = []
    annotation: Any = kind
    key = ""
    for step in location:
        plain = without_none(annotation)
        origin, arguments = typing.get_origin(plain), typing.get_args(plain)
        values = _inside(values, step)
        if is_part(plain) and step in plain.model_fields:
            key, annotation = str(step), plain.model_fields[str(step)].annotation
            parts.append(field_label(plain, key))
        elif origin is tuple and isinstance(step, int):
            parts[-1] = _item(key, parts[-1], step, values)
            annotation = arguments[0]
        elif origin is dict:
            parts[-1] = f"{parts[-1]} of {shortened(str(step))}"
            annotation = arguments[1]
    if not parts:
        return "The whole"
    shown = [part for part in parts[:-1] if part not in _SILENT]
    if not shown and "aircraft" in parts[:-1]:
        shown = ["aircraft"]
    label = ": ".join([*shown, parts[-1]])
    return label[:1].upper() + label[1:]


def resolve(kind: Any, location: tuple[int | str, ...]) -> tuple[Any, Any]:
    """Type and field declaration at a path, or (None, None) where the path leaves the known fields."""
    annotation, info = kind, None
    for step in location:
        plain = without_none(annotation)
        origin, arguments = typing.get_origin(plain), typing.get_args(plain)
        if is_part(plain) and step in plain.model_fields:
            info = plain.model_fields[step]
            annotation = info.annotation
        elif origin is tuple and isinstance(step, int):
            annotation, info = arguments[0], None
        elif origin is dict and step != "[key]":
            annotation, info = arguments[1], None
        else:
            return None, None
    return annotation, info


def unit_at(kind: type[BaseModel], location: tuple[int | str, ...]) -> str:
    """Unit of the field at a path, such as ``"mm"``; empty where there is none."""
    info = resolve(kind, location)[1]
    extra = info.json_schema_extra if info is not None else None
    return str(extra.get("unit", "")) if isinstance(extra, dict) else ""


def without_none(annotation: Any) -> Any:
    """The type of a field that may be left out, without the None."""
    if typing.get_origin(annotation) is typing.Annotated:
        return typing.get_args(annotation)[0]
    options = [option for option in typing.get_args(annotation) if option is not type(None)]
    if type(None) in typing.get_args(annotation) and len(options) == 1:
        return options[0]
    return annotation


def is_part(annotation: Any) -> bool:
    """Whether a type is a description of its own."""
    return isinstance(annotation, type) and issubclass(annotation, BaseModel)


def _item(key: str, label: str, index: int, item: Any) -> str:
    """One entry of a list as a reader calls it: a surface by its name, an output by its number."""
    if key not in _ITEMS:
        return f"{label}, number {index + 1}"
    name, number = _inside(item, "name"), _inside(item, "number")
    if isinstance(name, str) and name.strip():
        return shortened(f"phase {name}" if key == "phases" else name)
    if key == "outputs" and isinstance(number, int):
        return f"output {number}"
    return f"{_ITEMS[key]} {index + 1}"


def _inside(values: Any, step: int | str) -> Any:
    if isinstance(values, BaseModel):
        return getattr(values, str(step), None)
    try:
        return values[step]
    except (LookupError, TypeError):
        return None
