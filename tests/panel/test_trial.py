"""Keep A, try B: the buttons, the words for the difference, the dashes, and what is found again."""

import re
from functools import partial

import numpy as np
import pytest

from mixlib.air.aircraft.doubt import Doubt
from mixlib.describe.shelf import place
from mixlib.draw.charts import Curve, line_chart
from mixlib.draw.kept import with_kept
from mixlib.draw.shapes import Circle, Drawing, Line, Room, Scaled, every_shape, together
from mixlib.panel.base import last
from mixlib.panel.base.controls import NumberGrid, Pick, Slider
from mixlib.panel.base.panel import Panel, Seen
from mixlib.say.differences import Measure, differences


def chart(height, top=10.0, *, room=None):
    curve = Curve("throw", np.array([0.0, 1.0, 2.0]), np.array([0.0, height, height]))
    return line_chart("t", [curve], "x", "y", description="d", y_range=(0, top), room=room or Room(640, 400))


def slope_panel(start=3):
    def update(values):
        measure = Measure("right aileron", values["mm"], more="lower", less="higher")
        return Seen(partial(chart, values["mm"]), f"{values['mm']:.1f} mm", numbers=[measure])

    slider = Slider("mm", 0, 10, 0.1, start, "mm")
    return Panel("Slope", [slider, Pick("way", {"one": 1.0, "two": 2.0})], update)


def said(panel):
    return re.sub(r"<[^>]+>", " ", panel.stage.said)


def shown(panel):
    return [button.description for button in panel._trial.buttons if button.layout.display != "none"]


def test_what_is_kept_is_told_and_drawn_until_it_is_let_go():
    panel = slope_panel()
    assert shown(panel) == ["Keep A"]
    panel.press("Keep A")
    assert "No difference that can be told" in said(panel)
    panel.controls["mm"].value = 5.1
    assert "B against A (dashes). Right aileron 2.1 mm lower." in " ".join(said(panel).split())
    assert "kept: throw" in panel.picture
    assert shown(panel) == ["Keep A", "Swap A and B", "Back to A", "Let A go"]
    panel.press("Swap A and B")
    assert panel.values["mm"] == 3
    assert "2.1 mm higher" in said(panel)
    panel.press("Back to A")
    assert panel.values["mm"] == 5.1
    assert "No difference" in said(panel)
    panel.press("Let A go")
    assert shown(panel) == ["Keep A"]
    assert "against A" not in said(panel)
    assert "kept" not in panel.picture


def test_a_panel_without_numbers_offers_nothing():
    panel = Panel("t", [Slider("mm", 0, 1, 0.1, 0)], lambda _: Seen(sentence="s"))
    assert shown(panel) == []


def test_what_cannot_be_shown_cannot_be_kept():
    grid = NumberGrid("g", ["a"], ["b"], [[1]], 0, 10)
    panel = Panel("t", [grid], lambda v: Seen(sentence="s", numbers=[Measure("a", v["g"][0][0])]))
    grid.value = [[11]]
    panel.press("Keep A")
    assert "Accepted: 0 to 10" in said(panel)
    assert shown(panel) == ["Keep A"]
    grid.value = [[4]]
    panel.press("Keep A")
    grid.value = [[7]]
    assert "A 3.0 mm more" in said(panel)


@pytest.mark.parametrize(
    "old, new, words",
    [
        (Measure("stall", 7.0, "m/s", "faster", "slower"), Measure("stall", 6.8, "m/s", "faster", "slower"),
         "Stall 0.2 m/s slower."),
        (Measure("down at", 30, "m", "further", digits=0), Measure("down at", 39, "m", "further", digits=0),
         "Down at 9 m further."),
        (Measure("a", 1.01), Measure("a", 1.04), ""),
        (Measure("a", 1.0), Measure("b", 2.0), ""),
        (Measure("a", np.nan), Measure("a", np.nan), ""),
        (Measure("a", np.nan), Measure("a", 1.0), "A has an answer in one of both only."),
    ],
)  # fmt: skip
def test_differences_in_words(old, new, words):
    assert differences([old], [new]) == words


@pytest.mark.parametrize("doubtful", ["old", "new"])
def test_a_difference_of_a_number_in_doubt_has_its_star_and_reason(doubtful):
    flags = {"old": 0, "new": 0} | {doubtful: int(Doubt.HANDBOOK)}
    told = differences([Measure("sink", 1.0, of=(flags["old"],))], [Measure("sink", 2.0, of=(flags["new"],))])
    assert told.startswith("Sink 1.0 mm more*. * More than half of the wing")
    nothing = differences([Measure("sink", 1.0, of=(int(Doubt.NOT_CONVERGED),))], [Measure("sink", 2.0)])
    assert "no answer*" in nothing
    assert "1.0 mm" not in nothing


def kept_lines(drawing):
    return [shape for shape in every_shape(drawing.shapes) if shape.role == "kept"]


def test_kept_curve_lies_where_the_axes_of_the_new_one_put_it():
    """The same curve on axes twice as high: what is laid over must agree with what is drawn there anew."""
    small, large = chart(4, 10.0), chart(8, 20.0)
    (line,) = kept_lines(with_kept(large, small))
    true = next(s for s in every_shape(chart(4, 20.0).shapes) if s.role == "curve 1" and s.meaning == "throw"
                and len(s.points) == 3)  # fmt: skip
    assert np.allclose(line.points, true.points, atol=0.01)


def test_kept_curve_ends_at_the_frame():
    lines = kept_lines(with_kept(chart(4, 5.0), chart(8, 10.0)))
    frame = next(s.box for s in chart(4, 5.0).shapes if isinstance(s, Scaled) and s.box)
    points = np.array([point for line in lines for point in line.points])
    assert (points >= np.array(frame[:2]) - 0.01).all()
    assert (points <= np.array(frame[2:]) + 0.01).all()


def test_what_has_not_moved_is_not_drawn_again_and_pairs_are_found_beside_each_other():
    assert kept_lines(with_kept(chart(4), chart(4))) == []
    room = Room(1000, 420)
    both = [together("t", [partial(chart, 4), partial(chart, second)], room) for second in (4, 6)]
    (line,) = kept_lines(with_kept(*both))
    assert min(x for x, _ in line.points) > 500, "only the second chart differs"


def test_a_kept_shape_is_scaled_with_a_larger_room():
    def one(x, times):
        scaled = Scaled((Circle(10 + times * x, 5, 3, "spot"),), "spots", (10, 5), (times, times))
        return Drawing(100, 100, (scaled, Line(((0, 0), (1, 1)))), "t", "d")

    (ring,) = kept_lines(with_kept(one(20, 2), one(10, 1)))
    assert (ring.x, ring.y) == (30, 5)


@pytest.fixture
def reader(tmp_path, monkeypatch):
    """A reader whose place is kept, and written at once."""
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    monkeypatch.delenv("MIXING_WORKBOOK_ALL_ANSWERED")

    class Now:
        def __init__(self, pause_s, write, args):
            self.start, self.cancel = partial(write, *args), lambda: None

    monkeypatch.setattr(last, "Timer", Now)


def test_settings_and_a_are_found_again(reader):
    panel = slope_panel()
    panel.press("Keep A")
    panel.controls["mm"].value = 5.1
    panel.controls["way"].value = 2.0
    again = slope_panel()
    assert again.values == {"mm": 5.1, "way": 2.0}
    assert "As you left it" in said(again)
    assert "2.1 mm lower" in said(again)
    again.press("Let A go")
    again.press("Back to the start")
    assert slope_panel().values == {"mm": 3, "way": 1.0}
    assert place.recall_all("panel") == {}


def test_another_start_another_page_and_a_damaged_place_begin_anew(reader, monkeypatch):
    panel = slope_panel()
    panel.controls["mm"].value = 5
    assert slope_panel(start=4).values["mm"] == 4
    (key,) = place.recall_all("panel")
    for odd in ({"values": {"no": 1}}, {"values": {"way": 7}}, {"values": 3}, [1], {"values": {"mm": "x"}}):
        place.remember("panel", key, odd)
        assert slope_panel().values == {"mm": 3, "way": 1.0}
    place.remember("panel", key, {"values": {"mm": 5}})
    monkeypatch.setenv("JPY_SESSION_NAME", "somewhere/04_throws.ipynb")
    assert slope_panel().values["mm"] == 3


def test_nothing_is_found_again_where_lessons_are_tested(reader, monkeypatch):
    slope_panel().controls["mm"].value = 5
    monkeypatch.setenv(place.ALL_ANSWERED, "yes")
    assert slope_panel().values["mm"] == 3
    slope_panel().controls["mm"].value = 7
    monkeypatch.delenv(place.ALL_ANSWERED)
    assert slope_panel().values["mm"] == 5
