"""A plan of the aircraft that draws itself from the numbers typed so far, with the number one is at."""

from __future__ import annotations

from collections.abc import Mapping

from mixlib.draw.shapes import (
    MARGIN,
    ROOM,
    Arrow,
    Circle,
    Drawing,
    Line,
    Point,
    Polygon,
    Room,
    Shape,
    fitted,
    heading,
)

__all__ = ["sketch"]

Sizes = Mapping[str, float]
_BESIDE = 16.0  # from the aircraft to an arrow beside it
_PROFILE = (
    (0.0, 0.0),
    (0.03, 0.3),
    (0.12, 0.55),
    (0.3, 0.68),
    (0.6, 0.45),
    (1.0, 0.0),
    (0.6, -0.12),
    (0.3, -0.3),
    (0.08, -0.26),
)


@fitted
def sketch(sizes_mm: Sizes, at: str, title: str, note: str, *, room: Room = ROOM) -> Drawing:
    """Draw the aircraft from above, nose up, to scale, with an arrow for one of its numbers.

    Parameters
    ----------
    sizes_mm : mapping of str to float
        ``span``, ``root``, ``tip``, ``sweep``, ``balance``, and where there are any ``aileron.from``,
        ``aileron.to``, ``aileron.chord``, the same of ``flap`` and ``elevon``, ``tail.back``, ``tail.span``,
        ``tail.chord``, ``tail.flap``, ``fin``, ``motor``; all in mm.
    at : str
        Key of the number that the arrow shows; another word shows none.
    title, note : str
        Words over the picture: the number, and how it is measured.
    """
    s = sizes_mm
    half = s["span"] / 2
    nose = -0.75 * s["root"] if "tail.back" in s else -0.1 * s["root"]
    rear = max(s["root"], s["sweep"] + s["tip"], s.get("tail.back", 0.0) + s.get("tail.chord", 0.0))
    shapes, top = heading(title, room, note)
    top += _BESIDE + 6
    scale = min(
        (room.width - 2 * MARGIN - 4 * _BESIDE) / (2 * half),
        (room.height - top - 2 * _BESIDE) / (rear - nose),
    )
    scale = max(scale, 0.01)

    def put(x_mm: float, y_mm: float) -> Point:
        """A place in mm: x aft of the root's nose, y to the right."""
        return room.width / 2 + scale * y_mm, top + scale * (x_mm - nose)

    for sense in (-1, 1):
        corners = ((0.0, 0.0), (s["sweep"], half), (s["sweep"] + s["tip"], half), (s["root"], 0.0))
        shapes.append(Polygon(tuple(put(x, sense * y) for x, y in corners), "fixed", "wing"))
        shapes += [
            _moving(s, what, sense, put) for what in ("flap", "aileron", "elevon") if f"{what}.to" in s
        ]
    shapes += _behind(s, put)
    shapes += _body(s, nose, rear, put)
    x, y = put(s["balance"], 0.0)
    shapes += [Circle(x, y, 7.0, "hinge", "balance point"), Circle(x, y, 2.5, "spot", "balance point")]
    if at == "thick":
        shapes += _section(s, put)
    else:
        shapes += _arrows(s, at, put)
    bottom = put(rear, 0.0)[1] + 2 * _BESIDE
    return Drawing(room.width, bottom, tuple(shapes), title, f"{title}. From above, nose up. {note}")


def _edge(s: Sizes, y_mm: float) -> float:
    """Trailing edge of the wing at a distance from the middle."""
    share = min(max(2 * y_mm / s["span"], 0.0), 1.0)
    return s["root"] + share * (s["sweep"] + s["tip"] - s["root"])


def _moving(s: Sizes, what: str, sense: int, put) -> Shape:
    inner, outer, chord = s[f"{what}.from"], s[f"{what}.to"], s[f"{what}.chord"]
    a, b = _edge(s, inner), _edge(s, outer)
    corners = ((a - chord, inner), (b - chord, outer), (b, outer), (a, inner))
    return Polygon(tuple(put(x, sense * y) for x, y in corners), "neutral", what)


def _behind(s: Sizes, put) -> list[Shape]:
    if "tail.back" not in s:
        return []
    front, chord, reach = s["tail.back"], s["tail.chord"], s["tail.span"] / 2
    shapes: list[Shape] = []
    for role, start in (("fixed", front), ("neutral", front + chord - s["tail.flap"])):
        corners = ((start, -reach), (start, reach), (front + chord, reach), (front + chord, -reach))
        shapes.append(Polygon(tuple(put(x, y) for x, y in corners), role, "tail"))
    if "fin" in s:
        shapes.append(Line((put(front, 0), put(front + chord, 0)), "movement", "fin"))
    return shapes


def _body(s: Sizes, nose: float, rear: float, put) -> list[Shape]:
    wide, root = 0.13 * s["root"], s["root"]
    end = rear if "tail.back" in s else 0.9 * root
    side = ((nose + wide, 0.8 * wide), (0.3 * root, wide), (end, 0.15 * wide))
    corners = ((nose, 0.0), *side, *((x, -y) for x, y in reversed(side)))
    shapes: list[Shape] = [Polygon(tuple(put(x, y) for x, y in corners), "fixed", "fuselage")]
    if "motor" in s:
        shapes.append(
            Line((put(nose, -0.08 * s["span"]), put(nose, 0.08 * s["span"])), "movement", "propeller")
        )
    return shapes


def _arrows(s: Sizes, at: str, put) -> list[Shape]:
    """An arrow with two heads along the number."""
    half, what = s["span"] / 2, at.partition(".")[0]
    behind = max(s["root"], s["sweep"] + s["tip"])
    spans = {
        "span": ((0.0, -half), (0.0, half), (0, -_BESIDE)),
        "root": ((0.0, 0.0), (s["root"], 0.0), (0, 0)),
        "tip": ((s["sweep"], half), (s["sweep"] + s["tip"], half), (_BESIDE, 0)),
        "sweep": ((0.0, half), (s["sweep"], half), (_BESIDE, 0)),
        "balance": ((0.0, 0.0), (s["balance"], 0.0), (0, 0)),
        "mass": ((s["balance"], 0.0), (s["balance"], 0.0), (0, 0)),
    }
    if "tail.back" in s:
        front, chord, reach = s["tail.back"], s["tail.chord"], s["tail.span"] / 2
        spans |= {
            "tail.back": ((0.0, 0.0), (front, 0.0), (-_BESIDE, 0)),
            "tail.span": ((front + chord, -reach), (front + chord, reach), (0, _BESIDE)),
            "tail.chord": ((front, reach), (front + chord, reach), (_BESIDE, 0)),
            "tail.flap": ((front + chord - s["tail.flap"], reach), (front + chord, reach), (_BESIDE, 0)),
        }
    if f"{what}.to" in s:
        inner, outer, chord = s[f"{what}.from"], s[f"{what}.to"], s[f"{what}.chord"]
        edge = _edge(s, inner)
        spans |= {
            f"{what}.from": ((behind, 0.0), (behind, inner), (0, _BESIDE)),
            f"{what}.to": ((behind, 0.0), (behind, outer), (0, _BESIDE)),
            f"{what}.chord": ((edge - chord, inner), (edge, inner), (0, 0)),
        }
    if at not in spans:
        return []
    start, end, (right, down) = spans[at]
    a, b = ((x + right, y + down) for x, y in (put(*start), put(*end)))
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    guides: list[Shape] = [
        Line((put(*place), tip), "wire") for place, tip in ((start, a), (end, b)) if put(*place) != tip
    ]
    return [*guides, Arrow(middle, a, "measure", at), Arrow(middle, b, "measure", at)]


def _section(s: Sizes, put) -> list[Shape]:
    """The root's section, beside the body behind the left wing, with an arrow across its thickest place."""
    left, right = put(0, -0.42 * s["span"])[0], put(0, -0.08 * s["span"])[0]
    chord = right - left
    y = put(max(s["root"], s["sweep"] + s["tip"]), 0)[1] + 0.16 * chord
    high = 0.25 * chord * min(max(s.get("thick", 0.1 * s["root"]) / s["root"] / 0.12, 0.4), 1.6)
    outline = tuple((left + x * chord, y - high * rise) for x, rise in _PROFILE)
    x = left + 0.3 * chord
    return [
        Polygon(outline, "fixed", "section of the root"),
        Arrow((x, y - 0.19 * high), (x, y - 0.68 * high), "measure", "thick"),
        Arrow((x, y - 0.19 * high), (x, y + 0.3 * high), "measure", "thick"),
    ]
