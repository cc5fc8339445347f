"""From wanted throws to settings of this radio."""

from mixlib.bench.fit.recommend import Alternative, FitResult, FitRow, fit, other_holes, other_radios
from mixlib.bench.fit.wants import usual_wants

__all__ = ["Alternative", "FitResult", "FitRow", "fit", "other_holes", "other_radios", "usual_wants"]
