"""The pages of the short form, as plain values for the sheet: what is asked and said at each step."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from mixlib.describe import Radio, shelf, shipped, shipped_names
from mixlib.describe.words import listed, sentence_start
from mixlib.draw.form.kinds import kind_picture
from mixlib.draw.svg import svg
from mixlib.panel.form.memory import State
from mixlib.panel.form.short.asked_back import Doubt
from mixlib.panel.form.short.made import Made, plug_key, plugs_of, usual_plugs
from mixlib.panel.form.short.more import Leaf, as_typed, leaves_of, unit_asked, usual_words
from mixlib.panel.form.short.questions import (
    KINDS,
    MIRRORED,
    Question,
    in_unit,
    kind,
    leads,
    measures,
    mirror,
    pairs,
    servo_questions,
    side_of,
    sides_of,
    unit_for,
)
from mixlib.panel.form.short.values import seen
from mixlib.say.speeds import SPEED_UNITS, speed_unit

__all__ = [
    "OWN_RADIO",
    "STEPS",
    "View",
    "button",
    "faults_of",
    "line",
    "more_owners",
    "page_rows",
    "plug_words",
    "row",
    "said",
]

STEPS = {
    "have": "Kind",
    "numbers": "Numbers",
    "servos": "Servos",
    "ways": "Which way",
    "plugs": "Plugs",
    "done": "Done",
}
"""The steps of the short form in their order."""

OWN_RADIO = "own:"
"""Before the name of a radio of the reader's own, among the radios to pick."""

_TESTS = {"elevator": "Stick back", "v-tail": "Stick back"}
_PICTURED = ("wing", "tail", "finish", "lead", "motor")
_UNITS = ("length", "weight")
_SHORT = {
    "two plugs": "a plug each",
    "Y-lead": "on one Y-lead",
    "one servo": "one servo for both",
    "folding": "folding propeller",
    "fixed": "fixed propeller",
}
_CAUTION = (
    "Make the motor safe first: propeller off, or its wires off the controller. Keep fingers clear. Put each "
    "plug into the output that the stick moves, and look from behind."
)

Item = dict[str, Any]


@dataclass
class View:
    """What of a state is looked at.

    Attributes
    ----------
    at : str
        Key of the entry with the focus.
    more : str
        Whose further values are shown instead of the step's questions; empty for none.
    tried : bool
        Whether the reader asked for the model already: then what is missing is marked too.
    """

    state: State
    at: str = ""
    more: str = ""
    tried: bool = False

    @property
    def answers(self) -> dict[str, str]:
        """All answers, by key."""
        return self.state.answers


def said(words: str, mark: str = "") -> Item:
    """A line of words; the mark is that of `spoken`."""
    return {"kind": "said", "words": words, "mark": mark}


def button(key: str, words: str, **more: Any) -> Item:
    """A button; ``off`` switches it off, ``now`` shows it pressed."""
    return {"kind": "button", "key": key, "words": words, **more}


def row(look: str, *items: Item) -> Item:
    """Items side by side, in one of the looks of the sheet."""
    return {"kind": "row", "look": look, "items": list(items)}


def line(
    key: str, label: str, value: str, usual: str = "", unit: str = "", note: str = "", fault: str = ""
) -> Item:
    """An entry for a line of text."""
    return {
        "kind": "line",
        "key": key,
        "label": label,
        "value": value,
        "usual": usual,
        "unit": unit,
        "note": note,
        "fault": fault,
    }


def page_rows(view: View, made: Made, doubts: tuple[Doubt, ...]) -> list[Item]:
    """Everything that the sheet shows at a step but the buttons that belong to every page."""
    places = list(STEPS)
    marks = {
        step: " !" if faults_of(view, made, step) and (step != "done" or view.tried) else ""
        for step in places
    }
    steps = [
        button(
            f"step:{step}",
            f"{place}. {words}{marks[step]}",
            step=True,
            now=step == view.state.step and not view.more,
        )
        for place, (step, words) in enumerate(STEPS.items(), start=1)
    ]
    body: Callable[[View, Made], Iterator[Item]]
    if view.more:
        items = list(_more(view, made))
    elif view.state.step == "done":
        items = list(_done(view, made, doubts))
    else:
        body = {"have": _have, "numbers": _numbers, "servos": _servos, "ways": _ways, "plugs": _plugs}[
            view.state.step
        ]
        items = list(body(view, made))
    return [row("steps", *steps), row("body", *items)]


def faults_of(view: View, made: Made, step: str) -> list[str]:
    """What cannot be taken at a step, in sentences; what is only missing counts at the end or once tried."""
    if step == "done":
        return list(made.faults.values())
    keys = _keys(view, step)
    told = [key for key in made.faults if key in keys and (view.tried or view.answers.get(key, "").strip())]
    return [made.faults[key] for key in told]


def more_owners(view: View, step: str) -> list[str]:
    """Whose further values belong to a step."""
    if step == "numbers":
        return ["aircraft", "wing root", "wing tip"]
    if step == "servos":
        return list(servo_questions(view.answers))
    return ["radio"] if step == "plugs" else []


def plug_words(view: View, name: str) -> str:
    """A plug in words, such as ``"both ailerons (Y-lead)"``."""
    if len(leads(view.answers).get(name, (name,))) == 1:
        return name
    return "both ailerons" + (" (Y-lead)" if kind(view.answers, "lead") == "Y-lead" else " (one servo)")


def _keys(view: View, step: str) -> set[str]:
    answers = view.answers
    if step == "numbers":
        keys = {question.key for question in measures(answers)}
    elif step == "servos":
        keys = {question.key for questions in servo_questions(answers).values() for question in questions}
    elif step == "plugs":
        keys = {plug_key(name) for name in plugs_of(answers)}
    else:
        keys = {"name"} if step == "done" else set()
    owners = tuple(f"more:{owner}." for owner in _owners(view, step))
    return keys | {key for key in answers if owners and key.startswith(owners)}


def _owners(view: View, step: str) -> list[str]:
    return {"numbers": ["aircraft", "wing root", "wing tip"], "plugs": ["radio"]}.get(
        step, [name for names in pairs(view.answers).values() for name in names] if step == "servos" else []
    )


def _fault(view: View, made: Made, key: str) -> str:
    told = view.tried or bool(view.answers.get(key, "").strip())
    return made.faults.get(key, "") if told else ""


def _pick(key: str, label: str, options: list[tuple[str, str]], value: str, note: str = "") -> Item:
    return {"kind": "pick", "key": key, "label": label, "options": options, "value": value, "note": note}


def _kind_pick(view: View, key: str) -> Item:
    label, choices = KINDS[key]
    options = [(choice, _SHORT.get(choice, choice)) for choice in choices]
    item = _pick(key, label, options, kind(view.answers, key))
    if key in _PICTURED:
        item["pictures"] = [svg(kind_picture(key, choice)) for choice in choices]
    return item


def _have(view: View, made: Made) -> Iterator[Item]:
    tailless = kind(view.answers, "tail") == "tailless"
    hidden = ("wing", "lead") if tailless else ()
    speeds = _pick("speed", "Speeds in", [(unit, unit) for unit in SPEED_UNITS], speed_unit())
    units = row("units", *(_kind_pick(view, key) for key in _UNITS), speeds)
    yield row("kinds", *(_kind_pick(view, key) for key in _PICTURED if key not in hidden), units)


def _number_line(view: View, made: Made, question: Question, label: str = "") -> Item:
    key, usual = question.key, made.resolved.numbers.get(question.key)
    assumed = key in made.resolved.assumed
    blank = (
        f"assumed {in_unit(view.answers, question.measure, usual)}" if assumed and usual is not None else ""
    )
    unit = unit_for(view.answers, question.measure)
    typed = view.answers.get(key, "")
    item = line(key, label or question.words, typed, blank, unit, "", _fault(view, made, key))
    return item | {"at": view.at == key}


def _numbers(view: View, made: Made) -> Iterator[Item]:
    for question in measures(view.answers):
        yield _number_line(view, made, question)


def _servos(view: View, made: Made) -> Iterator[Item]:
    asked, unit = servo_questions(view.answers), unit_for(view.answers, "length")
    yield said(
        "From the servo's shaft to the hole in the arm, and from the hinge line to the hole in the horn."
    )
    for what, names in pairs(view.answers).items():
        for name in [name for name in names if name in asked]:
            levers = [
                _number_line(view, made, question, f"{question.key.rpartition('.')[2]}, {unit}")
                | {"unit": ""}
                for question in asked[name]
            ]
            options = [(side, side) for side in sides_of(what)]
            side = _pick(f"{name}.side", "horn stands", options, side_of(view.answers, name))
            items = [said(sentence_start(_owner_words(view, name))), *levers, side]
            if len(names) > 1 and name == names[0]:
                ways = [(MIRRORED[0], "mirrored"), (MIRRORED[1], "not")]
                items.append(_pick(f"{what}.mirror", "the right servo is", ways, mirror(view.answers, what)))
            yield row("pair", *items)


def _ways(view: View, made: Made) -> Iterator[Item]:
    yield said(_CAUTION, "try")
    for what, names in pairs(view.answers).items():
        test = _TESTS.get(what, "Stick right")
        mirrored = mirror(view.answers, what) != "not"
        for name in [name for name in names if name in leads(view.answers)]:
            went, given = seen(view.answers, name), view.answers.get(f"{name}.seen", "")
            if mirrored and name != names[0]:
                answer = said(f"{test}: {went}, as the mirror image does")
            else:
                ways = [(way, way) for way in (("left", "right") if what == "rudder" else ("up", "down"))]
                note = "" if given else f"assumed: {went}"
                edge = "the left one's edge goes" if len(names) > 1 and mirrored else "its edge goes"
                answer = _pick(f"{name}.seen", f"{test}: {edge}", ways, given, note)
            reversed_ = "yes" if view.answers.get(f"{name}.reversed") == "yes" else "no"
            output = _pick(
                f"{name}.reversed", "its output is reversed", [("no", "no"), ("yes", "yes")], reversed_
            )
            yield row("way", said(sentence_start(plug_words(view, name))), answer, output)


def _plugs(view: View, made: Made) -> Iterator[Item]:
    radios = [(name, shipped("radio", name).name) for name in shipped_names("radio")]
    radios += [(OWN_RADIO + name, f"my {name}") for name in shelf.kept_names(Radio)]
    radios += [(OWN_RADIO + name, f"that of {name}") for name in shelf.kept_names()]
    chosen = view.answers.get("radio") or "simple_six"
    radio = shipped("radio", chosen)
    mixes = f"{radio.free_mixes} free mix{'' if radio.free_mixes == 1 else 'es'}"
    dial = listed([c.held_by for c in radio.controls if c.held_by != "stick"]) or "no dial"
    about = f"{radio.outputs} outputs, {mixes}, {dial}. What differs on yours stands under More."
    yield _pick("radio", "Most like yours is", radios, chosen, about)
    usual = usual_plugs(view.answers, made.values)
    for name in plugs_of(view.answers):
        key, words = plug_key(name), sentence_start(plug_words(view, name))
        blank = f"assumed {usual[name]}" if name in usual else ""
        typed = view.answers.get(key, "")
        yield line(key, words, typed, blank, "", "output", _fault(view, made, key)) | {"at": view.at == key}


def _done(view: View, made: Made, doubts: tuple[Doubt, ...]) -> Iterator[Item]:
    yield line("name", "Its name", view.answers.get("name", ""), "", "", "", _fault(view, made, "name"))
    if made.setup is not None:
        for doubt in doubts:
            agreed = doubt.key in view.state.yes
            answer = button(f"so:{doubt.key}", "It is so" if not agreed else "It is so ✓", now=agreed)
            yield row("list", said(f"{doubt.words} Is it so?", "" if agreed else "try"), answer)


def _more(view: View, made: Made) -> Iterator[Item]:
    owners = more_owners(view, view.state.step)
    if len(owners) > 1:
        yield _pick("more", "Of", [(owner, _owner_words(view, owner)) for owner in owners], view.more)
    for leaf in leaves_of(view.answers, made.usual):
        if leaf.key.startswith(f"more:{view.more}."):
            yield _leaf(view, made, leaf)


def _owner_words(view: View, owner: str) -> str:
    """Whose values they are: of both of a pair whose right one is the mirror image."""
    what = next((what for what, names in pairs(view.answers).items() if owner in names), "")
    both = len(pairs(view.answers).get(what, ())) > 1 and mirror(view.answers, what) != "not"
    return ("both halves of the V-tail" if what == "v-tail" else f"both {what}s") if both else owner


def _leaf(view: View, made: Made, leaf: Leaf) -> Item:
    about, typed = leaf.field, view.answers.get(leaf.key, "")
    part = leaf.key.removeprefix(f"more:{view.more}.").rpartition(".")[0].replace(".", " ")
    words = sentence_start(f"{part}: {about.name}" if part in ("tail", "fin", "motor") else about.name)
    fault = _fault(view, made, leaf.key)
    choices = about.choices if about.sort == "choice" else ("yes", "no") if about.sort == "yes or no" else ()
    if choices:
        note = about.meaning if typed else f"{about.meaning}; assumed"
        return _pick(leaf.key, words, [(c, c) for c in choices], typed or as_typed(leaf.usual), note) | {
            "fault": fault
        }
    usual, unit = usual_words(view.answers, leaf), unit_asked(view.answers, about)
    return line(leaf.key, words, typed, f"assumed {usual}" if usual else "", unit, about.meaning, fault)
