"""The field strip and the handouts: one page each, all that was promised, numbers from the air model."""

import re
from functools import cache

import pytest
from printed import faults, letters, squeezed

from mixlib.air.aircraft.from_setup import known_performance
from mixlib.bench.cautions import FLIGHT_CAUTIONS
from mixlib.describe import Phase
from mixlib.describe.demo import elevon_setup, four_surface_setup, hopper_ready
from mixlib.paper.flow import PAPERS_MM
from mixlib.paper.handouts import HANDOUTS
from mixlib.paper.sheets import handout_pages, strip_pages
from mixlib.say.strip import TO_SEE, TO_TRY, field_strip

by_paper = pytest.mark.parametrize("paper", PAPERS_MM)


@cache
def phases():
    """The strip's phases of the demo with four surfaces, by name."""
    table = field_strip(four_surface_setup())[1]
    return {row[0]: dict(zip(table.columns, row, strict=True)) for row in table.rows}


def numbers(cell):
    return [float(number) for number in re.findall(r"\d+\.\d", cell)]


def test_each_phase_has_its_lever_and_its_speeds():
    assert {"Thermal", "Cruise", "Speed", "Landing"} <= set(phases())
    assert phases()["Landing"]["Lever, and its miss"].startswith("100 % of the way to brake out")
    assert phases()["Cruise"]["Lever, and its miss"] == "all at neutral; none"
    assert phases()["Landing"]["Elevator with it"].endswith("down*")  # handbook values: marked


def test_speeds_are_those_of_the_air_model_and_stay_in_their_band():
    """Approach at 1.3 times the stall; common practice, no source."""
    stall = numbers(phases()["Cruise"]["Stall"])
    assert stall[0] == pytest.approx(
        float(known_performance(four_surface_setup().aircraft).stall.speed_m_s), abs=0.06
    )
    for row in phases().values():
        value, low, high = numbers(row["Stall"])
        assert low < value < high
        assert numbers(row["Approach"])[0] == pytest.approx(1.3 * value, abs=0.12)


def test_why_a_number_is_marked_is_told_and_nothing_else():
    trust = field_strip(four_surface_setup())[2].lines
    assert any(line.startswith("* More than half of the wing is by handbook values") for line in trust)
    assert not [line for line in field_strip(hopper_ready())[2].lines if line.startswith("*")]


def test_an_aircraft_that_cannot_be_flown_here_still_gets_its_strip():
    setup = four_surface_setup()
    no_tail = setup.aircraft.replace(
        tail=None,
        fin=None,
        surfaces=tuple(part for part in setup.aircraft.surfaces if part.part == "wing"),
    )
    wiring = {name: setup.wiring[name] for name in no_tail.surface_names}
    phase = Phase(name="thermal", angles_deg={"left flap": 3.0, "right flap": 3.0})
    bare = setup.replace(aircraft=no_tail, wiring=wiring, phases=(phase,))
    _, table, trust, _ = field_strip(bare)
    assert [row[0] for row in table.rows] == ["Thermal"]
    assert trust.lines[0].startswith("The speeds are not told: ")


@by_paper
@pytest.mark.parametrize("made", [four_surface_setup, hopper_ready, elevon_setup])
def test_the_strip_is_one_page_with_all_of_it(made, paper):
    (page,) = strip_pages(made(), paper)
    assert faults(page) == []
    assert min(letters([page])) >= 9 - 1e-6
    placed = squeezed("".join(words.text for words in page.placed))
    for text in (*FLIGHT_CAUTIONS, *TO_TRY, *TO_SEE):
        assert squeezed(text) in placed


@by_paper
@pytest.mark.parametrize("handout", HANDOUTS, ids=lambda handout: handout.title)
def test_a_handout_is_one_page_in_large_print(handout, paper):
    (page,) = handout_pages(handout, paper)
    assert faults(page) == []
    assert min(letters([page])) >= 14 - 1e-6
    placed = squeezed("".join(words.text for words in page.placed))
    for text in (
        handout.title,
        handout.lead,
        handout.caption,
        *handout.points,
        *handout.own,
        handout.caution,
    ):
        assert squeezed(text) in placed
    assert len(page.figure.axes) == 2
    assert len(page.axes.patches) == 1  # the box for the reader's own numbers


def test_there_is_a_handout_for_each_subject():
    titles = " ".join(handout.title for handout in HANDOUTS).lower()
    for subject in ("mixing", "flaperons", "throws and differential", "camber and reflex", "landing flap",
                    "air brake", "balance", "bench", "fault"):  # fmt: skip
        assert subject in titles
    assert len(HANDOUTS) == 9
