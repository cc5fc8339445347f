"""Geometry of one surface's linkage from the side, to scale: servo, arm, rod, horn, hinge and surface."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Literal

import numpy as np

from mixlib.chain.linkage import arm_for_surface_deg, rod_length_mm, surface_angle_deg
from mixlib.describe import Surface
from mixlib.describe.words import movement, sentence_start
from mixlib.draw.section import role_of, room_sines, surface_heading
from mixlib.draw.shapes import (
    MARGIN,
    ROOM,
    Circle,
    Drawing,
    Line,
    Point,
    Polygon,
    Room,
    Scaled,
    Shape,
    Text,
    fitted,
)
from mixlib.draw.theme import first_fitting
from mixlib.units import throw_mm_from_angle

__all__ = ["arm_words", "linkage_points", "linkage_side"]

Put = Callable[[Point], Point]
SIDE = 40.0  # left free beside the linkage
_SIDES = {"above": "upper", "below": "lower", "left": "left", "right": "right"}
SHOWN = 5.0  # of a long rod at least this many times the longest lever is shown


def linkage_points(surface: Surface, arm_deg: float, angle_deg: float) -> dict[str, Point]:
    """Places of a linkage in mm, nose to the left: x aft from the servo's shaft, y up (rudder: to the right).

    Parameters
    ----------
    arm_deg : float
        Arm angle from its drawn place, tip forward positive.
    angle_deg : float
        Surface angle, trailing edge down (rudder: left) positive.

    Returns
    -------
    dict of str to tuple
        ``shaft``, ``arm`` (its hole), ``horn`` (its hole), ``hinge``, ``edge`` (trailing edge).
    """
    link = surface.linkage
    arm_up = 1.0 if link.arm_side in ("above", "right") else -1.0
    horn_up = 1.0 if link.horn_side in ("above", "right") else -1.0
    arm = np.radians(link.arm_angle_deg + arm_deg)
    horn = np.radians(link.horn_angle_deg - horn_up * angle_deg)  # trailing edge down takes a horn above aft
    turn = np.radians(angle_deg)
    places = {
        "shaft": (0.0, 0.0),
        "arm": (link.arm_mm * np.cos(arm), arm_up * link.arm_mm * np.sin(arm)),
        "horn": (link.distance_mm + link.horn_mm * np.cos(horn), horn_up * link.horn_mm * np.sin(horn)),
        "hinge": (link.distance_mm, 0.0),
        "edge": (link.distance_mm + surface.chord_mm * np.cos(turn), -surface.chord_mm * np.sin(turn)),
    }
    return {name: (float(x), float(y)) for name, (x, y) in places.items()}


def arm_words(arm_deg: float) -> str:
    """Where the arm has gone, in words.

    Parameters
    ----------
    arm_deg : float
        Arm angle from its drawn place, tip forward positive.

    Returns
    -------
    str
        Such as ``"12.0° forward"``, ``"12.0° back"`` or ``"as drawn"``.
    """
    if abs(arm_deg) < 0.05:
        return "at its neutral"
    return f"{abs(arm_deg):.1f}° {'forward' if arm_deg > 0 else 'back'}"


@fitted
def linkage_side(
    surface: Surface,
    arm_deg: float,
    angle_deg: float,
    note: str = "",
    nose: Literal["left", "right"] = "left",
    *,
    room: Room = ROOM,
) -> Drawing:
    """Draw a linkage from the side, to scale.

    A long rod is shortened in the middle, and the picture says so; its ends keep their true direction.

    Parameters
    ----------
    arm_deg : float
        Arm angle from its drawn place, tip forward positive, as the Rig gives it.
    angle_deg : float
        Surface angle, trailing edge down (rudder: left) positive.
    note : str
        A short warning, such as ``"the linkage binds here"``.
    nose : {"left", "right"}
        Where the nose is, for one who stands beside the aircraft.
    """
    link = surface.linkage
    arm_deg, angle_deg = float(arm_deg), float(angle_deg)
    reached = float(arm_for_surface_deg(link, angle_deg))
    if abs(angle_deg - float(surface_angle_deg(link, arm_deg))) > 0.05 and not np.isnan(reached):
        arm_deg = (
            reached  # at a stop the arm stands where the surface met it, however far the servo wants to go
        )
    throw = float(throw_mm_from_angle(angle_deg, surface.chord_mm))
    role, view = role_of(surface, throw), _view(surface, nose)
    shapes, top = surface_heading(surface, angle_deg, throw, (view, f"nose to the {nose}"), note, room)
    names: tuple[str, ...] = ("arm", "rod", "horn", "edge")
    if room.width < 500:
        names = ("arm", "rod", "horn") if room.width >= 360 else ("arm", "horn")
    on_top = {name: _on_top(surface, name) for name in names}
    row = 44.0 if room.height >= 200 else 26.0  # a row of labels, of two lines or of one
    first = top + (row if any(on_top.values()) else 0)
    below = 0 if all(on_top.values()) else row
    ahead = max(link.arm_mm, 10.0)
    wide = room.width - 2 * SIDE
    up, down = room_sines(surface, angle_deg)
    sides = {link.arm_side: link.arm_mm, link.horn_side: link.horn_mm}
    over = max(sides.get("above", 0), sides.get("right", 0), surface.chord_mm * up, 8.0)
    under = max(sides.get("below", 0), sides.get("left", 0), surface.chord_mm * down, 8.0)
    shown = min(link.distance_mm, SHOWN * max(link.arm_mm, link.horn_mm))
    high = max(room.height - first - below - 28, 32.0)
    scale = min(wide / (ahead + shown + surface.chord_mm), high / (over + under))
    left_out = max(0.0, ahead + link.distance_mm + surface.chord_mm - wide / scale)
    left = (room.width - scale * (ahead + link.distance_mm - left_out + surface.chord_mm)) / 2
    line = first + 12 + scale * over
    foot = line + scale * under + 12

    def put(point: Point) -> Point:
        x = left + scale * (ahead + point[0])
        return x if nose == "left" else room.width - x, line - scale * point[1]

    places = linkage_points(surface, arm_deg, angle_deg)
    for name in ("horn", "hinge", "edge"):
        places[name] = (places[name][0] - left_out, places[name][1])
    at = {name: put(point) for name, point in places.items()}
    rod, at["rod"] = _rod(places["arm"], places["horn"], left_out, put)

    def to_scale(about: str, shape: Shape) -> Scaled:
        """A rod that is shortened otherwise has another scale at either end."""
        return Scaled((shape,), about, at[about], (scale, scale))

    body = ((-9.0, -6.0), (15.0, -6.0), (15.0, 6.0), (-9.0, 6.0))
    fitting = min(1.0, link.distance_mm / 40)  # a servo close to its hinge is drawn smaller
    shapes += [
        Line((put((18.0 * fitting, 0.0)), at["hinge"]), "ghost", "line from servo to hinge"),
        Polygon(tuple(put((fitting * x, fitting * y)) for x, y in body), "servo", "servo"),
        Polygon(_wedge(places["hinge"], surface.chord_mm, 0.0, put), "fixed", "neutral place"),
        to_scale(
            "hinge", Polygon(_wedge(places["hinge"], surface.chord_mm, angle_deg, put), role, surface.name)
        ),
        to_scale("shaft", Line((at["shaft"], at["arm"]), "arm", "servo arm")),
        to_scale("hinge", Line((at["hinge"], at["horn"]), "horn", "horn")),
        *rod,
        *(Circle(*at[name], 5.0, "hinge", name) for name in ("shaft", "hinge", "arm", "horn")),
    ]
    slot = (room.width - 2 * MARGIN) / len(names)
    labels = _labels(surface, arm_deg, left_out > 0, names, slot)
    for index, (name, upper, lower) in enumerate(labels):
        lower = lower if row > 30 else ""
        x = MARGIN + slot * (index + 0.5)
        x = x if nose == "left" else room.width - x
        y, edge = (first - (26 if lower else 8), first) if on_top[name] else (foot + 18, foot)
        shapes += [Line((at[name], (x, edge)), "leader"), Text(x, y, upper, anchor="middle")]
        shapes += [Text(x, y + 18, lower, "note", "middle")] if lower else []
    spoken = (
        f"{view}. Servo arm {arm_words(arm_deg)}, horn on the {_SIDES[link.horn_side]} side; "
        f"{surface.name} {movement(surface, angle_deg, throw)}."
        + (" The rod is drawn shortened." if left_out else "")
        + (f" {sentence_start(note)}." if note else "")
    )
    height = foot + below + 4
    title = f"Linkage of the {surface.name} from the side"
    return Drawing(room.width, height, tuple(shapes), title, spoken)


def _labels(
    surface: Surface, arm_deg: float, shortened: bool, names: Sequence[str], slot: float
) -> Iterator[tuple[str, str, str]]:
    """Two lines of words for each part that is named."""
    link = surface.linkage
    words = {
        "arm": (("servo arm {} mm", "arm {} mm"), f"{link.arm_mm:g}", (arm_words(arm_deg),)),
        "rod": (
            ("rod {} mm", "{} mm"),
            f"{rod_length_mm(link):.1f}",
            ("drawn shortened", "shortened") if shortened else ("",),
        ),
        "horn": (("horn {} mm",), f"{link.horn_mm:g}", ("",)),
        "edge": (("trailing edge",), "", (f"chord {surface.chord_mm:g} mm",)),
    }
    for name in names:
        options, size, below = words[name]
        lines = [option.format(size) for option in options]
        yield name, first_fitting(lines, slot - 8, "label"), first_fitting(below, slot - 8, "note")


def _on_top(surface: Surface, name: str) -> bool:
    """Whether the words of a part stand over the picture: those of a lever that stands out upwards."""
    up = [side in ("above", "right") for side in (surface.linkage.arm_side, surface.linkage.horn_side)]
    return {"arm": up[0], "horn": up[1], "rod": all(up), "edge": False}[name]


def _view(surface: Surface, nose: str) -> str:
    if surface.kind == "rudder":
        return f"From above, nose to the {nose}, left at the bottom"
    return f"From the side, nose to the {nose}"


def _wedge(hinge: Point, chord: float, angle_deg: float, put: Put) -> tuple[Point, ...]:
    """Surface as a slim wedge that points from the hinge to its trailing edge."""
    turn = np.radians(angle_deg)
    along = np.array([np.cos(turn), -np.sin(turn)])
    across = 0.05 * chord * np.array([np.sin(turn), np.cos(turn)])
    start, end = np.array(hinge), np.array(hinge) + chord * along
    return tuple(put(tuple(point.tolist())) for point in (start + across, end, start - across))


def _rod(arm: Point, horn: Point, left_out: float, put: Put) -> tuple[list[Shape], Point]:
    """The rod, with a gap where a part is left out; also its middle in the drawing."""
    if not left_out:
        middle = put(((arm[0] + horn[0]) / 2, (arm[1] + horn[1]) / 2))
        return [Line((put(arm), put(horn)), "rod", "rod")], middle
    slope = (horn[1] - arm[1]) / (horn[0] + left_out - arm[0])
    centre, gap = (arm[0] + horn[0]) / 2, 2.0
    near = (centre - gap, arm[1] + slope * (centre - gap - arm[0]))
    far = (centre + gap, horn[1] - slope * (horn[0] - centre - gap))
    marks = [_break(put(near)), _break(put(far))]
    return [
        Line((put(arm), put(near)), "rod", "rod"),
        Line((put(far), put(horn)), "rod", "rod"),
        *marks,
    ], put(near)


def _break(at: Point) -> Line:
    x, y = at
    steps: Sequence[Point] = ((-3, -12), (3, -4), (-3, 4), (3, 12))
    return Line(tuple((x + dx, y + dy) for dx, dy in steps), "wire", "part of the rod left out")
