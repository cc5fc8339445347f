"""The answer of a fit: the aircraft as it then moves; as HTML what to type and what comes of it."""

from __future__ import annotations

import html
from collections.abc import Callable, Sequence
from functools import partial
from math import copysign

from mixlib.bench.fit import FitResult
from mixlib.bench.fit.typed import changes, entries
from mixlib.bench.surface.left import Left, left_in_phases, runs_out
from mixlib.chain import Rig
from mixlib.describe import Setup
from mixlib.describe.words import command_end, number, sentence_start, signed
from mixlib.draw.phases import aircraft_columns
from mixlib.draw.shapes import Drawing
from mixlib.panel.fit.lines import end_of, lines_of
from mixlib.say.tables import html_table

__all__ = ["answer", "moves_picture"]

_MOST_RUN_OUT = 6
_BENCH = {
    "arm_mm": ("servo arm, hole at", "mm"),
    "horn_mm": ("horn, hole at", "mm"),
    "arm_angle_deg": ("servo arm at neutral", "deg"),
}
_NOTHING_RUNS_OUT = "nothing: with every stick and lever, alone and together, all surfaces follow"


def answer(before: Setup, result: FitResult) -> str:
    """Write all of an answer, in the order in which one reads and types.

    Parameters
    ----------
    before : Setup
        What stood there.

    Returns
    -------
    str
        HTML: two columns where there is room.
    """
    after = result.setup
    told = (
        _list("What your set-up did before and this one does not", result.dropped),
        _list("What cannot be had", result.cannot),
        _throws_table(result),
        _left_table(after),
        _list("What runs out", [one.words for one in runs_out(after)[:_MOST_RUN_OUT]] or [_NOTHING_RUNS_OUT]),
        _list("What it takes away elsewhere", result.notes),
    )
    return (
        f"<div class='mix-answer'><div>{_entries_table(before, after)}</div><div>{''.join(told)}</div></div>"
    )


def moves_picture(setup: Setup) -> Callable[..., Drawing]:
    """The aircraft once for each stick and lever, at the end or the mark that it is used to."""
    rig = Rig(setup)
    ends = [end for end in setup.ends if end[0] != "throttle" and (end[1] > 0 or end[0] == "camber")]
    settings = {command_end(name, copysign(1, value)): rig.moves(**{name: value}) for name, value in ends}
    return partial(aircraft_columns, setup.aircraft, settings, {}, title="What sticks and levers then move")


def _throws_table(result: FitResult) -> str:
    """Wanted, got and miss of every throw, in mm; of a pair, the half that misses more."""
    by_place = {(row.want.surface, row.want.command, row.want.side): row for row in result.rows}
    rows = []
    for line in lines_of(result.setup.aircraft, [row.want for row in result.rows]):
        for place, want in enumerate(line.wants):
            both = [side[place] for side in (line.wants, line.mates) if side]
            row = max((by_place[w.surface, w.command, w.side] for w in both), key=lambda r: r.worst_mm)
            name = f"{line.title.partition(' (')[0]} ({end_of(want)})"
            rows.append([name, *(signed(mm, 1) for mm in (row.wanted_mm, row.got_mm, row.miss_mm))])
            if row.half_wanted_mm is not None and row.half_got_mm is not None:
                half = (row.half_wanted_mm, row.half_got_mm, row.half_miss_mm)
                rows.append([f"{name}, half way", *(signed(mm, 1) for mm in half)])
    caption = "What comes of it. Down (rudder: left) is plus. A pair's line is for the right-hand one."
    return html_table(["throw", "wanted, mm", "got, mm", "miss, mm"], rows, caption)


def _left_table(setup: Setup) -> str:
    """What every stick moves with the levers out: a line for each place, a column for stick and surface."""
    left = left_in_phases(setup)
    columns = list(dict.fromkeys((one.command, one.surface) for one in left))
    cells = {(one.where, one.command, one.surface): f"{_way(one)} ({100 * one.share:.0f} %)" for one in left}
    rows = [
        [where, *(cells.get((where, *column), "") for column in columns)]
        for where in dict.fromkeys(one.where for one in left)
    ]
    head = ["with the levers at", *(f"{command}: {surface}" for command, surface in columns)]
    caption = (
        "What is left for the stick: mm up and down from where it rests there, and the share of neutral."
    )
    return html_table(head, rows, caption)


def _way(left: Left) -> str:
    up, down = ("right", "left") if left.command == "yaw" and "rudder" in left.surface else ("up", "down")
    return f"{up} {number(left.up_mm, 1)}, {down} {number(left.down_mm, 1)}"


def _entries_table(before: Setup, after: Setup) -> str:
    """All that is typed, what changes marked with what stood there before; last what is taken away."""
    changed = {(change.where, change.what): change for change in changes(before, after)}
    bench = _bench_rows(before, after)
    rows = bench + [
        [entry.where, entry.what, entry.value, (f"● {change.old or 'not there'}" if change else "the same")]
        for entry in entries(after)
        for change in [changed.get((entry.where, entry.what))]
    ]
    rows += [[gone.where, gone.what, "no more", f"● {gone.old}"] for gone in changed.values() if not gone.new]
    marked = len(changed) + len(bench)
    caption = f"What to do and to type, in this order. {marked} entries, each with a ●, are not as before."
    return html_table(["where", "what", "now", "before"], rows, caption)


def _bench_rows(before: Setup, after: Setup) -> list[list[str]]:
    """What is done at the linkages before anything is typed: other holes, an arm that leans, the rod."""
    rows = []
    for old, new in zip(before.aircraft.surfaces, after.aircraft.surfaces, strict=True):
        for field, (what, unit) in _BENCH.items():
            was, now = getattr(old.linkage, field), getattr(new.linkage, field)
            if was != now:
                rod = "; make the rod fit at neutral"
                rows.append([new.name, what, f"{now:.3g} {unit}{rod}", f"● {was:.3g} {unit}"])
    return rows


def _list(title: str, lines: Sequence[str]) -> str:
    if not lines:
        return ""
    items = "".join(f"<li>{html.escape(sentence_start(line))}</li>" for line in lines)
    return f"<p><strong>{html.escape(title)}</strong></p><ul>{items}</ul>"
