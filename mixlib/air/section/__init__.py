"""Lift, drag and moment of a section with a flap."""

from mixlib.air.section.shapes import Measured, Section
from mixlib.air.section.table import Curves, SectionResult, coefficients, curves, drag_band

__all__ = ["Curves", "Measured", "Section", "SectionResult", "coefficients", "curves", "drag_band"]
