"""What panels and exercises share on the screen: their card, the stage on it, how they show themselves."""

from __future__ import annotations

import html
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path

import ipywidgets as widgets
import traitlets
from anywidget import AnyWidget
from IPython.display import display

from mixlib.draw import theme
from mixlib.draw.shapes import ROOM

__all__ = [
    "Stage",
    "action_button",
    "card",
    "choices_row",
    "labelled",
    "refill",
    "show_widget",
    "spoken",
]

_COLOURS = ("INK", "WHITE", "QUIET", "BLUE", "GREEN", "VERMILION")


class Stage(AnyWidget):
    """Picture, sentence and table of a card, each as HTML; tells in which room the picture can be seen.

    Its part in the page also brings the look of the card, speaks a sentence that changes, and names the
    handles of the sliders.

    Attributes
    ----------
    room : list of float
        Width and height of the picture's place in CSS px; `ROOM` until a page has told it.
    apart : bool
        Whether the table stands below the whole panel, not only below the sentence.
    """

    _esm = Path(__file__).with_suffix(".js")
    _css = (
        ".mix-card {"
        + "".join(f"--mix-{name.lower()}:{getattr(theme, name)};" for name in _COLOURS)
        + "}\n"
        + Path(__file__).with_suffix(".css").read_text(encoding="utf-8")
    )
    picture = traitlets.Unicode().tag(sync=True)
    said = traitlets.Unicode().tag(sync=True)
    extra = traitlets.Unicode().tag(sync=True)
    room = traitlets.List(traitlets.Float(), [ROOM.width, ROOM.height]).tag(sync=True)
    apart = traitlets.Bool(True).tag(sync=True)


def labelled(kind: str, widget: widgets.DOMWidget) -> widgets.DOMWidget:
    """Give a widget the CSS classes by which the card's look knows it."""
    for name in kind.split():
        widget.add_class(name)
    return widget


def card(parts: Mapping[str, widgets.DOMWidget], kind: str) -> widgets.Box:
    """Stand widgets on a white card.

    Parameters
    ----------
    parts : mapping of str to DOMWidget
        By their places, in the order of the Tab key: ``"head"``, ``"controls"``, ``"buttons"``, and
        ``"stage"``, the `Stage`, which brings the look.
    kind : str
        CSS classes: ``"mix-beside"`` puts the controls beside the stage where there is room, ``"mix-asked"``
        the buttons above it where there is none.
    """
    frame = widgets.Box([labelled(f"mix-{place}", part) for place, part in parts.items()])
    return labelled("mix-card", widgets.Box([labelled(f"mix-frame {kind}", frame)]))


def refill(box: widgets.Box, parts: Iterable[widgets.Widget]) -> None:
    """Put other widgets into a box, and close those that stood there: they would pile up in the page."""
    old, box.children = box.children, tuple(parts)
    for widget in old:
        _close(widget)


def _close(widget: widgets.Widget) -> None:
    for part in (*getattr(widget, "children", ()), *(getattr(widget, name, None) for name in _MODELS)):
        if part is not None:
            _close(part)
    widget.close()


_MODELS = ("layout", "style")  # models of their own beside each widget


def action_button(text: str, action: Callable[[], object]) -> widgets.Button:
    """Make a button as wide as its words.

    Parameters
    ----------
    action : callable
        Called without arguments at each press.
    """
    button = widgets.Button(description=text)
    button.on_click(lambda _: action())
    return button


def choices_row(label: str, options: Sequence, kind: str = "") -> widgets.RadioButtons:
    """Make a row of choices; unlike a menu they can be reached and changed with Tab and the arrow keys.

    Parameters
    ----------
    options : sequence
        Words, or pairs of words and value; the first is chosen.
    """
    # Without a tooltip, the label's hover text is the word "null".
    choices = widgets.RadioButtons(options=options, description=label, tooltip=label)
    return labelled(f"mix-sideways {kind}", choices)


def spoken(word: str, text: str, kind: str = "") -> str:
    """Write a line for `Stage.said`.

    Parameters
    ----------
    word : str
        Said first, in bold letters: ``"Right"``, ``"Not yet"`` ...
    text : str
        The rest; escaped here.
    kind : {"", "good", "try"}
        Which mark stands at the line's edge; the word says the same.

    Returns
    -------
    str
        HTML.
    """
    mark = f" mix-{kind}" if kind else ""
    first = f"<strong>{html.escape(word)}.</strong> " if word else ""
    return f"<div class='mix-line{mark}'>{first}{html.escape(text)}</div>"


def show_widget(widget: widgets.Widget, words: str) -> None:
    """Show a widget as a cell's output; where no widget can be shown, the words stand in its place.

    Parameters
    ----------
    words : str
        The plain text of the output: a fixed sentence, so that a stored notebook does not change with the
        widget's inner state.
    """
    view = {"version_major": 2, "version_minor": 0, "model_id": widget.model_id}
    display({"text/plain": words, "application/vnd.jupyter.widget-view+json": view}, raw=True)
