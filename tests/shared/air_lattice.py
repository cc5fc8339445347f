"""Wing and tail of an aircraft in the vortex lattice of AeroSandbox (P. Sharpe, MIT licence).

The lattice ignores deflections of control surfaces, so a surface is bent into the camber line.  All sections
are thin and flat otherwise, as the comparison is of the method, not of the sections.  The tail stands a
quarter of the mean chord above the wing, clear of the wing's vortices.
"""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

import aerosandbox as asb
import numpy as np

from mixlib.air.aircraft.airframe import Airframe

SPEED_M_S = 10.0
_PLATE = asb.Airfoil("naca0006")


class Pitch(NamedTuple):
    """What an aircraft does in pitch: neutral point, elevator power and downwash at the tail."""

    neutral_mm: float
    power_per_rad: float
    downwash: float
    lift_slope: float

    @property
    def lines(self):
        """For a table."""
        return (
            f"{self.neutral_mm:7.1f} mm {self.power_per_rad:7.3f} {self.downwash:6.3f} {self.lift_slope:6.3f}"
        )


def _wing(sections, name):
    return asb.Wing(name=name, xsecs=sections, symmetric=True)


def _main(airframe: Airframe, angles):
    """The wing in pieces that end at stations and surfaces, each surface bent by the right-hand one's
    angle."""
    wing, pieces = airframe.aircraft.wing, []
    parts = [
        s for s in airframe.aircraft.surfaces if s.part == "wing" and s.side == "right" and angles.get(s.name)
    ]
    ends = {s.y_mm for s in wing.stations} | {e for part in parts for e in (part.y_inner_mm, part.y_outer_mm)}
    ahead = [[s.y_mm for s in wing.stations], [s.leading_edge_mm for s in wing.stations]]
    for inner, outer in pairwise(sorted(ends)):
        bent = [part for part in parts if part.y_inner_mm <= inner and outer <= part.y_outer_mm]
        place = []
        for y in (inner, outer):
            chord, foil = wing.chord_at_mm(y), _PLATE
            for part in bent:
                foil = _PLATE.add_control_surface(
                    deflection=angles[part.name], hinge_point_x=1 - float(part.chord_at_mm(y)) / chord
                )
            edge = [np.interp(y, *ahead) / 1000, y / 1000, 0]
            place.append(asb.WingXSec(xyz_le=edge, chord=chord / 1000, airfoil=foil))
        pieces.append(_wing(place, f"wing {inner}"))
    return pieces


def _tail(airframe: Airframe, elevator_deg: float):
    aircraft, tail = airframe.aircraft, airframe.aircraft.tail
    part = aircraft.surface(airframe.pitch_names[0])
    bent = _PLATE.add_control_surface(
        deflection=elevator_deg, hinge_point_x=1 - part.chord_mm / tail.chord_mm
    )
    back = (aircraft.cg_mm + tail.arm_mm - tail.chord_mm / 4) / 1000
    lean, above, pieces = np.radians(tail.dihedral_deg), 0.25 * airframe.wing.mean_chord_m, []
    reach, half = part.y_outer_mm / 1000, tail.span_mm / 2000
    for inner, outer in pairwise(sorted({0.0, min(reach, half), half})):
        place = [
            asb.WingXSec(
                xyz_le=[back, y * np.cos(lean), above + y * np.sin(lean)],
                chord=tail.chord_mm / 1000,
                airfoil=bent if inner < reach - 1e-6 and elevator_deg else _PLATE,
            )
            for y in (inner, outer)
        ]
        pieces.append(_wing(place, f"tail {inner}"))
    return pieces


def _plane(airframe: Airframe, elevator_deg=0.0, with_tail=True, angles=None):
    return asb.Airplane(
        wings=_main(airframe, angles or {}) + (_tail(airframe, elevator_deg) if with_tail else []),
        s_ref=airframe.wing.area_m2,
        b_ref=airframe.wing.span_m,
        c_ref=airframe.wing.mean_chord_m,
        xyz_ref=[airframe.aircraft.cg_mm / 1000, 0, 0],
    )


def _run(plane, alpha_deg, spanwise, chordwise):
    flow = asb.OperatingPoint(velocity=SPEED_M_S, alpha=alpha_deg)
    method = asb.VortexLatticeMethod(
        plane, flow, spanwise_resolution=spanwise, chordwise_resolution=chordwise
    )
    return method, method.run()


def _derivatives(airframe, spanwise, chordwise, angles=None):
    """(CL, Cm) per rad of incidence, per rad of elevator, and for the angles."""
    size = spanwise, chordwise
    low, high = (_run(_plane(airframe), alpha, *size)[1] for alpha in (0.0, 2.0))
    # Where the camber line is bent it takes more panels along the chord.
    bends = [{}, {"elevator_deg": 3.0}] + ([{"angles": angles}] if angles else [])
    straight, *bent = (_run(_plane(airframe, **bend), 0.0, spanwise, 2 * chordwise)[1] for bend in bends)
    both = np.array([[run["CL"], run["Cm"]] for run in (low, high, straight, *bent)], float)
    steps = [(both[1] - both[0]) / np.radians(2.0), (both[3] - both[2]) / np.radians(3.0)]
    return (*steps, both[4] - both[2]) if angles else tuple(steps)


def pitch_by_lattice(airframe: Airframe, spanwise=8, chordwise=6) -> Pitch:
    """Neutral point aft of the root's leading edge, elevator power, d(downwash)/d(incidence)."""
    per_alpha, per_elevator = _derivatives(airframe, spanwise, chordwise)
    chord, tail = airframe.wing.mean_chord_m, airframe.aircraft.tail
    alone, _ = _run(_plane(airframe, with_tail=False), 2.0, spanwise, chordwise)
    strips = airframe.tail.strips
    up = 0.25 * chord + np.abs(strips.y_m) * np.sin(np.radians(tail.dihedral_deg))
    back = np.full(up.shape, (airframe.aircraft.cg_mm + tail.arm_mm) / 1000)
    places = np.stack([back, strips.y_m * airframe.tail.lean, up], axis=-1)
    push = alone.get_induced_velocity_at_points(places)[:, 2]
    return Pitch(
        neutral_mm=float(airframe.aircraft.cg_mm - 1000 * chord * per_alpha[1] / per_alpha[0]),
        power_per_rad=float(per_elevator[1]),
        downwash=float(-(push @ strips.width_m) / strips.width_m.sum() / SPEED_M_S / np.radians(2.0)),
        lift_slope=float(per_alpha[0]),
    )


def elevator_by_lattice(airframe: Airframe, angles, spanwise=8, chordwise=6) -> tuple[float, float]:
    """Elevator in deg that the angles need at one speed, and that one more of lift coefficient needs."""
    per_alpha, per_elevator, added = _derivatives(airframe, spanwise, chordwise, angles)
    matrix = np.array([per_alpha, per_elevator]).T
    flapped, lifted = np.linalg.solve(matrix, -added), np.linalg.solve(matrix, [1.0, 0.0])
    return float(np.degrees(flapped[1])), float(np.degrees(lifted[1]))
