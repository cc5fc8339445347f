"""The table of letter widths is what the printed face says, and no panel loads the face to know them."""

from __future__ import annotations

import subprocess
import sys

import numpy as np

from mixlib.draw.theme import TABLE
from mixlib.paper.letters import measured

LOAD_ALL = """
import importlib, pkgutil, sys, mixlib
names = [found.name for found in pkgutil.walk_packages(mixlib.__path__, "mixlib.")]
assert "mixlib.panel.throws" in names and "mixlib.draw.aircraft.view" in names
for name in names:
    if not name.startswith(("mixlib.paper", "mixlib.air.section.build")):
        importlib.import_module(name)
print(sorted({name.partition(".")[0] for name in sys.modules} & {"matplotlib", "fontTools", "PIL"}))
"""


def test_the_table_is_what_the_face_says():
    with TABLE.open("rb") as file, np.load(file) as table:
        held = dict(table)
    fresh = measured()
    assert sorted(held) == sorted(fresh)
    assert held["code"].size > 5000
    for name, column in fresh.items():
        assert np.array_equal(held[name], column), name


def test_no_panel_loads_matplotlib():
    """All modules but those of the paper room, in a Python of their own."""
    done = subprocess.run([sys.executable, "-c", LOAD_ALL], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
