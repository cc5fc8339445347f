"""From wanted throws to settings of this radio that can be flown."""

from mixlib.bench.fit.recommend import FitResult, fit, other_holes, other_radios
from mixlib.bench.fit.search import Locks
from mixlib.bench.fit.wants import usual_wants
from mixlib.bench.fit.words import FitRow

__all__ = ["FitResult", "FitRow", "Locks", "fit", "other_holes", "other_radios", "usual_wants"]
