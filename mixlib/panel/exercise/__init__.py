"""Questions that are answered before the answer is seen."""
