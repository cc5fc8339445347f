"""Flight phases as wanted throws: a phase at a lever's end is a throw of that lever, for the fit to find."""

from __future__ import annotations

from mixlib.bench.fit.wants import usual_wants, wanted_angle_deg, weight_of
from mixlib.bench.surface.levers import lever_end
from mixlib.describe import Phase, Setup, Want
from mixlib.units import throw_mm_from_angle

__all__ = ["phases_of_wants", "wants_of_phases"]

_SMALLEST_MM = 1.0  # a throw below this is not worth a mix of its own


def wants_of_phases(setup: Setup) -> tuple[Want, ...]:
    """Wanted throws in which the phases take the place of droop, reflex and brake.

    Parameters
    ----------
    setup : Setup
        Its phases and its wanted throws; the usual ones where it has none.

    Returns
    -------
    tuple of Want
        In mm where a phase gives them, the others as they were.
    """
    wants = {(w.surface, w.command, w.side): w for w in setup.wanted or usual_wants(setup.aircraft)}
    for phase in setup.phases:
        end = lever_end(setup, phase.name)
        if end is None:
            continue
        for surface in setup.aircraft.surfaces:
            key = (surface.name, *end)
            throw = float(throw_mm_from_angle(phase.angles_deg.get(surface.name, 0.0), surface.chord_mm))
            amount = round(throw * 2) / 2 + 0.0  # half millimetres
            if key not in wants and abs(amount) < _SMALLEST_MM:
                continue
            weight = wants[key].weight if key in wants else weight_of(surface, end[0])
            wants[key] = Want(
                surface=surface.name, command=end[0], side=end[1], amount=amount, unit="mm", weight=weight
            )
    places = {name: place for place, name in enumerate(setup.aircraft.surface_names)}
    return tuple(sorted(wants.values(), key=lambda want: places[want.surface]))


def phases_of_wants(setup: Setup, wants: tuple[Want, ...]) -> tuple[Phase, ...]:
    """Phases brought to what was wanted in the end, so that throws and phases say the same.

    Parameters
    ----------
    wants : tuple of Want
        Wanted throws, perhaps changed by the reader; in any unit.

    Returns
    -------
    tuple of Phase
        Angles follow a throw that differs by more than `wants_of_phases` rounds; the others stay.
    """
    made = {(want.surface, want.command, want.side): want for want in wants_of_phases(setup)}
    typed = {(want.surface, want.command, want.side): want for want in wants}
    result = []
    for phase in setup.phases:
        angles = dict(phase.angles_deg)
        end = lever_end(setup, phase.name)
        for name in setup.aircraft.surface_names if end else ():
            before, now = (given.get((name, *end)) for given in (made, typed))
            if now is not None and (before is None or now.amount != before.amount):
                angles[name] = round(wanted_angle_deg(now, setup.aircraft), 1) + 0.0
        result.append(phase.replace(angles_deg=angles))
    return tuple(result)
