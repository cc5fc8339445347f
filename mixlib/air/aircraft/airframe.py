"""The whole aircraft for the air model: wing, tail, and what the wing does to the air at the tail.

The tail flies in air that the wing has pushed down.  How far down depends on where along the span the lift is
made: flaps on the inner wing push the air at the tail down more than the same lift spread evenly, so the nose
goes up although the wing alone would put it down.  The wing's own trailing vortices give this without a rule
of thumb.

The tail's lift and moment are those of a section that is turbulent from near its nose, whatever its skin; its
drag is that of the skin.  A smooth thin section in still air hardly answers to a degree or two of elevator at
these Reynolds numbers, for a bubble of laminar flow hides it; the disturbed air, the hinge line and the edges
of a real tail do not let it (judgement, no source).

Left out: the body's own moment, propeller and motor, the slowing of the air at the tail, and the
rolling-up of the wing's wake, which is taken to pass a quarter of the wing's chord above or below the middle
of the tail.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import ArrayLike

from mixlib.air.aircraft.glide import Air
from mixlib.air.section import table as section
from mixlib.air.wing.lifting_line import WingResult, section_curves, solve
from mixlib.air.wing.strips import Strips, of_tail, of_wing
from mixlib.describe import Aircraft
from mixlib.describe.aircraft import Tail

__all__ = ["Airframe", "TailForces", "TailPlane", "downwash_matrix", "drag_band"]

_WAKE_HEIGHT_CHORDS = 0.25
_FIN_SECTION = "symmetrical"
_TAIL_LIFTS_LIKE = "foam"


@dataclass(frozen=True)
class TailForces:
    """Tail forces of leading shape (...), referred to the wing's area and mean chord.

    Attributes
    ----------
    lift, pitch : numpy.ndarray
        Force and moment coefficients; pitch is about the balance point, nose up +.
    circulation_m : numpy.ndarray or None
        Circulation over speed of the tail's strips, a start for a nearby solution; None without a tail.
    """

    lift: np.ndarray
    pitch: np.ndarray
    downwash_deg: np.ndarray
    circulation_m: np.ndarray | None
    _drags: Callable[[], tuple[np.ndarray, np.ndarray, np.ndarray]]

    @cached_property
    def drags(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Drag coefficient to expect, the lowest and the highest; worked out when first asked for."""
        return self._drags()


@dataclass(frozen=True)
class TailPlane:
    """A tail in the wing's downwash.

    Attributes
    ----------
    downwash : numpy.ndarray
        Downwash angle in rad at each of its strips for a circulation over speed of 1 m on each wing strip.
    """

    described: Tail
    strips: Strips
    downwash: np.ndarray

    @property
    def lean(self) -> float:
        """Cosine of its dihedral (dimensionless)."""
        return float(np.cos(np.radians(self.described.dihedral_deg)))

    def downwash_deg(self, circulation_m: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Downwash at each strip for the wing's circulation over speed, and its mean over the span."""
        down = np.degrees(circulation_m @ self.downwash.T)
        return down, down @ self.strips.width_m / self.strips.width_m.sum()

    def half(self) -> TailPlane:
        """Its right half, in the downwash of the right half of the wing that stands for both."""
        middle, wing_middle = len(self.strips.y_m) // 2, self.downwash.shape[1] // 2
        right, left = self.downwash[middle:, wing_middle:], self.downwash[middle:, :wing_middle]
        return replace(self, strips=self.strips.half(), downwash=right + left[:, ::-1])


@dataclass(frozen=True)
class Airframe:
    """An aircraft ready to be flown by the air model; made by `from_aircraft`.

    Attributes
    ----------
    pitch_names : tuple of str
        The surfaces that trim: elevators and V-tail halves, or elevons without them.
    finish : str
        What its skin is like: smooth or foam.
    right_half : Airframe or None
        The same with the right half of wing and tail standing for both, which is faster; None if this is it.
    """

    aircraft: Aircraft
    wing: Strips
    tail: TailPlane | None
    pitch_names: tuple[str, ...]
    finish: str = "smooth"
    right_half: Airframe | None = None

    @classmethod
    @lru_cache(maxsize=16)
    def from_aircraft(cls, aircraft: Aircraft) -> Airframe:
        """Cut an aircraft into strips.

        Raises
        ------
        ValueError
            If two surfaces lie in the same place, or nothing can trim the aircraft.
        """
        main, tail = of_wing(aircraft.wing, aircraft.surfaces), None
        if aircraft.tail is not None:
            strips = of_tail(aircraft.tail, aircraft.surfaces)
            back = (aircraft.cg_mm + aircraft.tail.arm_mm) / 1000
            lean = np.radians(aircraft.tail.dihedral_deg)
            above = _WAKE_HEIGHT_CHORDS * main.mean_chord_m + np.abs(strips.y_m) * np.sin(lean)
            downwash = downwash_matrix(main, back, strips.y_m * np.cos(lean), above)
            tail = TailPlane(aircraft.tail, strips, downwash)
        trims = [s.name for s in aircraft.surfaces if s.part == "tail" and s.kind in ("elevator", "v-tail")]
        trims = trims or [s.name for s in aircraft.surfaces if s.part == "wing" and s.kind == "elevon"]
        if not trims:
            raise ValueError(
                f"{aircraft.name} has no elevator, V-tail or elevon, so nothing can trim it; add one"
            )
        whole = cls(aircraft, main, tail, tuple(trims), aircraft.finish)
        return replace(whole, right_half=replace(whole, wing=main.half(), tail=tail and tail.half()))

    def with_finish(self, finish: str) -> Airframe:
        """The same aircraft with another skin, smooth or foam."""
        half = self.right_half and replace(self.right_half, finish=finish)
        return replace(self, finish=finish, right_half=half)

    def for_angles(self, angles_deg: np.ndarray) -> Airframe:
        """The half that stands for both where surfaces stand alike left and right, else the whole."""
        if self.right_half is None:
            return self
        alike = self.wing.alike(angles_deg) and (self.tail is None or self.tail.strips.alike(angles_deg))
        return self.right_half if alike else self

    @property
    def names(self) -> tuple[str, ...]:
        """Surfaces in the aircraft's order; the last axis of every angle array."""
        return self.aircraft.surface_names

    @property
    def pitch_mask(self) -> np.ndarray:
        """1 for each surface that trims, 0 for the others (dimensionless); shape (surfaces,)."""
        return np.array([1.0 if name in self.pitch_names else 0.0 for name in self.names])

    def elevator_range_deg(self, angles_deg: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """How far the trimming surfaces can go from where they are set until the first meets its stop.

        Parameters
        ----------
        angles_deg : numpy.ndarray, shape (..., surfaces)
            Angles of all surfaces as set.

        Returns
        -------
        tuple of numpy.ndarray, shape (...)
            Lowest and highest movement, trailing edge down +.
        """
        parts = [self.aircraft.surface(name) for name in self.pitch_names]
        own = angles_deg[..., [self.names.index(name) for name in self.pitch_names]]
        lowest = np.max([-part.stop_up_deg for part in parts] - own, axis=-1)
        highest = np.min([part.stop_down_deg for part in parts] - own, axis=-1)
        return lowest, np.maximum(highest, lowest)

    def angles_deg(self, angles: Mapping[str, ArrayLike] | None = None) -> np.ndarray:
        """Surface angles by name as an array.

        Parameters
        ----------
        angles : mapping of str to array_like, optional
            Angle of surfaces in deg, trailing edge down +; those not named stand at 0.  Arrays broadcast.

        Returns
        -------
        numpy.ndarray, shape (..., surfaces)
            In the order of `names`.

        Raises
        ------
        ValueError
            If a name is not a surface of this aircraft, or an angle is not within +-90 deg.
        """
        angles = angles or {}
        for name, value in angles.items():
            if name not in self.names:
                raise ValueError(f"no surface is called {name!r}; this aircraft has {', '.join(self.names)}")
            if not np.all(np.abs(np.asarray(value, float)) <= 90):
                raise ValueError(f"the angle of {name} is {np.asarray(value)}; give -90 to 90 deg")
        columns = [np.asarray(angles.get(name, 0.0), float) for name in self.names]
        return np.stack(np.broadcast_arrays(*columns), axis=-1)

    def wing_curves(self, angles_deg: np.ndarray, speed_m_s: ArrayLike, air: Air) -> section.Curves:
        """Sections of the wing with its surfaces set.

        Parameters
        ----------
        angles_deg : numpy.ndarray, shape (..., surfaces)
            Angles of all surfaces.
        """
        return section_curves(self.wing, angles_deg, speed_m_s, air.viscosity_m2_s, self.finish)

    def wing_pitch(self, solved: WingResult) -> np.ndarray:
        """Pitching moment coefficient of the wing about the balance point, on area and mean chord."""
        arm = (self.aircraft.cg_mm / 1000 - self.wing.reference_m) / self.wing.mean_chord_m
        alpha = np.radians(solved.alpha_deg)
        return solved.pitch + arm * (solved.lift * np.cos(alpha) + solved.drag * np.sin(alpha))

    def tail_forces(
        self,
        solved: WingResult,
        angles_deg: np.ndarray,
        speed_m_s: ArrayLike,
        air: Air,
        start_m: np.ndarray | None = None,
    ) -> TailForces:
        """Forces of the tail behind a solved wing, on the wing's area and mean chord; nothing without a tail.

        Parameters
        ----------
        angles_deg : numpy.ndarray, shape (..., surfaces)
            Angles of all surfaces.
        start_m : numpy.ndarray, optional
            Circulation over speed of the tail's strips to start from.
        """
        if self.tail is None:
            nothing = np.zeros(np.broadcast_shapes(solved.lift.shape, angles_deg.shape[:-1]))
            return TailForces(nothing, nothing, nothing, None, lambda: (nothing, nothing, nothing))
        strips, described = self.tail.strips, self.tail.described
        down, mean_down = self.tail.downwash_deg(solved.circulation_m)
        local = solved.alpha_deg[..., None] + described.incidence_deg - down
        curves = section_curves(strips, angles_deg, speed_m_s, air.viscosity_m2_s, _TAIL_LIFTS_LIKE)
        own = solve(strips, curves, np.zeros(local.shape[:-1]), local_deg=local, start_m=start_m)
        share = strips.area_m2 / self.wing.area_m2
        lift = own.lift * share
        tilted = lift * np.radians(mean_down)
        moment = own.pitch * share * strips.mean_chord_m / self.wing.mean_chord_m

        def drags() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
            forces = own.sections
            if self.finish != _TAIL_LIFTS_LIKE:
                skin = section_curves(strips, angles_deg, speed_m_s, air.viscosity_m2_s, self.finish)
                forces = skin.evaluate(own.incidence_deg)
            low, high = drag_band(strips, forces, angles_deg)
            profile = forces.cd @ strips.area_share
            with_profile = [(own.induced_drag + each) * share + tilted for each in (profile, low, high)]
            return with_profile[0], with_profile[1], with_profile[2]

        return TailForces(
            lift=lift,
            pitch=moment - lift * (described.arm_mm / 1000 / self.wing.mean_chord_m),
            downwash_deg=mean_down,
            circulation_m=own.circulation_m,
            _drags=drags,
        )

    def other_drag(self, speed_m_s: np.ndarray, air: Air) -> np.ndarray:
        """Drag coefficient of the fin and of all that is neither wing nor tail, on the wing's area."""
        body = self.aircraft.body_drag_area_cm2 / 1e4 / self.wing.area_m2
        fin = self.aircraft.fin
        if fin is None:
            return np.full(speed_m_s.shape, body)
        reynolds = speed_m_s * fin.chord_mm / 1000 / air.viscosity_m2_s
        drag = section.coefficients(_FIN_SECTION, 0.0, 0.0, reynolds, 0.25, self.finish).cd
        return body + drag * (fin.height_mm * fin.chord_mm / 1e6 / self.wing.area_m2)


def drag_band(
    part: Strips, forces: section.SectionResult, angles_deg: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Lowest and highest profile drag coefficient to expect of a wing or tail, shape (...).

    Parameters
    ----------
    angles_deg : numpy.ndarray, shape (..., surfaces)
        Angles of all surfaces of the aircraft.
    """
    low, high = section.drag_band(forces, part.surface_angles_deg(angles_deg), part.chord_ratio)
    return low @ part.area_share, high @ part.area_share


def downwash_matrix(main: Strips, back_m: float, across_m: ArrayLike, above_m: ArrayLike) -> np.ndarray:
    """Downwash angle behind a wing for the circulation of each of its strips.

    Law of Biot and Savart for the bound piece and the two trailing vortices of every strip, which run
    straight back.  Far behind, on the wake, it is twice the downwash at the wing, so an elliptic wing gives
    ``d(downwash)/d(incidence) = 4 / (AR + 2)``.

    Parameters
    ----------
    back_m : float
        Place aft of the wing's root leading edge.
    across_m : array_like, shape (m,)
        Places across the span, right +.
    above_m : array_like, shape (m,)
        Heights above or below the wake; more than 0 keeps clear of the vortices' cores.

    Returns
    -------
    numpy.ndarray, shape (m, n)
        rad for a circulation over speed of 1 m.
    """
    x = back_m - main.quarter_chord_m
    left = np.asarray(across_m, float)[:, None] - main.edge_m[:-1]
    right = np.asarray(across_m, float)[:, None] - main.edge_m[1:]
    above = np.broadcast_to(np.asarray(above_m, float), left.shape[:1])[:, None]

    def trailing(y):
        distance = np.sqrt(x**2 + y**2 + above**2)
        return y / (y**2 + above**2) * (1 + x / distance), y / distance

    trail_left, end_left = trailing(left)
    trail_right, end_right = trailing(right)
    bound = x / (x**2 + above**2) * (end_left - end_right)
    return (trail_left - trail_right + bound) / (4 * np.pi)
