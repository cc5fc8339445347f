"""The field that the reader lands on; the demo is the strip of the Orchard Field club."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from mixlib.describe.base import Described, measure

__all__ = ["ORCHARD_FIELD", "SURFACES", "Ground", "LandingField"]

Ground = Literal["mown grass", "long grass", "hard ground"]
SURFACES: tuple[Ground, ...] = ("mown grass", "long grass", "hard ground")
"""What a field can be covered with."""


class LandingField(Described):
    """A level strip to land on into the wind, right behind what stands in front of it."""

    name: str = Field("my field", min_length=1, max_length=40, description="what you call it")
    length_m: float = measure(10, 500, "m", "length of the strip behind what stands in front of it")
    obstacle_m: float = measure(0, 30, "m", "height of what stands in front of the strip")
    obstacle: str = Field(
        "obstacle", min_length=1, max_length=20, description="what stands in front of the strip"
    )
    ground: Ground = Field("mown grass", description="what the strip is covered with")

    @property
    def edge(self) -> str:
        """What touchdowns are counted from: what stands in front, or the near end where nothing does."""
        return self.obstacle if self.obstacle_m else "near end"

    @property
    def aim_m(self) -> float:
        """Aiming point behind the edge, m: the middle, so that as much is left for short as for long."""
        return self.length_m / 2


ORCHARD_FIELD = LandingField(name="Orchard Field", length_m=60.0, obstacle_m=6.0, obstacle="hedge")
"""The mown strip of the Orchard Field club behind its hedge of apple trees (invented)."""
