"""Steady gliding flight: the elevator that balances the nose, and the speed that carries the weight.

In a steady glide lift and drag together equal the weight, ``(rho/2) V^2 S sqrt(CL^2 + CD^2) = m g``, and the
path slopes down at ``tan(path) = CD / CL``.  This holds from the best glide to the vertical dive.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from mixlib.air.aircraft.airframe import Airframe, TailForces, TailPlane, drag_band
from mixlib.air.aircraft.doubt import Doubt, doubts_of_wing
from mixlib.air.aircraft.glide import STANDARD_AIR, Air, Trimmed
from mixlib.air.wing.lifting_line import WingResult, solve
from mixlib.units import GRAVITY_M_S2

__all__ = ["at_incidence", "at_speed", "stall_range"]

_SLOWEST_M_S, _FASTEST_M_S = 2.0, 120.0
_BALANCED = 4e-4
_ELEVATOR_WORTH = 0.55
_GLANCES, _GLANCE_STEPS, _ROUNDS = 6, 8, 4
_GLANCED, _SAME_SPEED = 0.08, 0.03
_CARRIED = 2e-3
_LIFT_PER_DEG = 0.098  # of an ordinary aircraft, to begin with


def stall_range(airframe: Airframe, angles_deg: ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Incidences between which an aircraft flies, roughly, from two solutions in attached flow.

    Parameters
    ----------
    angles_deg : array_like, shape (..., surfaces)
        Trailing edge down +.

    Returns
    -------
    tuple of numpy.ndarray, shape (...)
        Incidence of the wing's root in deg at which it has no lift, and at which half of it has stalled.
    """
    angles = np.asarray(angles_deg, float)
    airframe = airframe.for_angles(angles)
    curves = airframe.wing_curves(angles, 10.0, STANDARD_AIR)
    alphas = np.array([-3.0, 1.0]).reshape(2, *[1] * (angles.ndim - 1))
    lifts = solve(airframe.wing, curves, alphas)
    slope = np.maximum((lifts.lift[1] - lifts.lift[0]) / 4.0, 0.04)
    nothing = -3.0 - lifts.lift[0] / slope
    growth = np.maximum((lifts.incidence_deg[1] - lifts.incidence_deg[0]) / 4.0, 0.3)
    stalls = 1.0 + lifts.margin_deg[1] / growth
    order = np.argsort(stalls, axis=-1)
    share = np.cumsum(airframe.wing.area_share[order], axis=-1)
    halfway = np.take_along_axis(order, np.argmax(share >= 0.5, axis=-1)[..., None], axis=-1)
    half = np.take_along_axis(stalls, halfway, axis=-1)[..., 0]
    return nothing, np.maximum(half, nothing + 8.0)


def at_incidence(
    airframe: Airframe, angles_deg: ArrayLike, alpha_deg: ArrayLike, air: Air = STANDARD_AIR
) -> Trimmed:
    """Balance the aircraft at given incidences and find the speed of the steady glide.

    Parameters
    ----------
    angles_deg : array_like, shape (..., surfaces)
        Surface angles as set, without the elevator that the trim adds.
    alpha_deg : array_like, shape (...)
        Incidence of the wing's root; broadcast against the angles.
    """
    angles, alpha = _spread(angles_deg, alpha_deg)
    airframe = airframe.for_angles(angles)
    # The speed decides the Reynolds number and so the lift, which decides the speed: look until they agree.
    tried, start, elevator, last = np.full((1,) * alpha.ndim, _speed(airframe, 0.6, air)), None, None, None
    for _ in range(_GLANCES):
        case = _Case(airframe, angles, tried, air)
        lift, drag, glanced = case.glance(alpha, start)
        start = glanced.circulation_m
        speed = _speed(airframe, np.hypot(lift, drag), air)
        done = np.all(_agree(speed, tried, _GLANCED) | (glanced.stalled > 0))
        last, tried = (tried, speed), _towards_agreement(speed, tried, last)
        if done:
            break
    for _ in range(_ROUNDS):
        case = _Case(airframe, angles, tried, air)
        solved, tail, elevator, reached = case.balanced(alpha, elevator, start, 7)
        lift, drag, start = (
            solved.lift + tail.lift,
            solved.drag + tail.drags[0] + case.other,
            solved.circulation_m,
        )
        speed = _speed(airframe, np.hypot(lift, drag), air)
        if np.all(_agree(speed, tried, _SAME_SPEED) | (solved.stalled > 0) | ~solved.converged):
            break
        last, tried = (tried, speed), _towards_agreement(speed, tried, last)
    agreed = np.abs(speed / case.speed - 1) < 2 * _SAME_SPEED
    return case.result(solved, tail, elevator, reached, speed, solved.converged & agreed)


def at_speed(
    airframe: Airframe, angles_deg: ArrayLike, speed_m_s: ArrayLike, air: Air = STANDARD_AIR
) -> Trimmed:
    """Find incidence and elevator for a steady glide at given speeds.

    Parameters
    ----------
    angles_deg : array_like, shape (..., surfaces)
        Surface angles as set, without the elevator that the trim adds.
    speed_m_s : array_like, shape (...)
        Speed through the air; broadcast against the angles.

    Returns
    -------
    Trimmed
        One glide for each speed; below the stalling speed `Trimmed.converged` is False.

    Raises
    ------
    ValueError
        If a speed is not from 2 to 120 m/s.
    """
    angles, speed = _spread(angles_deg, speed_m_s)
    if not np.all((speed >= _SLOWEST_M_S) & (speed <= _FASTEST_M_S)):
        raise ValueError(
            f"speed_m_s is {np.asarray(speed_m_s)}; give {_SLOWEST_M_S:g} to {_FASTEST_M_S:g} m/s"
        )
    airframe = airframe.for_angles(angles)
    case = _Case(airframe, angles, speed, air)
    wanted = _weight(airframe) / (0.5 * air.density_kg_m3 * speed**2 * airframe.wing.area_m2)
    nothing, half = stall_range(airframe, angles)
    alpha = np.clip(nothing + wanted / _LIFT_PER_DEG, nothing, half)
    elevator, start = None, None
    slope, before = np.full(alpha.shape, _LIFT_PER_DEG), None
    for _ in range(8):
        solved, tail, elevator, reached = case.balanced(alpha, elevator, start, 3)
        start = solved.circulation_m
        found = np.hypot(solved.lift + tail.lift, solved.drag + tail.drags[0] + case.other)
        miss = np.where(solved.lift + tail.lift < 0, -found, found) - wanted
        if np.all(np.abs(miss) < _CARRIED / 4):
            break
        if before is not None:
            moved = alpha - before[0]
            secant = (miss - before[1]) / np.where(np.abs(moved) > 1e-4, moved, np.inf)
            slope = np.where(np.abs(secant) > 0.02, np.clip(secant, 0.02, 0.15), slope)
        before = alpha, miss
        alpha = np.clip(alpha - np.clip(miss / slope, -4, 4), nothing - 2.0, half + 2.0)
    else:
        solved, tail, elevator, reached = case.balanced(alpha, elevator, start, 6)
    lift, drag = solved.lift + tail.lift, solved.drag + tail.drags[0] + case.other
    carried = np.abs(np.hypot(lift, drag) - wanted) < _CARRIED * np.maximum(wanted, 0.5)
    return case.result(solved, tail, elevator, reached, speed, carried & solved.converged)


def _spread(angles_deg, value):
    angles, value = np.asarray(angles_deg, float), np.asarray(value, float)
    shape = np.broadcast_shapes(angles.shape[:-1], value.shape)
    return np.broadcast_to(angles, (*shape, angles.shape[-1])), np.broadcast_to(value, shape)


def _agree(speed, other, within):
    """Whether two speeds are the same, or cut off."""
    return (np.abs(speed / other - 1) < within) | (speed >= _FASTEST_M_S)


def _towards_agreement(found, tried, last):
    """Speed to try next, after one that was tried and what was found of it, by Wegstein's rule on their logs.

    `last` is the pair tried and found before, or None.
    """
    if last is None:
        return found
    moved = np.log(tried / last[0])
    slope = np.log(found / last[1]) / np.where(np.abs(moved) > 1e-3, moved, np.inf)
    share = 1 / (1 - np.clip(slope, -1.5, 0.0))  # only what swings to and fro is held back
    return tried * (found / tried) ** share


def _weight(airframe):
    return airframe.aircraft.mass_kg * GRAVITY_M_S2


def _speed(airframe, coefficient, air):
    pressure = _weight(airframe) / (np.maximum(coefficient, 1e-4) * airframe.wing.area_m2)
    return np.clip(np.sqrt(2 * pressure / air.density_kg_m3), _SLOWEST_M_S, _FASTEST_M_S)


class _Case:
    """One aircraft at given settings and speeds; its wing's sections are looked up once."""

    def __init__(self, airframe: Airframe, angles, speed, air: Air):
        self.airframe, self.angles, self.speed, self.air = airframe, angles, speed, air
        self.other = airframe.other_drag(speed, air)
        # The tail that trims the aircraft; without one the wing itself does.
        on_tail = airframe.aircraft.surface(airframe.pitch_names[0]).part == "tail"
        self._tail: TailPlane | None = airframe.tail if on_tail else None
        self._curves = self._wing_curves(angles)
        self._tail_start: np.ndarray | None = None
        self._moment_per_deg = np.full(speed.shape, self._moment_slope())  # as learnt

    def _wing_curves(self, angles):
        return self.airframe.wing_curves(angles, self.speed, self.air)

    def _with_elevator(self, elevator):
        return self.angles + elevator[..., None] * self.airframe.pitch_mask

    def glance(self, alpha, start):
        """Lift and drag of the balanced aircraft without solving its tail, and the wing as solved.

        The tail's lift is what balances the wing's moment at the tail's arm.
        """
        frame = self.airframe
        solved = solve(frame.wing, self._curves, alpha, start_m=start, steps=_GLANCE_STEPS)
        lift = solved.lift
        if self._tail is not None:
            lift = lift + frame.wing_pitch(solved) / self._arm(self._tail)
        return lift, solved.drag + self.other, solved

    def balanced(self, alpha, elevator, start, tries):
        """Solve wing and tail with the elevator that balances them, by the secant rule.

        Returns the wing, the tail, the elevator, and whether its stops let it balance.
        """
        frame = self.airframe
        lowest, highest = frame.elevator_range_deg(self.angles)
        solved, tail = None, None
        if self._tail is not None:
            solved = solve(frame.wing, self._curves, alpha, start_m=start)
        if elevator is None:
            elevator = self._elevator_guess(solved, alpha)
        elevator = np.clip(elevator, lowest, highest)
        first_slope, before = self._moment_slope(), None
        for turn in range(tries):
            angles = self._with_elevator(elevator)
            if self._tail is None:
                solved = solve(frame.wing, self._wing_curves(angles), alpha, start_m=start)
                start = solved.circulation_m
            tail = frame.tail_forces(solved, angles, self.speed, self.air, self._tail_start)
            self._tail_start = tail.circulation_m
            moment = frame.wing_pitch(solved) + tail.pitch
            if turn == tries - 1:
                break
            if before is not None:
                moved = elevator - before[0]
                secant = (moment - before[1]) / np.where(np.abs(moved) > 1e-3, moved, np.inf)
                usable = (secant < 0.2 * first_slope) & (secant > 5 * first_slope)
                self._moment_per_deg = np.where(usable, secant, self._moment_per_deg)
            before = elevator, moment
            wanted = np.clip(-moment / self._moment_per_deg, -15, 15)
            step = np.where(np.abs(moment) < _BALANCED, 0.0, wanted)
            elevator = np.clip(elevator + step, lowest, highest)
            if np.array_equal(elevator, before[0]):  # balanced, or as near as its stops allow
                break
        # A remainder worth less than a quarter of a degree of elevator is balance enough.
        reached = np.abs(moment) < 0.25 * np.abs(first_slope)
        return solved, tail, elevator, reached

    def _arm(self, tail: TailPlane) -> float:
        """Tail arm in mean chords of the wing."""
        return tail.described.arm_mm / 1000 / self.airframe.wing.mean_chord_m

    def _elevator_guess(self, solved, alpha):
        """Elevator that balances in attached flow; 0 where the wing itself trims."""
        if self._tail is None:
            return np.zeros(alpha.shape)
        _, down = self._tail.downwash_deg(solved.circulation_m)
        felt = alpha + self._tail.described.incidence_deg - down
        slope = self._moment_slope()
        # An elevator degree is worth a little over half a degree of the whole tail's incidence.
        of_tail = slope / _ELEVATOR_WORTH * self._tail.lean * felt
        return -(self.airframe.wing_pitch(solved) + of_tail) / slope

    def _moment_slope(self) -> float:
        """Pitching moment per degree of elevator in attached flow, a first guess; negative."""
        if self._tail is None:
            return -0.003
        strips = self._tail.strips
        lift_slope = 2 * np.pi * strips.aspect_ratio / (strips.aspect_ratio + 2) * np.pi / 180
        volume = strips.area_m2 / self.airframe.wing.area_m2 * self._arm(self._tail)
        return -_ELEVATOR_WORTH * lift_slope * volume * self._tail.lean

    def result(self, solved: WingResult, tail: TailForces, elevator, reached, speed, converged) -> Trimmed:
        """Gather what a lesson asks for."""
        low, high = drag_band(solved.strips, solved.sections, self._with_elevator(elevator))
        lift = solved.lift + tail.lift
        drag = solved.drag + tail.drags[0] + self.other
        path = np.arctan2(drag, lift)
        place, margin = solved.first_to_stall
        in_range = (speed > _SLOWEST_M_S) & (speed < _FASTEST_M_S)
        doubts = np.full(speed.shape, doubts_of_wing(self.airframe.wing))
        for flag, doubted in (
            (Doubt.NOT_CONVERGED, ~converged),
            (Doubt.ELEVATOR_STOP, ~reached),
            (Doubt.CUT_OFF, ~in_range),
            (Doubt.PART_STALLED, margin < 0),
            (Doubt.HANDBOOK, solved.table_share < 0.5),
        ):
            doubts = doubts | np.where(doubted, int(flag), 0)
        return Trimmed(
            alpha_deg=solved.alpha_deg,
            speed_m_s=speed,
            sink_m_s=speed * np.sin(path),
            path_deg=np.degrees(path),
            lift=lift,
            drag=drag,
            drag_low=solved.induced_drag + low + tail.drags[1] + self.other,
            drag_high=solved.induced_drag + high + tail.drags[2] + self.other,
            elevator_deg=elevator,
            downwash_deg=tail.downwash_deg,
            first_to_stall_m=place,
            margin_deg=margin,
            table_share=solved.table_share,
            converged=converged & reached & in_range,
            doubts=doubts,
        )
