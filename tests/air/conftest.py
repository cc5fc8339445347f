"""Lets the air tests import their shared closed forms from `air_reference`."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
