"""The wing cut into strips along the span, once for each wing, and what one strip's lift does to the others.

A lifting line needs to know, at each place of the span, the chord, the twist, the section and which surface
is hinged there, and how strongly the vortices that trail from one strip push the air down at another.  None
of it depends on the incidence or on the surface angles, so it is computed once and shared by every solution.

Strips end exactly where a surface or a wing segment ends and crowd together there and at the tips, where the
loading bends most.  The control point of a strip lies midway in the spacing angle, the placing for which the
elliptic wing comes out without error.

A piece with dihedral is taken as it lies along the wing: it feels the cosine of its lean of the incidence,
and the cosine of its lift points up (P. E. Purser and J. P. Campbell, NACA Report 823, 1945, from memory).

Axes: y to the right along the wing, seen from behind, x aft from the root's leading edge; lengths in m,
angles in deg.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from mixlib.air.section.shapes import Measured, Section
from mixlib.describe.aircraft import Station, Surface, Tail, Wing

__all__ = ["Strips", "from_stations", "of_tail", "of_wing"]

_STRIPS_PER_HALF = 20
_STRIPS_PER_HALF_TAIL = 8
_FEWEST_IN_A_PIECE = 3


@dataclass(frozen=True)
class Strips:
    """A wing, or a tail, as n strips from the left tip to the right tip.

    Attributes
    ----------
    y_m, width_m, chord_m, twist_deg, dihedral_deg, quarter_chord_m : ndarray, shape (n,)
        Control point, width, chord, twist (nose up +), how far the strip leans (tip up +), and place of the
        quarter chord aft of the root's leading edge.
    edge_m : ndarray, shape (n + 1,)
        Ends of the strips.
    outer_share : ndarray, shape (n,)
        Share of the outer section, 0 to 1.
    surface : ndarray of int, shape (n,)
        Which of the aircraft's surfaces is hinged here, -1 where none is.
    chord_ratio : ndarray, shape (n,)
        Surface chord over wing chord; 0.25 where nothing is hinged, where it does not matter.
    influence : ndarray, shape (n, n)
        Downwash angle in rad at strip i for a circulation over speed of 1 m on strip j.
    curving : ndarray, shape (n,)
        Incidence in rad that a strip loses, for a circulation over speed of 1 m on it, because the air curves
        along its chord; see `_curving`.
    roll_felt : float
        Share of a roll's incidence that the wing feels, 0 to 1, for the same reason.
    mean_chord_m : float
        Mean aerodynamic chord, the reference length of the pitching moment.
    reference_m : float
        Quarter point of the mean aerodynamic chord aft of the root's leading edge, the reference of the
        moment.
    mirrored : bool
        Whether the strips are a right half that stands for both; see `half`.
    """

    y_m: np.ndarray
    edge_m: np.ndarray
    width_m: np.ndarray
    chord_m: np.ndarray
    twist_deg: np.ndarray
    dihedral_deg: np.ndarray
    quarter_chord_m: np.ndarray
    inner_section: tuple[Section, ...]
    outer_section: tuple[Section, ...]
    outer_share: np.ndarray
    surface: np.ndarray
    chord_ratio: np.ndarray
    influence: np.ndarray
    curving: np.ndarray
    roll_felt: float
    span_m: float
    area_m2: float
    mean_chord_m: float
    reference_m: float
    mirrored: bool = False

    @cached_property
    def area_share(self) -> np.ndarray:
        """Share of the whole area in each strip, with its mirror image if it has one; shape (n,)."""
        return (2 if self.mirrored else 1) * self.chord_m * self.width_m / self.area_m2

    @property
    def aspect_ratio(self) -> float:
        """Span squared over area."""
        return self.span_m**2 / self.area_m2

    @cached_property
    def felt(self) -> np.ndarray:
        """Incidence that strip i loses, rad, for a circulation over speed of 1 m on strip j; shape (n, n)."""
        return self.influence + np.diag(self.curving)

    @cached_property
    def gap_m(self) -> np.ndarray:
        """Distance from each control point to the one before, at the ends to the tip, m; shape (n + 1,).

        At the middle of a mirrored half it is without end: nothing flows across.
        """
        gap = np.diff(self.y_m, prepend=self.edge_m[0], append=self.edge_m[-1])
        gap[0] = np.inf if self.mirrored else gap[0]
        return gap

    @cached_property
    def lean(self) -> np.ndarray:
        """Cosine of the dihedral: share of incidence that a strip feels, and of its lift that points up."""
        return np.cos(np.radians(self.dihedral_deg))

    def half(self) -> Strips:
        """Right half that stands for both, for flight in which left and right are alike.

        Its influence includes the mirror image.
        """
        middle = len(self.y_m) // 2
        right = slice(middle, None)
        across = ["y_m", "width_m", "chord_m", "twist_deg", "quarter_chord_m", "outer_share", "surface"]
        across += ["curving", "chord_ratio", "inner_section", "outer_section", "edge_m", "dihedral_deg"]
        return replace(
            self,
            **{name: getattr(self, name)[right] for name in across},
            influence=self.influence[right, right] + self.influence[right, :middle][:, ::-1],
            mirrored=True,
        )

    def alike(self, angles_deg: ArrayLike) -> bool:
        """Whether every right-hand strip has the surface angle (deg) of its mirror image."""
        spread = self.surface_angles_deg(angles_deg)
        return bool(np.all(np.abs(spread - spread[..., ::-1]) < 1e-9))

    def surface_angles_deg(self, angles_deg: ArrayLike) -> np.ndarray:
        """Spread the angles of the surfaces over the strips.

        Parameters
        ----------
        angles_deg : array_like, shape (..., surfaces)
            Angle of each of the aircraft's surfaces, trailing edge down +.

        Returns
        -------
        ndarray, shape (..., n)
            Angle at each strip, 0 where nothing is hinged.
        """
        angles = np.asarray(angles_deg, float)
        padded = np.concatenate([angles, np.zeros((*angles.shape[:-1], 1))], axis=-1)
        return padded[..., self.surface]


def of_wing(wing: Wing, surfaces: Sequence[Surface] = ()) -> Strips:
    """Cut a described wing into strips; of the aircraft's surfaces those hinged to it are taken.

    Raises
    ------
    ValueError
        If two surfaces lie in the same place.
    """
    stations = wing.stations
    return from_stations(
        [station.y_mm / 1000 for station in stations],
        [station.chord_mm / 1000 for station in stations],
        [station.leading_edge_mm / 1000 for station in stations],
        [station.twist_deg for station in stations],
        [_section(station) for station in stations],
        surfaces,
        dihedral_deg=[station.dihedral_deg for station in stations],
    )


def _section(station: Station) -> Section:
    """The kind of section, or what a ruler found."""
    if station.thickness_mm is None or station.camber_mm is None:
        return station.section
    thickness, camber = (100 * each / station.chord_mm for each in (station.thickness_mm, station.camber_mm))
    return Measured(thickness, camber)


def of_tail(tail: Tail, surfaces: Sequence[Surface] = ()) -> Strips:
    """Cut a described tail into strips; see `of_wing`."""
    ends, chords = [0, tail.span_mm / 2000], [tail.chord_mm / 1000] * 2
    sections, lean = ["symmetrical"] * 2, [tail.dihedral_deg] * 2
    per_half = _STRIPS_PER_HALF_TAIL
    return from_stations(ends, chords, [0, 0], [0, 0], sections, surfaces, per_half, "tail", lean)


def from_stations(
    y_m: Sequence[float],
    chord_m: Sequence[float],
    leading_edge_m: Sequence[float],
    twist_deg: Sequence[float],
    sections: Sequence[Section],
    surfaces: Sequence[Surface] = (),
    per_half: int = _STRIPS_PER_HALF,
    part: str = "wing",
    dihedral_deg: Sequence[float] = (0.0,),
) -> Strips:
    """Cut a wing given by its stations into strips.

    Parameters
    ----------
    y_m, chord_m, leading_edge_m, twist_deg : sequence of float
        Stations of the half span from the root, y rising from 0 along the wing; between them everything
        changes evenly.
    surfaces : sequence of mixlib.describe.aircraft.Surface
        The aircraft's surfaces; a surface at the centre lies on both halves.
    per_half : int
        About how many strips each half gets; short pieces get at least three.
    part : str
        Surfaces hinged to this part are taken.
    dihedral_deg : sequence of float
        How far each piece leans, tip up +, from its station outwards; one for all, or one for each station.

    Raises
    ------
    ValueError
        If two surfaces lie in the same place.
    """
    stations = np.asarray(y_m, float)
    half = stations[-1]
    own = [surface for surface in surfaces if surface.part == part]
    ends = [end / 1000 for surface in own for end in (surface.y_inner_mm, surface.y_outer_mm)]
    edges, points = _half_span(np.clip(np.concatenate([stations, ends]), 0, half), per_half, bool(own))
    edge = np.concatenate([-edges[::-1], edges[1:]])
    y = np.concatenate([-points[::-1], points])
    width, away = np.diff(edge), np.abs(y)

    chord = np.interp(away, stations, chord_m)
    leading = np.interp(away, stations, leading_edge_m)
    quarter = leading + chord / 4
    area = float(chord @ width)
    mean_chord = float(chord**2 @ width) / area
    piece = np.clip(np.searchsorted(stations, away, side="right") - 1, 0, len(stations) - 2)
    owner, ratio = _owners(surfaces, part, y, chord)
    even, odd = _curving((2 * half) ** 2 / area)
    return Strips(
        y_m=y,
        edge_m=edge,
        width_m=width,
        chord_m=chord,
        twist_deg=np.interp(away, stations, twist_deg),
        dihedral_deg=np.resize(np.asarray(dihedral_deg, float), len(stations))[piece],
        quarter_chord_m=quarter,
        inner_section=tuple(sections[i] for i in piece),
        outer_section=tuple(sections[i + 1] for i in piece),
        outer_share=(away - stations[piece]) / (stations[piece + 1] - stations[piece]),
        surface=owner,
        chord_ratio=ratio,
        influence=_influence(y, edge),
        curving=(even - 1) / (np.pi * chord),
        roll_felt=odd,
        span_m=float(2 * half),
        area_m2=area,
        mean_chord_m=mean_chord,
        reference_m=float((quarter * chord) @ width) / area,
    )


def _half_span(breaks, per_half, surface_at_root):
    """Edges and control points of the half span, crowded at the breaks and at the tip."""
    breaks = np.unique(np.round(np.concatenate([[0.0], breaks]), 6))
    edges, points = [np.zeros(1)], []
    for index, (start, end) in enumerate(pairwise(breaks)):
        count = max(_FEWEST_IN_A_PIECE, round(per_half * (end - start) / breaks[-1]))
        if index == 0 and not surface_at_root:
            # Nothing changes at the middle of the wing, so only the outer end of this piece is crowded.
            angle = np.linspace(0, np.pi / 2, 2 * count + 1)
            share = np.sin(angle)
        else:
            angle = np.linspace(0, np.pi, 2 * count + 1)
            share = (1 - np.cos(angle)) / 2
        place = start + (end - start) * share
        edges.append(place[2::2])
        points.append(place[1::2])
    return np.concatenate(edges), np.concatenate(points)


def _owners(surfaces, part, y, chord):
    """Which surface each strip carries, and its share of the chord there."""
    owner = np.full(len(y), -1)
    ratio = np.full(len(y), 0.25)
    for index, surface in enumerate(surfaces):
        if surface.part != part:
            continue
        inner, outer = surface.y_inner_mm / 1000, surface.y_outer_mm / 1000
        here = (np.abs(y) > inner) & (np.abs(y) < outer)
        if surface.side != "centre":
            here &= y > 0 if surface.side == "right" else y < 0
        taken = owner[here]
        if np.any(taken >= 0):
            other = surfaces[taken[taken >= 0][0]].name
            raise ValueError(
                f"surfaces {other!r} and {surface.name!r} lie in the same place of the span; "
                "change y_inner_mm or y_outer_mm of one of them"
            )
        owner[here] = index
        ratio[here] = surface.chord_at_mm(1000 * np.abs(y[here])) / 1000 / chord[here]
    return owner, ratio


def _influence(y, edge):
    """Downwash of a horseshoe vortex on each strip at each control point (Prandtl's lifting line)."""
    left = 1 / (y[:, None] - edge[None, :-1])
    right = 1 / (y[:, None] - edge[None, 1:])
    return (left - right) / (4 * np.pi)


def _curving(aspect_ratio):
    """Factor by which a section of a lifting surface lifts less, and share of a roll's incidence felt.

    A lifting line lets the air meet each section straight. In truth it curves along the chord, more so on a
    short wing: the elliptic wing has ``2 pi A / (A E + 2)`` per rad with ``E = sqrt(1 + 4 / A^2)``
    (H. B. Helmbold, 1942, from memory). In a roll each half lifts for itself, so E is that of half the aspect
    ratio (E. C. Polhamus, NACA TN 1862, 1949, from memory), and the damping is less by the ratio of the two.
    """
    even, odd = (np.sqrt(1 + 4 / part**2) for part in (aspect_ratio, aspect_ratio / 2))
    return even, (aspect_ratio * even + 4) / (aspect_ratio * odd + 4)
