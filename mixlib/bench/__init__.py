"""At the bench: one surface, the fit to a radio, faults, and the bench card."""
