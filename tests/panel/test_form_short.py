"""The short form's answers: what they make, what they go back to, what is refused, assumed and asked back."""

from __future__ import annotations

import itertools

import pytest

from mixlib.chain import Rig
from mixlib.describe import Setup, plain_setup, shipped, shipped_names
from mixlib.describe.demo import (
    elevon_setup,
    flaperon_setup,
    four_surface_setup,
    hopper_as_bought,
    hopper_flaperons,
    hopper_ready,
    v_tail_setup,
)
from mixlib.panel.form.short.asked_back import doubts
from mixlib.panel.form.short.back import answers_of, fitted
from mixlib.panel.form.short.made import made
from mixlib.panel.form.short.questions import KINDS, mirror, pairs, questions, resolved, with_units
from mixlib.panel.form.short.values import seen

LEAST = {"span": "1600", "root": "190", "mass": "950", "balance": "62", "name": "Garden glider"}
EVERY_KIND = [
    dict(zip(("wing", "tail", "lead", "motor"), choice, strict=True))
    for choice in itertools.product(*(KINDS[key][1] for key in ("wing", "tail", "lead", "motor")))
]


@pytest.mark.parametrize("kinds", EVERY_KIND, ids=lambda kinds: " ".join(kinds.values()))
def test_four_numbers_make_a_model_of_every_kind(kinds):
    done = made(LEAST | kinds | {"radio": "rich_ten"})
    assert done.faults == {}
    aircraft = done.setup.aircraft
    assert aircraft.wing.span_mm == 1600
    assert aircraft.mass_kg == 0.95
    assert (aircraft.tail is None) == (kinds["tail"] == "tailless")
    assert (aircraft.motor is None) == (kinds["motor"] == "none")
    assert doubts(done.setup, ("left aileron", "right aileron")) == () or "flap" in str(
        doubts(done.setup, ("left aileron", "right aileron"))
    )


@pytest.mark.parametrize(
    "demo",
    [
        hopper_as_bought,
        hopper_flaperons,
        hopper_ready,
        flaperon_setup,
        four_surface_setup,
        v_tail_setup,
        elevon_setup,
    ],
)
def test_a_set_up_becomes_answers_that_make_it_again(demo):
    answers, carried = answers_of(demo())
    assert made(answers, carried).setup == demo()


def test_an_old_set_up_on_a_radio_that_keeps_less_than_the_shipped_one_opens():
    setup = four_surface_setup()
    old = setup.replace(radio=setup.radio.replace(phases_keep=()))
    answers, carried = answers_of(old)
    assert made(answers, carried).setup == old


def test_every_shipped_pair_goes_there_and_back():
    for aircraft, radio in itertools.product(shipped_names("aircraft"), shipped_names("radio")):
        setup = plain_setup(shipped("aircraft", aircraft), shipped("radio", radio))
        answers, carried = answers_of(setup)
        assert made(answers, carried).setup == setup, (aircraft, radio)


def test_what_the_short_form_has_no_question_for_is_told():
    setup = hopper_as_bought()
    rudder = setup.aircraft.surface("rudder").replace(name="side rudder")
    surfaces = (*setup.aircraft.surfaces[:3], rudder)
    wiring = {("side rudder" if name == "rudder" else name): number for name, number in setup.wiring.items()}
    other = setup.replace(aircraft=setup.aircraft.replace(surfaces=surfaces), wiring=wiring)
    assert answers_of(other) is None


def driven(setup: Setup, name: str, command: str) -> Setup:
    """The set-up with one surface's output driven by one command alone."""
    number = setup.wiring[name]
    turned = setup.output(number).reversed
    return setup.replace(free_mixes=(), outputs=()).with_output(number, control=command, reversed=turned)


TESTS = {"elevator": ("pitch", "up"), "v-tail": ("pitch", "up"), "rudder": ("yaw", "right")}


@pytest.mark.parametrize("crossed", [False, True])
@pytest.mark.parametrize("turned", ["no", "yes"])
@pytest.mark.parametrize("first_side", [True, False])
@pytest.mark.parametrize("tail", ["tail and fin", "V-tail", "tailless"])
def test_each_edge_goes_as_it_was_seen_at_the_bench(tail, first_side, turned, crossed):
    """The chain is asked, with the output reversed as answered: it must move what the reader saw."""
    base = LEAST | {"tail": tail, "wing": "ailerons and flaps", "radio": "rich_ten"}
    down = {"down": 1, "left": 1, "up": -1, "right": -1}
    for what, names in pairs(base).items():
        command, _ = TESTS.get(what, ("roll", ""))
        sides = ("left", "right") if what == "rudder" else ("below", "above")
        for went in ("left", "right") if what == "rudder" else ("up", "down"):
            side = sides[0 if first_side else 1]
            answers = base | {f"{names[0]}.seen": went, f"{names[0]}.side": side}
            answers |= {f"{names[0]}.reversed": turned}
            if crossed:
                answers[f"more:{names[0]}.linkage.arm_side"] = sides[1 if first_side else 0]
            setup = made(answers).setup
            for name in names:
                moved = Rig(driven(setup, name, command)).moves(**{command: 0.5})[name]
                assert moved * down[seen(answers, name)] > 1, (name, went)
            assert seen(answers, names[0]) == went


def test_the_right_servo_of_a_mirrored_pair_is_turned_over_and_one_that_is_not_is_asked_itself():
    setup = made(LEAST).setup
    words = [setup.aircraft.surface(name).servo.longer_pulse_moves_arm for name in pairs(LEAST)["aileron"]]
    assert words == ["forward", "back"]
    own = LEAST | {"aileron.mirror": "not", "left aileron.arm": "9", "right aileron.arm": "11"}
    own |= {"left aileron.seen": "down", "right aileron.seen": "down"}
    surfaces = [made(own).setup.aircraft.surface(name) for name in pairs(own)["aileron"]]
    assert [surface.linkage.arm_mm for surface in surfaces] == [9, 11]
    assert [surface.servo.longer_pulse_moves_arm for surface in surfaces] == ["forward", "forward"]
    assert mirror({"tail": "V-tail"}, "v-tail") == "not"


def test_what_is_not_said_of_the_right_servo_is_as_on_the_left_one():
    own = LEAST | {"aileron.mirror": "not", "left aileron.side": "above", "left aileron.horn": "17"}
    right = made(own).setup.aircraft.surface("right aileron").linkage
    assert (right.horn_side, right.arm_side, right.horn_mm) == ("above", "above", 17)
    below = made(own | {"right aileron.side": "below"}).setup.aircraft.surface("right aileron").linkage
    assert below.horn_side == "below"


def test_reversing_one_output_of_a_mirrored_pair_is_no_other_servo():
    plain, turned = made(LEAST).setup, made(LEAST | {"right aileron.reversed": "yes"}).setup
    assert turned.aircraft == plain.aircraft
    assert turned.output(turned.wiring["right aileron"]).reversed


def test_a_y_lead_is_one_plug_and_one_servo_moves_both():
    lead = made(LEAST | {"lead": "Y-lead", "left aileron.output": "1"}).setup
    assert lead.plugged_in(1) == "left aileron and right aileron (Y-lead)"
    assert (
        made(LEAST | {"lead": "one servo"}).setup.aircraft.surface("right aileron").servo_of == "left aileron"
    )


def test_plugs_that_are_typed_stay_and_the_others_find_a_place_beside_them():
    setup = made(LEAST | {"motor": "folding", "motor.output": "5", "elevator.output": "3"}).setup
    assert (setup.wiring["motor"], setup.wiring["elevator"]) == (5, 3)
    assert len(set(setup.wiring.values())) == len(setup.wiring)


def test_the_unit_may_change_and_no_number_typed_before_does():
    typed = LEAST | {"tip": "130"}
    changed = with_units(typed, "length") | {"length": "inch", "tail.chord": "4"}
    assert changed["tip"] == "130 mm"
    assert changed["mass"] == "950"
    numbers = resolved(changed).numbers
    assert (numbers["span"], numbers["tip"]) == (1600, 130)
    assert numbers["tail.chord"] == pytest.approx(101.6)  # 1 inch is 25.4 mm, by definition since 1959
    ounces = with_units(changed, "weight") | {"weight": "oz"}
    assert resolved(ounces).numbers["mass"] == 950
    ounces["mass"] = "32"
    assert resolved(ounces).numbers["mass"] == pytest.approx(907.18474)  # 16 oz: 0.45359237 kg


def test_what_is_blank_is_assumed_and_what_is_typed_is_not():
    read = resolved(LEAST | {"tip": "130"})
    assert "tail.span" in read.assumed
    assert not {"tip", "span", "thick"} & set(read.assumed)
    assert read.numbers["tail.span"] == 384


def test_no_number_is_asked_twice():
    for kinds in EVERY_KIND:
        asked = [question.key for question in questions(kinds)]
        assert len(set(asked)) == len(asked)
        assert len(asked) <= 25


def test_a_value_under_more_takes_the_place_of_the_usual_one_in_both_of_a_pair():
    done = made(LEAST | {"more:left aileron.linkage.distance_mm": "7,5 cm", "more:radio.outputs": "8"})
    assert [one.linkage.distance_mm for one in done.setup.aircraft.of_kind("aileron")] == [75, 75]
    assert done.setup.radio.outputs == 8
    assert done.usual["radio"]["outputs"] == 6


def test_settings_found_for_the_model_come_into_the_answers():
    answers = LEAST | {"radio": "simple_six"}
    setup = made(answers).setup
    found = setup.replace(wiring={**setup.wiring, "left aileron": 5}).with_output(1, reversed=True)
    now, carried = fitted(answers, found)
    assert made(now, carried).setup == found
    assert now["span"] == "1600"


WRONG = [
    *[("span", text, "not a number") for text in ("abc", "1.6.0", "--5", "12 13", "1600 mmm", "∞")],
    *[("span", text, "not a number") for text in ("1e", "½x", "0x10", "nan")],
    *[("span", text, "can be") for text in ("1,600",)],
    *[("span", text, "300 to 8000 mm") for text in ("0", "-1600", "−1600", "16", "16000", "9 m", "1 mm")],
    *[("span", text, "is in") for text in ("1600 g", "1.6 kg", "30°", "5 %")],
    *[("mass", text, "50 to 25000 g") for text in ("0", "0,85", "-950", "26 kg", "1 oz")],
    *[("mass", text, "is in") for text in ("950 mm", "3 m/s")],
    *[("mass", text, "not a number") for text in ("light", "950gg", "nine")],
    *[("balance", text, "−200 to 800 mm") for text in ("-201", "801", "9 m")],
    *[("root", text, "30 to 800 mm") for text in ("29", "801", "-190", "0")],
    *[("tip", text, "20 to 800 mm") for text in ("19", "-1", "900")],
    *[("left aileron.arm", text, "3 to 60 mm") for text in ("2", "61", "-10", "10 cm", "0")],
    *[("left aileron.horn", text, "3 to 80 mm") for text in ("2", "81", "9 m")],
    *[("left aileron.horn", text, "more than one number") for text in ("8,5; 10,5",)],
    *[("left aileron.output", text, "number from 1 to 6") for text in ("0", "-3", "7", "1,5", "two", "1 mm")],
    ("aileron.to", "900", "half span"),
    ("aileron.to", "100", "more than"),
    ("aileron.chord", "150", "60 %"),
    ("tail.back", "50", "120 to 3000 mm"),
    ("more:radio.outputs", "33", "1 to 32"),
    ("more:radio.outputs", "6,5", "whole number"),
    ("more:left aileron.servo.arm_deg_per_500us", "95", "10 to 90 deg"),
    ("more:left aileron.servo.arm_deg_per_500us", "45 mm", "is in mm"),
    ("more:aircraft.tail.incidence_deg", "-11", "10 deg"),
    ("more:wing tip.section", "round", "one of"),
]  # fmt: skip


@pytest.mark.parametrize(("key", "text", "words"), WRONG)
def test_a_wrong_entry_is_refused_with_a_sentence_at_its_own_field(key, text, words):
    answers = LEAST | {key: text}
    done = made(answers)
    assert done.setup is None
    assert list(done.faults) == [key], done.faults
    assert words in done.faults[key]
    assert len(done.faults[key]) < 400
    assert answers[key] == text


def test_there_are_sixty_wrong_entries():
    assert len(WRONG) >= 60


@pytest.mark.parametrize(
    ("text", "span_mm"),
    [
        ("1,6 m", 1600),
        ("160 cm", 1600),
        ("１６００", 1600),
        ("63 inch", 1600.2),
        ("1600.5", 1600.5),
        ("1.6e3", 1600),
    ],
)
def test_a_number_is_taken_exactly_as_typed(text, span_mm):
    assert made(LEAST | {"span": text}).setup.aircraft.wing.span_mm == pytest.approx(span_mm, abs=1e-9)


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        ({"balance": "250"}, "off the wing"),
        ({"balance": "-10"}, "off the wing"),
        ({"mass": "20 kg"}, "g/dm²"),
        ({"mass": "200"}, "g/dm²"),
        ({"left aileron.output": "1", "right aileron.output": "1"}, "both on output 1"),
        ({"right aileron.output": "5", "left aileron.output": "4"}, "Nothing moves"),
        ({"wing": "ailerons and flaps", "flap.to": "500", "aileron.from": "400"}, "overlap"),
    ],
)  # fmt: skip
def test_what_a_flyer_would_stumble_over_is_asked_back_and_not_forbidden(answers, words):
    setup = made(LEAST | answers).setup
    assert setup is not None
    assert any(words in doubt.words for doubt in doubts(setup))


def test_a_usual_model_is_not_asked_anything():
    setup = made(LEAST | {"lead": "Y-lead"}).setup
    assert doubts(setup, ("left aileron", "right aileron")) == ()
