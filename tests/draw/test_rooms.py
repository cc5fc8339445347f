"""Every picture of every demo lays itself out anew for its room: it fits, and its words can be read."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache, partial

import numpy as np
import pytest
from contrast import contrast, rgb
from rooms import TYPICAL, faults

from mixlib.air.aircraft.phases import complete
from mixlib.air.landing.field import landings
from mixlib.bench.surface.budget import budget
from mixlib.chain import Rig, commands
from mixlib.describe import Phase, Setup
from mixlib.describe.demo import (
    elevon_setup,
    flaperon_setup,
    four_surface_setup,
    hopper_ready,
    v_tail_setup,
)
from mixlib.draw.aircraft import aircraft_view
from mixlib.draw.budget import budget_square
from mixlib.draw.chain import addition, chain_strip
from mixlib.draw.charts import Curve, Spot, line_chart, throw_chart
from mixlib.draw.flight.approach import landing_side_view
from mixlib.draw.linkage import linkage_side
from mixlib.draw.phases import phase_columns
from mixlib.draw.plan import plan_view
from mixlib.draw.section import section_from_tip
from mixlib.draw.shapes import Drawing, Text, every_shape, together
from mixlib.draw.theme import BLUE, CURVES, VERMILION, WHITE
from mixlib.say.readout import limit_notes

DEMOS = {
    demo.__name__: demo()
    for demo in (flaperon_setup, hopper_ready, four_surface_setup, v_tail_setup, elevon_setup)
}
ENDS = [
    {},
    {"roll": 1.0, "camber": 1.0, "pitch": 1.0, "yaw": 1.0},
    {"roll": -1.0, "camber": -1.0, "pitch": -1.0, "yaw": -1.0},
    {"roll": 1.0, "brake": 1.0},
]
Picture = Callable[..., Drawing]


def moved(setup: Setup) -> Iterator[Picture]:
    """Pictures that follow the commands, at both ends of the controls."""
    aircraft = setup.aircraft
    for ends in ENDS:
        asked = commands(**{name: u for name, u in ends.items() if name in setup.radio.commands})
        stages = Rig(setup).run(asked)
        notes = limit_notes(setup, stages)
        yield partial(aircraft_view, aircraft, stages.surface, stages.throw, notes)
        for number in setup.servo_outputs:
            yield partial(addition, setup, asked, number)
        for place, part in enumerate(aircraft.surfaces):
            yield partial(section_from_tip, aircraft, part, stages.surface[place])
            linkage = partial(linkage_side, part, stages.arm[place], stages.surface[place], notes[place])
            strip = partial(chain_strip, setup, stages, part.name, "roll")
            yield from (linkage, strip)


def still(setup: Setup) -> Iterator[Picture]:
    """Pictures of the whole set-up."""
    yield partial(plan_view, setup)
    crowded = dict.fromkeys(setup.aircraft.surface_names, 1) | ({"motor": 3} if setup.aircraft.motor else {})
    yield partial(plan_view, setup.replace(wiring=crowded))
    phases = complete(setup)
    notes = {phase.name: "18.8 m/s, sinks 1.74 m/s" for phase in phases}
    yield partial(phase_columns, setup.aircraft, phases, notes)
    fifth = Phase(name="a rather long name of a fifth phase", angles_deg={})
    yield partial(phase_columns, setup.aircraft, (*phases[-4:], fifth), notes)
    for brake in (0.0, 1.0) if "brake" in setup.radio.commands else (0.0,):
        yield partial(budget_square, budget(setup, brake), (1.0, -1.0))


@cache
def pictures(demo: str) -> list[Picture]:
    return [*moved(DEMOS[demo]), *still(DEMOS[demo])]


def charts() -> Iterator[Picture]:
    speed = np.linspace(5, 20, 40)
    labels = ("clean", "as set", "as set, least drag", "as set, most drag")
    curves = [Curve(label, speed, 0.4 + 0.01 * (speed - 8 - n) ** 2) for n, label in enumerate(labels)]
    spots = [Spot(8, 0.4, "least sink"), Spot(11, 0.45, "best glide")]
    axes = ("speed, m/s", "sink, m/s (less is better)")
    yield partial(line_chart, "Sink over speed", curves, *axes, description="d", spots=spots)
    aileron = DEMOS["flaperon_setup"].aircraft.surfaces[0]
    throws = [("rate 100 %, expo 0 %", np.linspace(-20, 20, 81)), ("as set", np.linspace(-12, 12, 81))]
    spot = [Spot(50, 6, "your stick")]
    yield partial(throw_chart, "Left aileron over the roll stick", aileron, throws, "roll", "d", 26, spot)
    settings = {"clean": {}, "half droop": {"camber": 0.5}, "full droop": {"camber": 1.0}}
    yield partial(
        landing_side_view, [item.path for item in landings(DEMOS["flaperon_setup"], settings).values()]
    )


each_room = pytest.mark.parametrize("room", TYPICAL, ids=lambda room: f"{room.width}x{room.height}")


@each_room
@pytest.mark.parametrize("demo", DEMOS)
def test_every_picture_fits_and_can_be_read(demo, room):
    for picture in pictures(demo):
        drawing = picture(room=room)
        assert faults(drawing, room, high=True) == [], drawing.title


@each_room
def test_every_chart_fits_and_can_be_read(room):
    for picture in charts():
        drawing = picture(room=room)
        assert faults(drawing, room, high=True) == [], drawing.title


@each_room
def test_two_pictures_in_one_room_fit_and_can_be_read(room):
    setup = DEMOS["four_surface_setup"]
    stages = Rig(setup).run(commands(roll=1, brake=1))
    for place, part in enumerate(setup.aircraft.surfaces):
        strip = partial(chain_strip, setup, stages, part.name, "roll")
        linkage = partial(linkage_side, part, stages.arm[place], stages.surface[place])
        drawing = together("both", [strip, linkage], room)
        assert faults(drawing, room, high=True) == [], part.name
    lines = [Curve(label, (0, 1, 2), (0, 3, 3)) for label in ("elevator as set", "elevator needed")]
    axes = ("seconds after switching", "angle, deg (down is plus)")
    chart = partial(line_chart, "The elevator", lines, *axes, description="d", y_range=(-6, 6))
    drawing = together("both", [chart, chart], room)
    assert faults(drawing, room, high=True) == []


def test_letters_grow_with_the_room_and_never_fall_below_twelve():
    setup = DEMOS["flaperon_setup"]
    titles = []
    for room in TYPICAL:
        shapes = every_shape(plan_view(setup, room=room).shapes)
        titles.append(max(shape.letter_size for shape in shapes if isinstance(shape, Text)))
    assert titles == sorted(titles, reverse=True)
    assert titles[0] > 1.4 * titles[2] == pytest.approx(1.4 * 19.0)


def test_contrast_is_that_of_wcag():
    """WCAG 2.2: black on white is 21 : 1; #767676 is the lightest grey with 4.5 : 1 (from memory)."""
    assert contrast(rgb("#000000"), rgb(WHITE)) == pytest.approx(21)
    assert contrast(rgb("#767676"), rgb(WHITE)) >= 4.5 > contrast(rgb("#777777"), rgb(WHITE))


def test_the_frame_of_a_panel_and_its_focus_stand_out():
    assert all(contrast(rgb(colour), rgb(WHITE)) >= 3 for colour in (VERMILION, BLUE, *dict(CURVES)))
