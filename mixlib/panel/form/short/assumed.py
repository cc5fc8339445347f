"""Which numbers of the description rest on no answer of the reader's."""

from __future__ import annotations

from mixlib.air.aircraft.matters import AIR_NUMBERS
from mixlib.bench.surface.matters import SURFACE_NUMBERS
from mixlib.panel.form.short.more import MORE
from mixlib.panel.form.short.questions import Answers, mirror, pairs

__all__ = ["assumed_fields"]

_ASKED = {
    "wing.stations.0.thickness_mm": "thick",
    "wing.stations.0.camber_mm": f"{MORE}wing root.camber_mm",
    "wing.stations.-1.chord_mm": "tip",
    "wing.stations.-1.twist_deg": f"{MORE}wing tip.twist_deg",
    "body_drag_area_cm2": f"{MORE}aircraft.body_drag_area_cm2",
    "tail.arm_mm": "tail.back",
    "tail.span_mm": "tail.span",
    "tail.chord_mm": "tail.chord",
}
_LEVERS = {"linkage.arm_mm": "arm", "linkage.horn_mm": "horn"}


def assumed_fields(answers: Answers) -> frozenset[str]:
    """Those that can matter, for throws or in the air, as paths of `mixlib.describe.shelf.note_assumed`."""
    keys = {field: _ASKED[field] for field in AIR_NUMBERS}
    for what, names in pairs(answers).items():
        for name in names:
            own = name if mirror(answers, what) == "not" else names[0]
            for field in SURFACE_NUMBERS:
                key = f"{own}.{_LEVERS[field]}" if field in _LEVERS else f"{MORE}{own}.{field}"
                keys[f"surfaces.{name}.{field}"] = key
    return frozenset(field for field, key in keys.items() if not answers.get(key, "").strip())
