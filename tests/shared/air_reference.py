"""Ideal sections and closed forms that the air tests compare with."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import SimpleNamespace

import numpy as np

from mixlib.air.section.handbook import flap_theory
from mixlib.air.section.table import SectionResult
from mixlib.air.wing.strips import from_stations


class _Slope:
    """Lift with its slope per rad from a small step."""

    def lift(self, incidence_deg):
        lift = self.evaluate(incidence_deg).cl
        return lift, np.degrees(self.evaluate(np.asarray(incidence_deg) + 0.1).cl - lift) / 0.1

    def rows(self, shape, chosen):
        """These sections are the same in every row."""
        return self


@dataclass(frozen=True)
class IdealSections(_Slope):
    """Thin aerofoil: 2 pi per rad, zero lift at `zero_lift_deg`, no drag, no stall."""

    zero_lift_deg: np.ndarray | float = 0.0
    alpha_stall_deg: float = 90.0

    def evaluate(self, incidence_deg):
        """Section answer at an incidence."""
        lift = 2 * np.pi * np.radians(np.asarray(incidence_deg) - self.zero_lift_deg)
        return SimpleNamespace(cl=lift, cd=0 * lift, cm=0 * lift, origin=0 * lift)


@dataclass(frozen=True)
class StallingSections(_Slope):
    """0.1 per deg up to the stall, then a fall of `fall_per_deg` to `left_over`."""

    alpha_stall_deg: np.ndarray | float = 12.0
    fall_per_deg: float = 0.05
    left_over: float = 0.7

    def evaluate(self, incidence_deg):
        """Section answer at an incidence."""
        alpha = np.asarray(incidence_deg, float)
        size = np.abs(alpha)
        past = np.maximum(size - self.alpha_stall_deg, 0)
        lift = 0.1 * np.minimum(size, self.alpha_stall_deg)
        lift = np.maximum(lift - self.fall_per_deg * past, np.minimum(lift, self.left_over))
        drag = 0.01 + 0.02 * past
        return SimpleNamespace(cl=np.sign(alpha) * lift, cd=drag, cm=0 * lift, origin=0 * lift)


def line(strips):
    """The same wing for Prandtl's plain line, which has closed forms: no curving along the chord."""
    return replace(strips, curving=0 * strips.curving, roll_felt=1.0)


def wing(aspect_ratio=10.0, taper=1.0, span=2.0, surfaces=(), per_half=20):
    """Strips of a straight tapered wing."""
    root = 2 * span / aspect_ratio / (1 + taper)
    chords, level = [root, root * taper], [0, 0]
    return from_stations([0, span / 2], chords, level, level, ["symmetrical"] * 2, surfaces, per_half)


def elliptic_wing(aspect_ratio=10.0, span=2.0, per_half=20):
    """Strips of an elliptic wing, with its chord exact at every control point."""
    plain = wing(aspect_ratio, span=span, per_half=per_half)
    root = 4 * span / aspect_ratio / np.pi
    chord = root * np.sqrt(1 - (2 * plain.y_m / span) ** 2)
    curving = plain.curving * plain.chord_m / chord
    return replace(plain, chord_m=chord, curving=curving, area_m2=float(chord @ plain.width_m))


def surface(name, inner_mm, outer_mm, chord_mm, side="right"):
    """The few fields of a surface that the strips read."""
    return SimpleNamespace(
        name=name,
        y_inner_mm=inner_mm,
        y_outer_mm=outer_mm,
        chord_at_mm=lambda y_mm: chord_mm,
        side=side,
        part="wing",
    )


def plain_flap_effectiveness(chord_ratio):
    """Thin-aerofoil flap effectiveness; Houghton & Carpenter, section 4.5, after Glauert, R&M 1095."""
    angle = np.arccos(2 * np.asarray(chord_ratio) - 1)
    return 1 - (angle - np.sin(angle)) / np.pi


@dataclass(frozen=True)
class IdealFlapped(_Slope):
    """Thin aerofoil with a flap: 2 pi per rad, lift and moment of the flap by theory, no drag, no stall."""

    flap_deg: np.ndarray
    chord_ratio: np.ndarray

    @property
    def alpha_stall_deg(self):
        """Never."""
        return np.full(np.shape(self.flap_deg), 90.0)

    def evaluate(self, incidence_deg):
        """Section answer at an incidence."""
        felt = np.asarray(incidence_deg) + plain_flap_effectiveness(self.chord_ratio) * self.flap_deg
        lift = 2 * np.pi * np.radians(felt)
        moment = np.radians(self.flap_deg) * flap_theory(self.chord_ratio)[1] + 0 * lift
        return SectionResult(lift, 0 * lift, moment, 0 * lift)

    def rows(self, shape, chosen):
        """Some rows of the sections spread to a shape."""
        spread = (
            np.broadcast_to(v, shape).reshape(-1, shape[-1])[chosen]
            for v in (self.flap_deg, self.chord_ratio)
        )
        return IdealFlapped(*spread)


def ideal_curves(strips, angles_deg, speed_m_s, viscosity_m2_s=None, finish=None):
    """In the place of `section_curves`: thin aerofoils."""
    return IdealFlapped(strips.surface_angles_deg(angles_deg), strips.chord_ratio)
