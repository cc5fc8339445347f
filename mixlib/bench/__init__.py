"""At the bench: wanted throws, the budget of travel, faults, cautions and the bench card."""
