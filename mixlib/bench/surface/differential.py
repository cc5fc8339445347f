"""Less down than up on the ailerons without a ready-made function: ways to get it, and what each leaves."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from mixlib.bench.surface.limits import travel_for_angle_percent
from mixlib.chain import Rig, commands
from mixlib.chain.linkage import arm_range_deg, rod_length_mm, surface_angle_deg
from mixlib.chain.mixing import leading_command
from mixlib.describe import FreeMix, Linkage, Output, Setup, Surface
from mixlib.units import to_step

__all__ = ["WAYS", "AileronThrows", "aileron_throws", "ailerons", "differential_percent", "less_down"]

_Set = TypeVar("_Set", Output, FreeMix)

WAYS = {
    "unequal gains": "%",
    "end points": "%",
    "arm leans, new rod": "°",
    "horn leans, new rod": "°",
    "arm turned, sub-trim": "°",
}
"""Ways to less down than up, with the unit of the amount; the last one is a trap."""


@dataclass(frozen=True)
class AileronThrows:
    """What one aileron does.

    Attributes
    ----------
    rest_mm : float
        Throw with everything at neutral, mm, trailing edge down positive.
    up_mm, down_mm, up_deg, down_deg : float
        Largest throw and angle each way with full roll, without sign; 0 when it does not pass neutral.
    droop_mm, reflex_mm : float
        Throw where camber is used to on either side, mm, trailing edge down positive.
    held : bool
        Whether the linkage binds or the surface meets its stop somewhere in these movements.
    """

    name: str
    rest_mm: float
    up_mm: float
    down_mm: float
    up_deg: float
    down_deg: float
    droop_mm: float
    reflex_mm: float
    held: bool

    @property
    def less_down_percent(self) -> float:
        """Differential in percent, NaN when it does not go up; see `differential_percent`."""
        return differential_percent(self.up_mm, self.down_mm) if self.up_mm else float("nan")


def differential_percent(up_mm: float, down_mm: float) -> float:
    """Differential: by how much less a surface goes down than up, from throws without sign.

    Returns
    -------
    float
        0 % when both are alike, 100 % when it does not go down at all; negative when it goes down more.

    Raises
    ------
    ValueError
        If there is no throw up to compare with.
    """
    if up_mm <= 0:
        raise ValueError(f"the throw up is {up_mm:g} mm; differential needs more than 0 mm")
    return 100 * (1 - down_mm / up_mm)


def ailerons(setup: Setup) -> tuple[Surface, ...]:
    """Surfaces that roll the aircraft as their first job.

    Raises
    ------
    ValueError
        If there is none.
    """
    found = setup.aircraft.of_kind("aileron", "elevon")
    if not found:
        raise ValueError(f"{setup.aircraft.name} has no aileron and no elevon; differential is for these")
    return found


def aileron_throws(setup: Setup) -> tuple[AileronThrows, ...]:
    """Run the whole chain for roll and camber, as far as they are used to either side, for each aileron."""
    right, left, droop, reflex = (setup.used_to(name, way) for name in ("roll", "camber") for way in (1, -1))
    stages = Rig(setup).run(commands(roll=[0, right, left, 0, 0], camber=[0, 0, 0, droop, reflex]))
    result = []
    for surface in ailerons(setup):
        place = setup.aircraft.surface_names.index(surface.name)
        rest, right, left, droop, reflex = stages.throw[:, place].tolist()
        angles = stages.surface[1:3, place]
        result.append(
            AileronThrows(
                surface.name,
                rest,
                max(-right, -left, 0.0),
                max(right, left, 0.0),
                float(max(-angles.min(), 0.0)),
                float(max(angles.max(), 0.0)),
                droop,
                reflex,
                bool((stages.binds | stages.at_stop)[:, place].any()),
            )
        )
    return tuple(result)


def less_down(setup: Setup, way: str, amount: float) -> Setup:
    """Copy of a set-up in which every aileron goes less down than up.

    Parameters
    ----------
    way : str
        A key of `WAYS`.
    amount : float
        0 or more.  For gains and end points: by how many percent the down side is made smaller, at most 100,
        rounded to the steps of the radio.  For the others: by how many degrees arm or horn leans.

    Raises
    ------
    ValueError
        If the set-up cannot have it that way; the text says why.
    DescriptionError
        If a number leaves the range of a description.
    """
    if way not in WAYS:
        raise ValueError(f"no way is called {way!r}; use one of {', '.join(WAYS)}")
    most = 100 if WAYS[way] == "%" else 180
    if not 0 <= amount <= most:
        raise ValueError(f"the amount is {amount:g} {WAYS[way]}; accepted: 0 to {most} {WAYS[way]}")
    pair = ailerons(setup)
    if amount == 0:
        return setup
    if way == "unequal gains":
        return _gains(setup, pair, 1 - amount / 100)
    if way == "end points":
        return _end_points(setup, pair, 1 - amount / 100)
    if way == "arm turned, sub-trim":
        return _turned(setup, pair, amount)
    field = "arm_angle_deg" if way.startswith("arm") else "horn_angle_deg"
    return _with_linkages(setup, pair, lambda link: _leant(link, field, amount))


def _gains(setup: Setup, pair: tuple[Surface, ...], share: float) -> Setup:
    """Make the roll share of each aileron's output smaller on the side that takes the aileron down."""
    sides = _down_sides(setup, pair)
    step = setup.radio.gain_step_percent

    def smaller(item: _Set, number: int) -> _Set:
        field = f"gain_{sides[number]}_percent"
        return item.replace(**{field: to_step(getattr(item, field) * share, step)})

    outputs = []
    for output in setup.outputs:
        if output.number in sides and output.control == "roll":
            if not setup.radio.output_gains:
                names = " and ".join(surface.name for surface in setup.surfaces_on(output.number))
                raise ValueError(
                    f"the {names} gets roll straight from the stick on output {output.number}, and "
                    f"{setup.radio.name} cannot set that gain: put it on an output that gets roll by a mix"
                )
            output = smaller(output, output.number)
        outputs.append(output)
    mixes = []
    for mix in setup.free_mixes:
        if mix.on and mix.follower in sides and leading_command(setup, mix) == "roll":
            if mix.curve_percent:
                raise ValueError(f"the mix {mix.label} has a curve: lower its points on that side instead")
            mix = smaller(mix, mix.follower)
        mixes.append(mix)
    return setup.replace(outputs=tuple(outputs), free_mixes=tuple(mixes))


def _end_points(setup: Setup, pair: tuple[Surface, ...], share: float) -> Setup:
    """Bring the end point on the down side of each aileron's output closer."""
    sides = _down_sides(setup, pair)
    rig = Rig(setup)
    for number, side in sides.items():
        rest, moved = rig.run(commands(roll=[0, 1 if side == "above" else -1])).travel[:, number - 1]
        field = "end_high_percent" if moved > rest else "end_low_percent"
        end = to_step(getattr(setup.output(number), field) * share, setup.radio.travel_step_percent)
        setup = setup.with_output(number, **{field: end})
    return setup


def _turned(setup: Setup, pair: tuple[Surface, ...], amount: float) -> Setup:
    """Put each arm on turned by some teeth, leave the rod, and take the surface back by sub-trim."""
    _down_sides(setup, pair)
    radio = setup.radio
    parts = {}
    for surface in pair:
        link = surface.linkage
        servo = surface.servo.replace(
            arm_offset_deg=surface.servo.arm_offset_deg + _sense(link, "arm_angle_deg") * amount
        )
        parts[surface.name] = surface.replace(servo=servo, linkage=link.replace(rod_mm=rod_length_mm(link)))
    setup = _with_parts(setup, parts)
    for name, surface in parts.items():
        needed, most = float(travel_for_angle_percent(surface, radio, 0.0)), radio.sub_trim_max_percent
        inside = min(max(needed, -most), most) if np.isfinite(needed) else 0.0
        sub_trim = to_step(inside, radio.sub_trim_step_percent)
        setup = setup.with_output(setup.wiring[name], sub_trim_percent=sub_trim)
    return setup


def _down_sides(setup: Setup, pair: tuple[Surface, ...]) -> dict[int, str]:
    """For the output of each aileron, the side of the roll command on which the aileron goes down."""
    rig = Rig(setup)
    right, left = rig.moves(roll=1), rig.moves(roll=-1)
    sides: dict[int, str] = {}
    for surface in pair:
        number = setup.wiring[surface.name]
        side = "above" if right[surface.name] > left[surface.name] else "below"
        if right[surface.name] == left[surface.name]:
            raise ValueError(f"the {surface.name} does not move with roll; wire it and set its mixes first")
        if sides.setdefault(number, side) != side:
            names = " and ".join(other.name for other in setup.surfaces_on(number))
            raise ValueError(
                f"{names} share output {number}: down for one is up for the other, so nothing in the radio "
                "can give both less down; the linkage can"
            )
    return sides


def _with_linkages(setup: Setup, pair: tuple[Surface, ...], change: Callable[[Linkage], Linkage]) -> Setup:
    parts = {surface.name: surface.replace(linkage=change(surface.linkage)) for surface in pair}
    return _with_parts(setup, parts)


def _with_parts(setup: Setup, parts: dict[str, Surface]) -> Setup:
    surfaces = tuple(parts.get(surface.name, surface) for surface in setup.aircraft.surfaces)
    return setup.replace(aircraft=setup.aircraft.replace(surfaces=surfaces))


def _leant(link: Linkage, field: str, degrees: float) -> Linkage:
    lean = _sense(link, field) * degrees
    return link.replace(**{field: getattr(link, field) + lean}, rod_mm=None)


def _sense(link: Linkage, field: str) -> float:
    """Which way arm or horn has to lean for less down than up: 1 towards the nose, -1 towards the tail."""
    shares = {}
    for sense in (1.0, -1.0):
        angle = getattr(link, field)
        leant = link.replace(**{field: float(np.clip(angle + 3 * sense, 20, 160))}, rod_mm=None)
        low, high = arm_range_deg(leant)
        reach = 0.3 * min(-low, high)
        angles = surface_angle_deg(leant, [-reach, reach])
        shares[sense] = angles.max() / -angles.min()
    return min(shares, key=lambda sense: shares[sense])
