"""The bench card says what is set and what will move; its Markdown holds up whatever is typed."""

import re

import mistune
import numpy as np
import pytest
from description_strategies import setups
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

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
    """Rows of the movement table as dictionaries, by command."""
    return {row[1]: dict(zip(card.movements.columns, row, strict=True)) for row in card.movements.rows}


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
    )
    assert card.outputs.rows[3] == (
        "6",
        "left aileron",
        "normal",
        "camber, +100 / +100 %",
        "100 / 100 %",
        "0 %",
    )
    assert card.mixes.rows == (
        ("roll (stick)", "output 6 (left aileron)", "+100 / +100 %"),
        ("camber (dial)", "output 1 (right aileron)", "−100 / −100 %"),
    )
    assert card.limits.lines == (
        "Output 1 (right aileron): stick right with reflex asks for 200 % and gets 100 %.",
        "Output 6 (left aileron): stick right with droop asks for 200 % and gets 100 %.",
    )


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
    cell = movement_table(bench_card(flaperon_setup()))[command][surface]
    assert cell.split()[0] == word


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
    card, rig = bench_card(setup), Rig(setup)
    rows = {row[1].split(" (")[0]: row[2:] for row in card.movements.rows}
    for command, way, words in ENDS:
        if command not in setup.radio.commands:
            assert words not in rows
            continue
        stages = rig.run(commands(**{command: way}))
        row = rows.get(words, ("–",) * len(rig.surface_names))
        for cell, throw, angle in zip(row, stages.throw, stages.surface, strict=True):
            if abs(throw) < 0.25:
                assert cell == "–"
            else:
                numbers = [float(number) for number in re.findall(r"[\d.]+", cell)]
                assert numbers == pytest.approx([abs(throw), abs(angle)], abs=0.051)


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
    assert card.outputs.rows[0][2:] == ("reversed", "roll, +100 / +100 %", "80 / 100 %", "−2.5 %", "0 %")
    assert card.outputs.rows[1][2:] == ("normal", "roll, +100 / +100 %", "100 / 120 %", "0 %", "+15 %")
    assert card.outputs.columns[-1] == "Shift"
    assert "scale" in card.outputs.columns[4]
    assert card.mixes.rows == (
        ("camber (dial)", "output 3 (left flap)", "by its curve", "curve −10, 0, 40 %"),
        ("output 3, what it ends up with", "output 4 (right flap)", "+50 / −20 %", "centre at +10 %"),
        ("brake (slider)", "output 9 (nothing)", "+5 / +5 %", "switched off"),
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


@pytest.mark.parametrize("end", [60, 120])
def test_what_is_lost_is_counted_in_the_measure_of_the_demand(end):
    """End points that scale pass 100 % of the demand on, whatever they make of it."""
    setup = four_surface_setup().with_output(
        5, gain_above_percent=125, end_low_percent=end, end_high_percent=end, sub_trim_percent=10
    )
    assert "Output 5 (elevator): stick back asks for 125 % and gets 100 %." in bench_card(setup).limits.lines


def test_neutral_that_is_not_neutral_has_a_row():
    setup = flaperon_setup().with_output(2, control="pitch", sub_trim_percent=20)
    rows = movement_table(bench_card(setup))
    assert rows["All at neutral"]["Elevator"].split()[0] == "up"  # where more pulse takes it
    assert rows["All at neutral"]["Rudder"] == "neutral"
    assert rows["Stick right"]["Elevator"] == "–"
    assert "All at neutral" not in movement_table(bench_card(flaperon_setup()))


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


def test_stops_dead_points_and_pulses_that_run_out_are_told():
    setup = with_surface(flaperon_setup(), "elevator", stop_up_deg=10)
    assert "Elevator: stick back runs into the stop at 10°." in bench_card(setup).limits.lines
    link = setup.aircraft.surface("rudder").linkage.replace(arm_mm=20, horn_mm=10, distance_mm=100)
    setup = with_surface(flaperon_setup(), "rudder", linkage=link, stop_up_deg=90, stop_down_deg=90)
    assert any("dead point" in line and line.startswith("Rudder") for line in bench_card(setup).limits.lines)
    servo = setup.aircraft.surface("elevator").servo.replace(max_us=1900)
    setup = with_surface(flaperon_setup(), "elevator", servo=servo)
    assert any("Output 2 (elevator): stick back reaches the end of the pulse" in line
               for line in bench_card(setup).limits.lines)  # fmt: skip


def test_nothing_that_runs_out_is_said_too():
    setup = plain_setup(shipped("aircraft", "orchard_two"), BARE)
    assert bench_card(setup).limits.lines == ("Nothing, with one command at its end or with two together.",)


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


# ---- Markdown, read by a general-purpose parser (mistune, CommonMark with tables and task lists)

parse = mistune.create_markdown(renderer="ast", plugins=["table", "task_lists"])


def plain_text(node):
    if "raw" in node:
        return node["raw"]
    if node["type"] in ("softbreak", "linebreak"):
        return "\n"
    return "".join(plain_text(child) for child in node.get("children", ()))


def kinds(nodes):
    for node in nodes:
        yield node["type"]
        yield from kinds(node.get("children", ()))


def read_back(text):
    """Headings, paragraphs, table cells and list items as a reader of the rendered Markdown sees them."""
    nodes = [node for node in parse(text) if node["type"] != "blank_line"]
    cells = [
        plain_text(cell)
        for node in nodes if node["type"] == "table"
        for part in node["children"]
        for row in (part["children"] if part["type"] == "table_body" else [part])
        for cell in row["children"]
    ]  # fmt: skip
    items = [plain_text(item) for node in nodes if node["type"] == "list" for item in node["children"]]
    heads = [plain_text(node) for node in nodes if node["type"] == "heading"]
    paragraphs = [plain_text(node) for node in nodes if node["type"] == "paragraph"]
    return heads, paragraphs, cells, items, set(kinds(nodes))


HARMLESS = {"heading", "paragraph", "text", "list", "list_item", "task_list_item", "block_text", "table",
            "table_head", "table_body", "table_row", "table_cell", "softbreak"}  # fmt: skip


def assert_reads_back(card):
    heads, paragraphs, cells, items, found = read_back(as_markdown(card))
    assert found <= HARMLESS
    assert heads == [card.title, *(section.title for section in card.sections)]
    assert paragraphs == list(card.head)
    tables = [section for section in card.sections if section.rows]
    assert cells == [cell for section in tables for row in (section.columns, *section.rows) for cell in row]
    assert items == [line for section in card.sections for line in (*section.lines, *section.boxes)]


@by_name
def test_markdown_reads_back(setup):
    assert_reads_back(bench_card(setup, notes="plain words"))


NASTY = [
    "a|b",
    "||||",
    "**bold** _it_ ~~no~~",
    "<script>alert(1)</script>",
    "<!-- c -->",
    "[x](http://e.org)",
    "![x](y)",
    "[ ] box",
    "# head",
    "- item",
    "1. one",
    "+ plus",
    "--- ",
    "===",
    "> quote",
    "~~~",
    "`code`",
    "&amp; &copy;",
    "back\\slash\\",
    "$x^2$",
    "*",
    "    indented",
    "line\nbreak",
    "tab\there",
    "\u202eturned",
    "飞机 ✈ Ünïcödé",
]


@pytest.mark.parametrize("name", NASTY)
def test_markup_that_is_typed_stays_words(name):
    base = flaperon_setup()
    surfaces = (base.aircraft.surfaces[0].replace(name=name), *base.aircraft.surfaces[1:])
    wiring = {(name if key == "left aileron" else key): value for key, value in base.wiring.items()}
    aircraft = base.aircraft.replace(name=name, surfaces=surfaces)
    setup = base.replace(name=name, note=name, aircraft=aircraft, wiring=wiring)
    card = bench_card(setup, notes=name)
    assert_reads_back(card)
    visible = " ".join(name.replace("\u202e", " ").split())
    assert visible in card.title
    assert visible in card.outputs.rows[3][1]


@given(setups(), st.text(max_size=60))
@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
def test_card_of_any_setup_reads_back(setup, notes):
    card = bench_card(setup, notes)
    assert_reads_back(card)
    assert np.all([row[0] == TICK for row in card.movements.rows])
