"""From wanted throws to settings of this radio that can be flown."""

from mixlib.bench.fit.others import other_holes, other_radios, other_ways
from mixlib.bench.fit.recommend import fit
from mixlib.bench.fit.result import FitResult
from mixlib.bench.fit.search import Locks
from mixlib.bench.fit.wants import usual_wants
from mixlib.bench.fit.wishes import Extra, addable

__all__ = [
    "Extra",
    "FitResult",
    "Locks",
    "addable",
    "fit",
    "other_holes",
    "other_radios",
    "other_ways",
    "usual_wants",
]
