"""What the reader owns and sets: aircraft, radio, set-up, and the files that hold them."""

from mixlib.describe.aircraft import (
    SECTION_NAMES,
    Aircraft,
    Fin,
    Linkage,
    Servo,
    Station,
    Surface,
    Tail,
    Wing,
)
from mixlib.describe.demo import flaperon_setup, four_surface_setup
from mixlib.describe.errors import DescriptionError
from mixlib.describe.files import as_toml, from_toml, load, save, shipped, shipped_names
from mixlib.describe.plain import plain_setup
from mixlib.describe.radio import Control, Radio
from mixlib.describe.setup import FreeMix, Mark, Output, Phase, Setup, Shaping, Want

__all__ = [
    "SECTION_NAMES",
    "Aircraft",
    "Control",
    "DescriptionError",
    "Fin",
    "FreeMix",
    "Linkage",
    "Mark",
    "Output",
    "Phase",
    "Radio",
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
    "load",
    "plain_setup",
    "save",
    "shipped",
    "shipped_names",
]
