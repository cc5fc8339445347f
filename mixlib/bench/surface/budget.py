"""How far the commands can add up: where an output or a linkage runs out, and how much roll is left.

The demand of every output is flat in each corner of the command square (roll by camber), with folds only
where a command or a leading output changes side, or a curve has a point.  Every limit of output, servo,
linkage and stop is one demand, since each step behind it is monotone.  So the square falls into polygons
whose corners are found exactly, by cutting along straight lines; nothing is sampled.

All commands here are after rate and expo, as the mixes see them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mixlib.bench.surface.limits import REASONS, travel_limits
from mixlib.chain import Rig, commands
from mixlib.chain.controls import shape
from mixlib.chain.mixing import Mixer, leading_command
from mixlib.chain.outputs import demand_for_travel_percent
from mixlib.describe import Command, FreeMix, Setup
from mixlib.describe.words import number, sentence_start
from mixlib.units import COMMANDS, bisect

__all__ = [
    "Budget",
    "Limit",
    "Lost",
    "area",
    "budget",
    "clip_polygon",
    "first_limits",
    "largest_camber",
    "roll_left",
]

_ROLL, _CAMBER, _BRAKE = (COMMANDS.index(name) for name in ("roll", "camber", "brake"))


@dataclass(frozen=True)
class Limit:
    """Demand beyond which an output, or a surface on it, does not follow.

    Attributes
    ----------
    output : int
        Which output, from 1.
    upper : bool
        Whether larger demands are lost, else smaller ones.
    """

    output: int
    demand_percent: float
    words: str
    upper: bool


@dataclass(frozen=True)
class Lost:
    """Part of the command square that a limit takes away.

    Attributes
    ----------
    polygons : tuple of numpy.ndarray
        Corners, shape (corners, 2), roll and camber commands, anticlockwise; they do not overlap.
    share : float
        Share of what is used of the square, 0 to 1.
    """

    limit: Limit
    polygons: tuple[np.ndarray, ...]
    share: float


@dataclass(frozen=True)
class Budget:
    """What the outputs can add up.

    Attributes
    ----------
    square : tuple of float
        Largest roll and camber commands, after rate, either way.
    used : numpy.ndarray
        Shape (2, 2): the lowest and the highest roll and camber commands of the part of the square that is
        used, up to the marks; all of it where there is none.
    safe : tuple of numpy.ndarray
        Polygons in which every surface follows, corners as in `Lost`, commands.
    safe_share : float
        Their share of what is used of the square, 0 to 1.
    lost : tuple of Lost
        What each limit takes away, largest first.
    roll_left : dict of str to float
        Share of the neutral roll movement that is left, 0 to 1, by words such as ``"full droop"``.
    """

    square: tuple[float, float]
    used: np.ndarray
    safe: tuple[np.ndarray, ...]
    safe_share: float
    lost: tuple[Lost, ...]
    roll_left: dict[str, float]
    words: tuple[str, ...]


def budget(setup: Setup, brake: float = 0.0) -> Budget:
    """Work the budget of a set-up out.

    Parameters
    ----------
    brake : float
        Brake command that stays as it is, 0 to 1.

    Raises
    ------
    ValueError
        If the brake is outside 0 to 1.
    """
    if not 0 <= brake <= 1:
        raise ValueError(f"brake is {brake}. Accepted: 0 to 1.")
    limits = first_limits(setup)
    cells = _cells(setup, brake)
    whole = sum(area(corners) for corners, _ in cells)
    safe: list[np.ndarray] = []
    taken: dict[Limit, list[np.ndarray]] = {limit: [] for limit in limits}
    for corners, planes in cells:
        inside = corners
        for limit in limits:
            plane = planes[limit.output - 1] - np.array([0, 0, limit.demand_percent])
            beyond = clip_polygon(corners, plane if limit.upper else -plane)
            if area(beyond) > 1e-9:
                taken[limit].append(beyond)
            inside = clip_polygon(inside, -plane if limit.upper else plane)
        if area(inside) > 1e-9:
            safe.append(inside)
    lost = [Lost(k, tuple(v), sum(map(area, v)) / whole) for k, v in taken.items() if v]
    lost.sort(key=lambda part: -part.share)
    full = shape(commands(roll=1.0, camber=1.0), setup.shaping)
    left = {"neutral": roll_left(setup, 0.0, brake)}
    for word, way in (("droop", 1), ("reflex", -1)):
        end = setup.used_to("camber", way)
        half, whole_way = ("half", "full") if abs(end) == 1 else ("half the marked", "the marked")
        left[f"{half} {word}"] = roll_left(setup, end / 2, brake)
        left[f"{whole_way} {word}"] = roll_left(setup, end, brake)
    if "brake" in setup.radio.commands:
        end = setup.used_to("brake", 1)
        left["full brake" if end == 1 else "the marked brake"] = roll_left(setup, 0.0, end)
    safe_share = sum(map(area, safe)) / whole
    square = float(full[_ROLL]), float(full[_CAMBER])
    words = _words(brake, safe_share, lost, left)
    return Budget(square, _used(setup), tuple(safe), safe_share, tuple(lost), left, words)


def _used(setup: Setup) -> np.ndarray:
    """Lowest and highest roll and camber after rate, shape (2, 2)."""
    ends = [[setup.used_to(name, way) for name in ("roll", "camber")] for way in (-1, 1)]
    asked = np.array([commands(roll=roll, camber=camber) for roll, camber in ends])
    return shape(asked, setup.shaping)[:, [_ROLL, _CAMBER]]


def roll_left(setup: Setup, camber: float = 0.0, brake: float = 0.0) -> float:
    """Share of the neutral roll movement that is left, 0 to 1; 0 too when nothing answers to roll.

    The roll movement is that of all surfaces from full left to full right stick, each counted the way it
    goes at neutral, in degrees.

    Parameters
    ----------
    camber, brake : float
        Commands that are held; the camber may go past 1, as if its gains were larger.
    """
    return float(_shares_left(Rig(setup), np.array([camber]), brake)[0])


def largest_camber(setup: Setup, share: float, brake: float = 0.0, reflex: bool = False) -> float:
    """Largest camber, as a multiple of what is used now, that keeps a share of the roll on the whole way.

    Parameters
    ----------
    share : float
        What is to be kept, as a share of the neutral roll movement, above 0 and below 1.
    brake : float
        Brake command that is held, 0 to 1.
    reflex : bool
        Whether the negative side is meant, else droop.

    Returns
    -------
    float
        Multiple of all camber gains, 0 to 5 times, to a millionth; below 1 the present gains are too
        large, and 5 means that none was too large.  A dip that is narrower than 0.005 is not seen.

    Raises
    ------
    ValueError
        If the share is not above 0 and below 1.
    """
    if not 0 < share < 1:
        raise ValueError(f"share is {share}. Accepted: above 0 and below 1.")
    rig, end = Rig(setup), setup.used_to("camber", -1 if reflex else 1)
    steps = np.linspace(0, _MOST_CAMBER, 1001)
    short = np.flatnonzero(_shares_left(rig, end * steps, brake) < share)
    if not short.size:
        return _MOST_CAMBER
    if short[0] == 0:
        return 0.0

    def enough(times: float) -> bool:
        return bool(_shares_left(rig, np.array([end * times]), brake)[0] >= share)

    return float(bisect(enough, steps[short[0] - 1], steps[short[0]], 1e-6))


_MOST_CAMBER = 5.0


def _shares_left(rig: Rig, cambers: np.ndarray, brake: float) -> np.ndarray:
    def movement(camber: np.ndarray, held: float) -> np.ndarray:
        asked = np.zeros((2, len(camber), len(COMMANDS)))
        asked[..., _ROLL] = np.array([[1.0], [-1.0]])
        asked[..., _CAMBER], asked[..., _BRAKE] = camber, held
        right, left = rig.run(asked).surface
        return right - left

    neutral = movement(np.zeros(1), 0.0)[0]
    whole = np.abs(neutral).sum()
    if whole < 1e-9:
        return np.zeros(len(cambers))
    return movement(cambers, brake) @ np.sign(neutral) / whole


def area(corners: np.ndarray) -> float:
    """Area of a polygon in commands squared, of corners as in `Lost`; 0 with fewer than three."""
    if len(corners) < 3:
        return 0.0
    x, y = corners.T
    return float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum() / 2)


def clip_polygon(corners: np.ndarray, plane: np.ndarray) -> np.ndarray:
    """Part of a convex polygon where ``a x + b y + c >= 0``.

    Parameters
    ----------
    corners : numpy.ndarray
        As in `Lost`, in commands; there are none when nothing is left.
    plane : numpy.ndarray
        The numbers a, b, c, percent per full command and percent.
    """
    if not len(corners):
        return corners
    height = corners @ plane[:2] + plane[2]
    kept = []
    for here, there, a, b in zip(corners, np.roll(corners, -1, 0), height, np.roll(height, -1), strict=True):
        if a >= 0:
            kept.append(here)
        if (a > 0 > b) or (a < 0 < b):
            kept.append(here + (there - here) * (a / (a - b)))
    return np.array(kept).reshape(-1, 2)


def first_limits(setup: Setup) -> list[Limit]:
    """The demands, percent, that are met first, for each output in use and each of its two sides."""
    found = []
    radio = setup.radio
    for output in map(setup.output, setup.servo_outputs):
        ends = [-100.0, 100.0]
        if radio.end_points == "clip":
            ends = [-output.end_low_percent, output.end_high_percent]
        reason = REASONS["end point" if radio.end_points == "clip" else "demand"]
        sides = [[(-end if output.reversed else end, reason)] for end in ends]
        for surface in setup.surfaces_on(output.number):
            for side, limit in zip(sides, travel_limits(surface, radio), strict=True):
                demand = float(demand_for_travel_percent(limit.travel_percent, output, radio))
                side.append((demand, f"{REASONS[limit.reason]} ({surface.name})"))
        lower, upper = reversed(sides) if output.reversed else sides
        found.append(Limit(output.number, *max(lower, key=lambda item: item[0]), upper=False))
        found.append(Limit(output.number, *min(upper, key=lambda item: item[0]), upper=True))
    return found


def _cells(setup: Setup, brake: float) -> list[tuple[np.ndarray, np.ndarray]]:
    """Pieces of the square in which every demand is flat: corners, and planes of shape (outputs, 3)."""
    mixer = Mixer(setup)
    held = shape(commands(brake=brake), setup.shaping)[_BRAKE]
    (left, low), (right, high) = _used(setup)
    cells = [np.array([(left, low), (right, low), (right, high), (left, high)])]
    both: tuple[Command, Command] = ("roll", "camber")
    for place, name in enumerate(both):
        for fold in sorted(_folds(setup, name)):
            cells = _split(cells, [np.array([place == 0, place == 1, -fold], dtype=float)] * len(cells))
    if setup.radio.mix_takes == "output":
        led = [(mix.leader, mix) for mix in setup.free_mixes if mix.on and isinstance(mix.leader, int)]
        # A leader's own folds are cut before it can fold its follower: as many rounds as there are mixes.
        for _ in led:
            for leader, mix in led:
                for fold in _folds_of(mix):
                    planes = [_planes(mixer, cell, held)[leader - 1] for cell in cells]
                    cells = _split(cells, [plane - np.array([0, 0, 100 * fold]) for plane in planes])
    return [(cell, _planes(mixer, cell, held)) for cell in cells]


def _folds(setup: Setup, name: Command) -> set[float]:
    """Commands at which an output's own control gives nothing, or a mix is at its centre or a point."""
    control, trim = setup.radio.control(name), setup.trims.get(name, 0.0) / 100
    low, high = (-100.0, 100.0) if control is None else control.ends_percent
    own = -(low + high) / (high - low) if high != low else 0.0
    led = (mix for mix in setup.free_mixes if mix.on and leading_command(setup, mix) == name)
    carried = trim if setup.radio.mixes_carry_trim else 0.0
    return {own - trim, *(fold - carried for mix in led for fold in _folds_of(mix))}


def _folds_of(mix: FreeMix) -> list[float]:
    if mix.curve_percent:
        return np.linspace(-1, 1, len(mix.curve_percent)).tolist()
    return [mix.centre_percent / 100]


def _split(cells: list[np.ndarray], planes: list[np.ndarray]) -> list[np.ndarray]:
    halves = [clip_polygon(cell, s * p) for cell, p in zip(cells, planes, strict=True) for s in (1, -1)]
    return [half for half in halves if area(half) > 1e-9]


def _planes(mixer: Mixer, cell: np.ndarray, brake: float) -> np.ndarray:
    """Demand of every output over a flat piece, from three places inside it."""
    centre = cell.mean(axis=0)
    places = centre + 0.5 * (cell[:3] - centre)
    shaped = np.zeros((3, len(COMMANDS)))
    shaped[:, _ROLL], shaped[:, _CAMBER] = places.T
    shaped[:, _BRAKE] = brake
    return np.linalg.solve(np.column_stack([places, np.ones(3)]), mixer.demand_percent(shaped)).T


def _words(brake: float, safe_share: float, lost: list[Lost], left: dict[str, float]) -> tuple[str, ...]:
    held = f"With {100 * brake:.0f} % brake: " if brake else ""
    if not lost:
        first = "every surface follows roll and camber over the whole square."
    else:
        first = f"every surface follows over {100 * safe_share:.0f} % of the roll and camber square."
    words = [sentence_start(held + first)]
    words += [
        f"Output {part.limit.output} runs out at {part.limit.words}, at a demand of "
        f"{number(part.limit.demand_percent, 0)} %: {100 * part.share:.0f} % of the square."
        for part in lost
    ]
    words += [f"Roll left at {name}: {100 * share:.0f} %." for name, share in left.items()]
    return tuple(words)
