"""A little chain of its own, in plain Python: what every surface does, from the numbers of a set-up.

It shares nothing with the library's chain: linkages are followed by Newton's method in steps of the arm.
Leaders of mixes are commands; no curves.
"""

from __future__ import annotations

import math

from mixlib.describe import Linkage, Setup

__all__ = ["throws_mm"]


def throws_mm(setup: Setup, offsets: dict[str, float] | None = None, **commands: float) -> dict[str, float]:
    """Throw of every surface, trailing edge down (rudder: left) positive."""
    radio, shaped = setup.radio, {}
    for name, value in commands.items():
        shaping = setup.shaping.get(name)
        if shaping:
            expo = shaping.expo_percent / 100
            value = shaping.rate_percent / 100 * ((1 - expo) * value + expo * value**3)
        shaped[name] = value
    result = {}
    for surface in setup.aircraft.surfaces:
        number = setup.wiring[surface.name]
        output = setup.output(number)
        demand = output.shift_percent
        shares = [(m.leader, m.gain_above_percent, m.gain_below_percent) for m in setup.free_mixes
                  if m.on and m.follower == number]  # fmt: skip
        for made in getattr(setup, "ready_made", ()):
            if number in (made.first, made.second):
                alike, opposite = {"flaperons": ("roll", "camber"), "V-tail": ("pitch", "yaw")}[made.kind]
                turned = made.opposite_percent * (1 if number == made.first else -1)
                shares += [(alike, made.alike_percent, made.alike_percent), (opposite, turned, turned)]
        shares.append((output.control, output.gain_above_percent, output.gain_below_percent))
        for leader, above, below in shares:
            value = shaped.get(leader, 0.0)
            demand += (above if value > 0 else below) * value
        if output.reversed:
            demand = -demand
        if radio.end_points == "clip":
            travel = min(max(demand, -output.end_low_percent), output.end_high_percent)
        else:
            travel = min(max(demand, -100), 100)
            travel *= (output.end_high_percent if travel > 0 else output.end_low_percent) / 100
        travel += output.sub_trim_percent
        pulse = radio.centre_us + travel * radio.us_per_100_percent / 100
        pulse = min(max(pulse, radio.min_us), radio.max_us)
        servo = surface.servo
        pulse = min(max(pulse, servo.min_us), servo.max_us)
        way = 1 if servo.longer_pulse_moves_arm == "forward" else -1
        arm = servo.arm_offset_deg + way * servo.arm_deg_per_500us * (pulse - 1500) / 500
        angle = min(max(_surface_deg(surface.linkage, arm), -surface.stop_up_deg), surface.stop_down_deg)
        result[surface.name] = 2 * surface.chord_mm * math.sin(math.radians(angle) / 2)
    return result


def _surface_deg(link: Linkage, arm_deg: float) -> float:
    """Follow the rod from neutral in steps of half a degree of the arm; stop where it locks."""
    side = 1 if link.arm_side == link.horn_side else -1

    def tips(arm: float, horn: float) -> tuple[float, float]:
        a, h = math.radians(arm), math.radians(horn)
        x = link.distance_mm + link.horn_mm * math.cos(h) - link.arm_mm * math.cos(a)
        y = side * link.horn_mm * math.sin(h) - link.arm_mm * math.sin(a)
        return x, y

    rod = link.rod_mm or math.hypot(*tips(link.arm_angle_deg, link.horn_angle_deg))
    horn = link.horn_angle_deg
    steps = max(1, math.ceil(abs(arm_deg) * 2))
    for step in range(steps + 1):
        arm = link.arm_angle_deg + arm_deg * step / steps
        for _ in range(20):
            x, y = tips(arm, horn)
            miss = math.hypot(x, y) - rod
            h = math.radians(horn)
            slope = (-x * math.sin(h) + y * side * math.cos(h)) * link.horn_mm / math.hypot(x, y)
            if abs(slope) < 1e-6:
                break
            horn -= math.degrees(miss / slope)
            if abs(miss) < 1e-10:
                break
    forward = 1 if link.horn_side in ("below", "left") else -1
    return forward * (horn - link.horn_angle_deg)
