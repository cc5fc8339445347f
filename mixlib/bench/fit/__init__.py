"""From wanted throws to settings of this radio."""

from mixlib.bench.fit.recommend import FitResult, fit, other_holes, other_radios
from mixlib.bench.fit.wants import usual_wants

__all__ = ["FitResult", "fit", "other_holes", "other_radios", "usual_wants"]
