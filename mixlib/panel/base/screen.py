"""What panels and exercises share on the screen: their card, their spoken lines, how they show themselves."""

from __future__ import annotations

import html
from collections.abc import Callable, Sequence

import ipywidgets as widgets
from IPython.display import display

from mixlib.draw.theme import BLUE, GREEN, INK, QUIET, VERMILION, WHITE

__all__ = ["action_button", "card", "choices_row", "show_widget", "spoken"]

# Dark words on a white card, whatever theme the notebook is shown in; large enough for a projector.
STYLE = f"""<style>
.mix-card {{
 --jp-widgets-color:{INK}; --jp-widgets-label-color:{INK}; --jp-widgets-readout-color:{INK};
 --jp-ui-font-color1:{INK}; --jp-content-font-color1:{INK}; --jp-widgets-font-size:16px;
 --jp-widgets-input-background-color:{WHITE}; --jp-widgets-input-color:{INK};
 --jp-widgets-input-border-color:#7b8794; --jp-widgets-inline-height:34px;
 --jp-widgets-slider-handle-size:22px; --jp-widgets-slider-track-thickness:6px;
 --jp-widgets-slider-handle-background-color:{BLUE}; --jp-widgets-slider-active-handle-color:{BLUE};
 --jp-border-color1:#7b8794; --jp-layout-color1:{WHITE}; --jp-layout-color2:#eef1f4;
 --jp-brand-color1:{BLUE}; --jp-error-color1:#a40000;
 color:{INK}; background:{WHITE}; border:1px solid #c4cbd4; border-radius:10px;
 padding:12px 16px; margin:4px 2px 10px 2px; font-size:16px; line-height:1.45; }}
.mix-card .widget-html-content {{ font-size:16px; line-height:1.45; color:{INK}; }}
.mix-card .widget-html {{ height:auto; width:auto; margin:2px 0; }}
.mix-card h3 {{ margin:0 0 4px 0; font-size:19px; color:{INK}; }}
.mix-card p {{ margin:2px 0 6px 0; color:{INK}; }}
.mix-card .mix-question {{ font-size:17px; }}
.mix-card .jupyter-button {{
 background:#eef1f4; color:{INK}; border:1px solid #7b8794; border-radius:6px;
 height:36px; line-height:34px; font-size:15px; width:auto; padding:0 14px; }}
.mix-card .jupyter-button.mix-check {{ background:{INK}; color:{WHITE}; }}
.mix-card .jupyter-button.mod-active {{ background:{INK}; color:{WHITE}; }}
.mix-card button:focus-visible, .mix-card input:focus-visible, .mix-card select:focus-visible,
.mix-card .noUi-handle:focus {{ outline:3px solid {VERMILION}; outline-offset:2px; }}
.mix-card .widget-radio {{ width:auto; max-width:100%; }}
.mix-card .widget-radio-box {{ width:100%; margin-bottom:4px; }}
.mix-card .widget-radio-box label {{
 white-space:normal; height:auto; width:auto; min-height:28px; line-height:1.4;
 margin:0 0 4px 0; padding-left:26px; position:relative; font-size:16px; }}
.mix-card .widget-radio-box input {{
 position:absolute; left:0; top:2px; width:18px; height:18px; margin:0; accent-color:{INK}; }}
.mix-card .widget-radio.mix-sideways {{ display:flex; flex-direction:row; align-items:baseline; }}
.mix-card .widget-radio.mix-sideways > .widget-label {{
 flex:0 0 7em; width:auto; text-align:right; margin-right:10px; }}
.mix-card .widget-radio.mix-surfaces > .widget-label {{ flex-basis:10em; text-align:left; font-weight:bold; }}
.mix-card .mix-sideways .widget-radio-box {{ flex-direction:row; flex-wrap:wrap; margin:0 !important; }}
.mix-card .mix-sideways .widget-radio-box label {{ margin-right:22px; }}
.mix-card .noUi-handle {{ background:{BLUE}; border-color:{INK}; }}
.mix-card input[type=number], .mix-card input[type=text] {{
 font-size:16px; color:{INK}; background:{WHITE}; }}
.mix-card .mix-out-of-range input {{ border:3px dashed #a40000; }}
.mix-card .mix-fault {{ color:#a40000; font-weight:bold; }}
.mix-line {{ border-left:6px solid {QUIET}; padding:6px 10px; background:#f3f5f8; border-radius:4px; }}
.mix-line.mix-good {{ border-color:{GREEN}; }}
.mix-line.mix-try {{ border-color:{VERMILION}; }}
.mix-grid .widget-text .widget-label {{
 position:absolute; width:1px; height:1px; margin:0; overflow:hidden; clip-path:inset(50%); }}
.mix-ends {{
 display:flex; justify-content:space-between; font-size:14px; color:{QUIET}; line-height:1.1; }}
.mix-card table.mix-table {{ border-collapse:collapse; font-size:15px; margin:4px 0; }}
.mix-table caption {{ text-align:left; color:{INK}; padding:2px 0 4px 0; }}
.mix-table th, .mix-table td {{
 border-bottom:1px solid #c4cbd4; padding:4px 12px 4px 0; text-align:left; color:{INK}; }}
.mix-table td.mix-number {{ text-align:right; font-variant-numeric:tabular-nums; }}
</style>"""


def card(parts: Sequence[widgets.Widget], kind: str = "") -> widgets.VBox:
    """Stand widgets on a white card.

    Parameters
    ----------
    kind : str
        A further CSS class, such as ``"mix-exercise"``.
    """
    sheet = widgets.HTML(STYLE, layout=widgets.Layout(display="none"))
    box = widgets.VBox([*parts, sheet], layout=widgets.Layout(width="auto", overflow="visible"))
    box.add_class("mix-card")
    if kind:
        box.add_class(kind)
    return box


def action_button(text: str, action: Callable[[], object]) -> widgets.Button:
    """Make a button as wide as its words.

    Parameters
    ----------
    action : callable
        Called without arguments at each press.
    """
    button = widgets.Button(description=text, layout=widgets.Layout(width="auto", align_self="flex-start"))
    button.on_click(lambda _: action())
    return button


def choices_row(label: str, options: Sequence, *kinds: str) -> widgets.RadioButtons:
    """Make a row of choices; unlike a menu they can be reached and changed with Tab and the arrow keys.

    Parameters
    ----------
    options : sequence
        Words, or pairs of words and value; the first is chosen.
    """
    choices = widgets.RadioButtons(
        options=options,
        description=label,
        tooltip=label,  # without one, the label's hover text is the word "null"
        style={"description_width": "7em"},
        layout=widgets.Layout(width="auto"),
    )
    for kind in ("mix-sideways", *kinds):
        choices.add_class(kind)
    return choices


def spoken(word: str, text: str, kind: str = "") -> str:
    """Write a line that a screen reader speaks when it changes.

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
    return f"<div role='status' aria-live='polite' class='mix-line{mark}'>{first}{html.escape(text)}</div>"


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
