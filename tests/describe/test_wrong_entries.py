"""Sixty wrong entries in a set-up's file, each as a slip of the hand, and what the reader is told."""

import pytest

from mixlib.describe import DescriptionError, as_toml, load, plain_setup, shipped

TEXT = as_toml(plain_setup(shipped("aircraft", "orchard_two"), shipped("radio", "simple_six"), "Mine"))

MASS, ARM, CHORD, PULSE = "mass_kg = 0.85", "arm_mm = 10.0", "chord_mm = 40.0", "min_us = 800.0"
NOT_READ = "cannot be read. "
WRONG = [  # (what stands in the file, what stands there instead, what is told)
    # numbers as they are written on paper
    (MASS, "mass_kg = 0,85", "line 13, “mass_kg = 0,85”, cannot be read. Write  mass_kg = 0.85"),
    (MASS, "mass_kg = 0.85 kg", NOT_READ + "Write  mass_kg = 0.85"),
    (MASS, "mass_kg = 850 g", NOT_READ + "Write  mass_kg = 0.85"),
    (MASS, "mass_kg = 30oz", NOT_READ + "Write  mass_kg = 0.85048569375"),
    (MASS, "mass_kg = 1,250", NOT_READ + "“1,250” can be 1250 or 1.250"),
    (MASS, "mass_kg = 0.8.5", NOT_READ + "“0.8.5” is not a number"),
    (MASS, "mass_kg = ０.８５", NOT_READ + "Write  mass_kg = 0.85"),
    (MASS, "mass_kg = 850 mm", NOT_READ + "“850 mm” is in mm, and this is asked in kg"),
    ("twist_deg = -1.0", "twist_deg = −1", NOT_READ + "Write  twist_deg = -1"),
    ("twist_deg = -1.0", "twist_deg = –1,5°", NOT_READ + "Write  twist_deg = -1.5"),
    (ARM, 'arm_mm = 3/8"', NOT_READ + "Write  arm_mm = 9.525"),
    (
        "    8.0,\n    10.0,\n    12.0,\n    14.0,\n",
        "8,5; 10,5",
        NOT_READ + "Write  [8.5, 10.5]",
    ),
    (MASS, 'mass_kg = "0.85"', "mass (mass_kg) is “0.85”. Accepted: a number from 0.05 to 25 kg; write 0.85"),
    (
        ARM,
        'arm_mm = "11 mm"',
        "Left aileron: hole in the arm (arm_mm) is “11 mm”. Accepted: a number from 3 to",
    ),
    (MASS, 'mass_kg = "heavy"', "mass (mass_kg) is “heavy”. Accepted: a number from 0.05 to 25 kg."),
    (MASS, "mass_kg = heavy", NOT_READ + 'Write  mass_kg = "heavy"'),
    (MASS, "mass_kg = nan", "mass (mass_kg) is nan"),
    (MASS, "mass_kg = true", "mass (mass_kg) is true. Accepted: a number"),
    (MASS, "mass_kg = [0.85]", "mass (mass_kg) is a list of 1. Accepted: a number"),
    (MASS, "mass_kg = 85", "Aircraft: mass (mass_kg) is 85 kg. Accepted: a number from 0.05 to 25 kg."),
    (MASS, "mass_kg = -0.85", "mass (mass_kg) is −0.85 kg"),
    (MASS, "mass_kg = 1e999", "mass (mass_kg) is inf kg"),
    (MASS, "mass_kg =", NOT_READ + "Nothing stands behind the =. Write  mass_kg = and the value"),
    (MASS, "mass_kg 0.85", NOT_READ + "Write  name = value"),
    (MASS, "mass_kg: 0.85", NOT_READ + "Write  name = value"),
    (MASS, "mass kg = 0.85", NOT_READ + "Write  name = value, the name in one word"),
    (MASS, "", "Aircraft: mass (mass_kg) is missing. Accepted: a number from 0.05 to 25 kg."),
    (
        MASS,
        f"{MASS}\n{MASS}",
        "line 14, “mass_kg = 0.85”, cannot be read. It says again what an earlier line says",
    ),
    (MASS, "mas_kg = 0.85", "Aircraft: “mas_kg” is not known here. Did you mean mass_kg?"),
    (
        MASS,
        f"{MASS}\npropeller_mm = 2",
        "Aircraft: “propeller_mm” is not known here. Known here: name, note, mass_kg",
    ),
    # lengths that cannot be
    (
        ARM,
        "arm_mm = 1",
        "Left aileron: hole in the arm (arm_mm) is 1 mm. Accepted: a number from 3 to 60 mm.",
    ),
    (
        CHORD,
        "chord_mm = 140",
        "Left aileron: chord (chord_mm) is 140 mm. Accepted: at most 60 % of the wing's",
    ),
    (
        "y_outer_mm = 960.0",
        "y_outer_mm = 400",
        "Left aileron: outer end (y_outer_mm) is 400 mm. Accepted: more",
    ),
    ("y_outer_mm = 960.0", "y_outer_mm = 1100", "Accepted: at most the half span, 1000 mm"),
    ("y_mm = 600.0", "y_mm = 0", "Rib 2: distance from the middle (y_mm) is 0 mm. Accepted: more than 0 mm"),
    (
        "cg_mm = 72.0",
        "cg_mm = 7200",
        "balance point (cg_mm) is 7200 mm. Accepted: a number from −200 to 800 mm",
    ),
    ("arm_mm = 620.0", "arm_mm = 62", "Tail: distance behind the balance point (arm_mm) is 62 mm"),
    (PULSE, "min_us = 8", "Left aileron: shortest pulse of the servo (min_us) is 8 us"),
    ("centre_us = 1500.0", "centre_us = 150", "Radio: pulse at neutral (centre_us) is 150 us"),
    # words
    (
        'kind = "aileron"',
        'kind = "aleron"',
        "kind of surface (kind) is “aleron”. Accepted: one of aileron, flap",
    ),
    ('kind = "aileron"', "kind = aileron", NOT_READ + 'Write  kind = "aileron"'),
    (
        'kind = "aileron"',
        "kind = “aileron”",
        NOT_READ + 'Write  kind = "aileron"  with straight quotation marks',
    ),
    ('kind = "aileron"', 'kind = "aileron', NOT_READ + 'Write  kind = "aileron"'),
    (
        'side = "left"',
        'side = "Left"',
        "Left aileron: side (side) is “Left”. Accepted: one of left, right, centre",
    ),
    (
        'side = "left"',
        'side = "centre"',
        "Left aileron: side (side) is “centre”. Accepted: left or right for a",
    ),
    (
        'name = "right aileron"',
        'name = "left aileron"',
        "name (name) is “left aileron”. Accepted: a name that no",
    ),
    ('name = "Mine"', 'name = ""', "Name (name) is “”. Accepted: text in quotes, 1 to 60 characters"),
    ('name = "Mine"', 'name = "C:\\gliders"', NOT_READ + "Write a backslash twice in a text"),
    ("rate_and_expo = true", "rate_and_expo = yes", NOT_READ + "Write  rate_and_expo = true"),
    ("rate_and_expo = true", "rate_and_expo = True", NOT_READ + "Write  rate_and_expo = true"),
    ("rate_and_expo = true", "rate_and_expo = 1.5", "(rate_and_expo) is 1.5. Accepted: true or false"),
    (
        'end_points = "clip"',
        'end_points = "cut"',
        "Radio: effect of end points (end_points) is “cut”. Accepted: one",
    ),
    # plugs, outputs, headings
    ("elevator = 2", "elevator = 7", "Plug of elevator is 7. Accepted: 1 to 6, the outputs of the radio"),
    ("elevator = 2", "elevator = 2.5", "Plug of elevator is 2.5. Accepted: a whole number"),
    (
        "elevator = 2",
        "elevators = 2",
        "Plug (wiring) is “elevators”. Accepted: plugs of left aileron, right aileron",
    ),
    ("elevator = 2\n", "", "Plug of elevator is missing. Accepted: the output of its servo, 1 to 6"),
    ("[radio]", "[radio", NOT_READ + "A heading is one or more words in brackets"),
    ("[radio]", "[radios]", "“radios” is not known here. Did you mean radio?"),
    ('describes = "setup"', 'describes = "set-up"', 'Write  describes = "setup"  as its first line'),
    ('describes = "setup"', 'describes = "aircraft"', "“aircraft” is not known here"),
    # damage
    (MASS, "mass_kg = 0.85\0", "it is not plain text: a zero byte"),
    (MASS, "a." * 30_000 + "b = 1", "in line 13 a name or a number is far too long"),
    (MASS, "x = " + "[" * 30_000, "brackets stand inside brackets more than 20 deep"),
    (MASS, "x = " + "9" * 30_000, "in line 13 a name or a number is far too long"),
    (
        MASS,
        "\n".join(f"k{number} = 1" for number in range(30_000)),
        "And 29981 more. Mend these first.",
    ),
]


def test_there_are_sixty():
    assert len(WRONG) >= 60
    assert all(TEXT.count(there) >= 1 for there, *_ in WRONG)


@pytest.mark.parametrize("there, instead, says", WRONG, ids=lambda part: part[:30].replace("\0", "0"))
def test_a_wrong_entry_is_named_with_what_was_given_and_what_to_write(there, instead, says, tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text(TEXT.replace(there, instead, 1), encoding="utf-8")
    with pytest.raises(DescriptionError) as caught:
        load(path)
    told = str(caught.value)
    assert says in told
    assert all(line.startswith("mine.toml: ") for line in told.splitlines())
    assert len(told) < 8000
