"""Aircraft and radios of the tests' own, as awkward as those in a club: nothing mirrored, nothing alike."""

from __future__ import annotations

from mixlib.describe import (
    Aircraft,
    Radio,
    Setup,
    Surface,
    flaperon_setup,
    four_surface_setup,
    hopper_as_bought,
    plain_setup,
    shipped,
)
from mixlib.describe.demo import elevon_setup, v_tail_setup

__all__ = ["aircraft", "radios", "setups"]


def aircraft() -> dict[str, Aircraft]:
    """Ten aircraft by what is odd about them."""
    two, three, vee, wing = (shipped("aircraft", f"orchard_{n}") for n in ("two", "three", "vee", "wing"))
    return {
        "ailerons, servos not mirrored": _turned(two, "right aileron"),
        "ailerons, a longer horn on the right": _linked(two, "right aileron", horn_mm=16.0),
        "ailerons, a longer arm and a short chord": _linked(two, "left aileron", arm_mm=12.0),
        "flaps not mirrored": _turned(three, "left flap"),
        "flaps on other holes": _linked(three, "right flap", arm_mm=11.0),
        "v-tail, servos mirrored": _turned(vee, "left V-tail"),
        "v-tail on short stops": _stopped(vee, "v-tail", 14.0),
        "elevons, servos not mirrored": _turned(wing, "left elevon"),
        "elevons on other holes": _linked(wing, "left elevon", horn_mm=12.0, arm_angle_deg=80.0),
        "six surfaces on the wing, elevator in halves": _six(three),
    }


def radios() -> dict[str, Radio]:
    """Five radios by what is odd about them."""
    simple, rich = shipped("radio", "simple_six"), shipped("radio", "rich_ten")
    every = tuple(range(1, 10))
    anywhere = tuple(c.replace(drives=every) for c in rich.controls)
    return {
        "scales, no gains of its own": simple.replace(
            name="Scaling six", end_points="scale", travel_max_percent=125.0, free_mixes=4
        ),
        "one gain for both sides": simple.replace(name="Even six", gain_sides_differ=False, free_mixes=4),
        "coarse gains": simple.replace(name="Coarse six", gain_step_percent=5.0, free_mixes=3),
        "every stick anywhere, no gains of its own": simple.replace(
            name="Nine anywhere", outputs=9, controls=anywhere, free_mixes=6
        ),
        "rich, ends cut off, no rates": rich.replace(
            name="Cutting ten",
            end_points="clip",
            rate_and_expo=False,
            gain_min_percent=-100.0,
            gain_max_percent=100.0,
        ),
    }


def _changed(plane: Aircraft, change) -> Aircraft:
    return plane.replace(name="Own", surfaces=tuple(change(surface) for surface in plane.surfaces))


def _turned(plane: Aircraft, name: str) -> Aircraft:
    other = {"forward": "back", "back": "forward"}

    def change(surface: Surface) -> Surface:
        if surface.name != name:
            return surface
        way = other[surface.servo.longer_pulse_moves_arm]
        return surface.replace(servo=surface.servo.replace(longer_pulse_moves_arm=way))

    return _changed(plane, change)


def _linked(plane: Aircraft, name: str, **fields: float) -> Aircraft:
    return _changed(
        plane, lambda s: s.replace(linkage=s.linkage.replace(rod_mm=None, **fields)) if s.name == name else s
    )


def _stopped(plane: Aircraft, kind: str, stop_deg: float) -> Aircraft:
    return _changed(
        plane, lambda s: s.replace(stop_up_deg=stop_deg, stop_down_deg=stop_deg) if s.kind == kind else s
    )


def _six(plane: Aircraft) -> Aircraft:
    found = []
    for surface in plane.surfaces:
        if surface.kind == "flap":
            middle = (surface.y_inner_mm + surface.y_outer_mm) / 2
            found.append(surface.replace(name=f"{surface.name}, inner", y_outer_mm=middle - 2))
            found.append(surface.replace(name=f"{surface.name}, outer", y_inner_mm=middle + 2))
        elif surface.kind == "elevator":
            found += [surface.replace(name=f"{side} elevator", side=side) for side in ("left", "right")]
        else:
            found.append(surface)
    return plane.replace(name="Own six", surfaces=tuple(found))


def setups() -> dict[str, Setup]:
    """Six set-ups by what they have, each under a name and on an aircraft of its own."""
    four, planes = four_surface_setup(), aircraft()
    found = {
        "motor glider on a Y-lead": hopper_as_bought(),
        "two ailerons": flaperon_setup(),
        "four surfaces, one flap servo not mirrored": four.replace(
            aircraft=planes["flaps not mirrored"]
        ).with_output(3, reversed=True),
        "V-tail": v_tail_setup(),
        "elevons": elevon_setup(),
        "six surfaces": plain_setup(
            planes["six surfaces on the wing, elevator in halves"], shipped("radio", "rich_ten")
        ),
    }
    return {
        words: setup.replace(name=f"My {words}"[:60], aircraft=setup.aircraft.replace(name="Garden Own"))
        for words, setup in found.items()
    }
