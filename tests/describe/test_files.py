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
        ("", 'mine.toml: it does not say what it describes. Write  describes = "setup"  as its first line'),
        ('describes = "boat"', "it does not say what it describes"),
        ("describes = 3", "it does not say what it describes"),
        ('describes = ["radio"]', "it does not say what it describes"),
        ("describes = {a = 1}", "it does not say what it describes"),
        ("a = " + "[" * 5000, "brackets stand inside brackets more than 20 deep"),
        ("a = " + "9" * 5000, "in line 1 a name or a number is far too long"),
    ],
)
def test_text_that_is_no_description(text, says):
    with pytest.raises(DescriptionError, match=re.escape(says)):
        from_toml(text, "mine.toml")


def test_files_that_cannot_be_read(tmp_path):
    picture = tmp_path / "picture.toml"
    picture.write_bytes(b"\x89PNG\xff\xfe")
    for path, says in (
        (tmp_path / "none.toml", r"none\.toml: there is no such file"),
        (tmp_path, "it is a folder; a text file is needed"),
        (picture, "it is not plain text"),
        ("a\0b.toml", "it cannot be read"),
    ):  # fmt: skip
        with pytest.raises(DescriptionError, match=says):
            load(path)


def test_changed_copy_is_checked_like_a_new_one():
    with pytest.raises(DescriptionError, match=r"the aircraft: Mass is 0 kg\. Accepted: a number from 0"):
        TWO.replace(mass_kg=0)
    with pytest.raises(DescriptionError, match="sub-trim is 40 %"):
        plain_setup(TWO, SIMPLE).with_output(1, sub_trim_percent=40)


def test_shipped_names_the_names_it_has():
    with pytest.raises(
        DescriptionError,
        match=r"“orchard_nine” is none of them\. Accepted: one of orchard_hopper, orchard_three",
    ):
        shipped("aircraft", "orchard_nine")


def test_descriptions_cannot_be_changed_in_place():
    with pytest.raises(ValueError, match="frozen"):
        TWO.mass_kg = 2
