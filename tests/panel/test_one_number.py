"""One number for one thing: all places that state the elevator with the brake, or a usual camber, agree."""

from __future__ import annotations

import re
from functools import partial

import pytest

from mixlib.air.aircraft import elevator_over_lever, fly_phase, phase_at
from mixlib.air.aircraft.phases import usual_phases
from mixlib.bench.card import as_markdown, bench_card
from mixlib.bench.fit import addable, fit, usual_wants
from mixlib.bench.fit.wants import DROOP_DEG, throw_of
from mixlib.chain import Rig
from mixlib.describe import shelf
from mixlib.describe.demo import four_surface_setup
from mixlib.panel.handling import compensation_panel
from mixlib.panel.phases import phase_panel
from mixlib.say import settings_table
from mixlib.units import HALF_MM, throw_mm_from_angle

DEG = 0.1
"""What the model's own rounding, a radio's step and a tenth of a degree may differ by."""


@pytest.fixture(scope="module")
def crow():
    return four_surface_setup()


@pytest.fixture(scope="module")
def worked_out_deg(crow):
    """By the one function, for the wing as the whole chain leaves it."""
    wing = {name: angle for name, angle in full_brake(crow).items() if "aileron" in name or "flap" in name}
    (degrees,) = elevator_over_lever(crow.aircraft, "landing", [wing])
    return degrees


def full_brake(setup):
    return Rig(setup).moves(brake=1.0)


def plain(text: str) -> str:
    return re.sub(r"<[^>]+>", " ", text).replace("&#x27;", "'")


def table_row(table: str, label: str) -> list[str]:
    """Cells of a row of an HTML table."""
    (row,) = (row for row in table.split("<tr>") if f">{label}<" in row)
    return [plain(cell).strip() for cell in re.findall(r"<t[dh][^>]*>(.*?)</t[dh]>", row)][1:]


def mm(setup, degrees: float) -> float:
    return float(throw_mm_from_angle(degrees, setup.aircraft.surface("elevator").chord_mm))


def test_phase(crow, worked_out_deg):
    landing = phase_at(crow, "landing", brake=1.0)
    assert landing.angles_deg["elevator"] == pytest.approx(worked_out_deg, abs=DEG)
    assert landing.angles_deg in [phase.angles_deg for phase in usual_phases(crow)]
    assert fly_phase(crow, landing).elevator_deg == pytest.approx(worked_out_deg, abs=DEG)


def test_compensation_panel(crow, worked_out_deg):
    panel = compensation_panel(crow, "brake")
    (said,) = re.findall(r"needs: ([\d.]+)°", plain(panel.sentence))
    assert float(said) == pytest.approx(worked_out_deg, abs=DEG)
    wanted, _, _, mixed, as_set = table_row(panel.extra, "full")
    for cell in (wanted, mixed, as_set):
        assert float(cell.strip("+*")) == pytest.approx(mm(crow, worked_out_deg), abs=mm(crow, 2 * DEG))


def test_phase_panel(crow, worked_out_deg):
    panel = phase_panel(crow)
    for label in ("keeps the speed with elevator, mm", "elevator as set, mm"):
        said = table_row(panel.extra, label)[-1]
        assert float(said.split()[0]) == pytest.approx(mm(crow, worked_out_deg), abs=mm(crow, DEG))


def test_wish(crow, worked_out_deg):
    (extra,) = (
        extra
        for extra in addable(crow, partial(elevator_over_lever, crow.aircraft))
        if extra.name == "elevator with brake"
    )
    assert extra.wants[0].amount == pytest.approx(mm(crow, worked_out_deg), abs=HALF_MM / 2 + mm(crow, DEG))


def test_demo_set_up_at_a_quarter_half_and_full(crow):
    rig, panel = Rig(crow), compensation_panel(crow, "brake")
    chord = crow.aircraft.surface("elevator").chord_mm
    for label, share in (("a quarter", 0.25), ("half", 0.5), ("full", 1.0)):
        wanted = float(table_row(panel.extra, label)[0].strip("+*"))
        given = float(throw_mm_from_angle(rig.moves(brake=share)["elevator"], chord))
        assert given == pytest.approx(wanted, abs=0.2)


def test_settings_table(crow, worked_out_deg):
    table = settings_table(crow, {"clean": {}, "full": {"brake": 1.0}})
    (row,) = (line for line in table.splitlines() if line.startswith("elevator with it"))
    assert float(re.findall(r"([\d.]+)° \(", row)[0]) == pytest.approx(worked_out_deg, abs=DEG)


def test_card(crow, worked_out_deg):
    phased = crow.replace(phases=(phase_at(crow, "landing", brake=1.0),))
    lines = [line for line in as_markdown(bench_card(phased)).splitlines() if "anding" in line]
    found = [float(cell) for line in lines for cell in re.findall(r"down (\d+\.\d) mm", line)]
    assert any(abs(cell - mm(crow, worked_out_deg)) <= mm(crow, 2 * DEG) for cell in found), lines


def test_usual_camber_is_the_same_in_wishes_phases_and_demo(crow):
    phases = {phase.name: phase.angles_deg for phase in usual_phases(crow)}
    rig = Rig(crow)
    for name, side, way in (("thermal", "above", 1.0), ("speed", "below", -1.0)):
        demo = rig.moves(camber=way)
        wants = {
            w.surface: w.amount for w in usual_wants(crow.aircraft) if (w.command, w.side) == ("camber", side)
        }
        for part in crow.aircraft.of_kind("aileron", "flap"):
            usual = throw_of(part, DROOP_DEG[name])
            assert wants[part.name] == usual
            assert 1.0 <= abs(usual) <= 3.0
            for angle in (phases[name][part.name], demo[part.name]):
                assert float(throw_mm_from_angle(angle, part.chord_mm)) == pytest.approx(usual, abs=HALF_MM)


def test_the_demo_s_crow_is_the_usual_wish(crow):
    for want in usual_wants(crow.aircraft):
        if want.command == "brake":
            chord = crow.aircraft.surface(want.surface).chord_mm
            given = float(throw_mm_from_angle(full_brake(crow)[want.surface], chord))
            assert given == pytest.approx(want.amount, abs=HALF_MM)


def test_the_curve_of_the_panel_reaches_the_wish(crow, tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path / "mine"))
    panel = compensation_panel(crow, "brake")
    panel.controls["speed"].value = 10.0
    panel.press("Keep it as a wish for lesson 08")
    kept = shelf.open_kept(*shelf.kept_names())
    assert kept.free_mixes == crow.free_mixes
    (want,) = (w for w in kept.wanted if (w.surface, w.command) == ("elevator", "brake"))
    for label, share in (("half", 0.5), ("full", 1.0)):
        wanted = float(table_row(panel.extra, label)[0].strip("+*"))
        assert want.throw_mm(kept.aircraft, share) == pytest.approx(wanted, abs=HALF_MM / 2 + 0.051)


def test_the_wish_of_the_panel_is_what_the_fitted_set_up_gives_on_the_way(crow, tmp_path, monkeypatch):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path / "mine"))
    panel = compensation_panel(crow, "brake")
    panel.press("Keep it as a wish for lesson 08")
    kept = shelf.open_kept(*shelf.kept_names())
    fitted = fit(kept.aircraft, kept.radio, kept.wanted, keep=kept).setup
    rig = Rig(fitted)
    for label, share in (("a quarter", 0.25), ("half", 0.5), ("full", 1.0)):
        wanted = float(table_row(panel.extra, label)[0].strip("+*"))
        assert mm(fitted, rig.moves(brake=share)["elevator"]) == pytest.approx(wanted, abs=0.5), label
    again = compensation_panel(fitted, "brake")
    said = f"down {float(table_row(again.extra, 'full')[-1].strip('+')):.1f} mm"
    assert said in as_markdown(bench_card(fitted))
