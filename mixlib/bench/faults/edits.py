"""A fault as edits of the intended set-up, so that faults can be put together and put right again."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import combinations

from mixlib.describe import Aircraft, Setup
from mixlib.describe.base import Described

__all__ = ["COSTS", "Edit", "Fault", "apply_faults"]

COSTS = {1: "a setting of the transmitter", 2: "a plug at the receiver", 3: "work with tools on the model"}
"""What it takes to put a fault right, cheapest first.  common practice, no source."""

Edit = tuple[tuple, object]
"""Path of one value of a set-up, and the value that is there by mistake."""


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong.

    Attributes
    ----------
    kind : str
        A key of `KINDS`.
    words : str
        What is wrong, without a full stop.
    change : str
        What to change, without a full stop.
    cost : int
        A key of `COSTS`.
    places : frozenset of str
        The settings or parts concerned; two faults at one place are not put together.
    """

    kind: str
    words: str
    change: str
    cost: int
    places: frozenset[str]
    edits: tuple[Edit, ...]

    @property
    def key(self) -> str:
        """Short name that no other fault of the same set-up has."""
        return f"{self.kind}: {self.words}"

    def surfaces(self) -> frozenset[str]:
        """Names of the surfaces whose servo, linkage or stops it concerns."""
        return frozenset(path[1] for path, _ in self.edits if path[0] in ("surface", "servo", "linkage"))

    def plugs(self) -> dict[str, int]:
        """Surfaces whose servo is in another socket, and that socket."""
        return {path[1]: value for path, value in self.edits if path[0] == "wiring"}


def apply_faults(setup: Setup, faults: Iterable[Fault], checked: bool = True) -> Setup:
    """The set-up as it is with some faults.

    Parameters
    ----------
    checked : bool
        Whether the result is checked.  It need not be where each fault was checked alone: no rule of a set-up
        joins settings of two places.

    Raises
    ------
    ValueError
        If two faults concern the same place, or the result is not a valid set-up.
    """
    faults = list(faults)
    for one, other in combinations(faults, 2):
        if both := one.places & other.places:
            raise ValueError(f"two faults concern {sorted(both)[0]}; accepted: one fault at each place")
    change = _checked if checked else _unchecked
    edits: dict[str, dict] = {}
    for path, value in (edit for fault in faults for edit in fault.edits):
        what, which, *field = path
        if what == "wiring":
            edits.setdefault("wiring", {})[which] = value
        else:
            edits.setdefault(what, {}).setdefault(which, {})[field[0] if field else which] = value
    changes: dict[str, object] = {}
    if "radio" in edits:
        outputs = edits["radio"]["outputs"]["outputs"]
        changes["radio"] = change(setup.radio, outputs=outputs)
    if "wiring" in edits:
        changes["wiring"] = {**setup.wiring, **edits["wiring"]}
    if "output" in edits:
        edited = {number: change(setup.output(number), **new) for number, new in edits["output"].items()}
        others = [output for output in setup.outputs if output.number not in edited]
        changes["outputs"] = tuple(sorted([*others, *edited.values()], key=lambda output: output.number))
    if "mix" in edits:
        changes["free_mixes"] = tuple(
            change(mix, **edits["mix"][place]) if place in edits["mix"] else mix
            for place, mix in enumerate(setup.free_mixes)
        )
    if edits.keys() & {"surface", "servo", "linkage"}:
        changes["aircraft"] = _edited_aircraft(setup, edits, change)
    return change(setup, **changes) if changes else setup


def _edited_aircraft(setup: Setup, edits: dict[str, dict], change: Callable) -> Aircraft:
    surfaces = []
    for surface in setup.aircraft.surfaces:
        new = dict(edits.get("surface", {}).get(surface.name, {}))
        for part in ("servo", "linkage"):
            if surface.name in edits.get(part, {}):
                new[part] = change(getattr(surface, part), **edits[part][surface.name])
        surfaces.append(change(surface, **new) if new else surface)
    return change(setup.aircraft, surfaces=tuple(surfaces))


def _checked(described: Described, **changes) -> Described:
    return described.replace(**changes)


def _unchecked(described: Described, **changes) -> Described:
    return described.model_copy(update=changes)
