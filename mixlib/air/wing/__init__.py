"""Lift, drag and moments of a wing, piece by piece along its span."""

from mixlib.air.wing.lifting_line import WingResult, solve
from mixlib.air.wing.strips import Panels, from_parts, of_tail, of_wing

__all__ = ["Panels", "WingResult", "from_parts", "of_tail", "of_wing", "solve"]
