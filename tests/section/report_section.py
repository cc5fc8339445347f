"""Published value, ours and the difference for the section model; run it to print the table.

``python tests/section/report_section.py``. The published numbers are typed in here, never taken from the
code under test. Sources are named in each function.
"""

from __future__ import annotations

from typing import NamedTuple

import aerosandbox as asb
import neuralfoil as nf
import numpy as np

from mixlib.air.section import build as build_sections
from mixlib.air.section import table as section

HIGH_REYNOLDS = 500e3
"""Where a laminar bubble weakens small flap angles least."""


class Row(NamedTuple):
    """One line of the report; `ours` has one value for each section of `section.SHAPES`, or one alone."""

    what: str
    published: float
    ours: np.ndarray

    def ratio(self):
        return self.ours / self.published


def added(flap_deg, chord_ratio, alpha_deg=0.0, reynolds=HIGH_REYNOLDS):
    """Lift, drag and moment that a flap angle adds at constant incidence, last axis the four sections."""
    with_flap, without = (
        section.coefficients(section.SHAPES, alpha_deg, f, reynolds, chord_ratio) for f in (flap_deg, 0.0)
    )
    return with_flap.cl - without.cl, with_flap.cd - without.cd, with_flap.cm - without.cm


def thin_aerofoil():
    """Thin-aerofoil plain flap: Houghton & Carpenter, Aerodynamics for Engineering Students, 4.5.

    Ours: +-6 deg of flap, mean over incidences 0 to 6 deg.
    """
    published = {0.15: (3.019, -0.607), 0.20: (3.455, -0.640), 0.25: (3.826, -0.6495), 0.30: (4.152, -0.6416)}
    alpha = np.arange(7.0)[:, None]
    rows = []
    for ratio, (cl, cm) in published.items():
        down, up = added(6.0, ratio, alpha), added(-6.0, ratio, alpha)
        ours = [np.mean(d - u, axis=0) / np.radians(12.0) for d, u in zip(down, up, strict=True)]
        rows.append(Row(f"thin aerofoil, E {ratio:.2f}, lift per rad", cl, ours[0]))
        rows.append(Row(f"thin aerofoil, E {ratio:.2f}, moment per rad", cm, ours[2]))
    return rows


def lift_loss():
    """Lift of a plain flap at larger angles: Roskam, Airplane Design VI, fig. 8.13, K' times theory.

    The section factor (real over theoretical effectiveness, about 0.8 to 0.95, from memory) is left out.
    """
    published = {
        0.25: (3.826, {15: 0.980, 20: 0.854, 30: 0.642, 45: 0.543, 60: 0.482}),
        0.15: (3.019, {20: 0.890, 30: 0.693, 45: 0.590}),
    }
    return [
        Row(
            f"lift of flap, E {ratio:.2f}, {flap} deg", kept * slope * np.radians(flap), added(flap, ratio)[0]
        )
        for ratio, (slope, table) in published.items()
        for flap, kept in table.items()
    ]


def flap_drag(flap_deg):
    """Section drag of a plain flap, measured trend: Roskam, Airplane Design VI, fig. 4.44 (digitised)."""
    published = {
        15: {0.10: 0.0082, 0.20: 0.0174, 0.25: 0.0228, 0.30: 0.0299},
        60: {0.10: 0.0625, 0.20: 0.1353, 0.25: 0.1761, 0.30: 0.2196},
    }[flap_deg]
    return [
        Row(f"drag of flap, E {ratio:.2f}, {flap_deg} deg", value, added(flap_deg, ratio)[1])
        for ratio, value in published.items()
    ]


def stall_gain():
    """Gain of maximum lift, plain flap of a quarter chord at 60 deg: Raymer, Aircraft Design, table 12.2.

    The value was found quoted from Raymer; the table's number is from memory.
    """
    clean, flapped = (section.curves(section.SHAPES, flap, 200e3, 0.25).cl_max for flap in (0.0, 60.0))
    return [Row("gain of maximum lift, E 0.25, 60 deg", 0.9, flapped - clean)]


def past_stall():
    """NACA 0015 at 160 000, Sheldahl & Klimas, SAND80-2114 (1981); thickness matters little by then."""
    published = {
        30: (0.855, 0.57),
        45: (1.05, 1.075),
        60: (0.875, 1.47),
        90: (0.09, 1.80),
        135: (-0.93, 1.085),
    }
    rows = []
    for alpha, (cl, cd) in published.items():
        ours = section.coefficients("symmetrical", alpha, 0.0, 160e3, 0.25)
        rows.append(Row(f"past the stall, {alpha} deg, lift", cl, ours.cl))
        rows.append(Row(f"past the stall, {alpha} deg, drag", cd, ours.cd))
    return rows


def by_library(name, alpha_deg, flap_deg, reynolds, chord_ratio):
    """NeuralFoil by another way than the table's: AeroSandbox bends the shape, the standard network runs."""
    code = section.DESIGNATIONS[name].lower().replace(" ", "")
    shape = asb.Airfoil(code).repanel(n_points_per_side=100)
    bent = shape.add_control_surface(deflection=flap_deg, hinge_point_x=1.0 - chord_ratio)
    result = nf.get_aero_from_airfoil(bent, alpha_deg, reynolds, model_size="xlarge")
    return result["CL"], result["CD"], result["CM"], result["analysis_confidence"]


def off_grid(reference, shapes=section.SHAPES, draws=60, seed=20):
    """Differences from NeuralFoil at random points off the grid, where it is trusted and used alone.

    Returns
    -------
    numpy.ndarray
        Shape (3, points): absolute lift, relative drag, absolute moment.
    """
    random = np.random.default_rng(seed)
    found = []
    for _ in range(draws):
        for name in shapes:
            ratio, flap = random.uniform(0.15, 0.35), random.uniform(-20.0, 40.0)
            reynolds, alpha = np.exp(random.uniform(*np.log([50e3, 500e3]), 8)), random.uniform(-8.0, 16.0, 8)
            cl, cd, cm, confidence = reference(name, alpha, flap, reynolds, ratio)
            ours = section.coefficients(name, alpha, flap, reynolds, ratio)
            use = (confidence > 0.9) & (ours.origin > 0.99)
            found.append(np.abs([ours.cl - cl, (ours.cd - cd) / cd, ours.cm - cm])[:, use])
    return np.concatenate(found, axis=1)


def main() -> None:
    """Print the whole report."""
    rows = [*thin_aerofoil(), *lift_loss(), *flap_drag(15), *flap_drag(60), *stall_gain(), *past_stall()]
    print(f"{'':42s} published  ours (lowest to highest section)   difference")
    for row in rows:
        low, high = np.min(row.ours), np.max(row.ours)
        change = [100.0 * (value / row.published - 1.0) for value in (low, high)]
        spread = f"{low:9.4f} to {high:9.4f}   {change[0]:+6.0f} to {change[1]:+4.0f} %"
        print(f"{row.what:42s} {row.published:9.4f}  {spread}")
    for label, reference in (
        ("NeuralFoil as in the table", build_sections.section_by_network),
        ("NeuralFoil, other bend and network", by_library),
    ):
        found = off_grid(reference)
        for name, values in zip(("lift", "drag (relative)", "moment"), found, strict=True):
            print(
                f"{label}, {name}: median {np.median(values):.4f}, 95th percentile "
                f"{np.percentile(values, 95):.4f}, {values.size} points"
            )


if __name__ == "__main__":
    main()
