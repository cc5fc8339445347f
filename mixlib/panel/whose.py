"""At the top of a lesson: whose model it works with, a demo or the reader's own."""

from __future__ import annotations

import html
from collections.abc import Callable
from typing import Any

import ipywidgets as widgets
import traitlets
from anywidget import AnyWidget

from mixlib.describe import Setup, shelf
from mixlib.describe.errors import DescriptionError
from mixlib.panel.base.panel import reason
from mixlib.panel.base.screen import Stage, card, choices_row, show_widget, spoken
from mixlib.panel.surfaces import moving_commands
from mixlib.say.doubt import assumed_words
from mixlib.say.phases import no_droop_words

__all__ = ["Model", "model"]


class _Page(AnyWidget):
    """Runs the page again when its number changes, where the page can; says when it comes into sight."""

    _esm = """
export default {
  render({ model, el }) {
    const seen = () => { if (!document.hidden) model.send("seen"); };
    const again = () => document.dispatchEvent(new CustomEvent("mixing-run-again"));
    window.addEventListener("focus", seen);
    model.on("change:again", again);
    const watch = new IntersectionObserver(found => { if (found.some(f => f.isIntersecting)) seen(); });
    watch.observe(el);
    return () => {
      window.removeEventListener("focus", seen);
      watch.disconnect();
    };
  },
};"""
    again = traitlets.Int().tag(sync=True)


class Model:
    """The set-up that a lesson works with, and the choice of it on the screen.

    Attributes
    ----------
    setup : Setup
        What all panels of the lesson show.
    own : bool
        Whether it is the reader's.
    """

    def __init__(self, demo: Setup, choose: Callable[[Setup], shelf.Chosen]) -> None:
        self._demo, self._chosen = demo, choose
        self._seen = shelf.version()
        found = choose(demo)
        self.setup, self._sentence = found.setup, found.sentence
        self.own = found.setup != demo
        if self.own:  # lessons that fly choose by more than the shelf
            assumed = assumed_words(found.setup, shelf.assumed_in(found.setup), choose is not shelf.chosen)
            self._sentence = f"{self._sentence} {assumed}".rstrip()
        self.stage = Stage()
        self._page = _Page()
        self._page.on_msg(self._look)
        self.choice = choices_row("This lesson works with", self._options())
        self.choice.value = (self.own and shelf.name_in_use()) or ""
        self.choice.observe(self._choose, "value")
        self._offer()
        self._say(self._sentence)
        parts = {"controls": widgets.Box([self.choice]), "stage": self.stage}
        self.widget = widgets.VBox([card(parts, "mix-asked"), self._page])

    def at(self, stage: Setup) -> Setup:
        """The reader's own, or else the demo as it is at this stage of the lesson."""
        return self.setup if self.own else stage

    def moves(self, command: str) -> bool:
        """Whether a command moves a surface of it, such as ``"brake"``."""
        return command in moving_commands(self.setup)

    def with_command(self, command: str, make: Callable[[Setup], Any], stage: Setup | None = None) -> Any:
        """A panel of the set-up, or a sentence where no surface answers to the command.

        Parameters
        ----------
        make : callable
            Takes the set-up, returns the panel.
        stage : Setup, optional
            The demo as it is at this stage of the lesson; left out, as it is at the end.
        """
        if self.moves(command):
            return make(self.at(stage or self.setup))
        lever, plane = self.setup.radio.lever(command), self.setup.aircraft
        why = no_droop_words(self.setup) if command in ("camber", "brake") else ""
        return _LeftOut(
            f"On {plane.name} the {lever} moves nothing: the panel that stands here for a demo "
            f"is left out. {why}".rstrip()
        )

    def _offer(self) -> None:
        """Show the choice where there is one: not to a reader who has nothing of their own yet."""
        self.choice.layout.display = "" if len(self.choice.options) > 1 else "none"

    def _options(self) -> tuple[tuple[str, str], ...]:
        kept = ((_name(stem), stem) for stem in shelf.kept_names())
        return ((f"a demo: {self._demo.aircraft.name}", ""), *kept)

    def _choose(self, change: dict[str, Any]) -> None:
        try:
            shelf.choose(change["new"] or None)
        except (DescriptionError, OSError) as error:
            self.stage.said = spoken("Not changed", reason(error), "try")
            return
        self._seen = shelf.version()
        found = self._chosen(self._demo)
        self._say(f"{found.sentence} {_AGAIN}")
        self._page.again += 1

    def _look(self, *_: Any) -> None:
        """Tell a reader who comes back to the choice what has changed, and what else can be chosen."""
        if (options := self._options()) != self.choice.options:
            self.choice.unobserve(self._choose, "value")
            value = self.choice.value
            self.choice.options = options
            self.choice.value = value if value in dict(options).values() else ""
            self.choice.observe(self._choose, "value")
            self._offer()
        if shelf.version() != self._seen:
            self._seen = shelf.version()
            self._say("Your models were changed meanwhile. Run this page again to work with them.")

    def _say(self, sentence: str) -> None:
        self.stage.said = spoken("", sentence)

    def _ipython_display_(self) -> None:
        show_widget(self.widget, self._sentence)


_AGAIN = "The page runs again with it; where it does not, choose Run, then Run All Cells."


def model(demo: Setup, choose: Callable[[Setup], shelf.Chosen] = shelf.chosen) -> Model:
    """Let the reader choose what a lesson works with; as the last line of a cell it shows itself.

    Parameters
    ----------
    demo : Setup
        What the lesson works with until something of the reader's own is chosen.
    choose : callable
        What takes the demo and finds what is chosen; for a lesson on flight, what can be flown.
    """
    return Model(demo, choose)


class _LeftOut:
    def __init__(self, sentence: str) -> None:
        self._sentence = sentence

    def _repr_html_(self) -> str:
        return f"<p>{html.escape(self._sentence)}</p>"

    def __repr__(self) -> str:
        return self._sentence


def _name(stem: str) -> str:
    try:
        return shelf.open_kept(stem).name
    except DescriptionError:
        return f"{stem} (cannot be read)"
