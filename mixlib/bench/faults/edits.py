"""A fault as edits of the intended set-up, so that faults can be put together and put right again."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import Literal, NamedTuple

from mixlib.describe import Setup, Surface

__all__ = ["COSTS", "Edit", "Fault", "apply_faults"]

COSTS = {1: "a setting of the transmitter", 2: "a plug at the receiver", 3: "work with tools on the model"}
"""What it takes to put a fault right, cheapest first.  common practice, no source."""

_PLACES = {
    "control": "the control of output {}",
    "gain_above_percent": "the control of output {}",
    "gain_below_percent": "the control of output {}",
    "reversed": "the direction of output {}",
    "end_low_percent": "the end points of output {}",
    "end_high_percent": "the end points of output {}",
    "plug": "the plug of {}",
    "longer_pulse_moves_arm": "the servo of {}",
    "horn_side": "the horn of {}",
    "stop_up_deg": "the way up (rudder: right) of {}",
    "stop_down_deg": "the way down (rudder: left) of {}",
}


class Edit(NamedTuple):
    """One value of a set-up that is there by mistake.

    Attributes
    ----------
    which : str or int
        Name of the surface, number of the output or place of the mix; nothing for the radio.
    value : str, float, bool or None
        In the unit of the field.
    """

    part: Literal["radio", "wiring", "output", "mix", "surface", "servo", "linkage"]
    which: str | int
    field: str
    value: str | float | bool | None


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong.

    Attributes
    ----------
    kind : str
        A key of `mixlib.bench.faults.kinds.KINDS`.
    words, change : str
        What is wrong and what to change, without a full stop.
    cost : int
        A key of `COSTS`.
    """

    kind: str
    words: str
    change: str
    cost: int
    edits: tuple[Edit, ...]

    @cached_property
    def places(self) -> frozenset[str]:
        """The settings or parts concerned; two faults at one place are not put together."""
        return frozenset(
            f"free mix {int(edit.which) + 1}"
            if edit.part == "mix"
            else _PLACES[edit.field].format(edit.which)
            for edit in self.edits
            if edit.part != "radio"
        )

    def surfaces(self) -> frozenset[str | int]:
        """Names of the surfaces whose servo, linkage or stops it concerns."""
        return frozenset(edit.which for edit in self.edits if edit.part in ("surface", "servo", "linkage"))

    def plugs(self) -> dict[str | int, int]:
        """Surfaces whose servo is in another socket, and that socket."""
        return {e.which: e.value for e in self.edits if e.part == "wiring" and isinstance(e.value, int)}


def apply_faults(setup: Setup, faults: Iterable[Fault]) -> Setup:
    """The set-up as it is with some faults, not checked: `mixlib.bench.faults.kinds` checks each fault alone.

    Raises
    ------
    ValueError
        If two faults concern the same place.
    """
    faults = list(faults)
    for one, other in combinations(faults, 2):
        if both := one.places & other.places:
            raise ValueError(f"two faults concern {sorted(both)[0]}; accepted: one fault at each place")
    for edit in (edit for fault in faults for edit in fault.edits):
        setup = setup.model_copy(update=_changes(setup, edit))
    return setup


def _changes(setup: Setup, edit: Edit) -> dict[str, object]:
    new = {edit.field: edit.value}
    if edit.part == "radio":
        return {"radio": setup.radio.model_copy(update=new)}
    if edit.part == "wiring":
        return {"wiring": {**setup.wiring, str(edit.which): edit.value}}
    if edit.part == "mix":
        mixes = enumerate(setup.free_mixes)
        return {"free_mixes": tuple(m.model_copy(update=new) if i == edit.which else m for i, m in mixes)}
    if edit.part == "output":
        edited = setup.output(int(edit.which)).model_copy(update=new)
        outputs = {output.number: output for output in (*setup.outputs, edited)}
        return {"outputs": tuple(outputs[number] for number in sorted(outputs))}
    surfaces = (_edited(s, edit) if s.name == edit.which else s for s in setup.aircraft.surfaces)
    return {"aircraft": setup.aircraft.model_copy(update={"surfaces": tuple(surfaces)})}


def _edited(surface: Surface, edit: Edit) -> Surface:
    new: dict[str, object] = {edit.field: edit.value}
    if edit.part != "surface":
        new = {edit.part: getattr(surface, edit.part).model_copy(update=new)}
    return surface.model_copy(update=new)
