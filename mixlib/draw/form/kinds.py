"""Small pictures of what one can have: wing, tail, servo leads, motor, skin."""

from __future__ import annotations

from mixlib.draw.shapes import Circle, Drawing, Line, Polygon, Shape, frame

__all__ = ["kind_picture"]

_WIDE, _HIGH = 112.0, 60.0


def kind_picture(question: str, choice: str) -> Drawing:
    """Draw one choice small enough for a button.

    Parameters
    ----------
    question, choice : str
        Such as ``"tail"`` and ``"V-tail"``; what has no picture gets an empty one.
    """
    draw = {"wing": _wing, "tail": _tail, "lead": _lead, "motor": _motor, "finish": _finish}.get(question)
    shapes = draw(choice) if draw else []
    return Drawing(_WIDE, _HIGH, tuple(shapes), choice, "")


def _half(points: tuple[tuple[float, float], ...], role: str) -> list[Shape]:
    """A shape on the right of the middle, and its mirror image."""
    return [Polygon(tuple((_WIDE / 2 + sense * x, y) for x, y in points), role) for sense in (-1, 1)]


def _wing(choice: str) -> list[Shape]:
    shapes = [*_half(((0, 18), (50, 22), (50, 34), (0, 42)), "fixed")]
    shapes += _half(((24, 32.5), (48, 28), (48, 34.5), (24, 38.5)), "up")
    if choice == "ailerons and flaps":
        shapes += _half(((4, 36), (22, 33), (22, 39), (4, 42)), "down")
    return shapes


def _tail(choice: str) -> list[Shape]:
    middle = _WIDE / 2
    if choice == "tailless":
        wing = _half(((0, 8), (50, 34), (50, 46), (0, 40)), "fixed")
        return [*wing, *_half(((18, 35), (48, 41), (48, 46.5), (18, 43)), "up")]
    if choice == "V-tail":
        shapes: list[Shape] = [*_half(((0, 46), (30, 12), (34, 15), (3, 50)), "fixed")]
    else:
        shapes = [frame(middle - 34, 42, 68, 5, "fixed"), frame(middle - 2.5, 10, 5, 32, "fixed")]
    return [*shapes, Circle(middle, 46, 6, "neutral")]


def _lead(choice: str) -> list[Shape]:
    servos: list[Shape] = [
        frame(x, 8, 22, 14, "servo") for x in ((14, 76) if choice != "one servo" else (45,))
    ]
    if choice == "one servo":
        rods: list[Shape] = [Line(((45, 15), (10, 15)), "rod"), Line(((67, 15), (102, 15)), "rod")]
        return [*servos, *rods, Line(((56, 22), (56, 48)), "movement"), Circle(56, 50, 5, "badge")]
    if choice == "Y-lead":
        wires = (((25, 22), (56, 36)), ((87, 22), (56, 36)), ((56, 36), (56, 48)))
        return [*servos, *(Line(wire, "movement") for wire in wires), Circle(56, 50, 5, "badge")]
    wires_ = (((25, 22), (44, 46)), ((87, 22), (68, 46)))
    return [
        *servos,
        *(Line(wire, "movement") for wire in wires_),
        Circle(43, 50, 5, "badge"),
        Circle(69, 50, 5, "badge"),
    ]


def _motor(choice: str) -> list[Shape]:
    body = Polygon(((30, 30), (38, 22), (104, 26), (104, 34), (38, 38)), "fixed")
    if choice == "none":
        return [body]
    if choice == "folding":
        blades: list[Shape] = [Line(((30, 30), (46, 15)), "movement"), Line(((30, 30), (46, 45)), "movement")]
    else:
        blades = [Line(((30, 6), (30, 54)), "movement")]
    return [body, *blades, Circle(30, 30, 4, "spot")]


def _finish(choice: str) -> list[Shape]:
    outline = ((8, 34), (14, 24), (34, 17), (60, 19), (104, 33), (60, 37), (30, 41), (14, 40))
    shapes: list[Shape] = [Polygon(outline, "fixed")]
    if choice == "foam":
        dots = ((18, 31), (28, 25), (38, 33), (46, 24), (54, 30), (64, 26), (72, 31), (32, 36), (84, 31))
        shapes += [Circle(x, y, 2.6, "hinge") for x, y in dots]
    return shapes
