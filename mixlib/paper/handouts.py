"""Handouts for a club evening: one page each in large print, with a box for the reader's own numbers.

The pictures are those of the panels, with the invented demos.  Trade rules: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from mixlib.air.aircraft.from_setup import known_balance
from mixlib.air.landing import landings
from mixlib.bench.cautions import BENCH_CAUTIONS
from mixlib.chain import Rig, commands
from mixlib.describe import Setup
from mixlib.describe.demo import flaperon_setup, four_surface_setup, hopper_flaperons, hopper_ready
from mixlib.draw.aircraft import aircraft_view
from mixlib.draw.chain import addition
from mixlib.draw.flight.approach import landing_side_view
from mixlib.draw.flight.balance import balance_side_view
from mixlib.draw.linkage import linkage_side
from mixlib.draw.shapes import Drawing, Room
from mixlib.paper.flow import Row, Sheet
from mixlib.paper.parts import Bulleted, Head, Picture, Words, WriteIn

__all__ = ["HANDOUTS", "Handout", "handout_sheet"]

_PICTURE_MM = 110.0


@dataclass(frozen=True)
class Handout:
    """What stands on one page: a sentence, a picture and its line, what to remember, what to fill in."""

    title: str
    lesson: str
    lead: str
    picture: Callable[[], Callable[[Room], Drawing]]
    caption: str
    points: tuple[str, ...]
    own: tuple[str, ...]
    caution: str = BENCH_CAUTIONS[0]


def handout_sheet(handout: Handout) -> Sheet:
    """Lay a handout out."""
    rows: list[Row] = [
        ((Head(handout.title),),),
        ((Words(handout.lead),),),
        ((Picture(handout.picture(), handout.caption, _PICTURE_MM),),),
        ((Bulleted("", handout.points),),),
        ((WriteIn("On my model", handout.own),),),
        ((Words(handout.caution, bold=True),),),
    ]
    return Sheet(rows, f"{handout.title} · more in lesson {handout.lesson}")


def _seen(made: Callable[[], Setup], **asked: float) -> Callable[[Room], Drawing]:
    """The aircraft of a set-up with some commands, -1 to 1."""
    setup = made()
    stages = Rig(setup).run(commands(**asked))
    return lambda room: aircraft_view(setup.aircraft, stages.surface, stages.throw, room=room)


def _added() -> Callable[[Room], Drawing]:
    return lambda room: addition(hopper_flaperons(), commands(roll=0.4, camber=0.3), 6, room=room)


def _linkage() -> Callable[[Room], Drawing]:
    setup = flaperon_setup()
    stages = Rig(setup).run(commands(roll=0.5))
    place = setup.aircraft.surface_names.index("right aileron")
    surface, arm, angle = (
        setup.aircraft.surfaces[place],
        float(stages.arm[place]),
        float(stages.surface[place]),
    )
    return lambda room: linkage_side(surface, arm, angle, room=room)


def _approaches() -> Callable[[Room], Drawing]:
    found = landings(flaperon_setup(), {"clean": {}, "full droop": {"camber": 1.0}}, head_wind_m_s=3.0)
    return lambda room: landing_side_view([item.path for item in found.values()], room=room)


def _balance() -> Callable[[Room], Drawing]:
    aircraft = four_surface_setup().aircraft
    found = known_balance(aircraft)
    ends = found.usual_cg_mm[0] - 15.0, found.neutral_mm[1] + 15.0
    return lambda room: balance_side_view(aircraft, found, ends, room=room)


def _reversed() -> Setup:
    return hopper_ready().with_output(1, reversed=True)


HANDOUTS = (
    Handout(
        "Mixing is addition",
        "02",
        "A mix gives a share of one command to an output that listens to another. The output adds them up.",
        _added,
        "Output 6 of the demo: 40 % of roll and 30 % of droop make 70 %.",
        (
            "Every mix has a leader, a follower and two gains: one for each side of the leader.",
            "What is added past the end point is lost. Look at both commands together.",
            "A wrong sign in one mix turns one surface the wrong way: look from behind.",
        ),
        ("Mix: from, into, gains", "Mix: from, into, gains", "The sum at both ends together"),
    ),
    Handout(
        "Flaperons",
        "03",
        "Ailerons that roll and droop. Each needs a servo and an output of its own: the Y-lead comes out.",
        partial(_seen, hopper_ready, roll=0.5, camber=0.4),
        "The demo with half stick right and the dial at its mark: both down a little, and the roll on top.",
        (
            "Two mixes: roll to the second aileron, camber to the first. One of them is often negative.",
            "Leave room: droop uses up the way down that the roll needs.",
            "With droop the nose swings more when you roll: use rudder, and begin with little droop.",
        ),
        ("Outputs of left and right", "Droop, mm", "Roll left with droop, mm up and down"),
    ),
    Handout(
        "Throws and differential",
        "04",
        "The holes set the throw, the radio only trims it. Less down than up keeps the nose from swinging.",
        _linkage,
        "A hole further in at the arm, or further out at the horn: less throw, more force, finer steps.",
        (
            "First the holes, then the radio: aim at 80 to 100 % of the travel.",
            "Differential: the aileron goes down about half of what it goes up. Try it in the air.",
            "Measure at the inner end, where the surface is widest. Write mm, and where you measured.",
        ),
        ("Holes, arm and horn, mm", "Aileron up, down, mm", "Elevator up, down, mm"),
    ),
    Handout(
        "Camber and reflex",
        "05",
        "A little down for slow air, a little up for speed. A few millimetres are much.",
        partial(_seen, four_surface_setup, camber=1.0),
        "The demo with four surfaces, the dial at droop.",
        (
            "Droop: slower, more lift, less sink in a thermal. Begin with 2 to 3 mm.",
            "Reflex: a little faster for the same sink. Begin with 1 to 2 mm.",
            "Trim change with the dial? Mix a little elevator to it, in small steps.",
        ),
        ("Droop, mm", "Reflex, mm", "Elevator with it, mm"),
    ),
    Handout(
        "Landing flap",
        "06",
        "Without a brake, drooped ailerons land shorter: slower, a little steeper. The roll suffers first.",
        _approaches,
        "The demo with two ailerons in 3 m/s of wind, clean and with full droop, on a strip of 60 m.",
        (
            "More than about 15° of droop costs more roll than it brings drag.",
            "Fly 1.3 times the stalling speed all the way down, and a little more in wind.",
            "Too high? Go round early. Never pull the flap in close to the ground: it drops.",
        ),
        ("Droop for landing, mm", "Elevator with it, mm", "Where I turn in: height, place"),
        "First trials high up: stall it there before you land with it.",
    ),
    Handout(
        "Air brake: crow",
        "07",
        "Flaps far down, ailerons a little up: steep and slow to land, and the roll stays.",
        partial(_seen, four_surface_setup, brake=1.0),
        "The demo with the slider right out.",
        (
            "Flaps 50 to 60°, ailerons up by a third of it: common practice, no source.",
            "Elevator goes with it, by a curve if there is one. Set its last degree in the air, at height.",
            "Brake in gently and early: with the brake gone, it floats on.",
        ),
        ("Flaps down, ailerons up, mm", "Elevator at half, at full, mm", "Speed over the hedge"),
        "First trials high up, in small steps, the slider back at once if the nose goes where it should not.",
    ),
    Handout(
        "Balance",
        "05",
        "Where it balances decides how the elevator feels, and whether the nose comes back by itself.",
        _balance,
        "The three-metre demo: balance point, usual range, and neutral point with its band.",
        (
            "Weigh and balance it ready to fly: battery in, brakes in, on two fingers or a stand.",
            "Too far back: it will not hold a speed. Too far forward: it needs much elevator, lands fast.",
            "Move it by 2 mm at a time, and trim again each time.",
        ),
        ("Balance point, mm behind the root", "Mass, kg", "What it did, and what I moved"),
        "Behind the neutral point no model is to be flown.",
    ),
    Handout(
        "Checks on the bench",
        "09",
        "Everything is looked at from behind, with the model held, before it flies and after every change.",
        partial(_seen, hopper_ready, roll=1.0),
        "Stick right: right aileron up. Stick back: elevator up. Nose right: rudder right.",
        (
            "Motor off or propeller off; the motor's plug and the closed throttle looked at first.",
            "Each command to both ends, then two together: nothing binds, nothing hums.",
            "Throws by ruler, against the card. Fail-safe by switching the transmitter off. Range check.",
        ),
        ("Checked on, by", "Fail-safe goes to", "Differs from the card"),
    ),
    Handout(
        "Finding a fault",
        "09",
        "Say first what was seen, then guess. Change one thing, look again.",
        partial(_seen, _reversed, roll=1.0),
        "The demo with the stick to the right and one output turned round: both ailerons go the same way.",
        (
            "One surface wrong with every command: its output is reversed, or its rod is on the other side.",
            "Wrong with one command only: the sign of that mix.",
            "Two swapped: plugs. Too little: holes, end points or rate. Off at neutral: sub-trim or rod.",
        ),
        ("What I did, what I saw", "What I think it is", "What I changed, what then"),
    ),
)
"""All of them, in the order of the lessons."""
