"""What the reader flies: wing, tail, surfaces, and the linkage and servo that move each surface."""

from __future__ import annotations

from typing import Literal, Self

import numpy as np
from numpy.typing import ArrayLike
from pydantic import Field, model_validator

from mixlib.describe.base import Described, Number, measure, refuse
from mixlib.describe.errors import MISSING

__all__ = [
    "SECTION_NAMES",
    "Aircraft",
    "Fin",
    "Linkage",
    "MOTOR",
    "Motor",
    "Servo",
    "Station",
    "Surface",
    "Tail",
    "Wing",
]

SECTION_NAMES = ("symmetrical", "thin cambered", "general purpose", "flat-bottomed")
"""Kinds of wing section that the air model knows."""

MOTOR = "motor"
"""What the motor's plug is called beside those of the surfaces; no surface may have this name."""

Side = Literal["above", "below", "left", "right"]


class Servo(Described):
    """How one servo answers a pulse.

    ``longer_pulse_moves_arm`` says which way the arm's tip goes, towards the nose or the tail, when the pulse
    grows longer, with everything as it is built in.  Two equal servos built in as mirror images therefore
    differ in this word.
    """

    arm_deg_per_500us: float = measure(
        10, 90, "deg", "how far the arm turns when the pulse changes by 500 us"
    )
    longer_pulse_moves_arm: Literal["forward", "back"] = Field(
        description="which way the arm's tip goes when the pulse gets longer"
    )
    arm_offset_deg: float = measure(
        -30, 30, "deg", "how far the arm stands forward of its drawn place at 1500 us", 0.0
    )
    seconds_per_60deg: float = measure(0.02, 2, "s", "time the arm needs for 60 degrees", 0.15)
    min_us: float = measure(500, 1400, "us", "shortest pulse that the servo follows", 800)
    max_us: float = measure(1600, 2500, "us", "longest pulse that the servo follows", 2200)


class Linkage(Described):
    """A pushrod from a servo arm to a control horn, in one plane.

    Seen from the side with the nose to the left, the servo's shaft is the origin and the hinge line lies
    ``distance_mm`` behind it.  Angles of arm and horn at neutral are measured from the line servo to hinge:
    90 is square to it, more leans towards the nose.
    """

    arm_mm: float = measure(3, 60, "mm", "servo shaft to the hole in the arm")
    horn_mm: float = measure(3, 80, "mm", "hinge line to the hole in the horn")
    distance_mm: float = measure(10, 2000, "mm", "servo shaft to hinge line")
    arm_side: Side = Field("below", description="side on which the servo arm stands out")
    horn_side: Side = Field("below", description="side of the surface on which the horn stands out")
    arm_angle_deg: float = measure(20, 160, "deg", "angle of the arm at neutral; 90 is square", 90.0)
    horn_angle_deg: float = measure(20, 160, "deg", "angle of the horn at neutral; 90 is square", 90.0)
    rod_mm: float | None = measure(
        5, 2000, "mm", "length of the rod; left out, it is the length that fits at neutral", None
    )
    arm_holes_mm: tuple[Number, ...] = Field(
        (), description="other holes in the arm, from the shaft", json_schema_extra={"unit": "mm"}
    )
    horn_holes_mm: tuple[Number, ...] = Field(
        (), description="other holes in the horn, from the hinge", json_schema_extra={"unit": "mm"}
    )

    @property
    def crossed(self) -> bool:
        """Whether the rod crosses from one side of the surface to the other."""
        return self.arm_side != self.horn_side

    @model_validator(mode="after")
    def _sides_in_one_plane(self) -> Self:
        upright = {"above", "below"}
        if (self.arm_side in upright) != (self.horn_side in upright):
            accepted = (
                "above or below like the arm" if self.arm_side in upright else "left or right like the arm"
            )
            raise refuse("horn_side", self.horn_side, accepted)
        for field in ("arm_holes_mm", "horn_holes_mm"):
            for hole in getattr(self, field):
                if not 3 <= hole <= 80:
                    raise refuse(field, hole, "3 to 80 mm")
        return self


class Surface(Described):
    """One control surface with the servo that moves it."""

    name: str = Field(min_length=1, max_length=40, description="what you call it")
    kind: Literal["aileron", "flap", "elevator", "rudder", "elevon", "v-tail"] = Field(
        description="its job on the aircraft"
    )
    part: Literal["wing", "tail", "fin"] = Field(description="what it is hinged to")
    side: Literal["left", "right", "centre"] = Field(description="left or right, seen by the pilot on board")
    y_inner_mm: float = measure(0, 4000, "mm", "inner end, from the middle of the aircraft (fin: lower end)")
    y_outer_mm: float = measure(1, 4000, "mm", "outer end, from the middle of the aircraft (fin: upper end)")
    chord_mm: float = measure(
        5, 400, "mm", "hinge line to trailing edge at the inner end, where you measure the throw"
    )
    outer_chord_mm: float | None = measure(
        5, 400, "mm", "hinge line to trailing edge at the outer end; left out, as wide as the inner end", None
    )
    stop_up_deg: float = measure(
        1, 90, "deg", "angle at which something stops it going up (rudder: right)", 60.0
    )
    stop_down_deg: float = measure(
        1, 90, "deg", "angle at which something stops it going down (rudder: left)", 60.0
    )
    linkage: Linkage
    servo: Servo
    servo_of: str | None = Field(
        None, description="surface whose servo moves this one too; none when it has its own servo"
    )

    @model_validator(mode="after")
    def _inner_before_outer(self) -> Self:
        if self.y_outer_mm <= self.y_inner_mm:
            raise refuse("y_outer_mm", self.y_outer_mm, f"more than the inner end, {self.y_inner_mm:g} mm")
        if self.part == "wing" and self.side == "centre":
            raise refuse("side", self.side, "left or right for a surface on the wing")
        if (self.linkage.arm_side in ("left", "right")) != (self.kind == "rudder"):
            accepted = "left or right for a rudder, above or below for every other surface"
            raise refuse("linkage.arm_side", self.linkage.arm_side, accepted)
        return self

    def chord_at_mm(self, y_mm: ArrayLike) -> np.ndarray | np.float64:
        """Hinge line to trailing edge in mm at distances from the middle, between its two ends."""
        outer = self.chord_mm if self.outer_chord_mm is None else self.outer_chord_mm
        places = np.asarray(y_mm, float)
        return np.interp(places, (self.y_inner_mm, self.y_outer_mm), (self.chord_mm, outer))


class Station(Described):
    """One rib of the half wing; between two stations everything changes evenly."""

    y_mm: float = measure(0, 4000, "mm", "distance from the middle of the aircraft, along the wing")
    chord_mm: float = measure(20, 800, "mm", "leading edge to trailing edge")
    leading_edge_mm: float = measure(-500, 1500, "mm", "leading edge behind the root's leading edge", 0.0)
    twist_deg: float = measure(-10, 10, "deg", "nose-up angle against the root", 0.0)
    dihedral_deg: float = measure(
        -20, 45, "deg", "how far the wing stands up from here to the next rib; 0 is flat", 0.0
    )
    section: Literal["symmetrical", "thin cambered", "general purpose", "flat-bottomed"] = Field(
        "general purpose", description="kind of wing section"
    )
    thickness_mm: float | None = measure(
        2, 150, "mm", "largest thickness by ruler; with the camber it takes the place of the kind", None
    )
    camber_mm: float | None = measure(
        0, 60, "mm", "most height of the section's middle above the line from nose to tail", None
    )

    @model_validator(mode="after")
    def _both_or_neither(self) -> Self:
        if (self.thickness_mm is None) != (self.camber_mm is None):
            missing = "thickness_mm" if self.thickness_mm is None else "camber_mm"
            raise refuse(missing, MISSING, "a number too, or leave out both thickness and camber")
        return self


class Wing(Described):
    """The wing: stations of the half span from the root outwards, mirrored to the other side."""

    stations: tuple[Station, ...] = Field(min_length=2, max_length=20, description="ribs from root to tip")

    @model_validator(mode="after")
    def _from_root_outwards(self) -> Self:
        if self.stations[0].y_mm != 0:
            raise refuse("stations.1.y_mm", self.stations[0].y_mm, "0, since the first rib is the root")
        for number_, (inner, outer) in enumerate(
            zip(self.stations, self.stations[1:], strict=False), start=2
        ):
            if outer.y_mm <= inner.y_mm:
                raise refuse(
                    f"stations.{number_}.y_mm", outer.y_mm, f"more than {inner.y_mm:g} mm, the one before"
                )
        if self.stations[-1].dihedral_deg != 0:
            field = f"stations.{len(self.stations)}.dihedral_deg"
            accepted = "0 at the tip; the angle belongs to the rib before, where that piece of wing begins"
            raise refuse(field, self.stations[-1].dihedral_deg, accepted)
        return self

    @property
    def span_mm(self) -> float:
        """Tip to tip along both halves, mm."""
        return 2 * self.stations[-1].y_mm

    @property
    def area_dm2(self) -> float:
        """Area of both halves, each piece laid flat, dm^2."""
        pairs = zip(self.stations, self.stations[1:], strict=False)
        half_mm2 = sum((b.y_mm - a.y_mm) * (a.chord_mm + b.chord_mm) / 2 for a, b in pairs)
        return 2 * half_mm2 / 1e4

    @property
    def aspect_ratio(self) -> float:
        """Span squared over area."""
        return (self.span_mm / 100) ** 2 / self.area_dm2

    def chord_at_mm(self, y_mm: float) -> float:
        """Chord in mm at a distance from the middle, at most the half span."""
        places = [station.y_mm for station in self.stations]
        return float(np.interp(y_mm, places, [station.chord_mm for station in self.stations]))


class Tail(Described):
    """The horizontal tail, or a V-tail when its dihedral is not zero."""

    span_mm: float = measure(50, 2000, "mm", "tip to tip, measured along both halves")
    chord_mm: float = measure(20, 400, "mm", "mean chord, elevator included")
    arm_mm: float = measure(100, 3000, "mm", "balance point to a quarter of the tail's chord")
    incidence_deg: float = measure(-10, 10, "deg", "nose-up angle against the wing's root", 0.0)
    dihedral_deg: float = measure(0, 60, "deg", "how far each half stands up; 0 is flat", 0.0)


class Fin(Described):
    """The vertical tail."""

    height_mm: float = measure(30, 1000, "mm", "height")
    chord_mm: float = measure(20, 500, "mm", "mean chord, rudder included")
    arm_mm: float = measure(100, 3000, "mm", "balance point to a quarter of the fin's chord")


class Motor(Described):
    """The electric motor: its propeller, and the pulses that its controller takes for off and for full."""

    propeller: Literal["folding", "fixed"] = Field("folding", description="what it does with the motor off")
    off_us: float = measure(700, 1500, "us", "pulse at and below which it stands still", 1100.0)
    full_us: float = measure(1500, 2300, "us", "pulse from which on it gives full power", 1900.0)

    @model_validator(mode="after")
    def _off_before_full(self) -> Self:
        if self.full_us <= self.off_us:
            raise refuse("full_us", self.full_us, f"more than the pulse for off, {self.off_us:g} us")
        return self


class Aircraft(Described):
    """The whole aircraft as the reader measures it."""

    name: str = Field(min_length=1, max_length=60, description="what you call it")
    note: str = Field("", max_length=1000, description="anything worth knowing about it")
    mass_kg: float = measure(0.05, 25, "kg", "ready to fly")
    cg_mm: float = measure(-200, 800, "mm", "balance point behind the root's leading edge")
    body_drag_area_cm2: float = measure(
        0, 500, "cm2", "drag of all that is not wing or tail, as a drag area (drag coefficient x area)", 20.0
    )
    wing: Wing
    tail: Tail | None = None
    fin: Fin | None = None
    motor: Motor | None = Field(None, description="the motor, if there is one")
    finish: Literal["smooth", "foam"] = Field("smooth", description="what its skin is like")
    surfaces: tuple[Surface, ...] = Field(min_length=1, max_length=16, description="the control surfaces")

    @property
    def surface_names(self) -> tuple[str, ...]:
        """Names of the surfaces in the order of every surface axis."""
        return tuple(surface.name for surface in self.surfaces)

    def surface(self, name: str) -> Surface:
        """Look a surface up by its name.

        Raises
        ------
        KeyError
            If there is no surface of that name.
        """
        for surface in self.surfaces:
            if surface.name == name:
                return surface
        raise KeyError(f"no surface is called {name!r}; this aircraft has {', '.join(self.surface_names)}")

    def of_kind(self, *kinds: str) -> tuple[Surface, ...]:
        """Surfaces of the given kinds, such as ``"aileron"``, in the aircraft's order."""
        return tuple(surface for surface in self.surfaces if surface.kind in kinds)

    @model_validator(mode="after")
    def _parts_fit(self) -> Self:
        names = self.surface_names
        for index, surface in enumerate(self.surfaces, start=1):
            here = f"surfaces.{index}"
            if names.count(surface.name) > 1:
                raise refuse(f"{here}.name", surface.name, "a name that no other surface has")
            if surface.name == MOTOR:
                raise refuse(f"{here}.name", surface.name, "another name; the motor's plug is called that")
            if surface.servo_of is not None:
                with_servo = [s.name for s in self.surfaces if s.servo_of is None and s is not surface]
                if surface.servo_of not in with_servo:
                    accepted = "a surface with a servo of its own: " + (
                        ", ".join(with_servo) or "there is none"
                    )
                    raise refuse(f"{here}.servo_of", surface.servo_of, accepted)
            if surface.part == "tail" and self.tail is None:
                raise refuse(f"{here}.part", "tail", "wing or fin, or describe the tail too")
            if surface.part == "fin" and self.fin is None:
                raise refuse(f"{here}.part", "fin", "wing or tail, or describe the fin too")
            if surface.part == "wing":
                if surface.y_outer_mm > self.wing.span_mm / 2:
                    accepted = f"at most the half span, {self.wing.span_mm / 2:g} mm"
                    raise refuse(f"{here}.y_outer_mm", surface.y_outer_mm, accepted)
                tapered = surface.outer_chord_mm is not None
                for y, field in (
                    (surface.y_inner_mm, "chord_mm"),
                    (surface.y_outer_mm, "outer_chord_mm" if tapered else "chord_mm"),
                ):
                    room, chord = self.wing.chord_at_mm(y), float(surface.chord_at_mm(y))
                    if chord > 0.6 * room:
                        accepted = f"at most 60 % of the wing's chord there, {0.6 * room:.0f} mm"
                        raise refuse(f"{here}.{field}", chord, accepted)
        return self
