"""The whole aircraft: balance, trim, glide, roll, elevator, flight phases."""

from mixlib.air.aircraft.airframe import Airframe
from mixlib.air.aircraft.balance import (
    Balance,
    balance,
    balanced_at,
    elevator_band_deg,
    hands_off_m_s,
)
from mixlib.air.aircraft.bands import band
from mixlib.air.aircraft.camber import camber_effect, dive
from mixlib.air.aircraft.doubt import Doubt
from mixlib.air.aircraft.elevator import compensation, held_by_radio
from mixlib.air.aircraft.flight import Performance, performance, trimmed_at, upwind
from mixlib.air.aircraft.from_setup import angles_at, flyable, known_balance, known_performance
from mixlib.air.aircraft.glide import Air, Trimmed
from mixlib.air.aircraft.handling import roll, roll_room_deg, roll_to_right
from mixlib.air.aircraft.phases import change, elevator_over_lever, fly_phase, held_speed_m_s, phase_at

__all__ = [
    "Air",
    "Airframe",
    "Balance",
    "Doubt",
    "Performance",
    "Trimmed",
    "angles_at",
    "balance",
    "balanced_at",
    "band",
    "camber_effect",
    "change",
    "compensation",
    "dive",
    "elevator_band_deg",
    "elevator_over_lever",
    "fly_phase",
    "flyable",
    "hands_off_m_s",
    "held_by_radio",
    "held_speed_m_s",
    "known_balance",
    "known_performance",
    "performance",
    "phase_at",
    "roll",
    "roll_room_deg",
    "roll_to_right",
    "trimmed_at",
    "upwind",
]
