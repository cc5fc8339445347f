"""The whole aircraft for the air model: wing, tail, and what the wing does to the air at the tail.

The tail flies in air that the wing has pushed down.  How far down depends on where along the span the lift is
made: flaps on the inner wing push the air at the tail down more than the same lift spread evenly, so the nose
goes up although the wing alone would put it down.  The wing's own trailing vortices give this without a rule
of thumb.

The tail's sections are taken at a Reynolds number of no less than 150 000, with the drag scaled to the true
one.  Below it a smooth section in still air hardly answers to a degree or two of elevator, for a bubble of
laminar flow hides it; the disturbed air, the hinge gap and the rough edges of a real tail do not let it
(judgement, no source).

Left out: the body's own moment, propeller and motor, dihedral, the slowing of the air at the tail, and the
rolling-up of the wing's wake, which is taken to pass a quarter of the wing's chord above or below the tail.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from mixlib.air.section import table as section
from mixlib.air.wing import lifting_line as wing
from mixlib.air.wing import strips as cut
from mixlib.describe import Aircraft

__all__ = ["Airframe", "TailForces", "downwash_matrix", "drag_band"]

_WAKE_HEIGHT_CHORDS = 0.25
_FIN_SECTION = "symmetrical"
_TAIL_REYNOLDS_LEAST = 1.5e5


@dataclass(frozen=True)
class TailForces:
    """Tail forces of leading shape (...), referred to the wing's area and mean chord.

    Attributes
    ----------
    lift, drag, pitch : numpy.ndarray
        Coefficients; pitch is about the balance point, nose up +.
    circulation_m : numpy.ndarray or None
        Circulation over speed of the tail's panels, a start for a nearby solution; None without a tail.
    """

    lift: np.ndarray
    drag: np.ndarray
    drag_low: np.ndarray
    drag_high: np.ndarray
    pitch: np.ndarray
    stalled: np.ndarray
    downwash_deg: np.ndarray
    circulation_m: np.ndarray | None


@dataclass(frozen=True)
class Airframe:
    """An aircraft ready to be flown by the air model; made by `from_aircraft`.

    Attributes
    ----------
    wing, tail : mixlib.air.wing.strips.Panels
        Wing and tail cut into panels; `tail` is None without one.
    downwash : numpy.ndarray or None
        Downwash angle in rad at each tail panel for a circulation over speed of 1 m on each wing panel.
    names : tuple of str
        Surfaces in the aircraft's order; the last axis of every angle array.
    pitch_names : tuple of str
        The surfaces that trim: elevators and V-tail halves, or elevons without them.
    right_half : Airframe or None
        The same with the right half of wing and tail standing for both, which is faster; None if this is it.
    """

    aircraft: Aircraft
    wing: cut.Panels
    tail: cut.Panels | None
    downwash: np.ndarray | None
    names: tuple[str, ...]
    pitch_names: tuple[str, ...]
    right_half: Airframe | None = None

    @classmethod
    def from_aircraft(cls, aircraft: Aircraft) -> Airframe:
        """Cut an aircraft into panels.

        Raises
        ------
        ValueError
            If two surfaces lie in the same place, or nothing can trim the aircraft.
        """
        main = cut.of_wing(aircraft.wing, aircraft.surfaces)
        tail, downwash = None, None
        if aircraft.tail is not None:
            tail = cut.of_tail(aircraft.tail, aircraft.surfaces)
            back = (aircraft.cg_mm + aircraft.tail.arm_mm) / 1000
            across = tail.y_m * np.cos(np.radians(aircraft.tail.dihedral_deg))
            downwash = downwash_matrix(main, back, across, _WAKE_HEIGHT_CHORDS * main.mean_chord_m)
        trims = [s.name for s in aircraft.surfaces if s.part == "tail" and s.kind in ("elevator", "v-tail")]
        trims = trims or [s.name for s in aircraft.surfaces if s.part == "wing" and s.kind == "elevon"]
        if not trims:
            raise ValueError(
                f"{aircraft.name} has no elevator, V-tail or elevon, so nothing can trim it; add one"
            )
        whole = cls(aircraft, main, tail, downwash, aircraft.surface_names, tuple(trims))
        if tail is not None:
            wing_middle, tail_middle = len(main.y_m) // 2, len(tail.y_m) // 2
            right, left = downwash[tail_middle:, wing_middle:], downwash[tail_middle:, :wing_middle]
            tail, downwash = tail.half(), right + left[:, ::-1]
        return replace(whole, right_half=replace(whole, wing=main.half(), tail=tail, downwash=downwash))

    def for_angles(self, angles_deg: np.ndarray) -> Airframe:
        """The half that stands for both where surfaces stand alike left and right, else the whole.

        Parameters
        ----------
        angles_deg : numpy.ndarray, shape (..., surfaces)
            Angles of all surfaces.
        """
        if self.right_half is None:
            return self
        parts = [self.wing] if self.tail is None else [self.wing, self.tail]
        return self.right_half if all(p.alike(self.of_part(p, angles_deg)) for p in parts) else self

    @property
    def pitch_mask(self) -> np.ndarray:
        """1 for each surface that trims, 0 for the others; shape (surfaces,)."""
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
            Lowest and highest movement in deg, trailing edge down +.
        """
        parts = [self.aircraft.surface(name) for name in self.pitch_names]
        own = angles_deg[..., [self.names.index(name) for name in self.pitch_names]]
        lowest = np.max([-part.stop_up_deg for part in parts] - own, axis=-1)
        highest = np.min([part.stop_down_deg for part in parts] - own, axis=-1)
        return lowest, np.maximum(highest, lowest)

    @property
    def dihedral_cosine(self) -> float:
        """Cosine of the tail's dihedral; 1 without a tail."""
        return 1.0 if self.aircraft.tail is None else np.cos(np.radians(self.aircraft.tail.dihedral_deg))

    def angles_deg(self, setting: Mapping[str, object] | None = None) -> np.ndarray:
        """Surface angles from a setting by name.

        Parameters
        ----------
        setting : mapping of str to array_like, optional
            Angle of surfaces in deg, trailing edge down +; those not named stand at 0.  Arrays broadcast.

        Returns
        -------
        numpy.ndarray, shape (..., surfaces)
            Angles.

        Raises
        ------
        ValueError
            If a name is not a surface of this aircraft, or an angle is not within +-90 deg.
        """
        setting = setting or {}
        for name, value in setting.items():
            if name not in self.names:
                raise ValueError(f"no surface is called {name!r}; this aircraft has {', '.join(self.names)}")
            if not np.all(np.abs(np.asarray(value, float)) <= 90):
                raise ValueError(f"the angle of {name} is {value}; give -90 to 90 deg")
        columns = [np.asarray(setting.get(name, 0.0), float) for name in self.names]
        return np.stack(np.broadcast_arrays(*columns), axis=-1)

    def of_part(self, part: cut.Panels, angles_deg: np.ndarray) -> np.ndarray:
        """Angles of the surfaces that one part carries.

        Parameters
        ----------
        part : mixlib.air.wing.strips.Panels
            The wing or the tail.
        angles_deg : numpy.ndarray, shape (..., surfaces)
            Angles of all surfaces.

        Returns
        -------
        numpy.ndarray, shape (..., surfaces of the part)
            Angles.
        """
        return angles_deg[..., [self.names.index(name) for name in part.surface_names]]

    def wing_pitch(self, solved: wing.WingResult) -> np.ndarray:
        """Pitching moment of the wing about the balance point.

        Returns
        -------
        numpy.ndarray, shape (...)
            Coefficient on area and mean chord, nose up +.
        """
        arm = (self.aircraft.cg_mm / 1000 - self.wing.reference_m) / self.wing.mean_chord_m
        alpha = np.radians(solved.alpha_deg)
        return solved.pitch + arm * (solved.lift * np.cos(alpha) + solved.drag * np.sin(alpha))

    def tail_forces(
        self, solved: wing.WingResult, angles_deg, speed_m_s, viscosity_m2_s, start_m=None
    ) -> TailForces:
        """Forces of the tail behind a solved wing; nothing without a tail.

        Parameters
        ----------
        solved : mixlib.air.wing.lifting_line.WingResult
            The wing, leading shape (...).
        angles_deg : numpy.ndarray, shape (..., surfaces)
            Angles of all surfaces.
        speed_m_s, viscosity_m2_s : array_like
            Flight speed and kinematic viscosity, for the Reynolds number.
        start_m : numpy.ndarray, optional
            Circulation over speed of the tail's panels to start from.

        Returns
        -------
        TailForces
            Forces on the wing's area and mean chord.
        """
        if self.tail is None:
            nothing = np.zeros(np.broadcast_shapes(solved.lift.shape, np.shape(angles_deg)[:-1]))
            return TailForces(*[nothing] * 7, circulation_m=None)
        tail, described, lean = self.tail, self.aircraft.tail, self.dihedral_cosine
        down = np.degrees(solved.circulation_m @ self.downwash.T)
        local = lean * (solved.alpha_deg[..., None] + described.incidence_deg - down)
        lively = np.maximum(speed_m_s, _TAIL_REYNOLDS_LEAST * viscosity_m2_s / tail.chord_m[0])
        curves = wing.section_curves(tail, self.of_part(tail, angles_deg), lively, viscosity_m2_s)
        own = wing.solve(tail, curves, np.zeros(local.shape[:-1]), local_deg=local, start_m=start_m)
        friction = np.sqrt(lively / speed_m_s)
        low, high = drag_band(own, self.of_part(tail, angles_deg))
        share = tail.area_m2 / self.wing.area_m2
        mean_down = down @ tail.width_m / tail.width_m.sum()
        back = np.radians(mean_down)
        lift, tilted = own.lift * lean * share, own.lift * lean * share * back
        arm = described.arm_mm / 1000 / self.wing.mean_chord_m
        moment = own.pitch * share * tail.mean_chord_m / self.wing.mean_chord_m * lean
        return TailForces(
            lift=lift,
            drag=(own.induced_drag + own.profile_drag * friction) * share + tilted,
            drag_low=(own.induced_drag + low * friction) * share + tilted,
            drag_high=(own.induced_drag + high * friction) * share + tilted,
            pitch=moment - lift * arm,
            stalled=own.stalled,
            downwash_deg=mean_down,
            circulation_m=own.circulation_m,
        )

    def other_drag(self, speed_m_s, viscosity_m2_s) -> np.ndarray:
        """Drag of the fin and of all that is neither wing nor tail, on the wing's area."""
        body = self.aircraft.body_drag_area_cm2 / 1e4 / self.wing.area_m2
        fin = self.aircraft.fin
        if fin is None:
            return np.full(np.shape(speed_m_s), body)
        reynolds = np.asarray(speed_m_s, float) * fin.chord_mm / 1000 / viscosity_m2_s
        drag = section.coefficients(_FIN_SECTION, 0.0, 0.0, reynolds, 0.25).cd
        return body + drag * (fin.height_mm * fin.chord_mm / 1e6 / self.wing.area_m2)


def drag_band(solved: wing.WingResult, angles_deg) -> tuple[np.ndarray, np.ndarray]:
    """Lowest and highest profile drag to expect of a wing or tail.

    Parameters
    ----------
    solved : mixlib.air.wing.lifting_line.WingResult
        Wing or tail, leading shape (...).
    angles_deg : numpy.ndarray, shape (..., surfaces of the part)
        Angles of its surfaces.

    Returns
    -------
    tuple of numpy.ndarray
        ``(low, high)`` profile drag coefficients, shape (...).
    """
    part = solved.panels
    found = section.SectionResult(
        solved.section_lift, solved.section_drag, solved.section_moment, solved.origin
    )
    low, high = section.drag_band(found, part.surface_angles(angles_deg), part.chord_ratio)
    return low @ part.area_share, high @ part.area_share


def downwash_matrix(main: cut.Panels, back_m: float, across_m, above_m: float) -> np.ndarray:
    """Downwash angle behind a wing for the circulation of each of its panels.

    Law of Biot and Savart for the bound piece and the two trailing vortices of every panel, which run
    straight back.  Far behind, on the wake, it is twice the downwash at the wing, so an elliptic wing gives
    ``d(downwash)/d(incidence) = 4 / (AR + 2)``.

    Parameters
    ----------
    back_m : float
        Place aft of the wing's root leading edge, m.
    across_m : array_like, shape (m,)
        Places across the span, right +, m.
    above_m : float
        Height above or below the wake, m; more than 0 keeps clear of the vortices' cores.

    Returns
    -------
    numpy.ndarray, shape (m, n)
        rad for a circulation over speed of 1 m.
    """
    x = back_m - main.quarter_chord_m
    left = np.asarray(across_m, float)[:, None] - main.edge_m[:-1]
    right = np.asarray(across_m, float)[:, None] - main.edge_m[1:]

    def trailing(y):
        distance = np.sqrt(x**2 + y**2 + above_m**2)
        return y / (y**2 + above_m**2) * (1 + x / distance), y / distance

    trail_left, end_left = trailing(left)
    trail_right, end_right = trailing(right)
    bound = x / (x**2 + above_m**2) * (end_left - end_right)
    return (trail_left - trail_right + bound) / (4 * np.pi)
