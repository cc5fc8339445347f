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


def _plane(airframe: Airframe, elevator_deg: float, with_tail=True):
    aircraft = airframe.aircraft
    main = _wing(
        [
            asb.WingXSec(
                xyz_le=[s.leading_edge_mm / 1000, s.y_mm / 1000, 0], chord=s.chord_mm / 1000, airfoil=_PLATE
            )
            for s in aircraft.wing.stations
        ],
        "wing",
    )
    wings = [main]
    if with_tail:
        tail, part = aircraft.tail, aircraft.surface(airframe.pitch_names[0])
        chord = tail.chord_mm / 1000
        hinge = 1 - part.chord_mm / tail.chord_mm
        bent = _PLATE.add_control_surface(deflection=elevator_deg, hinge_point_x=hinge)
        back = (aircraft.cg_mm + tail.arm_mm) / 1000 - chord / 4
        half, lean = tail.span_mm / 2000, np.radians(tail.dihedral_deg)
        above = 0.25 * airframe.wing.mean_chord_m
        ends = sorted({0.0, min(part.y_outer_mm / 1000, half), half})
        for inner, outer in pairwise(ends):
            foil = bent if inner < part.y_outer_mm / 1000 - 1e-6 else _PLATE
            place = [
                asb.WingXSec(
                    xyz_le=[back, y * np.cos(lean), above + y * np.sin(lean)], chord=chord, airfoil=foil
                )
                for y in (inner, outer)
            ]
            wings.append(_wing(place, f"tail {inner}"))
    return asb.Airplane(
        wings=wings,
        s_ref=airframe.wing.area_m2,
        b_ref=airframe.wing.span_m,
        c_ref=airframe.wing.mean_chord_m,
        xyz_ref=[aircraft.cg_mm / 1000, 0, 0],
    )


def _run(plane, alpha_deg, spanwise, chordwise):
    flow = asb.OperatingPoint(velocity=SPEED_M_S, alpha=alpha_deg)
    method = asb.VortexLatticeMethod(
        plane, flow, spanwise_resolution=spanwise, chordwise_resolution=chordwise
    )
    return method, method.run()


def pitch_by_lattice(airframe: Airframe, spanwise=10, chordwise=10) -> Pitch:
    """Neutral point aft of the root's leading edge, elevator power, d(downwash)/d(incidence)."""
    low, high = (_run(_plane(airframe, 0.0), alpha, spanwise, chordwise)[1] for alpha in (0.0, 2.0))
    bent = _run(_plane(airframe, 3.0), 0.0, spanwise, 2 * chordwise)[1]
    straight = _run(_plane(airframe, 0.0), 0.0, spanwise, 2 * chordwise)[1]
    lift, moment = high["CL"] - low["CL"], high["Cm"] - low["Cm"]
    chord, aircraft = airframe.wing.mean_chord_m, airframe.aircraft
    alone, _ = _run(_plane(airframe, 0.0, with_tail=False), 2.0, spanwise, chordwise)
    strips = airframe.tail.strips
    across = strips.y_m * airframe.tail.lean
    up = 0.25 * chord + np.abs(strips.y_m) * np.sin(np.radians(aircraft.tail.dihedral_deg))
    back = np.full(across.shape, (aircraft.cg_mm + aircraft.tail.arm_mm) / 1000)
    push = alone.get_induced_velocity_at_points(np.stack([back, across, up], axis=-1))[:, 2]
    downwash = -(push @ strips.width_m) / strips.width_m.sum() / SPEED_M_S / np.radians(2.0)
    return Pitch(
        neutral_mm=float(aircraft.cg_mm - 1000 * chord * moment / lift),
        power_per_rad=float((bent["Cm"] - straight["Cm"]) / np.radians(3.0)),
        downwash=float(downwash),
        lift_slope=float(lift / np.radians(2.0)),
    )
