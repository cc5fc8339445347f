"""The club evening with the presenter's own model: every panel, and a demo only where it must step in."""

import ast
import json

import pytest
from own_hangar import setups

from mixlib.describe import shelf
from mixlib.panel.base.panel import Panel
from mixlib.paper.running_order import EVENING

OWN = setups()
TEXT = EVENING.read_text(encoding="utf-8")
CELLS = ["".join(cell["source"]) for cell in json.loads(TEXT)["cells"] if cell["cell_type"] == "code"]


def shown(source, names):
    """Run a cell; what its last line shows."""
    *first, last = ast.parse(source).body
    body = [*first, *([] if isinstance(last, ast.Expr) else [last])]
    exec(compile(ast.Module(body, []), "cell", "exec"), names)
    return eval(compile(ast.Expression(last.value), "cell", "eval"), names) if body == first else None


@pytest.mark.parametrize(
    "which, droops, brakes",
    [
        ("motor glider on a Y-lead", "Orchard Hopper", "Orchard Three"),
        ("four surfaces, one flap servo not mirrored", "Garden Own", "Garden Own"),
        ("V-tail", "Garden Own", "Orchard Three"),
    ],
)
def test_every_panel_shows_the_own_model_or_a_demo_that_can_do_it(
    which, droops, brakes, monkeypatch, tmp_path, capsys
):
    monkeypatch.setenv("MIXING_WORKBOOK_MODELS", str(tmp_path))
    shelf.keep(OWN[which])
    names: dict[str, object] = {}
    panels = [part for part in (shown(source, names) for source in CELLS) if isinstance(part, Panel)]
    assert len(panels) == TEXT.count('"Panel: ') > 10
    assert [panel.error for panel in panels] == [""] * len(panels)
    assert names["mine"].setup.name == OWN[which].name
    assert f"Droop: {droops}, by" in (told := capsys.readouterr().out)
    assert f"Brake: {brakes}, by" in told
    landing, crow = (next(p.title for p in panels if words in p.title) for words in ("Landing", brakes))
    assert landing == f"Landing of {droops}"
    assert crow.startswith(brakes)
