"""Lets the tests import their shared Hypothesis strategies from `description_strategies`."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
