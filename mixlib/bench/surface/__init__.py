"""One set-up at the bench: throws, limits, differential, levers, and what is left of the travel."""
