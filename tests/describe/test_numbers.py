"""Numbers as they are typed: taken exactly, or refused with a sentence; nothing rounded or guessed."""

import contextlib
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mixlib.describe.numbers import UNITS, read_number, read_numbers, shortened

FINITE = st.floats(allow_nan=False, allow_infinity=False)
PLAIN = st.floats(-1e6, 1e6).filter(lambda value: value == 0 or abs(value) > 1e-4)


@pytest.mark.parametrize(
    "typed, unit, value",
    [
        ("12", "mm", 12.0),
        ("1,5", "mm", 1.5),
        ("0,850", "kg", 0.85),
        ("12.345", "mm", 12.345),
        ("−3,5", "mm", -3.5),
        ("–3.5", "mm", -3.5),
        ("－３．５", "mm", -3.5),
        ("- 3", "", -3.0),
        ("+3", "", 3.0),
        (".5", "", 0.5),
        ("5.", "", 5.0),
        ("٣٫٥", "", 3.5),
        ("1e3", "", 1000.0),
        ("12mm", "mm", 12.0),
        ("12 MM.", "mm", 12.0),
        ("1.2 cm", "mm", 12.0),
        ("1.6 m", "mm", 1600.0),
        ('3/8"', "mm", 9.525),
        ("1 1/2 in", "mm", 38.1),
        ("2 in", "inch", 2.0),
        ("850 g", "kg", 0.85),
        ("30 oz", "g", 850.485693750),
        ("36 km/h", "m/s", 10.0),
        ("1.5 ms", "us", 1500.0),
        ("12°", "deg", 12.0),
        ("50 %", "%", 50.0),
        ("1 600", "mm", 1600.0),
        ("1\u202f600,5", "mm", 1600.5),
        ("1.234.567", "", 1234567.0),
        ("1,234.5", "", 1234.5),
        ("1.234,5", "", 1234.5),
        ("1'600", "mm", 1600.0),
        ("-0", "", 0.0),
    ],
)
def test_what_is_taken(typed, unit, value):
    assert read_number(typed, unit) == value
    assert str(read_number(typed, unit)) == str(value)


@pytest.mark.parametrize(
    "typed, unit, says",
    [
        ("1,600", "mm", "“1,600” can be 1600 or 1.600"),
        ("8,5; 10,5", "mm", "more than one number"),
        ("12 deg", "mm", "is in deg, and this is asked in mm"),
        ("12 mm", "", "is in mm, and this is asked without a unit"),
        ("12 parsecs", "mm", "“12 parsecs” is not a number"),
        ("10²", "mm", "“10²” is not a number"),
        ("½", "mm", "“½” is not a number"),
        ("12.5.1", "", "is not a number"),
        ("1,2,3", "", "is not a number"),
        ("12 34", "", "is not a number"),
        ("--3", "", "is not a number"),
        ("nan", "", "is not a number"),
        ("", "mm", "Nothing is typed yet. Type digits, such as 12 or −3.5, in mm."),
        ("1e999", "", "too large"),
        ("9" * 5000, "", "too large"),
        ("1e-999", "", "too small to tell from 0"),
        ("1/0", "", "divided by nought"),
    ],
)
def test_what_is_refused_and_why(typed, unit, says):
    with pytest.raises(ValueError) as caught:
        read_number(typed, unit)
    assert says in str(caught.value)
    assert len(str(caught.value)) < 160


@pytest.mark.parametrize(
    "typed, values",
    [
        ("8,5; 10,5", (8.5, 10.5)),
        ("8,5;10,5;", (8.5, 10.5)),
        ("8, 10, 12", (8.0, 10.0, 12.0)),
        ("8.5,10.5", (8.5, 10.5)),
        ("8 10 12", (8.0, 10.0, 12.0)),
        ("8\n10", (8.0, 10.0)),
        ("8.5 mm", (8.5,)),
        ("1 cm; 2 cm", (10.0, 20.0)),
        ("", ()),
    ],
)
def test_lists_that_are_taken(typed, values):
    assert read_numbers(typed, "mm") == values


@pytest.mark.parametrize(
    "typed, says",
    [
        ("8,5", "can be read in two ways. Write 8.5 or 8; 5."),
        ("8,5,10,5", "can be read in two ways. Put a semicolon between two numbers"),
        ("8,5, 10,5", "can be read in two ways"),
        ("1,625.5", "can be read in two ways"),
        ("1 600", "can be read in two ways"),
        ("8; x", "“x” is not a number"),
        ("8;; 9", "Nothing is typed yet"),
        ("8; 10 cm", "a unit behind some numbers only"),
    ],
)
def test_lists_that_are_refused(typed, says):
    with pytest.raises(ValueError) as caught:
        read_numbers(typed, "mm")
    assert says in str(caught.value)


@pytest.mark.parametrize(
    "typed, unit, value",
    [  # NIST Special Publication 811 (2008), appendix B.8: factors to SI (from memory)
        ("1 in", "mm", 25.4),
        ("1 ft", "mm", 304.8),
        ("1 oz", "g", 28.34952),
        ("1 lb", "g", 453.5924),
        ("1 mph", "m/s", 0.44704),
        ("1 km/h", "m/s", 0.2777778),
        ("1 knot", "m/s", 0.5144444),
    ],
)
def test_sizes_of_units(typed, unit, value):
    assert read_number(typed, unit) == pytest.approx(value, rel=1e-6)


@given(FINITE)
def test_a_number_as_python_writes_it_comes_back(value):
    assert read_number(repr(value)) == value


@given(PLAIN, st.sampled_from("-−–"), st.sampled_from(["", " "]), st.sampled_from(sorted(UNITS)))
def test_a_number_comes_back_with_a_comma_any_minus_and_its_unit(value, minus, blank, unit):
    shown = f"{value:.6f}"
    typed = shown.replace("-", minus).replace(".", ",") + blank + unit
    assert read_number(typed, unit) == float(shown)


@given(st.decimals(-10_000, 10_000, places=3), st.sampled_from(sorted(UNITS)), st.sampled_from(sorted(UNITS)))
def test_a_unit_is_changed_over_exactly_or_refused(value, given_unit, asked):
    (kind, size, _), (other, wanted, _) = UNITS[given_unit], UNITS[asked]
    if kind != other:
        with pytest.raises(ValueError, match="this is asked in"):
            read_number(f"{value} {given_unit}", asked)
        return
    assert read_number(f"{value} {given_unit}", asked) == float(Fraction(value) * size / wanted)


@given(st.lists(PLAIN.map(lambda value: float(f"{value:.4f}")), max_size=6), st.sampled_from("; \n"))
def test_a_list_comes_back(values, between):
    shown = (between + " ").join(f"{value:.4f}".replace(".", ",") for value in values)
    if between == " " and len(values) > 1:
        shown = shown.replace(",", ".")
    if len(values) == 1:
        shown = shown.replace(",", ".")
    assert read_numbers(shown) == tuple(values)


@given(st.text(max_size=80), st.sampled_from(["", "mm", "deg"]))
def test_whatever_is_typed_is_a_number_or_a_sentence(text, unit):
    for read in (read_number, read_numbers):
        with contextlib.suppress(ValueError):
            read(text, unit)
            continue
        with pytest.raises(ValueError, match=r"(?s)^.{10,250}\.$"):
            read(text, unit)


def test_a_quoted_text_is_one_short_line():
    assert shortened("a\nb\x00c") == "a b c"
    assert len(shortened("x" * 10_000)) == 40
