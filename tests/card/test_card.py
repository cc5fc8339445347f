"""The bench card says what is set, what will move, and what is left."""

import re

import numpy as np
import pytest

from mixlib.bench.card import as_markdown, bench_card
from mixlib.bench.card.sections import TICK
from mixlib.bench.cautions import BENCH_CAUTIONS, CAUTIONS, as_text
from mixlib.chain import LinkageError, Rig, commands
from mixlib.describe import FreeMix, Output, Shaping, Want, plain_setup, shipped, shipped_names
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup

DEMOS = [flaperon_setup(), four_surface_setup(), v_tail_setup(), elevon_setup()]
by_name = pytest.mark.parametrize("setup", DEMOS, ids=lambda setup: setup.name)
RICH, BARE = shipped("radio", "rich_ten"), shipped("radio", "bare_four")


def movement_table(card):
    """To the end, by command and surface; a pair that does the same is taken apart."""
    found = {}
    for row in card.movements.rows:
        cells = dict(zip(card.movements.columns, row, strict=True))
        name = cells["Surface"]
        pair = re.fullmatch(r"Both (.*)s", name)
        for one in [f"Left {pair[1]}", f"Right {pair[1]}"] if pair else [name]:
            found[cells["Command"], one] = cells
    return found


def test_flaperon_card_by_hand():
    card = bench_card(flaperon_setup(), notes="Ask at the field.")
    assert card.title == "Bench card: Flaperons"
    assert card.head[0] == "Orchard Two on Simple six"
    assert "Ask at the field." in card.head
    assert card.outputs.rows[0] == (
        "1",
        "right aileron",
        "normal",
        "roll, +100 / +100 %",
        "100 / 100 %",
        "0 %",
        "",
    )
    assert card.outputs.rows[3] == (
        "6",
        "left aileron",
        "normal",
        "camber, +100 / +100 %",
        "100 / 100 %",
        "0 %",
        "",
    )
    assert card.mixes.rows == (
        ("roll (stick)", "6 (left aileron)", "+100 / +100 %"),
        ("camber (dial)", "1 (right aileron)", "−100 / −100 %"),
    )
    assert card.limits.rows[0][:4] == (
        "Stick right and droop, or mirrored",
        "left aileron",
        "11.8 mm",
        "the end point",
    )
    assert card.weighed.rows[0][1:] == ("72 mm", "")
    assert card.linkages.rows[0] == ("Left aileron", "10 / 14 mm", "90°, 1500 us", "neutral", "")


@pytest.mark.parametrize(
    "command, surface, word",
    [
        ("Stick right", "Right aileron", "up"),
        ("Stick right", "Left aileron", "down"),
        ("Stick left", "Right aileron", "down"),
        ("Stick left", "Left aileron", "up"),
        ("Stick back", "Elevator", "up"),
        ("Stick forward", "Elevator", "down"),
        ("Nose right", "Rudder", "right"),
        ("Nose left", "Rudder", "left"),
        ("Droop (dial)", "Left aileron", "down"),
        ("Droop (dial)", "Right aileron", "down"),
        ("Reflex (dial)", "Left aileron", "up"),
        ("Reflex (dial)", "Right aileron", "up"),
    ],
)
def test_directions_are_those_of_a_working_model(command, surface, word):
    """The aileron on the side of the stick goes up, back stick raises the elevator, the rudder goes to the
    side of the turn, droop is down; common practice, no source."""
    row = movement_table(bench_card(flaperon_setup()))[command, surface]
    assert row["To the end"].split()[0] == word
    assert row["Measured"] == ""


ENDS = [
    ("roll", 1, "Stick right"),
    ("roll", -1, "Stick left"),
    ("pitch", 1, "Stick back"),
    ("pitch", -1, "Stick forward"),
    ("yaw", 1, "Nose right"),
    ("yaw", -1, "Nose left"),
    ("camber", 1, "Droop"),
    ("camber", -1, "Reflex"),
    ("throttle", 1, "Throttle open"),
    ("brake", 1, "Brake out"),
]


@by_name
def test_every_movement_is_that_of_the_rig(setup):
    """Each cell's number against the chain; each movement of the chain has its cell."""
    rows, rig = movement_table(bench_card(setup)), Rig(setup)
    rows = {(command.split(" (")[0], name): row for (command, name), row in rows.items()}
    for command, way, words in ENDS:
        half, end = rig.run(commands(**{command: np.array([way / 2, way])})).throw
        angles = rig.run(commands(**{command: np.array([way / 2, way])})).surface
        lever = setup.radio.held_by(command) in ("dial", "slider", "switch")
        for place, name in enumerate(rig.surface_names):
            row = rows.pop((words, name[0].upper() + name[1:]), None)
            if command not in setup.radio.commands or abs(end[place]) < 0.25:
                assert row is None
                continue
            expected = {"To the end": (end, angles[1])} | ({"Half way": (half, angles[0])} if lever else {})
            for column, (throw, angle) in expected.items():
                numbers = [float(number) for number in re.findall(r"[\d.]+", row[column])]
                assert numbers == pytest.approx([abs(throw[place]), abs(angle[place])], abs=0.051)
            assert lever or row["Half way"] == ""
    assert not rows


@by_name
def test_all_cautions_and_a_box_for_each_movement(setup):
    card = bench_card(setup)
    assert card.sections[0] is card.cautions
    assert card.cautions.lines == CAUTIONS
    assert all(row[0] == TICK for row in card.movements.rows)
    words = " ".join(card.bench_checks.boxes + card.flight_checks.boxes).lower()
    for needed in (
        "propeller off",
        "fail-safe",
        "range check",
        "throws measured",
        "from behind",
        "high up, upwind",
    ):
        assert needed in words


def test_cautions_as_text_are_one_a_line():
    assert as_text().splitlines() == [f"• {caution}" for caution in CAUTIONS]
    assert as_text(BENCH_CAUTIONS).count("•") == len(BENCH_CAUTIONS) == 4


@by_name
def test_every_surface_and_every_mix_stands_on_the_card(setup):
    card = bench_card(setup)
    served = " ".join(row[1] for row in card.outputs.rows)
    assert all(name in served for name in setup.aircraft.surface_names)
    assert len(card.mixes.rows) == len(setup.free_mixes)


def test_all_that_a_rich_radio_can_set_is_told():
    setup = four_surface_setup().replace(
        outputs=(
            Output(number=1, control="roll", reversed=True, sub_trim_percent=-2.5, end_low_percent=80),
            Output(number=2, control="roll", shift_percent=15, end_high_percent=120),
        ),
        free_mixes=(
            FreeMix(leader="camber", follower=3, curve_percent=(-10, 0, 40)),
            FreeMix(leader=3, follower=4, gain_above_percent=50, gain_below_percent=-20, centre_percent=10),
            FreeMix(leader="brake", follower=9, gain_above_percent=5, gain_below_percent=5, on=False),
        ),
        shaping={"roll": Shaping(rate_percent=80, expo_percent=30)},
    )
    card = bench_card(setup)
    assert card.outputs.rows[0][2:] == ("reversed", "roll, +100 / +100 %", "80 / 100 %", "−2.5 %", "0 %", "")
    assert card.outputs.rows[1][2:] == ("normal", "roll, +100 / +100 %", "100 / 120 %", "0 %", "+15 %", "")
    assert card.outputs.columns[-2:] == ("Shift", "Fail-safe")
    assert "scale" in card.outputs.columns[4]
    assert card.mixes.rows == (
        ("camber (dial)", "3 (left flap)", "by its curve"),
        ("output 3, what it ends up with", "4 (right flap)", "+50 / −20 %"),
        ("brake (slider)", "9 (nothing)", "+5 / +5 %"),
    )
    assert card.mixes.lines == (
        "Camber into output 3: curve −100: −10, 0: 0, +100: +40 %.",
        "Output 3 into output 4: centre at +10 %.",
        "Brake into output 9: switched off.",
    )
    assert card.shaping.lines == ("roll: rate 80 %, expo 30 %",)


def test_y_lead_is_named():
    card = bench_card(plain_setup(shipped("aircraft", "orchard_two"), BARE))
    assert card.outputs.rows[0][1] == "left aileron and right aileron (Y-lead)"
    assert card.mixes.lines == ("None.",)


def test_command_that_an_output_does_not_have_is_said():
    radio = RICH.replace(mix_takes="command")
    setup = plain_setup(shipped("aircraft", "orchard_two"), radio).replace(
        outputs=(Output(number=3, control="yaw"),),
        free_mixes=(FreeMix(leader=3, follower=4), FreeMix(leader=5, follower=4)),
    )
    leaders = [row[0] for row in bench_card(setup).mixes.rows]
    assert leaders == ["output 3, its yaw", "output 5, its command, which it has not"]


def test_neutral_that_is_not_neutral_is_told():
    setup = flaperon_setup().with_output(2, control="pitch", sub_trim_percent=20)
    rows = {row[0]: row for row in bench_card(setup).linkages.rows}
    assert rows["Elevator"][2].endswith("1600 us")
    assert rows["Elevator"][3].split()[0] == "up"  # where more pulse takes it
    assert rows["Rudder"][3] == "neutral"


def test_what_is_left_is_told_in_mm_both_ways():
    """All of the roll is used up with full droop: up by twice as much as it droops, down by nothing."""
    setup = flaperon_setup()
    neutral, droop, reflex = bench_card(setup).left.rows
    full = Rig(setup).run(commands(roll=[1, -1])).throw[:, Rig(setup).surface_names.index("right aileron")]
    assert neutral[2:] == ("Neutral", f"up {-full[0]:.1f} mm", f"down {full[1]:.1f} mm", "100 %")
    assert droop[2:] == ("Droop", f"up {full[1]:.1f} mm", "down 0.0 mm", "50 %")
    assert reflex[2:] == ("Reflex", "up 0.0 mm", f"down {-full[0]:.1f} mm", "50 %")
    assert bench_card(plain_setup(shipped("aircraft", "orchard_two"), BARE)).left.empty


def test_a_half_that_is_wanted_has_a_row_of_its_own():
    want = Want(surface="left aileron", command="camber", amount=10, half=2)
    setup = flaperon_setup().replace(wanted=(want, want.replace(half=None, side="below", amount=-9)))
    whole, half, below = bench_card(setup).wanted.rows
    got = Rig(setup).moves(camber=0.5)
    assert whole[1:3] == ("droop", "down 10.0 mm")
    assert half[1:3] == ("half of the way to droop", "down 2.0 mm")
    assert below[1] == "reflex"
    chord = setup.aircraft.surface("left aileron").chord_mm
    throw = 2 * chord * np.sin(np.radians(got["left aileron"]) / 2)
    assert half[3] == f"down {throw:.1f} mm"
    assert half[4] == f"+{throw - 2:.1f} mm"


def test_wanted_beside_got():
    """Got is the chain's throw; the difference is got minus wanted with the sign of the trailing edge."""
    setup = flaperon_setup().replace(
        wanted=(
            Want(surface="left aileron", command="roll", side="above", amount=20, unit="mm"),
            Want(surface="left aileron", command="camber", side="below", amount=-0.5, unit="inch"),
            Want(surface="rudder", command="yaw", side="above", amount=-30, unit="deg"),
        )
    )
    rig = Rig(setup)
    place = rig.surface_names.index("left aileron")
    rows = bench_card(setup).wanted.rows
    down = rig.run(commands(roll=1)).throw[place]
    assert rows[0] == (
        "left aileron",
        "stick right",
        "down 20.0 mm",
        f"down {down:.1f} mm",
        f"+{down - 20:.1f} mm",
    )
    up = -rig.run(commands(camber=-1)).throw[place] / 25.4
    assert rows[1][2:] == ("up 0.50 inch", f"up {up:.2f} inch", f"−{up - 0.5:.2f} inch")
    turned = rig.moves(yaw=1)["rudder"]
    assert rows[2] == (
        "rudder",
        "nose right",
        "right 30.0 deg",
        f"right {-turned:.1f} deg",
        f"+{turned + 30:.1f} deg",
    )


def test_wanted_throw_of_a_surface_that_stays_is_neutral():
    setup = flaperon_setup().replace(wanted=(Want(surface="rudder", command="roll", amount=-5, unit="mm"),))
    assert bench_card(setup).wanted.rows == (("rudder", "stick right", "right 5.0 mm", "neutral", "+5.0 mm"),)


def with_surface(setup, name, **changes):
    parts = tuple(part.replace(**changes) if part.name == name else part for part in setup.aircraft.surfaces)
    return setup.replace(aircraft=setup.aircraft.replace(surfaces=parts))


def test_stops_and_dead_points_that_cut_short_are_told():
    setup = with_surface(flaperon_setup(), "elevator", stop_up_deg=10)
    (row,) = (row for row in bench_card(setup).limits.rows if row[1] == "elevator")
    assert row[0] == "Stick back"
    assert "stop" in row[3]
    link = setup.aircraft.surface("rudder").linkage.replace(arm_mm=20, horn_mm=10, distance_mm=100)
    setup = with_surface(flaperon_setup(), "rudder", linkage=link, stop_up_deg=90, stop_down_deg=90)
    assert any("dead point" in line and line.startswith("Rudder") for line in bench_card(setup).limits.lines)


def test_nothing_that_runs_out_is_said_too():
    setup = plain_setup(shipped("aircraft", "orchard_two"), BARE)
    assert bench_card(setup).limits.lines == ("Nothing: every movement has its whole way.",)


def test_setup_in_which_nothing_moves():
    setup = flaperon_setup().replace(outputs=(), free_mixes=())
    assert bench_card(setup).movements.lines == ("Nothing moves: no control reaches a surface.",)


def test_linkage_that_cannot_close_is_told_by_name():
    link = flaperon_setup().aircraft.surface("elevator").linkage.replace(distance_mm=100, rod_mm=200)
    with pytest.raises(LinkageError, match="elevator: the linkage cannot close"):
        bench_card(with_surface(flaperon_setup(), "elevator", linkage=link))


@pytest.mark.parametrize("radio", shipped_names("radio"))
@pytest.mark.parametrize("aircraft", shipped_names("aircraft"))
def test_card_of_every_plain_setup(aircraft, radio):
    card = bench_card(plain_setup(shipped("aircraft", aircraft), shipped("radio", radio)))
    assert card.movements.rows
    assert as_markdown(card).startswith("# Bench card: plain\n")
