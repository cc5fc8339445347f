"""The picture of the budget: what is white is safe, and the words say the same."""

from __future__ import annotations

import re

import pytest
from rooms import label_faults

from mixlib.bench.surface.budget import budget
from mixlib.chain import Rig, commands
from mixlib.describe import Mark
from mixlib.describe.demo import elevon_setup, flaperon_setup, four_surface_setup, v_tail_setup
from mixlib.draw.budget import budget_square
from mixlib.draw.shapes import Line, Polygon, every_shape
from mixlib.panel.budget import budget_panel

DEMOS = [flaperon_setup, four_surface_setup, v_tail_setup, elevon_setup]


def plain(text: str) -> str:
    return re.sub(r"<[^>]+>", "", text)


@pytest.mark.parametrize("demo", DEMOS)
def test_the_square_can_be_read_and_has_the_safe_region(demo):
    found = budget(demo())
    drawing = budget_square(found, (0.5, 0.5))
    assert label_faults(drawing) == []
    safe = [
        shape for shape in every_shape(drawing.shapes) if isinstance(shape, Polygon) and shape.role == "safe"
    ]
    assert len(safe) == len(found.safe)


def test_a_dial_with_a_mark_is_drawn_no_further():
    """60 % of droop of a square that is 2 high: a fifth of its height above the mark is left empty."""
    marked = flaperon_setup().replace(marks=(Mark(command="camber", percent=60),))
    shapes = list(every_shape(budget_square(budget(marked)).shapes))
    area = [shape.points for shape in shapes if isinstance(shape, Polygon) and shape.role == "fault"]
    frame = [shape.points for shape in shapes if isinstance(shape, Line) and shape.role == "axis"]
    (mark, bottom), (top, end) = ((min(y), max(y)) for y in ([y for _, y in p[0]] for p in (area, frame)))
    assert bottom == end
    assert (mark - top) / (end - top) == pytest.approx(0.2)
    assert label_faults(budget_square(budget(marked))) == []


def test_flaperons_lose_half_of_the_roll_at_full_droop_and_say_so():
    setup = flaperon_setup()
    panel = budget_panel(setup)
    assert "asked for 200 %" in plain(panel.sentence)
    rig = Rig(setup)
    clipped = rig.run(commands(roll=1, camber=1)).demand_clipped.any()
    assert clipped
    panel.controls["roll"].value = 0.0
    assert "Here every surface follows." in plain(panel.sentence)


@pytest.mark.parametrize("demo", DEMOS)
def test_both_ends_of_every_slider_are_shown_without_a_fault(demo):
    panel = budget_panel(demo())
    for control in panel.controls.values():
        for value in (control.entry.min, control.entry.max):
            control.entry.value = value
            assert panel.error == ""


def test_the_table_names_the_output_and_the_demand():
    panel = budget_panel(flaperon_setup())
    assert "output 6 (left aileron)" in plain(panel.extra)
    assert "the end point, beyond +100 %" in plain(panel.extra)
