"""Damaged files: whatever a text editor can do to them, only sentences for the flyer come out."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mixlib.describe import DescriptionError, as_toml, from_toml, load, plain_setup, shipped

TWO, SIMPLE, RICH = (
    shipped("aircraft", "orchard_two"),
    shipped("radio", "simple_six"),
    shipped("radio", "rich_ten"),
)
TEXTS = [as_toml(TWO), as_toml(RICH), as_toml(plain_setup(TWO, SIMPLE))]
ODD_VALUES = [
    "nan",
    "-inf",
    "1e999",
    "true",
    '""',
    '"x"',
    '"left"',
    "[]",
    "[[]]",
    "[1,2]",
    "{}",
    "{a=1}",
    "-7",
    "0",
    "0x1F",
    "1979-05-27",
    "07:32:00",
]


@st.composite
def damaged(draw):
    """A good file with letters lost, lines doubled or moved, and values replaced."""
    text = draw(st.sampled_from(TEXTS))
    for _ in range(draw(st.integers(1, 4))):
        lines = text.splitlines()
        line = draw(st.integers(0, len(lines) - 1))
        how = draw(st.sampled_from(("cut", "insert", "double", "drop", "value", "key", "move")))
        if how == "cut":
            start = draw(st.integers(0, len(text)))
            text = text[:start] + text[start + draw(st.integers(1, 30)) :]
            continue
        if how == "insert":
            start = draw(st.integers(0, len(text)))
            text = text[:start] + draw(st.text(max_size=6)) + text[start:]
            continue
        if how == "double":
            lines.insert(line, lines[line])
        elif how == "drop":
            del lines[line]
        elif how == "move":
            lines.insert(draw(st.integers(0, len(lines) - 1)), lines.pop(line))
        elif how == "key":
            lines[line] = draw(st.text("abz_. \"'", max_size=6)) + lines[line]
        else:
            new = draw(st.sampled_from([*ODD_VALUES, "10" * 30]))
            lines[line] = lines[line].split("=")[0] + "= " + new
        text = "\n".join(lines) or " "
    return text


@given(damaged())
@settings(max_examples=400, deadline=None)
def test_damaged_files_end_in_sentences(text):
    """Either the text is still a description, or the error is for the flyer: each line names the source."""
    try:
        read = from_toml(text, "mine.toml")
    except DescriptionError as error:
        read = error
    if not isinstance(read, DescriptionError):
        assert from_toml(as_toml(read)) == read
        return
    assert read.problems
    assert all(
        line.startswith("mine.toml: ") and line.endswith((".", "?")) for line in str(read).splitlines()
    )
    assert len(str(read)) < 20_000


@given(st.binary(max_size=200))
@settings(max_examples=100, deadline=None)
def test_any_bytes_end_in_a_sentence(tmp_path_factory, data):
    path = tmp_path_factory.getbasetemp() / "bytes.toml"
    path.write_bytes(data)
    with pytest.raises(DescriptionError, match=r"^bytes\.toml: "):
        load(path)
