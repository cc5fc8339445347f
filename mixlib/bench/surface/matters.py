"""Which measured number matters most: what a small change of it does to the throw through the whole chain."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from mixlib.chain import LinkageError, Rig, commands
from mixlib.describe import Setup

__all__ = ["SURFACE_NUMBERS", "Matter", "matters"]

SURFACE_NUMBERS = {
    "linkage.arm_mm": (1.0, "one mm on the arm"),
    "linkage.horn_mm": (1.0, "one mm on the horn"),
    "linkage.distance_mm": (5.0, "5 mm between servo and hinge"),
    "linkage.arm_angle_deg": (5.0, "5° in how the arm stands"),
    "linkage.horn_angle_deg": (5.0, "5° in how the horn stands"),
    "servo.arm_deg_per_500us": (5.0, "5° in how far the servo turns"),
}
"""Path of a number inside a surface, to by how much a flyer may miss it and what that is called."""


@dataclass(frozen=True)
class Matter:
    """What one number of one surface does.

    Attributes
    ----------
    field : str
        Path of the number inside the surface.
    words : str
        The change, such as ``"one mm on the horn"``.
    change_mm : float
        By how much the largest throw then differs, mm at the trailing edge, without sign.
    throw_mm : float
        The largest throw as described, without sign.
    """

    surface: str
    field: str
    words: str
    change_mm: float
    throw_mm: float

    def __str__(self) -> str:
        return (
            f"{self.surface}: {self.words} is {self.change_mm:.1f} mm at the edge, where the "
            f"most is {self.throw_mm:.1f} mm"
        )


def matters(setup: Setup) -> tuple[Matter, ...]:
    """What the numbers of linkage and servo do to the throws, the most telling first.

    Each number is changed by what a flyer may miss it by, both ways, and all commands are sent through the
    whole chain to where they are used to.  A surface that nothing moves is left out.
    """
    asked = [commands(**{command: value}) for command, value in setup.ends]
    found = list(_found(setup, np.array(asked))) if asked else []
    return tuple(sorted(found, key=lambda matter: -matter.change_mm))


def _found(setup: Setup, asked: np.ndarray) -> Iterator[Matter]:
    before = np.abs(Rig(setup).run(asked).throw)
    for place, surface in enumerate(setup.aircraft.surfaces):
        most = int(np.argmax(before[:, place]))
        throw = float(before[most, place])
        if throw < 0.5:
            continue
        for path, (step, words) in SURFACE_NUMBERS.items():
            part, name = path.split(".")
            here, changes = getattr(surface, part), []
            for way in (1, -1):
                try:
                    other = surface.replace(
                        **{part: here.replace(**{name: getattr(here, name) + way * step})}
                    )
                    others = [other if s is surface else s for s in setup.aircraft.surfaces]
                    turned = setup.replace(aircraft=setup.aircraft.replace(surfaces=tuple(others)))
                    after = Rig(turned).run(asked[most]).throw[place]
                except (LinkageError, ValueError):  # the changed one cannot be, so it was not missed that way
                    continue
                changes.append(abs(abs(float(after)) - throw))
            if changes:
                yield Matter(surface.name, path, words, max(changes), throw)
