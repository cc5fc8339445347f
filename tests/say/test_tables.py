"""Tables for lessons and panels: numbers with the reader's signs, in columns, nothing lost."""

from __future__ import annotations

import re

import numpy as np
import pytest

from mixlib.air.aircraft import Doubt
from mixlib.describe.demo import four_surface_setup
from mixlib.say.settings import settings_table
from mixlib.say.tables import html_table, show_table, text_table


def test_numbers_stand_to_the_right_and_words_to_the_left():
    rows = [("8/16", 12.345, -3, "free"), ("10/14", 7, 11.06, "meets its stop")]
    assert text_table(("arm/horn", "up, mm", "down, mm", "at the end"), rows).splitlines() == [
        "arm/horn  up, mm  down, mm  at the end",
        "8/16        12.3      −3.0  free",
        "10/14        7.0      11.1  meets its stop",
    ]


def test_digits_are_for_all_columns_or_for_each_and_a_nought_has_no_sign():
    rows = [("clean", 0.416, np.float64(-0.04)), ("droop", np.array(0.5), 2)]
    assert text_table(("", "sink", "deg"), rows, (0, 2, 1), signed=True).splitlines() == [
        "        sink   deg",
        "clean  +0.42   0.0",
        "droop  +0.50  +2.0",
    ]


def test_a_band_counts_as_a_number():
    table = text_table(("", "glide"), [("clean", "18.1 (16 to 20)"), ("brake", "none")])
    assert table.splitlines()[2] == "brake             none"


def test_no_rows_are_a_heading_and_a_short_row_is_refused():
    assert text_table(("a", "b"), []) == "a  b"
    with pytest.raises(ValueError, match="argument 2 is longer"):
        text_table(("a", "b"), [("left",)])


def test_shown_is_what_is_written(capsys):
    show_table(("wind", "m"), {"calm": 61.2}.items(), 0)
    assert capsys.readouterr().out == "wind   m\ncalm  61\n"


def test_html_is_escaped_and_a_number_with_its_unit_stands_to_the_right():
    made = html_table(["<i>", "mm"], [["left & right", "−3.5 mm"], ["both", "none"]], "<b>")
    assert "<i>" not in made
    assert "<b>" not in made
    assert "<th scope='row'>left &amp; right</th>" in made
    assert "<td class='mix-number'>−3.5 mm</td>" in made
    assert "<td>none</td>" in made


def test_the_table_of_settings_is_in_the_order_that_flyers_know():
    setup = four_surface_setup()
    text = settings_table(setup, {"clean": {}, "half": {"brake": 0.5}, "full": {"brake": 1.0}})
    table, _, note = text.partition("\n*")
    assert "More than half of the wing is by handbook values" in note
    rows = dict(re.split(r"  +", line, maxsplit=1) for line in table.splitlines()[1:])
    for name in ("glide, m for 1 m", "elevator with it", "lands, 0 m/s wind, m"):
        assert [cell.endswith("*") for cell in re.split(r"  +", rows[name])] == [False, False, True], name
    first = {
        name: [float(cell.split(" (")[0].rstrip("*")) for cell in re.split(r"  +", cells)]
        for name, cells in rows.items()
        if name != "worked out from" and "none" not in cells
    }
    for falling in ("glide, m for 1 m", "full roll, helix, rad", "lands, 0 m/s wind, m"):
        assert np.all(np.diff(first[falling]) < 0), falling
    # With the full brake the gap beside the flap lets go first, so half of it may fly as slowly.
    assert max(first["lets go, m/s"][1:]) < first["lets go, m/s"][0]
    assert np.all(np.array(first["lets go, m/s"]) < np.array(first["approach, m/s"]))
    calm, windy = first["lands, 0 m/s wind, m"], first["lands, 4 m/s wind, m"]
    assert all(wind < still for wind, still in zip(windy, calm, strict=True))


def test_rows_in_doubt_are_marked_and_the_reasons_stand_below(capsys):
    show_table(
        ("", "m/s", "m"), [("a", 1, 2), ("b", 3, "4"), ("c", 5, 6)], of=[0, Doubt.SWEPT, Doubt.CUT_OFF]
    )
    _, *rows, reasons, more = capsys.readouterr().out.splitlines()
    assert [row.split()[1:] for row in rows] == [
        ["1.0", "2.0"],
        ["3.0*", "4*"],
        ["no", "answer*", "no", "answer*"],
    ]
    assert reasons.startswith("* The speed is beyond what is looked at here.")
    assert "swept by more than 15°" in reasons + more
