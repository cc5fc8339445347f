"""What the short form asks: kinds by picture, a dozen numbers by ruler and scale, servos, directions, plugs.

An answer is the text as typed or the word that was picked; all answers are one flat table of texts.  What is
left blank has a usual value, which is derived from what is known and called assumed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from mixlib.describe.numbers import UNITS, read_number
from mixlib.describe.words import number, sentence_start

__all__ = [
    "KINDS",
    "MIRRORED",
    "Answers",
    "Question",
    "Resolved",
    "in_unit",
    "chord_at",
    "kind",
    "leads",
    "measures",
    "mirror",
    "other_side",
    "pairs",
    "questions",
    "resolved",
    "servo_questions",
    "shown",
    "side_of",
    "sides_of",
    "unit_for",
    "with_units",
]

Answers = Mapping[str, str]
Numbers = dict[str, float]

KINDS: dict[str, tuple[str, tuple[str, ...]]] = {
    "wing": ("The wing has", ("two ailerons", "ailerons and flaps")),
    "tail": ("The tail is", ("tail and fin", "V-tail", "tailless")),
    "finish": ("Its skin is", ("smooth", "foam")),
    "lead": ("The aileron servos", ("two plugs", "Y-lead", "one servo")),
    "motor": ("Motor", ("none", "folding", "fixed")),
    "length": ("Lengths in", ("mm", "inch")),
    "weight": ("Weight in", ("g", "oz")),
}
"""Question of kind to its words and its choices; the first is picked at the start."""

MIRRORED = ("mirror image", "not")
"""How the right servo of a pair may stand to the left one."""


@dataclass(frozen=True)
class Question:
    """One number that is asked.

    Attributes
    ----------
    hint : str
        How it is measured.
    measure : {"length", "weight"}
        What is measured: it is asked in the reader's unit and reckoned in mm or g.
    low, high : float
        What is accepted, mm or g.
    usual : callable or None
        Takes the numbers so far, returns the usual one in mm or g; None where it must be measured.
    """

    key: str
    words: str
    hint: str
    low: float
    high: float
    usual: Callable[[Numbers], float | None] | None
    measure: str = "length"


@dataclass(frozen=True)
class Resolved:
    """Numbers in mm and g: those typed, and for the others the usual ones.

    Attributes
    ----------
    assumed : tuple of str
        Keys of the usual ones.
    faults : dict of str to str
        Key to a sentence, for what is missing or cannot be taken.
    """

    numbers: Numbers
    assumed: tuple[str, ...]
    faults: dict[str, str]


def kind(answers: Answers, key: str) -> str:
    """What was picked for a question of `KINDS`; the first choice where nothing was."""
    choices = KINDS[key][1]
    return answers.get(key) if answers.get(key) in choices else choices[0]  # type: ignore[return-value]


def pairs(answers: Answers) -> dict[str, tuple[str, ...]]:
    """Kind of surface to the names of its surfaces, left before right, in the order of the form."""
    found: dict[str, tuple[str, ...]] = {}
    tail = kind(answers, "tail")
    if tail == "tailless":
        return {"elevon": ("left elevon", "right elevon")}
    if kind(answers, "wing") == "ailerons and flaps":
        found["flap"] = ("left flap", "right flap")
    found["aileron"] = ("left aileron", "right aileron")
    if tail == "V-tail":
        found["v-tail"] = ("left V-tail", "right V-tail")
    else:
        found |= {"elevator": ("elevator",), "rudder": ("rudder",)}
    return found


def leads(answers: Answers) -> dict[str, tuple[str, ...]]:
    """Each plug to what its servos move: one surface, or both ailerons on a Y-lead or one servo."""
    single = kind(answers, "lead") != "two plugs"
    plugs: dict[str, tuple[str, ...]] = {}
    for what, names in pairs(answers).items():
        if what == "aileron" and single:
            plugs[names[0]] = names
        else:
            plugs |= {name: (name,) for name in names}
    return plugs


def sides_of(what: str) -> tuple[str, str]:
    """Sides on which the levers of a kind of surface can stand, the usual one first."""
    if what == "rudder":
        return "left", "right"
    return ("above", "below") if what == "elevator" else ("below", "above")


def side_of(answers: Answers, name: str) -> str:
    """Side on which the levers of a surface stand: as picked, else as on the left one, else the usual one."""
    what, names = next((what, names) for what, names in pairs(answers).items() if name in names)
    given = (answers.get(f"{one}.side", "") for one in (name, names[0]))
    return next((side for side in given if side in sides_of(what)), sides_of(what)[0])


def other_side(word: str) -> str:
    """The opposite of up, down, left or right, of above or below, of forward or back."""
    pairs_ = {"up": "down", "left": "right", "above": "below", "forward": "back"}
    return (pairs_ | {there: here for here, there in pairs_.items()})[word]


def measures(answers: Answers) -> list[Question]:
    """The numbers of the wing, the tail and the whole model, in the order in which one measures them."""
    flaps = "flap" in pairs(answers)
    tail = kind(answers, "tail")
    asked = [
        Question("span", "Span", "tip to tip, along the wing", 300, 8000, None),
        Question("root", "Root chord", "nose to trailing edge in the middle", 30, 800, None),
        Question("tip", "Tip chord", "nose to trailing edge at the tip", 20, 800, lambda n: 0.7 * n["root"]),
    ]
    if tail == "tailless":
        asked.append(
            Question(
                "sweep", "Sweep", "tip's nose behind the root's nose", -500, 1500, lambda n: 0.17 * n["span"]
            )
        )
    asked.append(
        Question(
            "thick",
            "Thickness",
            "of the root at its thickest; blank: as its kind has it",
            4,
            150,
            lambda n: None,
        )
    )
    if flaps:
        asked += _moving("flap", 0.03, 0.27)
    asked += (
        _moving("elevon", 0.17, 0.48)
        if tail == "tailless"
        else _moving("aileron", 0.28 if flaps else 0.25, 0.48)
    )
    if tail != "tailless":
        asked += [
            Question(
                "tail.back",
                "Tail distance",
                "wing root's nose to the tail's nose",
                120,
                3000,
                lambda n: 0.36 * n["span"],
            ),
            Question(
                "tail.span",
                "Tail span",
                "tip to tip" + (", along both halves" if tail == "V-tail" else ""),
                50,
                2000,
                lambda n: (0.28 if tail == "V-tail" else 0.24) * n["span"],
            ),
            Question(
                "tail.chord",
                "Tail chord",
                "middle one, with the elevator",
                20,
                400,
                lambda n: 0.52 * n["root"],
            ),
            Question(
                "tail.flap",
                "Elevator chord",
                "hinge to trailing edge",
                5,
                400,
                lambda n: 0.4 * n["tail.chord"],
            ),
        ]
    asked += [
        Question("mass", "Weight", "ready to fly", 50, 25000, None, "weight"),
        Question("balance", "Balance point", "behind the nose of the root", -200, 800, None),
    ]
    return asked


def servo_questions(answers: Answers) -> dict[str, list[Question]]:
    """Each surface whose servo is asked to its two holes; the right one only where it is no mirror image."""
    usual = {"aileron": (10, 14), "flap": (13, 11), "elevon": (10, 14), "v-tail": (10, 14)}
    found = {}
    for what, names in pairs(answers).items():
        arm, horn = usual.get(what, (10, 16))
        for name in names[: 2 if mirror(answers, what) == "not" else 1]:
            first = name == names[0]
            found[name] = [
                Question(
                    f"{name}.{lever}",
                    f"{sentence_start(name)}: hole in the {lever}",
                    f"{place} to the hole",
                    3,
                    60 if lever == "arm" else 80,
                    _always(size) if first else _same(f"{names[0]}.{lever}"),
                )
                for lever, size, place in (("arm", arm, "servo's shaft"), ("horn", horn, "hinge line"))
            ]
    return found


def questions(answers: Answers) -> list[Question]:
    """Every number that is asked, those of the servos last."""
    return [*measures(answers), *(one for asked in servo_questions(answers).values() for one in asked)]


def with_units(answers: Answers, measure: str) -> dict[str, str]:
    """The answers with the unit behind every number typed so far, so that another unit changes none of them.

    Parameters
    ----------
    measure : {"length", "weight"}
        Whose unit is about to change.
    """
    unit, found = unit_for(answers, measure), dict(answers)
    for question in questions(answers):
        typed = found.get(question.key, "").strip()
        if question.measure == measure and typed and typed[-1].isdigit():
            found[question.key] = f"{typed} {unit}"
    return found


def mirror(answers: Answers, what: str) -> str:
    """How the right servo of a kind of surface stands to the left one, one of `MIRRORED`."""
    if what in ("elevator", "rudder"):
        return MIRRORED[0]
    usual = MIRRORED[1] if what == "v-tail" else MIRRORED[0]
    given = answers.get(f"{what}.mirror", "")
    return given if given in MIRRORED else usual


def unit_for(answers: Answers, measure: str) -> str:
    """The reader's unit of length or mass."""
    return kind(answers, measure)


def in_unit(answers: Answers, measure: str, value: float) -> str:
    """A number of mm or g in the reader's unit, as one would type it."""
    shown_ = value / float(UNITS[unit_for(answers, measure)][1])
    rounded = round(shown_, 2) + 0.0
    return number(rounded)


def shown(answers: Answers, question: Question, value: float) -> str:
    """A number with its unit, for a sentence."""
    return f"{in_unit(answers, question.measure, value)} {unit_for(answers, question.measure)}"


def resolved(answers: Answers) -> Resolved:
    """Read every number that the form asks for."""
    numbers: Numbers = {}
    assumed: list[str] = []
    faults: dict[str, str] = {}
    for question in questions(answers):
        typed = answers.get(question.key, "")
        if typed.strip():
            try:
                numbers[question.key] = _taken(answers, question, typed)
                continue
            except ValueError as error:
                faults[question.key] = f"{question.words}: {error}"
        elif question.usual is None:
            faults[question.key] = (
                f"{question.words} is not typed yet. Accepted: {_range(answers, question)}. It is measured "
                f"{question.hint}."
            )
        value = _usual(question, numbers)
        if value is not None:
            numbers[question.key] = value
            if question.key not in faults:
                assumed.append(question.key)
    return Resolved(numbers, tuple(assumed), faults)


def _taken(answers: Answers, question: Question, typed: str) -> float:
    unit = unit_for(answers, question.measure)
    value = round(read_number(typed, unit) * float(UNITS[unit][1]), 9)
    if not question.low <= value <= question.high:
        said = shown(answers, question, value)
        raise ValueError(f"{said} is typed. Accepted: {_range(answers, question)}.")
    return value


def _range(answers: Answers, question: Question) -> str:
    low, high = (in_unit(answers, question.measure, end) for end in (question.low, question.high))
    return f"{low} to {high} {unit_for(answers, question.measure)}"


def _usual(question: Question, numbers: Numbers) -> float | None:
    """The usual number to a whole mm, kept within what is accepted; None where it hangs on one not typed."""
    if question.usual is None:
        return None
    try:
        value = question.usual(numbers)
    except KeyError:
        return None
    return None if value is None else float(min(max(round(value), question.low), question.high))


def _share(share: float) -> Callable[[Numbers], float | None]:
    return lambda numbers: share * numbers["span"]


def _moving(what: str, inner: float, outer: float) -> list[Question]:
    """Where a pair of surfaces on the wing begins and ends, as shares of the span, and its chord."""
    name = sentence_start(what)
    return [
        Question(
            f"{what}.from",
            f"{name} from",
            "its inner end, from the middle of the wing",
            0,
            4000,
            _share(inner),
        ),
        Question(
            f"{what}.to",
            f"{name} to",
            "its outer end, from the middle of the wing",
            1,
            4000,
            _share(outer),
        ),
        Question(
            f"{what}.chord",
            f"{name} chord",
            "hinge to trailing edge at its inner end, where you measure throws",
            5,
            400,
            lambda n: 0.25 * chord_at(n, n[f"{what}.from"]),
        ),
    ]


def chord_at(numbers: Numbers, y_mm: float) -> float:
    """Chord of the wing in mm at a distance from the middle, straight from root to tip."""
    share = min(max(2 * y_mm / numbers["span"], 0.0), 1.0)
    return numbers["root"] + share * (numbers["tip"] - numbers["root"])


def _always(size: float) -> Callable[[Numbers], float | None]:
    return lambda numbers: size


def _same(key: str) -> Callable[[Numbers], float | None]:
    return lambda numbers: numbers.get(key)
