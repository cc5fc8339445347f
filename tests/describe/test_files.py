"""Texts and files that hold no description, and copies that are not accepted."""

import re

import pytest

from mixlib.describe import DescriptionError, from_toml, load, plain_setup, shipped

TWO, SIMPLE, RICH = (
    shipped("aircraft", "orchard_two"),
    shipped("radio", "simple_six"),
    shipped("radio", "rich_ten"),
)


@pytest.mark.parametrize(
    "text, says",
    [
        ("", "describes is missing. Accepted: one of aircraft, radio, setup"),
        ('describes = "boat"', 'describes is "boat". Accepted: one of aircraft, radio, setup'),
        ("describes = 3", "describes is 3. Accepted: one of"),
        ('describes = ["radio"]', "describes is a list. Accepted: one of"),
        ("describes = {a = 1}", "describes is a table. Accepted: one of"),
        ("mass_kg = 0,8", "at line 1"),
        ("a = " + "[" * 5000, "a line is"),
        ("a = " + "9" * 5000, "a line is"),
    ],
)
def test_text_that_is_no_description(text, says):
    with pytest.raises(DescriptionError, match=re.escape(says)):
        from_toml(text, "mine.toml")


def test_files_that_cannot_be_read(tmp_path):
    picture = tmp_path / "picture.toml"
    picture.write_bytes(b"\x89PNG\xff\xfe")
    for path, says in (
        (tmp_path / "none.toml", "none.toml: the file is \"not readable"),
        (tmp_path, "not readable"),
        (picture, "not plain text"),
        ("a\0b.toml", "not readable"),
    ):  # fmt: skip
        with pytest.raises(DescriptionError, match=says):
            load(path)


def test_changed_copy_is_checked_like_a_new_one():
    with pytest.raises(DescriptionError, match=r"the aircraft: mass_kg is 0\. Accepted: a number from 0"):
        TWO.replace(mass_kg=0)
    with pytest.raises(DescriptionError, match="sub_trim_percent is 40"):
        plain_setup(TWO, SIMPLE).with_output(1, sub_trim_percent=40)


def test_shipped_names_the_names_it_has():
    with pytest.raises(
        DescriptionError, match=r'name is "orchard_nine"\. Accepted: one of orchard_hopper, orchard_three'
    ):
        shipped("aircraft", "orchard_nine")


def test_descriptions_cannot_be_changed_in_place():
    with pytest.raises(ValueError, match="frozen"):
        TWO.mass_kg = 2
