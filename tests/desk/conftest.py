"""Lets the bench's tests import what they share, and the strategies that make valid descriptions."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "describe"))
sys.path.insert(0, str(Path(__file__).parent))
