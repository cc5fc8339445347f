"""How much brake or droop a landing takes, and what to do when it comes out high or low, in words."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mixlib.air.landing import Decision, Flown, decide
from mixlib.describe import Setup
from mixlib.describe.words import number, sentence_start
from mixlib.say.doubt import marked
from mixlib.say.speeds import round_speed_words, speed_words
from mixlib.say.tables import reasons_below, text_table

__all__ = ["LEVER_WORDS", "amount_words", "decision_table", "decision_words", "metres"]

LEVER_WORDS = {"brake": "brake", "camber": "droop"}
"""What a lever gives in a landing, by its command."""


def metres(item: Flown, *places_m: float) -> str:
    """Places of a landing behind the edge of the field, m; none where no path comes down."""
    places = " to ".join(number(float(place), 0) for place in places_m)
    return marked("none" if np.isnan(places_m).any() else f"{places} m", item)


def amount_words(found: Decision) -> str:
    """How much of the lever, such as ``"half of the brake"``, ``"all of the droop"`` or ``"no brake"``."""
    lever, percent = LEVER_WORDS[found.command], round(100 * found.share)
    if percent == 0:
        return f"no {lever}" if found.end else "the clean wing"
    shares = {50: "half of the", 100: "all of the"}
    return f"{shares.get(percent, f'{percent} % of the')} {lever}"


def decision_words(found: Decision) -> dict[str, str]:
    """Say how much to take and where it lands with that, and what to do when it comes out high or low.

    Returns
    -------
    dict of str to str
        ``"Plan"``, ``"High"`` and ``"Low"`` to their sentences.
    """
    return {"Plan": _plan(found), "High": _high(found), "Low": _low(found)}


def decision_table(setup: Setup, command: str, winds_m_s: Sequence[float]) -> str:
    """How much of a lever a landing takes in several winds, as lines of text.

    Parameters
    ----------
    winds_m_s : sequence of float
        Head winds at 10 m height, m/s.
    """
    found = [decide(setup, command, wind) for wind in winds_m_s]
    rows = [
        [
            round_speed_words(item.head_wind_m_s),
            amount_words(item),
            metres(item.flown, item.flown.path.touchdown_m),
            _spread(item),
            metres(item.flown, item.flown.path.stop_m),
            _verdict(item),
        ]
        for item in found
    ]
    head = ("head wind", "take", "touches down", "if a little is off", "stops at", "on the strip")
    return f"{text_table(head, rows)}\n{reasons_below(*(item.flown for item in found))}".rstrip()


def _verdict(found: Decision) -> str:
    if not found.stops:
        return "too long"
    if not found.all_stop:
        return "fits, if nothing is off"
    return "fits, with room both ways" if found.room_both_ways else "fits"


def _spread(found: Decision) -> str:
    return metres(found.flown, *found.flown.spread_m)


def _plan(found: Decision) -> str:
    path, field = found.flown.path, found.field
    wind = f"in {round_speed_words(found.head_wind_m_s)} of wind" if found.head_wind_m_s else "in still air"
    down = metres(found.flown, path.touchdown_m)
    if not found.stops:
        fits = (
            f" It fits from about {round_speed_words(found.fits_from_m_s)} on." if found.fits_from_m_s else ""
        )
        over = path.stop_m - field.length_m
        return (
            f"{sentence_start(wind)} even {amount_words(found)} is too long: down at {down}, stopped "
            f"{over:.0f} m beyond the strip.{fits} Wait for it, or take a longer field."
        )
    said = (
        f"{amount_words(found)} {wind}. It touches down at {down}, if a little is off {_spread(found)}; "
        f"aimed at the middle, {field.aim_m:.0f} m."
    )
    worst = float(np.nanmax(found.flown.landing.stop_m))
    if worst > field.length_m:
        said += f" With the worst of it, it stops at {worst:.0f} m, beyond the strip."
    return sentence_start(said)


def _high(found: Decision) -> str:
    lever, edge = LEVER_WORDS[found.command], found.field.edge
    whole = found.end == found.used
    more = f"there is no more {lever}{'' if whole else ' that can be flown'}."
    if not found.end:
        more = f"{lever} does not make it shorter here."
    if found.lever < found.end:
        most = metres(found.most, found.most.path.touchdown_m)
        percent = round(100 * found.end / found.used)
        all_of_it = "all of it" if whole else f"{percent} %, the most that can be flown,"
        more = f"more {lever}; a tenth takes off {found.nearer_m:.0f} m, {all_of_it} touches down at {most}."
    return (
        f"{sentence_start(more)} Still high: a flat S before the {edge}, wings level again over it (common "
        "practice, no source). Do not push the nose down: the speed comes back as float."
    )


def _low(found: Decision) -> str:
    lever = LEVER_WORDS[found.command]
    less = f"there is no {lever} to take away: land short, wings level."
    if found.share > 0:
        least = metres(found.least, found.least.path.touchdown_m)
        less = (
            f"less {lever}, slowly and early; a tenth gives {found.further_m:.0f} m, none of it touches down "
            f"at {least}."
        )
    speed = marked(speed_words(found.flown.performance.approach.speed_m_s), found.flown)
    return f"{sentence_start(less)} Do not pull the nose up: never slower than {speed}."
