"""The landing approach: a glide over an obstacle, a flare, a touchdown, and where they fall.

The aircraft is a point with lift and drag, flown by a pilot who holds the approach speed, rounds out on an
arc of constant load factor, holds it off over the grass until the speed has gone, and lets it sink (see
`Flare`).  Its motion is integrated with the classic fourth-order Runge-Kutta method, many cases at once.

Frame: x along the ground into the wind, y to the right, z up, all in m, from the place of the final turn.
The wind blows towards -x and grows with height by the power law ``W(z) = W10 (z / 10 m)^p``; p = 1/7 over
open grass (wind-engineering rule, from memory).

Left out: gusts, downdraughts behind the obstacle, and the time that the pilot needs to see and react.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import ArrayLike

from mixlib.air.aircraft.flight import APPROACH_FACTOR
from mixlib.units import GRAVITY_M_S2, SEA_LEVEL_DENSITY_KG_M3

__all__ = ["FLARES", "NORMAL", "Approach", "Configuration", "Flare", "fly", "wind_m_s"]

_STEP_S = 0.2
_LONG_STEP_S = 0.8  # while the glide is steady, which it is
_STEADY_M = 4.0  # above this height, and above where the setting changes
_POINTS = 65  # points of the drag table of a case
_LONGEST_S = 240.0
_PATH_TIME_S = 0.6  # how fast the pilot brings the path to where it should be
_FLARE_TIME_S = 0.25  # the same in the flare, where the eye is on the grass
_SPEED_TO_PATH_RAD = 0.9  # how much the pilot raises the path for being too fast by all of the speed
_LET_DOWN_BAND = 0.05  # share of speed over which the hold-off goes over into letting it sink
_REST_HEIGHT_M = 0.15  # height of the balance point with the wheel or skid on the ground


@dataclass(frozen=True)
class Configuration:
    """Lift and drag of the whole aircraft with its surfaces at some angles, trimmed.

    Attributes
    ----------
    lift, drag : numpy.ndarray
        Shape (k,), rising lift coefficients of the whole aircraft on its wing area, up to the stall, and the
        drag coefficient at each.
    speed_m_s : float
        Approach speed that the pilot holds, m/s through the air.
    """

    name: str
    lift: np.ndarray
    drag: np.ndarray
    speed_m_s: float

    def __post_init__(self) -> None:
        lift, drag = np.asarray(self.lift, float), np.asarray(self.drag, float)
        if lift.ndim != 1 or lift.shape != drag.shape or lift.size < 2 or np.any(np.diff(lift) <= 0):
            raise ValueError(f"{self.name}: lift must rise point by point, with one drag for each")
        if np.any(drag <= 0) or self.speed_m_s <= 0:
            raise ValueError(f"{self.name}: drag and approach speed must be more than 0")


@dataclass(frozen=True)
class Flare:
    """How a pilot brings the glide to the grass.

    The arc takes the sink away at a constant load factor, so its height is ``sink^2 / (2 g (n - 1))``.  Then
    the aircraft is held off until the speed has gone down to `stall_factor` times that at which the wing
    begins to let go, and sinks on to the grass.

    Attributes
    ----------
    load_factor : float
        n of the arc, a ratio over 1.
    stall_factor : float
        Speed at the touchdown over that at which the wing begins to let go, a ratio.
    hold_off_m : float
        Height over the grass at which the pilot waits.
    sink_m_s : float
        Sink with which it is put down.
    """

    load_factor: float
    stall_factor: float
    hold_off_m: float
    sink_m_s: float


NORMAL = Flare(1.2, 1.15, 0.2, 0.3)
"""Arc at n = 1.2 and touchdown at 1.15 times the stalling speed: D. P. Raymer, "Aircraft Design: A Conceptual
Approach", chapter 17, from memory; height and sink at the end are judgement, no source."""

FLARES = {"firm": Flare(1.3, 1.3, 0.0, 0.5), "normal": NORMAL, "floating": Flare(1.1, 1.05, 0.4, 0.2)}
"""Flown on to the grass at the approach speed; the textbook's; held off for as long as it flies.  The first
and the last are judgement, no source."""


@dataclass(frozen=True)
class Approach:
    """Path of each case, from the final turn to the touchdown.

    Attributes
    ----------
    x_m, y_m, z_m, speed_m_s : numpy.ndarray
        Shape (n, cases): along the ground, to the right, height, speed through the air; after the touchdown
        the last values stay.
    touchdown_m, drift_m : numpy.ndarray
        Shape (cases,): x and y of the touchdown; NaN for a case that did not come down.
    touchdown_s : numpy.ndarray
        Shape (cases,): when.
    sink_at_touchdown_m_s, ground_speed_m_s : numpy.ndarray
        Shape (cases,): sink, positive down, and speed over the ground at the touchdown.
    """

    time_s: np.ndarray
    x_m: np.ndarray
    y_m: np.ndarray
    z_m: np.ndarray
    speed_m_s: np.ndarray
    touchdown_m: np.ndarray
    drift_m: np.ndarray
    touchdown_s: np.ndarray
    sink_at_touchdown_m_s: np.ndarray
    ground_speed_m_s: np.ndarray

    def cases(self, index: slice) -> Approach:
        """Some of the cases."""
        columns = (getattr(self, field.name) for field in fields(self)[1:])
        return Approach(self.time_s, *(column[..., index] for column in columns))

    def turn_distance_m(self, obstacle_m: float, clearance_m: float) -> np.ndarray:
        """Distance from the turn to the obstacle at which each path clears it by just so much.

        Shape (cases,); NaN where the path starts lower.  A turn nearer to the obstacle clears it by more and
        lands further along the strip.
        """
        level = obstacle_m + clearance_m
        places = []
        for x, z in zip(self.x_m.T, self.z_m.T, strict=True):
            below = np.flatnonzero(z <= level)
            if z[0] <= level or below.size == 0:
                places.append(np.nan)
                continue
            last = below[0]
            share = (z[last - 1] - level) / (z[last - 1] - z[last])
            places.append(x[last - 1] + share * (x[last] - x[last - 1]))
        return np.array(places)


def wind_m_s(height_m: ArrayLike, at_10m_m_s: ArrayLike, exponent: float = 1 / 7) -> np.ndarray:
    """Head wind at a height.

    Parameters
    ----------
    height_m : array_like
        Height above the ground; below the ground it counts as 0.
    at_10m_m_s : array_like
        Wind at 10 m, against the landing direction positive.
    exponent : float
        Exponent of the power law, 0 (no gradient) to 0.5, dimensionless.
    """
    share = np.maximum(np.asarray(height_m, float), 0.0) / 10.0
    return np.asarray(at_10m_m_s, float) * (share**exponent if exponent else np.ones_like(share))


def fly(
    configurations: Sequence[Configuration],
    mass_kg: float,
    area_m2: float,
    height_m: float = 25.0,
    head_wind_m_s: ArrayLike = 0.0,
    speed_error_m_s: ArrayLike = 0.0,
    heading_error_deg: ArrayLike = 0.0,
    drag_factor: ArrayLike = 1.0,
    late: Sequence[Configuration] | None = None,
    late_height_m: float = 0.0,
    gradient_exponent: float = 1 / 7,
    density_kg_m3: float = SEA_LEVEL_DENSITY_KG_M3,
    flare: Flare | None = NORMAL,
    span_m: float | None = None,
) -> Approach:
    """Fly approaches from the final turn to the touchdown, many cases at once.

    Parameters
    ----------
    configurations : sequence of Configuration
        One for all cases, or one for each case.
    area_m2 : float
        Wing area that the coefficients refer to.
    height_m : float
        Height of the final turn, 2 to 200 m.
    head_wind_m_s, speed_error_m_s, heading_error_deg, drag_factor : array_like
        Cases, broadcast to one axis: wind at 10 m; how much faster than the approach speed the pilot flies;
        how far right of the wind the nose points; factor on all drag, to fly the band of an uncertain drag.
    late : sequence of Configuration, optional
        What is set at `late_height_m`, one for all or one for each case.
    late_height_m : float
        Height at which `late` is set.
    gradient_exponent : float
        Exponent of the wind's power law, a pure number.
    flare : Flare, optional
        How the pilot brings it to the grass; None flies on into the ground.
    span_m : float, optional
        Span, for the ground effect; left out, there is none.

    Raises
    ------
    ValueError
        If a number makes no sense, or the numbers of cases and configurations do not fit.
    """
    if not (mass_kg > 0 and area_m2 > 0 and 2 <= height_m <= 200):
        raise ValueError("mass and area must be more than 0, and the height of the turn 2 to 200 m")
    shape = np.broadcast_shapes(
        (len(configurations),),
        *map(np.shape, (head_wind_m_s, speed_error_m_s, heading_error_deg, drag_factor)),
    )
    wind, error, heading_deg, factor = (
        np.broadcast_to(np.asarray(value, float), shape)
        for value in (head_wind_m_s, speed_error_m_s, heading_error_deg, drag_factor)
    )
    ahead, aside = np.cos(np.radians(heading_deg)), np.sin(np.radians(heading_deg))
    windy = bool(np.any(wind))

    def glide_of(chosen: Sequence[Configuration]) -> _Glide:
        return _Glide(chosen, shape, mass_kg, area_m2, density_kg_m3, error, factor, flare, span_m)

    glide, other = glide_of(configurations), None if late is None else glide_of(late)

    def rates(state: np.ndarray) -> np.ndarray:
        """Rates of x, y, z, speed through the air, path angle through the air."""
        _, _, z, speed, path = state
        sine, cosine = np.sin(path), np.cos(path)
        level, climb = speed * cosine, speed * sine
        lift, drag = glide.accelerations_m_s2(speed, path, cosine, z)
        if other is not None:
            changed = z <= late_height_m
            lift2, drag2 = other.accelerations_m_s2(speed, path, cosine, z)
            lift, drag = np.where(changed, lift2, lift), np.where(changed, drag2, drag)
        change = np.empty_like(state)
        change[0], change[1], change[2] = level * ahead, level * aside, climb
        change[3] = -drag - GRAVITY_M_S2 * sine
        change[4] = lift - GRAVITY_M_S2 * cosine
        if windy:
            blow = wind_m_s(z, wind, gradient_exponent)
            # The wind falls off towards the ground: what it loses, the speed through the air loses with it.
            loss = gradient_exponent * blow / np.maximum(z, 0.1) * climb * ahead
            change[0] -= blow
            change[3] += loss * cosine
            change[4] -= loss * sine
        change[4] /= speed
        return change

    still = np.zeros(shape)
    start = np.stack([still, still, still + height_m, glide.speed, glide.path])
    arcs = [0.0 if item is None else float(item.flares_from_m.max()) for item in (glide, other)]
    steady_m = max(_STEADY_M, *arcs, 0.0 if other is None else late_height_m + 1.0)
    blow = wind_m_s(_REST_HEIGHT_M, wind, gradient_exponent)
    return _integrate(rates, start, steady_m, ahead, blow)


class _Glide:
    """A pilot who holds a speed in one configuration for each case, then rounds out and holds off."""

    def __init__(
        self, configurations, shape, mass, area, density, error, factor, flare: Flare | None, span
    ) -> None:
        if len(configurations) not in (1, *shape):
            raise ValueError(f"give one configuration, or one for each of the {shape[0]} cases")
        chosen = list(configurations) * (shape[0] if len(configurations) == 1 else 1)
        self._pressure = 0.5 * density * area / mass  # times speed squared and a coefficient: an acceleration
        self._most = np.array([configuration.lift[-1] for configuration in chosen])
        share = np.linspace(0, 1, _POINTS)
        drag = factor[:, None] * np.array(
            [np.interp(share * item.lift[-1], item.lift, item.drag) for item in chosen]
        )
        self._drag, self._rise = drag.ravel(), np.diff(drag, axis=1, append=0.0).ravel()
        self._first = np.arange(shape[0]) * _POINTS  # of each case in the table
        self._scale = (_POINTS - 1) / self._most
        self._span, self._induced = span, 0.0 if span is None else area / (np.pi * span**2)
        held = np.array([configuration.speed_m_s for configuration in chosen])
        self.speed = held + error
        lift = np.minimum(GRAVITY_M_S2 / (self._pressure * self.speed**2), self._most)
        self.path = -np.arctan2(self._drag_at(lift), lift)
        self._flare = how = flare or NORMAL
        self._slowing = GRAVITY_M_S2 * (how.load_factor - 1)
        self._down = held * how.stall_factor / APPROACH_FACTOR
        sink = -self.speed * np.sin(self.path)
        arc = sink * _FLARE_TIME_S + sink**2 / (2 * self._slowing)
        self.flares_from_m = (
            np.full(shape, -np.inf) if flare is None else _REST_HEIGHT_M + how.hold_off_m + arc
        )

    def accelerations_m_s2(self, speed, path, cosine, height) -> tuple[np.ndarray, np.ndarray]:
        wanted = self.path + _SPEED_TO_PATH_RAD * (speed / self.speed - 1)
        flares = height < self.flares_from_m
        takes_s: float | np.ndarray = _PATH_TIME_S
        if flares.any():
            wanted = np.where(flares, self._flared(speed, path, height), wanted)
            takes_s = np.where(flares, _FLARE_TIME_S, takes_s)
        asked = GRAVITY_M_S2 * cosine + speed * (wanted - path) / takes_s
        pressure = self._pressure * speed**2
        lift = np.minimum(np.maximum(asked / pressure, 0.0), self._most)
        drag = self._drag_at(lift)
        if self._span is not None:
            drag = drag - _saved(height, self._span) * self._induced * lift**2
        return lift * pressure, drag * pressure

    def _flared(self, speed, path, height) -> np.ndarray:
        """Path angle that the pilot wants near the grass."""
        spare = np.minimum(np.maximum((speed / self._down - 1) / _LET_DOWN_BAND, 0.0), 1.0)
        left = height - _REST_HEIGHT_M - self._flare.hold_off_m * spare
        left = left + speed * np.sin(path) * _FLARE_TIME_S  # once the pilot's hand has acted
        sink = np.where(left > 0, np.sqrt(2 * self._slowing * np.abs(left)), left / _PATH_TIME_S)
        sink = np.maximum(sink, self._flare.sink_m_s * (1 - spare))
        return np.maximum(-sink / speed, self.path)

    def _drag_at(self, lift: np.ndarray) -> np.ndarray:
        place = lift * self._scale
        below = np.minimum(place.astype(int), _POINTS - 2)
        cell = self._first + below
        return self._drag[cell] + (place - below) * self._rise[cell]


def _saved(height_m, span_m: float) -> np.ndarray:
    """Share of the induced drag that the ground takes away.

    B. W. McCormick, "Aerodynamics, Aeronautics and Flight Mechanics", chapter 7, from memory.
    """
    return 1 / (1 + (16 * np.maximum(height_m, 0.0) / span_m) ** 2)


def _integrate(rates, state: np.ndarray, steady_m: float, ahead: np.ndarray, blow: np.ndarray) -> Approach:
    history, times = [state], [0.0]
    down = np.zeros(state.shape[1], dtype=bool)
    seconds = np.full(state.shape[1], np.nan)
    while times[-1] < _LONGEST_S and not down.all():
        lowest = (state[2] + _LONG_STEP_S * state[3] * np.sin(state[4])).min()
        step = _LONG_STEP_S if lowest > steady_m else _STEP_S
        k1 = rates(state)
        k2 = rates(state + step / 2 * k1)
        k3 = rates(state + step / 2 * k2)
        k4 = rates(state + step * k3)
        moved = state + step / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
        landing = ~down & (moved[2] <= _REST_HEIGHT_M)
        if landing.any():
            share = ((state[2] - _REST_HEIGHT_M) / (state[2] - moved[2]))[landing]
            moved[:, landing] = state[:, landing] + share * (moved[:, landing] - state[:, landing])
            seconds[landing] = times[-1] + share * step
        moved[:, down] = state[:, down]
        down = down | landing
        state = moved
        history.append(state)
        times.append(times[-1] + step)
    x, y, z, speed, path = np.stack(history, axis=1)
    there = np.where(down, x[-1], np.nan)
    drift = np.where(down, y[-1], np.nan)
    sink = np.where(down, -speed[-1] * np.sin(path[-1]), np.nan)
    over_ground = np.where(down, speed[-1] * np.cos(path[-1]) * ahead - blow, np.nan)
    return Approach(np.array(times), x, y, z, speed, there, drift, seconds, sink, over_ground)
