"""Shapes of wing and surfaces: dihedral of each piece, and a surface that is wider at one end."""

import numpy as np
import pytest

from mixlib.describe import Aircraft, Station, as_toml, from_toml, shipped
from mixlib.describe.errors import DescriptionError
from mixlib.describe.files import build

TWO = shipped("aircraft", "orchard_two")
AILERON = TWO.surface("right aileron")


def refused(station=None, surface=None):
    """What is said about the two-metre glider with changes of its last station or its first surface."""
    values = TWO.model_dump(mode="json")
    values["wing"]["stations"][-1] |= station or {}
    values["surfaces"][0] |= surface or {}
    with pytest.raises(DescriptionError) as caught:
        build(Aircraft, values, "mine.toml")
    return str(caught.value)


def test_a_surface_changes_evenly_from_the_end_where_it_is_measured_to_the_other():
    part = AILERON.replace(y_inner_mm=400, y_outer_mm=800, chord_mm=50, outer_chord_mm=30)
    assert part.chord_at_mm([400, 500, 800]) == pytest.approx([50, 45, 30])
    assert AILERON.chord_at_mm(AILERON.y_outer_mm) == AILERON.chord_mm  # left out: as wide as the inner end


@pytest.mark.parametrize("field, where", [("chord_mm", "y_inner_mm"), ("outer_chord_mm", "y_outer_mm")])
def test_each_end_of_a_surface_must_fit_the_wing_there(field, where):
    most = 0.6 * TWO.wing.chord_at_mm(getattr(AILERON, where))
    said = refused(surface={"outer_chord_mm": 20.0, field: most + 1})
    assert {"chord_mm": "Left aileron: chord is", "outer_chord_mm": "chord at the outer end is"}[
        field
    ] in said
    assert f"{most:.0f} mm" in said


def test_dihedral_belongs_to_the_rib_where_its_piece_begins():
    """Nothing lies outside the tip, so an angle there would be dropped without a word."""
    said = refused(station={"dihedral_deg": 4.0})
    assert f"Rib {len(TWO.wing.stations)}: dihedral is 4 deg" in said
    assert "the rib before" in said


def test_older_files_are_flat_and_even():
    text = as_toml(TWO)
    kept = [line for line in text.splitlines() if not line.startswith(("dihedral_deg", "outer_chord_mm"))]
    loaded = from_toml("\n".join(kept))
    assert {station.dihedral_deg for station in loaded.wing.stations} == {0.0}
    assert all(np.ptp(part.chord_at_mm([0, 9999])) == 0 for part in loaded.surfaces)
    assert Station(y_mm=0, chord_mm=200).dihedral_deg == 0
