"""The whole aircraft: trim, glide, roll, elevator, flight phases."""

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.bands import band
from mixlib.air.aircraft.camber import camber_effect, dive
from mixlib.air.aircraft.elevator import compensation, held_by_radio
from mixlib.air.aircraft.flight import Performance, performance, trimmed_at, upwind
from mixlib.air.aircraft.from_setup import angles_at, flyable, known_performance
from mixlib.air.aircraft.glide import Air, Trimmed
from mixlib.air.aircraft.handling import roll, roll_to_right
from mixlib.air.aircraft.phases import change, fly_phase, phase_at

__all__ = [
    "Air",
    "Airframe",
    "Performance",
    "Trimmed",
    "angles_at",
    "band",
    "camber_effect",
    "change",
    "compensation",
    "dive",
    "fly_phase",
    "flyable",
    "held_by_radio",
    "known_performance",
    "performance",
    "phase_at",
    "roll",
    "roll_to_right",
    "trimmed_at",
    "upwind",
]
