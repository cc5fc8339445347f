"""Non-linear lifting line: how the lift spreads over a wing whose sections, twist and surfaces vary.

Each strip's section works at its own incidence: the wing's, plus its twist, plus what a roll adds, less the
downwash that all the other strips' lift makes.  The section then gives lift, and the lift gives the downwash;
the two are brought into agreement by Newton's method, for many incidences and settings at once.

Method: L. Prandtl's lifting line in the discrete form that W. F. Phillips and D. O. Snyder describe
("Modern adaptation of Prandtl's classic lifting-line theory", Journal of Aircraft 37, 2000), straight
bound vortex, flat wake. What the line leaves out of a lifting surface is put in as a loss of incidence
(`Strips.curving`, `Strips.roll_felt`). Past the stall a section's lift falls with incidence and the equations
have many answers that jump from strip to strip. There a diffusion of the circulation over a fraction of a
chord is added, an idea of J.-J. Chattot ("Analysis and design of wings and wing/winglet combinations at low
speeds", 2004, from memory); a section that still gains lift gets none, so attached flow is not touched by
it.

Limits: no sweep effect (take care above about 15 deg of sweep), an aspect ratio above about 5,
steady flow, small angles between flight path and roll helix.  Signs and axes as in `mixlib.units`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike

from mixlib.air.section import table as section
from mixlib.air.wing.strips import Strips
from mixlib.units import SEA_LEVEL_VISCOSITY_M2_S

__all__ = ["Lifts", "Sections", "WingResult", "section_curves", "solve"]

_STEPS = 40
_TOLERANCE = 1e-6
_ACCEPTED = 1e-4
_SLIVER = 0.01
_LARGEST_STEP_DEG = 15.0
_STEEPEST_FALL = 12.0
_FALL_PAST_STALL = 4.0
# The diffusion length must exceed (chord x falling slope / 16); twice that square is used.
_DIFFUSION = 2 / 256


class Lifts(Protocol):
    """Lift of all strips with the surfaces as set; `mixlib.air.section.table.Lifts` is the real one."""

    @property
    def alpha_stall_deg(self) -> np.ndarray:
        """Incidence of each section's stall."""

    def lift(self, alpha_deg: ArrayLike, /) -> tuple[np.ndarray, np.ndarray]:
        """Lift coefficient at incidences of shape (..., n), and its slope per rad."""

    def rows(self, shape: tuple[int, ...], chosen: np.ndarray | slice, /) -> Lifts:
        """Some rows of the sections spread to a shape."""


class Sections(Lifts, Protocol):
    """The same with drag and moment; `mixlib.air.section.table.Curves` is the real one."""

    def evaluate(self, alpha_deg: ArrayLike, /) -> section.SectionResult:
        """Lift, drag, moment and origin at incidences of shape (..., n)."""


@dataclass(frozen=True)
class WingResult:
    """Forces of a wing and where along the span they come from.

    Every array has the leading shape of the inputs; span arrays have the strips as a last axis, left tip
    first.  Coefficients refer to the wing's area, span and mean aerodynamic chord, and to flight-path axes.

    Attributes
    ----------
    alpha_deg : ndarray
        Incidence of the root, as asked.
    lift, induced_drag, profile_drag : ndarray
        Force coefficients; with a roll rate the induced drag includes the lift tilted by the roll.
    roll, yaw, pitch : ndarray
        Moment coefficients; right wing down, nose right and nose up are positive; pitch is about the quarter
        point of the mean aerodynamic chord.
    circulation_m : ndarray
        Circulation over speed along the span, m.
    incidence_deg : ndarray
        What each section meets, downwash taken off.
    sections : mixlib.air.section.table.SectionResult
        Section coefficients along the span, and where they come from.
    margin_deg : ndarray
        Incidence that each section has left to its stall; negative where it is past it.
    stalled : ndarray
        Share of the wing's area that is past its stall, 0 to 1.
    converged : ndarray of bool
        Whether lift and downwash agree; if not, the numbers are the nearest found and only a rough guide.
    """

    alpha_deg: np.ndarray
    lift: np.ndarray
    induced_drag: np.ndarray
    profile_drag: np.ndarray
    roll: np.ndarray
    yaw: np.ndarray
    pitch: np.ndarray
    strips: Strips
    circulation_m: np.ndarray
    incidence_deg: np.ndarray
    sections: section.SectionResult
    margin_deg: np.ndarray
    stalled: np.ndarray
    converged: np.ndarray

    @property
    def drag(self) -> np.ndarray:
        """Induced and profile drag coefficient together."""
        return self.induced_drag + self.profile_drag

    @property
    def first_to_stall(self) -> tuple[np.ndarray, np.ndarray]:
        """Place of the wing that stalls first, m from the middle, right +; and its `margin_deg`."""
        order = np.argsort(self.margin_deg, axis=-1)
        # A sliver at the end of a surface may stall alone and mean nothing: a hundredth of the area counts.
        enough = np.argmax(np.cumsum(self.strips.area_share[order], axis=-1) >= _SLIVER, axis=-1)
        strip = np.take_along_axis(order, enough[..., None], axis=-1)
        return self.strips.y_m[strip[..., 0]], np.take_along_axis(self.margin_deg, strip, axis=-1)[..., 0]

    @property
    def table_share(self) -> np.ndarray:
        """Share of the wing's area whose section data come from the table, 0 to 1."""
        return self.sections.origin @ self.strips.area_share


def section_curves(
    strips: Strips,
    angles_deg: ArrayLike,
    speed_m_s: ArrayLike,
    viscosity_m2_s: float = SEA_LEVEL_VISCOSITY_M2_S,
    finish: str = "smooth",
) -> section.Curves:
    """Look up the sections of a wing with its surfaces set.

    Parameters
    ----------
    angles_deg : array_like, shape (..., surfaces)
        Angle of each of the aircraft's surfaces, trailing edge down +; beyond 60 deg it counts as 60.
    speed_m_s : array_like, shape (...)
        Flight speed, which with the kinematic viscosity gives the Reynolds number of each chord.
    finish : str
        Out of `mixlib.air.section.shapes.FINISHES`.

    Returns
    -------
    mixlib.air.section.table.Curves
        Curves of shape (..., n).
    """
    reynolds = np.asarray(speed_m_s, float)[..., None] * strips.chord_m / viscosity_m2_s
    # Angles that were only spread over an axis are looked up once for it.
    angles = np.asarray(angles_deg, float)
    angles = angles[tuple(slice(None if step else 1) for step in angles.strides[:-1])]
    mixed = strips.inner_section != strips.outer_section
    return section.curves(
        strips.inner_section,
        strips.surface_angles_deg(angles),
        reynolds,
        strips.chord_ratio,
        strips.outer_section if mixed else None,
        strips.outer_share if mixed else 0.0,
        finish,
    )


def solve(
    strips: Strips,
    curves: Sections,
    alpha_deg: ArrayLike,
    helix: ArrayLike = 0.0,
    local_deg: ArrayLike = 0.0,
    start_m: np.ndarray | None = None,
    steps: int = _STEPS,
) -> WingResult:
    """Find the lift along the span and the forces of the wing.

    Parameters
    ----------
    alpha_deg : array_like, shape (...)
        Incidence of the wing's root, any value; beyond about 25 deg only the order of size is right.
    helix : array_like, shape (...)
        Roll helix angle pb/2V, rad, right wing going down +.
    local_deg : array_like, shape (..., n)
        Extra incidence along the span of air that comes from below, such as a gust.
    start_m : ndarray, shape (..., n), optional
        Circulation over speed to start from, m, such as that of a nearby solution.
    steps : int
        Most steps of the iteration; fewer than the default gives up early, for a first look.

    Raises
    ------
    ValueError
        If a mirrored half is asked to roll.
    """
    alpha, helix = (np.asarray(value, float) for value in (alpha_deg, helix))
    if strips.mirrored and np.any(helix):
        raise ValueError("a half that stands for both cannot roll; give the strips of the whole wing")
    roll_rad = helix[..., None] * (2 * strips.y_m / strips.span_m)
    # Incidence of each strip without the downwash.
    turning = strips.roll_felt * np.degrees(roll_rad)
    facing = strips.lean * (alpha[..., None] + np.asarray(local_deg, float)) + strips.twist_deg + turning
    stall = np.asarray(curves.alpha_stall_deg, float)
    shape = np.broadcast_shapes(facing.shape, stall.shape, () if start_m is None else start_m.shape)
    facing = np.broadcast_to(facing, shape)

    start = _first_guess(strips, curves, facing) if start_m is None else np.broadcast_to(start_m, shape)
    circulation, error = _newton(strips, curves, facing, start, steps)
    if steps == _STEPS and np.any(error > _ACCEPTED):
        # From the attached side no answer was found for some: try again from the stalled side.
        start = strips.chord_m / 2 * curves.lift(facing - 2.0 * np.sign(facing))[0]
        left = np.flatnonzero(error.reshape(-1) > _ACCEPTED)
        open_facing, open_start = (rows.reshape(-1, shape[-1])[left] for rows in (facing, start))
        again, error_again = _newton(strips, curves.rows(shape, left), open_facing, open_start, steps)
        circulation, error = circulation.reshape(-1, shape[-1]), error.reshape(-1)
        circulation[left] = np.where((error_again < error[left])[:, None], again, circulation[left])
        error[left] = np.minimum(error[left], error_again)
        circulation, error = circulation.reshape(shape), error.reshape(shape[:-1])

    induced = circulation @ strips.influence.T
    incidence = facing - np.degrees(circulation @ strips.felt.T)
    forces = curves.evaluate(incidence)
    margin = stall - incidence
    chord, area = strips.chord_m, strips.area_m2
    width = strips.width_m * (2 if strips.mirrored else 1)
    leaning = np.zeros(len(chord)) if strips.mirrored else strips.y_m * width / (area * strips.span_m)
    backward = 2 * circulation * (induced - roll_rad)
    lift = 2 * circulation  # square to the strip
    moment = forces.cm * chord**2 - lift * (strips.quarter_chord_m - strips.reference_m)
    return WingResult(
        alpha_deg=np.broadcast_to(alpha, shape[:-1]),
        lift=lift @ (strips.lean * width) / area,
        induced_drag=backward @ width / area,
        profile_drag=(forces.cd * chord) @ width / area,
        roll=-lift @ leaning,
        yaw=(backward + forces.cd * chord) @ leaning,
        pitch=moment @ (strips.lean * width) / (area * strips.mean_chord_m),
        strips=strips,
        circulation_m=circulation,
        incidence_deg=incidence,
        sections=forces,
        margin_deg=margin,
        stalled=np.where(margin < 0, 1.0, 0.0) @ strips.area_share,
        converged=error < _ACCEPTED,
    )


def _first_guess(strips, curves, facing):
    """Lift at 0 deg and slope 2 pi, held short of the stall."""
    at_zero = np.broadcast_to(curves.lift(np.zeros(len(strips.y_m)))[0], facing.shape)
    lift = at_zero + 2 * np.pi * np.radians(np.clip(facing, -12.0, 12.0))
    matrix = np.eye(len(strips.y_m)) + (np.pi * strips.chord_m)[:, None] * strips.felt
    return (strips.chord_m / 2 * lift) @ np.linalg.inv(matrix).T


def _newton(strips, curves, facing, circulation, steps):
    """Bring lift and downwash into agreement; returns the circulation and the largest miss over the chord."""
    shape = facing.shape
    facing = facing.reshape(-1, shape[-1])
    best = circulation.reshape(facing.shape).copy()
    best_error = np.full(len(facing), np.inf)
    # Rows that are done leave the iteration, so that a few stalled ones do not hold up the others.
    rows = np.arange(len(facing))
    work = _Rows(strips, curves.rows(shape, slice(None)), facing, best)
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
    """Newton's method on rows of strips, each row a wing of its own."""

    def __init__(self, strips, curves, facing, circulation):
        self.strips, self.curves = strips, curves
        self.facing, self.circulation = facing, circulation
        self._step_size = np.ones(len(facing))
        self._last_error = np.full(len(facing), np.inf)
        self._fall = np.zeros(facing.shape)
        self._felt = strips.felt

    def miss(self):
        """Largest disagreement of each row over the chord; keeps what the next step needs."""
        half_chord = self.strips.chord_m / 2
        incidence = self.facing - np.degrees(self.circulation @ self._felt.T)
        lift, self._slope = self.curves.lift(incidence)
        # Diffusion once needed stays, so that the equations do not change under the iteration.
        falling = np.minimum(np.maximum(-self._slope, 0.0), _STEEPEST_FALL)
        past = incidence > self.curves.alpha_stall_deg
        np.maximum(self._fall, np.where(past, np.maximum(falling, _FALL_PAST_STALL), falling), out=self._fall)
        self._falls = np.flatnonzero(self._fall.any(axis=-1))
        self._miss = self.circulation - half_chord * lift
        if self._falls.size:
            self._spread = _diffusion(self.strips, self._fall[self._falls])
            self._miss[self._falls] -= (self._spread @ self.circulation[self._falls, :, None])[..., 0]
        error = np.max(np.abs(self._miss) / self.strips.chord_m, axis=-1)
        self._step_size = np.where(
            error < self._last_error,
            np.minimum(1.0, 1.6 * self._step_size),
            np.maximum(0.1, 0.5 * self._step_size),
        )
        self._last_error = error
        return error

    def step(self):
        """Move the circulation towards agreement, not further than the sections can follow."""
        chord = self.strips.chord_m
        matrix = (chord / 2 * self._slope)[..., None] * self._felt
        matrix += np.eye(len(chord))
        if self._falls.size:
            matrix[self._falls] -= self._spread
        step = np.linalg.solve(matrix, -self._miss[..., None])[..., 0]
        turn = np.degrees(np.max(np.abs(step @ self._felt.T), axis=-1))
        share = self._step_size * np.minimum(1.0, _LARGEST_STEP_DEG / np.maximum(turn, 1e-12))
        self.circulation = self.circulation + share[..., None] * step

    def taken(self, chosen, curves):
        """The chosen rows alone, with all that has been learnt about them."""
        fewer = _Rows(self.strips, curves, self.facing[chosen], self.circulation[chosen])
        for name in ("_step_size", "_last_error", "_fall", "_slope", "_miss"):
            setattr(fewer, name, getattr(self, name)[chosen])
        fewer._falls = np.flatnonzero(fewer._fall.any(axis=-1))
        if fewer._falls.size:
            fewer._spread = self._spread[chosen[self._falls]]
        return fewer


def _diffusion(strips, fall_per_rad):
    """Matrix of the diffusion of circulation for sections whose lift falls with incidence."""
    strength = _DIFFUSION * (strips.chord_m * fall_per_rad) ** 2
    ends = np.concatenate([strength[..., :1], strength, strength[..., -1:]], axis=-1)
    flow = (ends[..., 1:] + ends[..., :-1]) / 2 / strips.gap_m
    left, right = flow[..., :-1] / strips.width_m, flow[..., 1:] / strips.width_m
    n = len(strips.y_m)
    cells = np.zeros((*strength.shape[:-1], n * n))
    cells[..., :: n + 1] = -(left + right)
    cells[..., n :: n + 1] = left[..., 1:]
    cells[..., 1 :: n + 1] = right[..., :-1]
    return cells.reshape(*strength.shape, n)
