"""The form for wanted throws, and the answer: settings, what comes out, what cannot be had, other ways."""

from __future__ import annotations

import html

import ipywidgets as widgets

from mixlib.bench.fit.carry import carried
from mixlib.bench.fit.phase_wants import wants_of_phases
from mixlib.bench.fit.recommend import FitResult, fit, other_holes, other_radios
from mixlib.bench.surface.levers import lever_end
from mixlib.describe import Setup, Want, shelf, shipped, shipped_names
from mixlib.describe.words import COMMAND_ENDS, listed, sentence_start
from mixlib.panel.base.controls import NumberGrid
from mixlib.panel.base.panel import reason, table
from mixlib.panel.base.screen import action_button, card, show_widget, spoken
from mixlib.units import MM_PER_INCH, throw_mm_from_angle

__all__ = ["FitPanel", "fit_panel", "fit_table", "want_words"]

_MOST = 150.0  # mm, largest throw that the form takes


def fit_panel(setup: Setup) -> FitPanel:
    """Ask for wanted throws and find the settings for this aircraft and radio.

    Parameters
    ----------
    setup : Setup
        Whose aircraft and radio are used, and whose wanted throws stand in the form; the usual ones if none.
        Its phases take the place of droop, reflex and brake.

    Returns
    -------
    FitPanel
        Shows itself as the last line of a cell.
    """
    return FitPanel(setup)


def fit_table(result: FitResult) -> str:
    """Write wanted, got and miss of every throw as a table.

    Returns
    -------
    str
        HTML, in mm, trailing edge down (rudder: left) positive.
    """
    rows = [
        [want_words(row.want), *map(_signed, (row.wanted_mm, row.got_mm, row.miss_mm))] for row in result.rows
    ]
    return table(["throw", "wanted, mm", "got, mm", "miss, mm"], rows, "Down (rudder: left) is plus.")


def want_words(want: Want) -> str:
    """Name a wanted throw.

    Returns
    -------
    str
        Such as ``"left aileron, roll (stick right)"``.
    """
    end = COMMAND_ENDS[want.command][want.side == "above"]
    return f"{want.surface}, {want.command} ({end})"


class FitPanel:
    """Wanted throws in mm with their weights, a button, and the answer."""

    def __init__(self, setup: Setup) -> None:
        self._setup = setup
        self._wants = wants_of_phases(setup)
        start = [(round(self._in_mm(want), 1), want.weight) for want in self._wants]
        rows = [want_words(want) for want in self._wants]
        self.grid = NumberGrid("wanted", rows, ("throw, mm", "weight"), start, -_MOST, _MOST, 0.5)
        find = action_button("Find the settings", self.find)
        find.add_class("mix-check")
        self._keep = action_button("Keep these settings as my own", self.keep)
        self._keep.disabled = True
        self._answer = widgets.HTML()
        self._told = widgets.HTML(spoken("", "Nothing is searched yet."))
        head = widgets.HTML(
            f"<h3>Wanted throws of {html.escape(setup.aircraft.name)} on {html.escape(setup.radio.name)}</h3>"
            "<p>At full command, or at the mark of a dial. Down (rudder: left) is plus. "
            "A weight of 2 makes a miss count double; "
            f"a weight of 0 leaves the throw out.</p>{_phase_words(setup)}"
        )
        row = widgets.HBox([find, self._keep], layout=widgets.Layout(flex_flow="row wrap"))
        self.result: FitResult | None = None
        self.widget = card([head, self.grid.widget, row, self._told, self._answer], "mix-panel")

    @property
    def told(self) -> str:
        """What is said now, as HTML."""
        return self._told.value

    @property
    def answer(self) -> str:
        """The answer, as HTML."""
        return self._answer.value

    def find(self) -> None:
        """Search, and show the answer; what cannot be is said, and the last answer stays."""
        try:
            result = fit(
                self._setup.aircraft,
                self._setup.radio,
                self._typed(),
                _fitted_name(self._setup.name),
                marks=True,
            )
            radios = [shipped("radio", name) for name in shipped_names("radio")]
            others = other_radios(result, [radio for radio in radios if radio.name != self._setup.radio.name])
            self._answer.value = _answer(result, others)
        except Exception as error:  # any fault at all must end as a sentence for the reader
            self._told.value = spoken("Not found", reason(error), "try")
            return
        self.result = result
        self._keep.disabled = False
        good = "all" if not result.cannot else "not all"
        said = f"{good} of what you want can be had; the largest miss is {result.worst_miss_mm:.1f} mm."
        self._told.value = spoken("", sentence_start(said), "try" if result.cannot else "good")

    def keep(self) -> None:
        """Save the fitted set-up as the reader's own."""
        if self.result is None:
            return
        try:
            path = shelf.keep(carried(self._setup, self.result.setup))
        except Exception as error:  # any fault at all must end as a sentence for the reader
            self._told.value = spoken("Not saved", reason(error), "try")
            return
        said = f"{path.name} in the folder {path.parent}. The lessons now work with it; run them again."
        self._told.value = spoken("Saved", said, "good")

    def _in_mm(self, want: Want) -> float:
        if want.unit == "deg":
            chord = self._setup.aircraft.surface(want.surface).chord_mm
            return float(throw_mm_from_angle(want.amount, chord))
        return want.amount * (MM_PER_INCH if want.unit == "inch" else 1.0)

    def _typed(self) -> tuple[Want, ...]:
        """Wants as they stand in the form, without those of weight 0."""
        pairs = zip(self._wants, self.grid.value, strict=True)
        wants = tuple(want.replace(amount=mm, unit="mm", weight=weight) for want, (mm, weight) in pairs)
        return tuple(want for want in wants if want.weight > 0)

    def _ipython_display_(self) -> None:
        show_widget(self.widget, "Panel: wanted throws")


def _signed(millimetres: float) -> str:
    return f"{round(millimetres, 1) + 0.0:+.1f}"  # no minus before a nought


def _fitted_name(name: str) -> str:
    """A name of its own, so that the settings before stay on the shelf."""
    mark = ", fitted"
    return f"{name.removesuffix(mark)[: 60 - len(mark)]}{mark}"


def _phase_words(setup: Setup) -> str:
    parts = [
        f"{phase.name} is {end[0]} ({COMMAND_ENDS[end[0]][end[1] == 'above']})"
        for phase in setup.phases
        if (end := lever_end(setup, phase.name))
    ]
    return f"<p>From your phases: {html.escape(listed(parts))}.</p>" if parts else ""


def _answer(result: FitResult, others) -> str:
    setup = result.setup
    plugs = [
        [name, str(number), setup.output(number).control or "mixes only", _direction(setup, number)]
        for name, number in setup.wiring.items()
    ]
    mixes = [
        [mix.label, f"{mix.gain_above_percent:+.0f} %", f"{mix.gain_below_percent:+.0f} %"]
        for mix in setup.free_mixes
    ]
    parts = [
        table(["servo of", "output", "moved by", "direction"], plugs, "Plugs"),
        table(["free mix", "gain above", "gain below"], mixes, "Free mixes") if mixes else "",
        fit_table(result),
        _list("What cannot be had", result.cannot),
        _list("What it takes away elsewhere", result.notes),
        _list("Other holes", [_alternative(item) for item in other_holes(result)[:3]]),
        _list("Other ways with this radio", [_alternative(item) for item in result.alternatives[:3]]),
        _list("Other radios", [item.words for item in others]),
    ]
    return "".join(parts)


def _alternative(item) -> str:
    return f"{item.words}: largest miss {item.worst_miss_mm:.1f} mm"


def _direction(setup: Setup, number: int) -> str:
    return "reversed" if setup.output(number).reversed else "normal"


def _list(title: str, lines) -> str:
    if not lines:
        return ""
    items = "".join(f"<li>{html.escape(sentence_start(line))}</li>" for line in lines)
    return f"<p><strong>{html.escape(title)}</strong></p><ul>{items}</ul>"
