"""From the answers of the short form to a description as plain values: what is asked, and what is usual."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from mixlib.describe import shipped
from mixlib.panel.form.short.questions import (
    Answers,
    Numbers,
    chord_at,
    kind,
    leads,
    mirror,
    other_side,
    pairs,
    resolved,
    side_of,
)

__all__ = ["Carried", "lead_of", "plain_values", "seen"]

Carried = dict[str, Any]
"""What a set-up has besides its description, as it was opened: outputs, mixes, phases, ribs ..."""

_TESTS = {  # which way the left and the right one go when all is well
    "aileron": ("down", "up"),
    "flap": ("down", "up"),
    "elevon": ("down", "up"),
    "elevator": ("up", "up"),
    "v-tail": ("up", "up"),
    "rudder": ("right", "right"),
}


def seen(answers: Answers, name: str) -> str:
    """Which way a surface's edge went at the bench, as answered, else as it goes when all is well.

    The right one of a mirrored pair goes against the left one on the same pulse, which reversing one output
    turns round.
    """
    what, names = next((what, names) for what, names in pairs(answers).items() if name in names)
    usual = _TESTS[what][names.index(name)]
    if name != names[0] and mirror(answers, what) != "not":
        same = _reversed(answers, name) == _reversed(answers, names[0])
        return other_side(seen(answers, names[0])) if same else seen(answers, names[0])
    given = answers.get(f"{name}.seen", "")
    return given if given in (usual, other_side(usual)) else usual


def plain_values(answers: Answers, numbers: Numbers, carried: Carried | None = None) -> dict[str, Any]:
    """The set-up as plain values, with stand-ins for numbers that are not there yet."""
    n = {"span": 2000.0, "root": 200.0, "mass": 1000.0, "balance": 70.0} | numbers
    again = resolved({**answers, **{key: f"{n[key]} mm" for key in ("span", "root", "balance")}})
    n = again.numbers | n
    name = answers.get("name", "").strip() or "My model"
    radio = shipped("radio", answers.get("radio") or "simple_six").model_dump(mode="json")
    return {"name": name, "aircraft": _aircraft(answers, n, name, carried or {}), "radio": radio}


def _aircraft(answers: Answers, n: Numbers, name: str, carried: Carried) -> dict[str, Any]:
    tailless = kind(answers, "tail") == "tailless"
    foam = kind(answers, "finish") == "foam"
    area_dm2 = n["span"] * (n["root"] + n["tip"]) / 2e4
    motor = kind(answers, "motor")
    cg = n["balance"]
    tail = fin = None
    if not tailless:
        arm = round(n["tail.back"] + 0.25 * n["tail.chord"] - cg, 3)
        vee = kind(answers, "tail") == "V-tail"
        tail = {
            "span_mm": n["tail.span"],
            "chord_mm": n["tail.chord"],
            "arm_mm": arm,
            "incidence_deg": -1.5,
            "dihedral_deg": 35.0 if vee else 0.0,
        }
        if not vee:
            height, chord = 0.45 * n["tail.span"], 1.35 * n["tail.chord"]
            fin = {"height_mm": round(height), "chord_mm": round(chord), "arm_mm": round(arm + 15)}
    return {
        "name": name,
        "note": "",
        "mass_kg": n["mass"] / 1000,
        "cg_mm": cg,
        "body_drag_area_cm2": round((1.1 if foam else 0.46) * area_dm2, 1),
        "wing": {"stations": _stations(n, foam, tailless, carried.get("ribs", []))},
        "tail": tail,
        "fin": fin,
        "motor": None if motor == "none" else {"propeller": motor, "off_us": 1100.0, "full_us": 1900.0},
        "finish": kind(answers, "finish"),
        "surfaces": [surface for what in pairs(answers) for surface in _surfaces(answers, what, n, fin)],
    }


def _stations(n: Numbers, foam: bool, tailless: bool, ribs: list[dict]) -> list[dict[str, Any]]:
    section = "symmetrical" if tailless else "general purpose" if foam else "thin cambered"
    sweep = n.get("sweep", 0.25 * (n["root"] - n["tip"]))
    thick, camber = n.get("thick"), 0.0 if tailless else 0.025
    ends = []
    for y, chord, leading, twist in (
        (0.0, n["root"], 0.0, 0.0),
        (n["span"] / 2, n["tip"], round(sweep, 1), -2.5 if tailless else -1.0),
    ):
        rib: dict[str, Any] = {
            "y_mm": y,
            "chord_mm": chord,
            "leading_edge_mm": leading,
            "twist_deg": twist,
            "section": section,
        }
        rib["dihedral_deg"] = 0.0 if y or tailless else 3.0
        rib["thickness_mm"] = round(thick * chord / n["root"], 1) if thick else None
        rib["camber_mm"] = round(camber * chord, 1) if thick else None
        ends.append(rib)
    return [ends[0], *ribs, ends[1]]


def _surfaces(
    answers: Answers, what: str, n: Numbers, fin: dict[str, Any] | None
) -> Iterator[dict[str, Any]]:
    names = pairs(answers)[what]
    on_wing = what in ("aileron", "flap", "elevon")
    flap = what == "flap"
    if on_wing:
        inner, outer, chord = n[f"{what}.from"], n[f"{what}.to"], n[f"{what}.chord"]
        away = round(0.4 * chord_at(n, inner))
    elif what == "rudder" and fin is not None:
        inner, outer, chord, away = (
            0.0,
            fin["height_mm"],
            round(0.42 * fin["chord_mm"]),
            round(0.85 * n["tail.back"]),
        )
    else:
        inner, outer, chord, away = 0.0, n["tail.span"] / 2, n["tail.flap"], round(0.85 * n["tail.back"])
    single = what == "aileron" and kind(answers, "lead") == "one servo"
    for place, name in enumerate(names):
        own = name if place == 0 or mirror(answers, what) == "not" else names[0]
        side = side_of(answers, own)
        went = seen(answers, name) == {"below": "down", "above": "up"}.get(side, side)
        yield {
            "name": name,
            "kind": what,
            "part": "wing" if on_wing else "fin" if what == "rudder" else "tail",
            "side": "centre" if len(names) == 1 else ("left", "right")[place],
            "y_inner_mm": inner,
            "y_outer_mm": outer,
            "chord_mm": chord,
            "outer_chord_mm": None,
            "stop_up_deg": 25.0 if flap else 35.0,
            "stop_down_deg": 75.0 if flap else 35.0,
            "linkage": {
                "arm_mm": n[f"{own}.arm"],
                "horn_mm": n[f"{own}.horn"],
                "distance_mm": float(max(away, 10)),
                "arm_side": side,
                "horn_side": side,
                "arm_angle_deg": 90.0,
                "horn_angle_deg": 90.0,
                "rod_mm": None,
                "arm_holes_mm": [],
                "horn_holes_mm": [],
            },
            # A horn that is pulled forward takes the edge to its own side.
            "servo": {
                "arm_deg_per_500us": 50.0 if flap else 45.0,
                "longer_pulse_moves_arm": "forward" if went != _reversed(answers, name) else "back",
                "arm_offset_deg": 0.0,
                "seconds_per_60deg": 0.12,
                "min_us": 800.0,
                "max_us": 2200.0,
            },
            "servo_of": names[0] if single and place else None,
        }


def _reversed(answers: Answers, name: str) -> bool:
    return answers.get(f"{lead_of(answers, name)}.reversed") == "yes"


def lead_of(answers: Answers, name: str) -> str:
    """The surface whose plug moves a surface: on a Y-lead the left one."""
    return next(lead for lead, names in leads(answers).items() if name in names)
