"""Air model: sections, wing, flight and approach, from NumPy alone."""
