"""Every air panel at every place of its controls: no number is shown plain that has no answer.

What is in doubt is worked out again here, from the air model itself; and the balance point comes first.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache, partial
from typing import Any

import numpy as np
import pytest
from odd_setups import behind, far_forward, short, swept

from mixlib.air.aircraft import (
    Airframe,
    Doubt,
    angles_at,
    compensation,
    known_balance,
    known_performance,
    roll,
    roll_room_deg,
    roll_to_right,
    trimmed_at,
)
from mixlib.air.aircraft.balance import moved_to
from mixlib.air.aircraft.doubt import every
from mixlib.air.landing import decide, landings
from mixlib.describe import Setup
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, hopper_ready, v_tail_setup
from mixlib.draw.charts import line_chart
from mixlib.panel import flight, handling, phases
from mixlib.panel.balance import balance_panel
from mixlib.panel.base.controls import NumberGrid, Pick, Slider
from mixlib.panel.base.panel import Panel
from mixlib.panel.landing import landing_panel
from mixlib.say.doubt import balance_words, doubt

NO_ANSWER = Doubt.NOT_CONVERGED | Doubt.CUT_OFF
WITHHELD = NO_ANSWER | Doubt.ELEVATOR_STOP
_NOT_SAID_BY_SLOWEST = ~Doubt.PART_STALLED  # that a part has let go is what the words say

SETUPS: list[Callable[[], Setup]] = [
    flaperon_setup,
    four_surface_setup,
    v_tail_setup,
    elevon_setup,
    hopper_ready,
    behind,
    far_forward,
    swept,
    short,
]


@cache
def made(setup: Callable[[], Setup]) -> Setup:
    """With its phases worked out once."""
    return setup().replace(phases=phases.complete(setup()))


def plain(text: str) -> str:
    return re.sub(r"<[^>]+>", " ", text).replace("&#x27;", "'")


def rows_of_table(extra: str) -> list[list[str]]:
    return [
        [plain(cell).strip() for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row)]
        for row in re.findall(r"<tr>(.*?)</tr>", extra)
    ]


def after(said: str, label: str) -> str:
    """The words from a label to the end of its sentence."""
    found = re.search(re.escape(label) + r"(.*?)(?:\. |\.?$)", said)
    assert found, (label, said)
    return found[1].strip()


def holds(shown: str, doubts: int | np.ndarray, where: object) -> None:
    """A number is plain, marked or withheld as its doubts ask."""
    found = Doubt(every(doubts))
    if found & NO_ANSWER:
        assert "no answer*" in shown, (shown, found, where)
    elif Doubt.ELEVATOR_STOP in found:
        assert "cannot be flown*" in shown, (shown, found, where)
    else:
        assert ("*" in shown) == bool(found), (shown, found, where)
    if found & WITHHELD:
        assert not re.search(r"\d", shown.split("*")[0]), (shown, found, where)


def explained(said: str, *doubts: int | np.ndarray) -> None:
    for sentence in doubt(every(*doubts)).split(". "):
        assert sentence.rstrip(".") in said


def drawn_where(panel: Panel, label: str, answered: np.ndarray) -> None:
    """A curve has a gap where there is no answer."""
    chart = panel._draw
    while chart.func is not line_chart:  # beside it stands the aircraft
        chart = next(part for part in chart.args if isinstance(part, partial))
    curve = next(curve for curve in chart.args[1] if curve.label == label)
    assert np.array_equal(np.isfinite(curve.y), answered), panel.values


Values = Mapping[str, Any]


def check_polar(setup: Setup, values: Values, panel: Panel) -> None:
    assert not panel.error, values
    said = plain(panel.sentence)
    found = known_performance(setup.aircraft, angles_at(setup, camber=values.get("camber", 0.0)))
    held = int(found.slowest.doubts) & int(_NOT_SAID_BY_SLOWEST)
    for label, doubts in (
        ("begins to let go: ", found.stall.doubts),
        ("down to: ", held),
        ("Best glide: ", found.best_glide.doubts),
        ("Least sink: ", found.least_sink.doubts),
        ("Approach: ", found.approach.doubts),
    ):
        holds(after(said, label), doubts, values)
    explained(said, found.doubts, held)


def landing_check(command: str) -> Callable[[Setup, Values, Panel], None]:
    def check(setup: Setup, values: Values, panel: Panel) -> None:
        settings = {"clean": {}, "as set": {command: values[command]}}
        if panel.error:
            end = setup.used_to(command, 1)  # how much to take is looked for in tenths of the lever
            asked = [*settings.values(), *({command: end * tenth / 10} for tenth in range(11))]
            angles = [angles_at(setup, **one) for one in asked]
            found = [known_performance(setup.aircraft, each) for each in angles]
            most = [np.argmax(np.where(one.polar.converged, one.polar.lift, -np.inf)) for one in found]
            assert not all(one.approach.converged and at for one, at in zip(found, most, strict=True))
            assert "no approach was found that can be flown so" in plain(panel.error).lower()
            return
        if "As set: no approach" in plain(panel.sentence):
            settings = {
                "worked out": {command: decide(setup, command, values["wind"], values["flare"]).lever}
            }
        late = "as set" if values["when"] == "over the edge" and "as set" in settings else ""
        found = landings(setup, settings, values["wind"], late, values["flare"])
        for row in rows_of_table(panel.extra)[1:]:
            item = found[row[0]]
            approach = item.performance.approach.doubts
            holds(row[1], approach, values)
            holds(row[2], approach, values)
            for cell in row[3:]:
                holds(cell, every(approach, item.landing.doubts), values)
            shown = re.search(rf".*{row[0].capitalize()}: ([^.]*)\.", plain(panel.sentence))
            if np.isfinite(item.path.touchdown_m):
                assert ("m* behind" in shown[1]) == bool(item.doubts), values
        explained(plain(panel.sentence), *(item.doubts for item in found.values()))

    return check


def check_roll(setup: Setup, values: Values, panel: Panel) -> None:
    assert not panel.error, values
    said = plain(panel.sentence)
    airframe = Airframe.from_aircraft(setup.aircraft)
    angles = angles_at(setup, camber=values.get("camber", 0.0))
    approach = known_performance(setup.aircraft, angles).approach
    less = np.append(np.linspace(0, 1, 11), values["less"])
    most = roll_room_deg(airframe, angles)  # a surface goes no further than its stop
    down = np.minimum(values["up"] * (1 - less), most[1])
    ailerons = roll_to_right(airframe, min(values["up"], most[0]), down)
    turned = roll(airframe, ailerons, float(approach.speed_m_s), angles, straight=approach)
    doubts = every(turned.doubts[-1], approach.doubts)
    if setup.aircraft.fin:
        drawn_where(panel, "nose swing", turned.converged[:-1])
    holds(re.search(r"helix angle (.*?);", said)[1], doubts, values)
    nose = after(said, "swing of the nose ")
    if "without a fin" not in nose:
        holds(nose, doubts, values)
    explained(said, doubts)


def compensation_check(command: str) -> Callable[[Setup, Values, Panel], None]:
    def check(setup: Setup, values: Values, panel: Panel) -> None:
        if setup.aircraft.of_kind("elevon"):
            assert "has no elevator" in plain(panel.sentence)
            return
        assert not panel.error, values
        said = plain(panel.sentence)
        places = [angles_at(setup, **{command: share}) for share in np.linspace(0, 1, 11)]
        wanted = compensation(Airframe.from_aircraft(setup.aircraft), places, values["speed"])
        drawn_where(panel, "needed", wanted.glides.converged & wanted.glides.converged[0])
        holds(after(said, "needs: "), every(wanted.doubts[0], wanted.doubts[-1]), values)
        holds(after(said, "The mix: "), wanted.doubts, values)
        explained(said, wanted.doubts)

    return check


def check_phases(setup: Setup, values: Values, panel: Panel) -> None:
    assert not panel.error, values
    said = plain(panel.sentence)
    head, *rows = rows_of_table(panel.extra)
    table = {row[0]: row[1:] for row in rows}
    flown = [
        phases._flown(setup.model_dump_json(), phase.model_dump_json())[0]
        for phase in phases_typed(setup, values)
    ]
    for place, item in enumerate(flown):
        stall = item.performance.stall.doubts
        for label, doubts in (
            ("flown, m/s", item.glide.doubts),
            ("sink, m/s", item.glide.doubts),
            ("glide, m for 1 m", item.glide.doubts),
            ("lets go, m/s", stall),
            ("flies hands off with elevator, mm", item.trim_doubts),
            ("keeps the speed with elevator, mm", item.elevator.doubts),
            ("the stick then holds, mm", item.trim_doubts),
            ("full roll, helix angle, rad", item.roll.doubts),
        ):
            holds(table[label][place], doubts, (values, head[place + 1], label))
        sentence = after(said, f"{item.phase.name.capitalize()}: ")
        glide, lets_go = sentence.split("; ")
        holds(glide, item.glide.doubts, values)
        holds(lets_go, stall, values)
    explained(said, *(item.doubts for item in flown))


def phases_typed(setup: Setup, values: Values):
    stand = phases.complete(setup)
    rows = phases.rows_of(setup.aircraft, [phase.angles_deg for phase in stand])
    columns = zip(*values["angles"], strict=True)
    return [phases._checked(setup, rows, *pair) for pair in zip(stand, columns, strict=True)]


def check_change(setup: Setup, values: Values, panel: Panel) -> None:
    assert not panel.error, values
    said = plain(panel.sentence)
    stand = {phase.name: phase for phase in phases.complete(setup)}
    start, end = stand[values["from"]], stand[values["to"]]
    assert ("nothing moves" in said) == (start == end)
    if start == end:
        return
    speed = 1.15 * max(
        float(known_performance(setup.aircraft, phases.wing_angles(setup, phase)).stall.speed_m_s)
        for phase in (start, end)
    )
    seen = phases.change(setup, start, end, values["over"], speed)
    ends = every(seen.glides.doubts[[0, -1]])
    holds(after(said, "The elevator: "), seen.doubts, values)
    holds(after(said, "then carries: "), every(ends, seen.at_once.doubts), values)
    holds(after(said, "it points: "), ends, values)
    explained(said, seen.doubts, seen.at_once.doubts)


def check_balance(setup: Setup, values: Values, panel: Panel) -> None:
    assert not panel.error, values
    said = plain(panel.sentence)
    airframe, stands = Airframe.from_aircraft(setup.aircraft), known_balance(setup.aircraft)
    found = known_performance(setup.aircraft)
    trimmed = trimmed_at(airframe, None, found.best_glide.speed_m_s)
    then = moved_to(airframe, values["balance"], trimmed, float(found.stall.speed_m_s), stands)
    rows = rows_of_table(panel.extra)[1:]
    for row in rows[2:4]:
        holds(row[2], then.doubts, values)
    for row in rows[4:]:
        if not then.balance.stable:
            assert row[2] == "not told"
        elif row[2] not in ("stalls", "dives"):
            holds(row[2], then.doubts, values)
    if not then.balance.stable:
        assert "settles" not in said
        assert "Make no dive test" in said
    explained(said, then.doubts)


PANELS: dict[str, tuple[Callable[[Setup], Panel], Callable[[Setup, Values, Panel], None]]] = {
    "balance": (balance_panel, check_balance),
    "polar": (flight.polar_panel, check_polar),
    "landing, camber": (landing_panel, landing_check("camber")),
    "landing, brake": (lambda setup: landing_panel(setup, "brake"), landing_check("brake")),
    "roll": (handling.roll_panel, check_roll),
    "compensation": (
        lambda setup: handling.compensation_panel(setup, "camber"),
        compensation_check("camber"),
    ),
    "phases": (phases.phase_panel, check_phases),
    "change": (phases.change_panel, check_change),
}


LEFT_ALONE = ("flare", "beside", "field", "ground", "elevator", "roll")
"""Controls that change where it lands or rolls, or what was flown, not what is in doubt."""


def places(setup: Setup, control: Any, many: int) -> Sequence[Any]:
    """Places of a control: all of a pick, ends and places between of a slider, corners of a grid."""
    if isinstance(control, Pick):
        return [value for _, value in control.entry.options]
    if isinstance(control, Slider):
        return np.linspace(control.entry.min, control.entry.max, many).tolist()
    assert isinstance(control, NumberGrid)
    stand = phases.complete(setup)
    rows = phases.rows_of(setup.aircraft, [phase.angles_deg for phase in stand])
    parts = [setup.aircraft.surface(row.names[0]) for row in rows]
    grids = [control.value]
    for share in np.linspace(-1.0, 1.0, many):
        stops = [part.stop_down_deg if share > 0 else part.stop_up_deg for part in parts]
        grids.append([[float(round(share * stop, 1))] * len(stand) for stop in stops])
    return grids


def walk(setup: Setup, panel: Panel, many: int) -> Iterator[None]:
    names = [name for name in panel.controls if name not in LEFT_ALONE]
    every_place = [places(setup, panel.controls[name], many) for name in names]
    for chosen in itertools.product(*every_place):
        for name, value in zip(names, chosen, strict=True):
            control = panel.controls[name]
            if isinstance(control, Slider):
                control.entry.value = value
            else:
                control.value = value
        yield


def looked_at(name: str, make: Callable[[], Setup], many: int) -> None:
    setup, (maker, check) = made(make), PANELS[name]
    panel = maker(setup)
    if name == "change" and not panel.controls:  # where nothing moves, no number is told
        assert not re.search(r"\d", plain(panel.sentence))
        return
    warning = balance_words(known_balance(setup.aircraft))
    for _ in walk(setup, panel, many):
        if name == "balance":
            warning = balance_words(known_balance(setup.aircraft).at(panel.values["balance"]))
        if not panel.error:
            assert plain(panel.sentence).strip().startswith(warning)
        shown = plain(panel.sentence + panel.extra + panel.picture)
        assert not re.search(r"\b(nan|inf|none\*?\d)\b", shown, re.IGNORECASE), panel.values
        check(setup, panel.values, panel)


FEW = {"balance": 4, "polar": 5, "compensation": 3, "change": 1}
"""Places of each slider in a usual run, which sees every other set-up."""
MANY = {"balance": 11, "polar": 21, "landing, camber": 4, "landing, brake": 4, "roll": 4, "change": 2}
"""And in a long walk through all of them: a panel of two or three sliders is seen at 30 to 60 places."""


@pytest.mark.parametrize("make", SETUPS[::2])
@pytest.mark.parametrize("name", PANELS)
def test_no_unanswered_number_is_shown_plain(name, make):
    looked_at(name, make, FEW.get(name, 2))


@pytest.mark.slow
@pytest.mark.parametrize("make", SETUPS)
@pytest.mark.parametrize("name", PANELS)
def test_no_unanswered_number_is_shown_plain_anywhere(name, make):
    looked_at(name, make, MANY.get(name, 5))


def test_curves_have_gaps_where_there_is_no_answer():
    row = known_performance(flaperon_setup().aircraft).polar
    answered = np.arange(len(row.lift)) % 3 > 0
    drawn = flight._sink_curve("", replace(row, converged=answered), row.sink_m_s)
    assert np.array_equal(np.isfinite(drawn.y), answered)


def test_an_elevator_that_meets_its_stop_first_is_told():
    said = plain(flight.polar_panel(far_forward(3.0)).sentence)
    assert "The elevator meets its stop before the wing lets go" in said
    for label in ("begins to let go: ", "down to: ", "Best glide: ", "Approach: "):
        assert after(said, label).endswith("*"), label


def test_without_ailerons_the_rudder_is_told_and_the_balance_point_first():
    setup = behind()
    parts = [part for part in setup.aircraft.surfaces if part.part != "wing"]
    aircraft = setup.aircraft.replace(surfaces=tuple(parts))
    wiring = {part.name: setup.wiring[part.name] for part in parts}
    kept = tuple(each for each in setup.outputs if each.number in wiring.values())
    bare = setup.replace(aircraft=aircraft, wiring=wiring, free_mixes=(), outputs=kept)
    panel = handling.roll_panel(bare)
    assert panel.error == ""
    assert plain(panel.sentence).strip().startswith("Do not fly it like this")
    assert "has no ailerons" in plain(panel.sentence)


def test_the_balance_point_comes_first_and_hands_off_is_withheld():
    panel = flight.polar_panel(behind())
    said = plain(panel.sentence).strip()
    assert re.match(r"Do not fly it like this: the balance point is (2\d|30) to 3\d mm behind", said)
    assert "the stick left alone is not told" in said
    assert "mix-try" in panel.sentence
