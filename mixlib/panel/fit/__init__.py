"""The fit's panel: wishes and locks, a search that can be stopped, its answer, other ways, keep and undo."""

from mixlib.panel.fit.answer import moves_picture
from mixlib.panel.fit.desk import FitDesk, fit_panel
from mixlib.panel.fit.lines import want_words

__all__ = ["FitDesk", "fit_panel", "moves_picture", "want_words"]
