"""Flight phases as wanted throws: a phase at a lever's end is a throw of that lever, for the fit to find."""

from __future__ import annotations

from collections.abc import Iterable

from mixlib.bench.fit.wants import usual_wants, weight_of
from mixlib.bench.surface.levers import lever_end
from mixlib.describe import Aircraft, Phase, Setup, Want
from mixlib.units import HALF_MM, throw_mm_from_angle, to_step

__all__ = ["phases_of_wants", "wants_of_phases"]

_SMALLEST_MM = 1.0  # a throw below this is not worth a mix of its own
_SAME_DEG = 0.06  # a phase is kept to a tenth of a degree: a wish within half of that is what was typed


def wants_of_phases(setup: Setup) -> tuple[Want, ...]:
    """The set-up's wanted throws, or the usual ones, with its phases in place of droop, reflex and brake."""
    wants = _by_place(setup.wanted or usual_wants(setup.aircraft))
    for phase in setup.phases:
        end = lever_end(setup, phase.name)
        if end is None:
            continue
        for surface in setup.aircraft.surfaces:
            key = (surface.name, *end)
            angle_deg = phase.angles_deg.get(surface.name, 0.0)
            throw = throw_mm_from_angle(angle_deg, surface.chord_mm)
            amount = to_step(float(throw), HALF_MM)
            if key not in wants and abs(amount) >= _SMALLEST_MM:
                weight = weight_of(surface, end[0])
                wants[key] = Want(
                    surface=surface.name, command=end[0], side=end[1], amount=amount, weight=weight
                )
            elif key in wants and abs(wants[key].angle_deg(setup.aircraft) - angle_deg) > _SAME_DEG:
                wants[key] = _at_end(wants[key], amount, setup.aircraft)
    return tuple(sorted(wants.values(), key=lambda want: setup.aircraft.surface_names.index(want.surface)))


def phases_of_wants(setup: Setup, wants: tuple[Want, ...]) -> tuple[Phase, ...]:
    """Phases brought to what was wanted in the end, so that throws and phases say the same.

    Only angles whose throw differs from what `wants_of_phases` makes of them change, to a tenth of a degree.
    """
    made, typed = _by_place(wants_of_phases(setup)), _by_place(wants)
    result = []
    for phase in setup.phases:
        angles, end = dict(phase.angles_deg), lever_end(setup, phase.name)
        for name in setup.aircraft.surface_names:
            place = (name, *(end or ()))  # without a lever, a place that no want has
            before, now = made.get(place), typed.get(place)
            if now is not None and (before is None or now.amount != before.amount):
                angles[name] = to_step(now.angle_deg(setup.aircraft), 0.1)
        result.append(phase.replace(angles_deg=angles))
    return tuple(result)


def _at_end(want: Want, amount_mm: float, aircraft: Aircraft) -> Want:
    """A want with another amount; what it has on the way keeps its share of it."""
    whole, own = want.throw_mm(aircraft), {"half": 0.5, "quarter": 0.25}
    shares = {key: want.throw_mm(aircraft, way) / whole if whole else None for key, way in own.items()}
    on_the_way = {
        key: None if share is None or getattr(want, key) is None else to_step(share * amount_mm, 0.1)
        for key, share in shares.items()
    }
    return want.replace(amount=amount_mm, unit="mm", **on_the_way)


def _by_place(wants: Iterable[Want]) -> dict[tuple[str, ...], Want]:
    return {(want.surface, want.command, want.side): want for want in wants}
