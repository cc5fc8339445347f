"""What the reader owns and sets: aircraft, radio, set-up, and the files that hold them."""

from mixlib.describe.aircraft import (
    MOTOR,
    SECTION_NAMES,
    Aircraft,
    Fin,
    Linkage,
    Motor,
    Servo,
    Station,
    Surface,
    Tail,
    Wing,
)
from mixlib.describe.demo import (
    flaperon_setup,
    four_surface_setup,
    hopper_as_bought,
    hopper_flaperons,
    hopper_ready,
    motor_output,
    plain_setup,
)
from mixlib.describe.errors import DescriptionError
from mixlib.describe.field import ORCHARD_FIELD, LandingField
from mixlib.describe.files import as_toml, from_toml, load, save, shipped, shipped_names
from mixlib.describe.radio import READY_MADE, Command, Control, Radio
from mixlib.describe.settings import FreeMix, Mark, Output, Phase, ReadyMade, Shaping, Want
from mixlib.describe.setup import Setup

__all__ = [
    "MOTOR",
    "ORCHARD_FIELD",
    "READY_MADE",
    "SECTION_NAMES",
    "Aircraft",
    "Command",
    "Control",
    "DescriptionError",
    "Fin",
    "FreeMix",
    "LandingField",
    "Linkage",
    "Mark",
    "Motor",
    "Output",
    "Phase",
    "Radio",
    "ReadyMade",
    "Servo",
    "Setup",
    "Shaping",
    "Station",
    "Surface",
    "Tail",
    "Want",
    "Wing",
    "as_toml",
    "flaperon_setup",
    "four_surface_setup",
    "from_toml",
    "hopper_as_bought",
    "hopper_flaperons",
    "hopper_ready",
    "load",
    "motor_output",
    "plain_setup",
    "save",
    "shipped",
    "shipped_names",
]
