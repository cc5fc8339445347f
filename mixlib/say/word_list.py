"""The trade's words, each explained once, and which lesson answers which question; lesson 00 shows both."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

__all__ = ["QUESTIONS", "WORDS", "Word", "questions_table", "words_table"]


@dataclass(frozen=True)
class Word:
    """A word of the trade, or several that explain each other; the number of the first lesson with it."""

    words: str
    meaning: str
    lesson: str


WORDS = (
    Word("aileron, flap, elevator, rudder", "control surfaces: roll, lift and drag, pitch, yaw", "01"),
    Word("roll, pitch, yaw", "one wing down; nose up or down; nose to one side", "01"),
    Word("trailing edge", "the back edge of wing, tail or surface; up and down are told of it", "01"),
    Word("hinge", "the line that a surface turns about", "01"),
    Word("throw", "how far the trailing edge moves, in millimetres (or degrees)", "01"),
    Word("chord", "how wide a wing or surface is, from front to back", "01"),
    Word("flaperon", "an aileron that also droops like a flap", "03"),
    Word("elevon", "an aileron that is an elevator too, on a model without a tail", "08"),
    Word("V-tail", "two tail surfaces in a V: together they pitch, apart they yaw", "08"),
    Word("camber", "both ailerons (and flaps) a little down or up together", "02"),
    Word("droop", "both down together", "02"),
    Word("reflex", "both up together", "02"),
    Word("crow", "ailerons up, flaps down: a strong brake", "07"),
    Word("differential", "less down than up on the ailerons", "04"),
    Word("adverse yaw", "the nose swings away from the turn when the ailerons move", "06"),
    Word("dihedral", "wing tips stand higher than the middle: with the nose to one side, it rolls", "02"),
    Word("elevator compensation", "elevator that goes with flap or brake, so that the nose stays", "07"),
    Word("phase", "where the surfaces rest for one kind of flying: thermal, cruise, speed, landing", "05"),
    Word("command", "what you ask with a stick, dial or slider: a number from −1 to 1", "01"),
    Word("throttle, controller", "the stick that asks for power; the box that gives it to the motor", "01"),
    Word("transmitter, receiver", "the radio in your hands; the box in the model that hears it", "01"),
    Word("servo arm, horn, rod", "arm on the servo, arm on the surface, and the wire between them", "01"),
    Word("output", "a numbered socket on the receiver, for the plug of a servo or of the controller", "01"),
    Word("pulse", "what an output sends: its length, in millionths of a second, tells the servo where", "01"),
    Word(
        "mix, free mix",
        "a share of a command, added to an output; free: you choose from where to where",
        "02",
    ),
    Word("ready-made function", "a mix that the radio brings along, such as flaperons", "03"),
    Word("leader, follower", "the command that is shared out, and the output that adds the share", "02"),
    Word("gain above, gain below", "how much, on the positive and on the negative side of the leader", "02"),
    Word("curve", "a mix whose share is set at several places of the leader, not by one gain", "07"),
    Word("demand", "what an output is asked for, in percent", "01"),
    Word("travel", "what it gives, after the limits", "02"),
    Word("end point", "the limit of an output's travel", "01"),
    Word("reversed", "of an output: every movement turned round", "01"),
    Word("trim", "a small lever beside a stick that moves its neutral", "03"),
    Word("sub-trim", "moves the middle of one output", "03"),
    Word("neutral", "where a stick or surface rests when nothing is asked", "01"),
    Word("mark", "a dot beside a dial, at which you stop it", "03"),
    Word("rate, expo", "smaller everywhere; softer round the middle", "01"),
    Word("dead point", "arm and rod in one line: the surface can no longer be moved", "01"),
    Word("slop", "how far an edge can be moved by hand while the servo holds still", "04"),
    Word("Y-lead", "a cable that puts two servos on one output", "01"),
    Word("extension lead", "a cable that makes a servo's lead longer", "03"),
    Word("balance point", "where the model hangs level: on two fingers, ready to fly", "05"),
    Word(
        "neutral point, margin",
        "where it would no longer hold a speed; how far ahead of it it balances",
        "05",
    ),
    Word("stall", "the wing lets go of the air because it is flown too slowly", "05"),
    Word("sink, least sink", "height lost in a second; the speed at which that is least", "05"),
    Word("best glide", "the speed that goes furthest for a height in still air", "05"),
    Word("polar", "a curve of sink over speed", "05"),
    Word("dive test", "a short steep dive that shows by its recovery where the balance point is", "05"),
    Word("approach, flare", "the way down to the strip; rounding it out above the ground", "06"),
    Word("going round", "breaking an approach off and climbing away for a new one", "09"),
    Word("fail-safe", "what the outputs do when the receiver hears nothing", "09"),
    Word("range check", "a look at the bench whether the radio still reaches at a distance", "09"),
)
"""Every word once."""

QUESTIONS = (
    ("Which way is plus?", "01"),
    ("Why does the servo turn and the surface not move as far up as down?", "01"),
    ("What does a mix really do?", "02"),
    ("Why can a Y-lead not make flaperons?", "02"),
    ("How do I make my ailerons droop, with two free mixes?", "03"),
    ("Where has my roll gone with droop in?", "03"),
    ("Which hole in the arm, which in the horn?", "04"),
    ("How much differential, and how do I set it?", "04"),
    ("How many millimetres of camber, and of reflex?", "05"),
    ("Is my balance point right?", "05"),
    ("How do I land shorter without a brake?", "06"),
    ("How far do flaps and ailerons go for crow, and how much elevator with it?", "07"),
    ("What do I type into my radio to get these throws?", "08"),
    ("My radio cannot do it all: what do I give up?", "08"),
    ("One surface goes the wrong way: what is it?", "09"),
    ("What do I check before the first flight?", "09"),
    ("What would another hole, gain, mark or balance point change?", "10"),
    ("How do I show this to my club?", "11"),
)
"""A question, and the number of the lesson that answers it."""


def words_table(files: Mapping[str, str]) -> str:
    """The words as a table in Markdown.

    Parameters
    ----------
    files : mapping of str to str
        Number of a lesson, such as ``"03"``, to the file that its number links to.
    """
    rows = ((f"**{one.words}**", one.meaning, _link(files, one.lesson)) for one in WORDS)
    return _table(("word", "meaning", "lesson"), rows)


def questions_table(files: Mapping[str, str]) -> str:
    """Questions and the lessons that answer them as a table in Markdown; see `words_table`."""
    return _table(("question", "lesson"), ((asked, _link(files, lesson)) for asked, lesson in QUESTIONS))


def _link(files: Mapping[str, str], lesson: str) -> str:
    return f"[{lesson}]({files[lesson]})"


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    return "\n".join(f"| {' | '.join(row)} |" for row in (head, ["---"] * len(head), *rows))
