"""Lift, drag and moments of a wing, strip by strip along its span."""

from mixlib.air.wing.lifting_line import WingResult, section_curves, solve
from mixlib.air.wing.strips import Strips, of_tail, of_wing

__all__ = ["Strips", "WingResult", "of_tail", "of_wing", "section_curves", "solve"]
