"""Every answer to a question, right or wrong or nonsense, gets a useful reply."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixlib.describe.numbers import read_number
from mixlib.panel.exercise.questions import Choice, Movement, Number, Slip

WING = Choice(
    "Stick right: which aileron goes up?",
    {
        "the right one": "Right: it spoils the lift there.",
        "the left one": "No, that rolls left.",
        "both": "That is reflex.",
    },
    "the right one",
)
THROW = Number(
    "What throw?",
    -12.5,
    "mm",
    0.5,
    because="Up is negative.",
    hint="Look at the sign rule.",
    slips=(Slip(-14.5, "That is the angle in degrees, not the throw."),),
    decimals=1,
)
AILERONS = Movement(
    "Stick right.",
    {"left aileron": "down", "right aileron": "up", "rudder": "neutral"},
    because="The wing with the aileron up goes down.",
    hint="Think of the wing that drops.",
    rudders=("rudder",),
)


def test_choice_replies_to_each_option_without_a_second_verdict():
    assert WING.check("the right one").right
    assert WING.check("the right one").text == "It spoils the lift there."
    assert WING.check("the left one").text == "That rolls left."
    assert not WING.check("both").right
    nothing = WING.check(None)
    assert (nothing.right, nothing.understood) == (False, False)
    assert "Choose" in nothing.text


@pytest.mark.parametrize(
    "typed", ["-12.5", "-12,5", "−12.5", " -12.9 mm", "-12.1mm", "-12.5 MM", "- 12.5 millimetres", "−1.25 cm"]
)
def test_right_numbers_in_any_spelling(typed):
    reply = THROW.check(typed)
    assert reply.right
    assert reply.text == "-12.5 mm. Up is negative."


@pytest.mark.parametrize(
    "typed, said",
    [
        ("12.5", "sign is not"),
        ("-25", "twice"),
        ("-6.25", "half"),
        ("0", "does change"),
        ("-14.5", "angle in degrees"),
        ("-80", "too large"),
        ("-3", "too small"),
        ("3", "Size and sign"),
    ],
)
def test_wrong_numbers_get_their_reason(typed, said):
    reply = THROW.check(typed)
    assert not reply.right
    assert reply.understood
    assert said in reply.text


@pytest.mark.parametrize(
    "typed, said",
    [
        ("", "Nothing is typed"),
        ("   ", "Nothing is typed"),
        ("twelve", "“twelve” is not a number"),
        ("12 deg", "asked in mm"),
        ("12.5.1", "is not a number"),
        ("--3", "is not a number"),
        ("nan", "is not a number"),
        ("inf", "is not a number"),
        ("1e999", "too large"),
        ("<script>", "is not a number"),
        ("9" * 400, "too large"),
        ("x" * 500, "..."),
        (None, "Nothing is typed"),
    ],
)
def test_nonsense_gets_a_sentence(typed, said):
    reply = THROW.check(typed)
    assert (reply.right, reply.understood) == (False, False)
    assert said in reply.text
    assert len(reply.text) < 160


def test_zero_as_the_answer_has_no_slips_that_contradict_it():
    zero = Number("How much?", 0.0, "mm", 0.2, because="They cancel.", hint="Add the two.")
    assert zero.check("0").right
    assert zero.check("-0.1 mm").text == "0 mm. They cancel."
    assert "too large" in zero.check("5").text


def test_unsigned_question_has_no_word_about_signs():
    size = Number("How long?", 20, "mm", 0.5, because="b.", hint="h.", signed=False)
    assert "sign is not" not in size.check("-20").text
    assert size.check("-20").text == "Only the size is asked for: leave the minus away. h."
    assert size.check("0").text == "It is more than nothing. h."


@given(st.floats(-1e6, 1e6), st.floats(0.01, 10))
def test_the_answer_itself_is_always_right_and_a_far_one_never(answer, tolerance):
    question = Number("?", answer, "", tolerance, because="b.", hint="h.")
    assert question.check(repr(answer)).right
    assert not question.check(repr(answer + 2.5 * tolerance)).right
    assert not question.check(repr(answer - 2.5 * tolerance)).right


@given(st.text(max_size=60))
def test_anything_typed_gets_a_reply(text):
    reply = THROW.check(text)
    assert reply.text
    assert reply.right == (reply.understood and abs(read_number(text, "mm") + 12.5) <= 0.5)


def test_movement_replies():
    right = dict(AILERONS.answer)
    assert AILERONS.check(right).right
    turned = {**right, "left aileron": "up", "right aileron": "down"}
    assert "Every surface is the wrong way round" in AILERONS.check(turned).text
    assert AILERONS.check({**right, "left aileron": "up"}).text.startswith("Left aileron: the wrong way.")
    assert "Look again at rudder" in AILERONS.check({**right, "rudder": "left"}).text
    part = AILERONS.check({"left aileron": "down"})
    assert part.text == "Still to choose: right aileron and rudder."
    assert not part.understood
    assert not AILERONS.check(None).understood
    assert AILERONS.words("rudder") == ("left", "neutral", "right")
    assert AILERONS.words("left aileron") == ("up", "neutral", "down")


@pytest.mark.parametrize("question", [WING, THROW, AILERONS])
def test_attempts_hold_the_right_answer_once_and_a_reply_for_all(question):
    replies = [reply for _, reply in question.attempts()]
    assert sum(reply.right for reply in replies) == 1
    assert len(replies) >= 3
    assert all(reply.text.strip() for reply in replies)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Choice("?", {"a": "x", "b": "y"}, "c"),
        lambda: Choice("?", {"a": "x"}, "a"),
        lambda: Choice("?", {"a": "x", "b": " "}, "a"),
        lambda: Number("?", float("nan"), "mm", 1, because="b", hint="h"),
        lambda: Number("?", 1, "mm", 0, because="b", hint="h"),
        lambda: Number("?", 1, "mm", 1, because="", hint="h"),
        lambda: Movement("?", {}, because="b", hint="h"),
        lambda: Movement("?", {"a": "sideways"}, because="b", hint="h"),
    ],
)
def test_a_question_that_cannot_work_is_refused(make):
    with pytest.raises(ValueError):
        make()
