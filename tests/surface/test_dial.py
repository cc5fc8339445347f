"""A dial over its way, against the whole chain, and what a neutral at one of its ends costs."""

import numpy as np
import pytest

from mixlib.bench.surface.dial import Dial
from mixlib.chain import Rig, commands
from mixlib.describe.demo import hopper_flaperons

SETUP = hopper_flaperons()
PLACES = np.array([-1.0, -0.35, 0.0, 0.35, 1.0])


def test_with_its_neutral_in_the_middle_a_dial_moves_what_the_chain_says():
    dial = Dial(SETUP, "camber", 0.0)
    stages = Rig(SETUP).run([commands(camber=float(at)) for at in PLACES])
    found = dial.follow(PLACES)
    assert found.angle_deg == pytest.approx(stages.surface)
    assert dial.throws(PLACES) == pytest.approx(stages.throw)
    assert [SETUP.aircraft.surface_names[place] for place in dial.moved] == ["left aileron", "right aileron"]


def test_at_the_low_end_the_surfaces_are_level_and_go_down_only():
    """The servo arms are put on again there; nothing is left of reflex."""
    dial = Dial(SETUP, "camber", -1.0)
    throws = dial.throws(PLACES)[:, dial.moved]
    assert throws[0] == pytest.approx([0.0, 0.0])
    assert (np.diff(throws, axis=0) >= 0).all()
    droop, reflex, *_ = dial.costs(1.0)
    assert reflex == "0.0 mm"
    assert droop == f"{throws[PLACES.tolist().index(0.0)].max():.1f} mm"
