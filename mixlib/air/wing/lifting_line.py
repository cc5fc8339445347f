"""Non-linear lifting line: how the lift spreads over a wing whose sections, twist and surfaces vary.

Each panel's section works at its own incidence: the wing's, plus its twist, plus what a roll adds, less the
downwash that all the other panels' lift makes.  The section then gives lift, and the lift gives the downwash;
the two are brought into agreement by Newton's method, for many incidences and settings at once.

Method: L. Prandtl's lifting line in the discrete form that W. F. Phillips and D. O. Snyder describe
("Modern adaptation of Prandtl's classic lifting-line theory", Journal of Aircraft 37, 2000), straight
bound vortex, flat wake. Past the stall a section's lift falls with incidence and the equations have many
answers that jump from panel to panel. There a diffusion of the circulation over a fraction of a chord is
added, an idea of J.-J. Chattot ("Analysis and design of wings and wing/winglet combinations at low
speeds", 2004, from memory); a section that still gains lift gets none, so attached flow is not touched by
it.

Limits: no sweep effect (take care above about 15 deg of sweep), no dihedral, an aspect ratio above about 5,
steady flow, small angles between flight path and roll helix.  Signs and axes as in `mixlib.units`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mixlib.air.section import table as section
from mixlib.air.wing.strips import Panels

__all__ = ["AIR_VISCOSITY_M2_S", "WingResult", "section_curves", "solve"]

AIR_VISCOSITY_M2_S = 1.46e-5
"""Kinematic viscosity at sea level and 15 degC (ISO 2533)."""

_STEPS = 40
_TOLERANCE = 1e-6
_ACCEPTED = 1e-4
_SLIVER = 0.01
_LARGEST_STEP_DEG = 15.0
_STEEPEST_FALL = 12.0
_FALL_PAST_STALL = 4.0
# The diffusion length must exceed (chord x falling slope / 16); twice that square is used.
_DIFFUSION = 2 / 256


@dataclass(frozen=True)
class WingResult:
    """Forces of a wing and where along the span they come from.

    Every array has the leading shape of the inputs; span arrays have the panels as a last axis, left tip
    first.
    Coefficients refer to the wing's area, span and mean aerodynamic chord, and to flight-path axes.

    Attributes
    ----------
    alpha_deg, helix : ndarray
        Incidence of the root and roll helix angle pb/2V in rad, as asked.
    lift, induced_drag, profile_drag : ndarray
        Force coefficients; with a roll rate the induced drag includes the lift tilted by the roll.
    roll, yaw, pitch : ndarray
        Moment coefficients; right wing down, nose right and nose up are positive; pitch is about the quarter
        point of the mean aerodynamic chord.
    circulation_m : ndarray
        Circulation over speed along the span, m.
    section_lift, section_drag, section_moment : ndarray
        Section coefficients along the span.
    margin_deg : ndarray
        Degrees that each section has left to its stall; negative where it is past it.
    origin : ndarray
        Where the section data come from along the span: 1 table, 0 handbook, between blended.
    stalled : ndarray
        Share of the wing's area that is past its stall, 0 to 1.
    converged : ndarray of bool
        Whether lift and downwash agree; if not, the numbers are the nearest found and only a rough guide.
    """

    alpha_deg: np.ndarray
    helix: np.ndarray
    lift: np.ndarray
    induced_drag: np.ndarray
    profile_drag: np.ndarray
    roll: np.ndarray
    yaw: np.ndarray
    pitch: np.ndarray
    panels: Panels
    circulation_m: np.ndarray
    incidence_deg: np.ndarray
    induced_deg: np.ndarray
    section_lift: np.ndarray
    section_drag: np.ndarray
    section_moment: np.ndarray
    margin_deg: np.ndarray
    origin: np.ndarray
    stalled: np.ndarray
    converged: np.ndarray

    @property
    def drag(self) -> np.ndarray:
        """Induced and profile drag coefficient together."""
        return self.induced_drag + self.profile_drag

    @property
    def loading(self) -> np.ndarray:
        """Lift per span over its mean: 1 everywhere would be an even spread of the wing's area at CL 1."""
        return 2 * self.circulation_m * self.panels.span_m / self.panels.area_m2

    @property
    def first_to_stall_m(self) -> np.ndarray:
        """Place of the wing that stalls first, m from the middle, right +."""
        return self.panels.y_m[self._weakest()]

    @property
    def least_margin_deg(self) -> np.ndarray:
        """Degrees left until the first hundredth of the wing's area stalls; negative when it has."""
        return np.take_along_axis(self.margin_deg, self._weakest()[..., None], axis=-1)[..., 0]

    def _weakest(self):
        order = np.argsort(self.margin_deg, axis=-1)
        # A sliver at the end of a surface may stall alone and mean nothing: a hundredth of the area counts.
        enough = np.argmax(np.cumsum(self.panels.area_share[order], axis=-1) >= _SLIVER, axis=-1)
        return np.take_along_axis(order, enough[..., None], axis=-1)[..., 0]

    @property
    def handbook_share(self) -> np.ndarray:
        """Share of the wing's area whose section data are handbook values, 0 to 1."""
        return 1 - self.origin @ self.panels.area_share


def section_curves(panels, angles_deg, speed_m_s, viscosity_m2_s=AIR_VISCOSITY_M2_S):
    """Look up the sections of a wing with its surfaces set.

    Parameters
    ----------
    angles_deg : array_like, shape (..., number of surfaces)
        Angle of each of ``panels.surface_names``, trailing edge down +, deg; beyond 60 deg it counts as 60.
    speed_m_s : array_like, shape (...)
        Flight speed, m/s, for the Reynolds number of each chord.
    viscosity_m2_s : float
        Kinematic viscosity of the air, m^2/s.

    Returns
    -------
    mixlib.air.section.table.Curves
        Curves of shape (..., n).
    """
    reynolds = np.asarray(speed_m_s, float)[..., None] * panels.chord_m / viscosity_m2_s
    mixed = panels.inner_section != panels.outer_section
    return section.curves(
        np.array(panels.inner_section),
        panels.surface_angles(angles_deg),
        reynolds,
        panels.chord_ratio,
        np.array(panels.outer_section) if mixed else None,
        panels.outer_share if mixed else 0.0,
    )


def solve(panels, curves, alpha_deg, helix=0.0, local_deg=0.0, start_m=None, steps=_STEPS) -> WingResult:
    """Find the lift along the span and the forces of the wing.

    Parameters
    ----------
    curves : object
        Sections of all panels with the surfaces as set, as `section_curves` makes them:
        ``curves.lift(incidence_deg)`` takes an array of shape (..., n) and returns the lift and its slope per
        rad,
        ``curves.evaluate(incidence_deg)`` an object with arrays ``cl``, ``cd``, ``cm`` and ``origin``;
        ``curves.alpha_stall_deg`` broadcasts to (..., n).
    alpha_deg : array_like, shape (...)
        Incidence of the wing's root, deg, any value; beyond about 25 deg only the order of size is right.
    helix : array_like, shape (...)
        Roll helix angle pb/2V, rad, right wing going down +.
    local_deg : array_like, shape (..., n)
        Extra incidence along the span, deg, such as a gust or a warp.
    start_m : array_like, shape (..., n), optional
        Circulation over speed to start from, m, such as that of a nearby solution.
    steps : int
        Most steps of the iteration; fewer than the default gives up early, for a first look.

    Returns
    -------
    WingResult
        Forces, moments and their spread; `WingResult.converged` says where the answer is one.

    Raises
    ------
    ValueError
        If a mirrored half is asked to roll.
    """
    alpha, helix = (np.asarray(value, float) for value in (alpha_deg, helix))
    roll_rad = helix[..., None] * (2 * panels.y_m / panels.span_m)
    setting = alpha[..., None] + panels.twist_deg + np.degrees(roll_rad) + np.asarray(local_deg, float)
    if panels.mirrored and np.any(helix):
        raise ValueError("a half that stands for both cannot roll; give the panels of the whole wing")
    stall = np.asarray(curves.alpha_stall_deg, float)
    shape = np.broadcast_shapes(setting.shape, stall.shape, () if start_m is None else np.shape(start_m))
    setting = np.broadcast_to(setting, shape)

    start = _first_guess(panels, curves, setting) if start_m is None else np.broadcast_to(start_m, shape)
    circulation, error = _newton(panels, curves, setting, start, steps)
    if steps == _STEPS and np.any(error > _ACCEPTED):
        # From the attached side no answer was found for some: try again from the stalled side.
        start = panels.chord_m / 2 * curves.lift(setting - 2.0 * np.sign(setting))[0]
        left = np.flatnonzero(error.reshape(-1) > _ACCEPTED)
        fewer = curves.rows(shape, left)
        again, error_again = _newton(
            panels, fewer, *(a.reshape(-1, shape[-1])[left] for a in (setting, start)), steps
        )
        circulation, error = circulation.reshape(-1, shape[-1]), error.reshape(-1)
        circulation[left] = np.where((error_again < error[left])[:, None], again, circulation[left])
        error[left] = np.minimum(error[left], error_again)
        circulation, error = circulation.reshape(shape), error.reshape(shape[:-1])

    induced = circulation @ panels.influence.T
    incidence = setting - np.degrees(induced)
    forces = curves.evaluate(incidence)
    origin = np.broadcast_to(forces.origin, shape)
    margin = stall - incidence
    chord, area = panels.chord_m, panels.area_m2
    width = panels.width_m * (2 if panels.mirrored else 1)
    leaning = np.zeros(len(chord)) if panels.mirrored else panels.y_m * width / (area * panels.span_m)
    backward = 2 * circulation * (induced - np.broadcast_to(roll_rad, shape))
    lift = 2 * circulation
    moment = forces.cm * chord**2 - lift * (panels.quarter_chord_m - panels.reference_m)
    return WingResult(
        alpha_deg=np.broadcast_to(alpha, shape[:-1]),
        helix=np.broadcast_to(helix, shape[:-1]),
        lift=lift @ width / area,
        induced_drag=backward @ width / area,
        profile_drag=(forces.cd * chord) @ width / area,
        roll=-lift @ leaning,
        yaw=(backward + forces.cd * chord) @ leaning,
        pitch=moment @ width / (area * panels.mean_chord_m),
        panels=panels,
        circulation_m=circulation,
        incidence_deg=incidence,
        induced_deg=np.degrees(induced),
        section_lift=forces.cl,
        section_drag=forces.cd,
        section_moment=forces.cm,
        margin_deg=margin,
        origin=origin,
        stalled=np.where(margin < 0, 1.0, 0.0) @ panels.area_share,
        converged=error < _ACCEPTED,
    )


def _first_guess(panels, curves, setting):
    """Lift at 0 deg and slope 2 pi, held short of the stall."""
    at_zero = np.broadcast_to(curves.lift(np.zeros(len(panels.y_m)))[0], setting.shape)
    lift = at_zero + 2 * np.pi * np.radians(np.clip(setting, -12.0, 12.0))
    matrix = np.eye(len(panels.y_m)) + (np.pi * panels.chord_m)[:, None] * panels.influence
    return (panels.chord_m / 2 * lift) @ np.linalg.inv(matrix).T


def _newton(panels, curves, setting, circulation, steps):
    """Bring lift and downwash into agreement; returns the circulation and the largest miss over the chord."""
    shape = setting.shape
    setting = setting.reshape(-1, shape[-1])
    best = circulation.reshape(setting.shape).copy()
    best_error = np.full(len(setting), np.inf)
    # Rows that are done leave the iteration, so that a few stalled ones do not hold up the others.
    rows = np.arange(len(setting))
    work = _Rows(panels, curves.rows(shape, slice(None)), setting, best)
    for _ in range(steps):
        error = work.miss()
        better = error < best_error[rows]
        best[rows[better]] = work.circulation[better]
        best_error[rows] = np.minimum(best_error[rows], error)
        open_ones = best_error[rows] >= _TOLERANCE
        if not open_ones.any():
            break
        if open_ones.sum() <= 0.8 * len(rows):
            rows = rows[open_ones]
            work = work.taken(open_ones, curves.rows(shape, rows))
        work.step()
    return best.reshape(shape), best_error.reshape(shape[:-1])


class _Rows:
    """Newton's method on rows of panels, each row a wing of its own."""

    def __init__(self, panels, curves, setting, circulation):
        self.panels, self.curves = panels, curves
        self.setting, self.circulation = setting, circulation
        self._step_size = np.ones(len(setting))
        self._last_error = np.full(len(setting), np.inf)
        self._fall = np.zeros(setting.shape)
        self._per_degree = np.degrees(panels.influence)

    def miss(self):
        """Largest disagreement of each row over the chord; keeps what the next step needs."""
        half_chord = self.panels.chord_m / 2
        incidence = self.setting - self.circulation @ self._per_degree.T
        lift, self._slope = self.curves.lift(incidence)
        # Diffusion once needed stays, so that the equations do not change under the iteration.
        falling = np.clip(-self._slope, 0.0, _STEEPEST_FALL)
        past = incidence > self.curves.alpha_stall_deg
        self._fall = np.maximum(self._fall, np.where(past, np.maximum(falling, _FALL_PAST_STALL), falling))
        self._spread = _diffusion(self.panels, self._fall) if self._fall.any() else None
        self._miss = self.circulation - half_chord * lift
        if self._spread is not None:
            self._miss = self._miss - (self._spread @ self.circulation[..., None])[..., 0]
        error = np.max(np.abs(self._miss) / self.panels.chord_m, axis=-1)
        self._step_size = np.where(
            error < self._last_error,
            np.minimum(1.0, 1.6 * self._step_size),
            np.maximum(0.1, 0.5 * self._step_size),
        )
        self._last_error = error
        return error

    def step(self):
        """Move the circulation towards agreement, not further than the sections can follow."""
        chord = self.panels.chord_m
        matrix = np.eye(len(chord)) + (chord / 2 * self._slope)[..., None] * self.panels.influence
        if self._spread is not None:
            matrix = matrix - self._spread
        step = np.linalg.solve(matrix, -self._miss[..., None])[..., 0]
        turn = np.max(np.abs(step @ self._per_degree.T), axis=-1)
        share = self._step_size * np.minimum(1.0, _LARGEST_STEP_DEG / np.maximum(turn, 1e-12))
        self.circulation = self.circulation + share[..., None] * step

    def taken(self, chosen, curves):
        """The chosen rows alone, with all that has been learnt about them."""
        fewer = _Rows(self.panels, curves, self.setting[chosen], self.circulation[chosen])
        for name in ("_step_size", "_last_error", "_fall", "_slope", "_miss"):
            setattr(fewer, name, getattr(self, name)[chosen])
        fewer._spread = None if self._spread is None else self._spread[chosen]
        return fewer


def _diffusion(panels, fall_per_rad):
    """Matrix of the diffusion of circulation for sections whose lift falls with incidence."""
    strength = _DIFFUSION * (panels.chord_m * fall_per_rad) ** 2
    y, edge, width = panels.y_m, panels.edge_m, panels.width_m
    between = (strength[..., 1:] + strength[..., :-1]) / 2 / np.diff(y)
    # No circulation at the tips; at the middle of a mirrored half nothing flows across.
    inner = np.zeros_like(strength[..., :1]) if panels.mirrored else strength[..., :1] / (y[0] - edge[0])
    left = np.concatenate([inner, between], axis=-1)
    right = np.concatenate([between, strength[..., -1:] / (edge[-1] - y[-1])], axis=-1)
    n = len(y)
    matrix = np.zeros((*strength.shape, n))
    index = np.arange(n)
    matrix[..., index, index] = -(left + right) / width
    matrix[..., index[1:], index[:-1]] = left[..., 1:] / width[1:]
    matrix[..., index[:-1], index[1:]] = right[..., :-1] / width[:-1]
    return matrix
