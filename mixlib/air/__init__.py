"""In the air: sections, wing, the whole aircraft, the landing; from NumPy alone."""
