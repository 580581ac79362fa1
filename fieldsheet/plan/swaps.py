"""When the rig's pack is changed while the shot runs.  Twin: app/core/swaps.js.

A range, early and in light, well before the reserve (common practice, no source): from the frame from which
the second pack lasts to the end, until the first one has given four fifths of what it has above its reserve.
"""

from __future__ import annotations

from itertools import pairwise
from math import ceil, floor
from typing import Any

from .anchors import Night
from .civil import stamp
from .seen import stars_out
from .supplies import reserve_frame
from .timing import Timing

LATEST_SHARE = 0.8
# What hands in gloves need, with a look before and after.
LEAST_MS = 10 * 60_000
# So many frames on both sides of a keyframe nobody touches the rig.
QUIET_FRAMES = 3

Range = tuple[int, int]
Found = list[tuple[int, str]]


def possible_range(supply: dict[str, Any]) -> Range | None:
    """Frames between which a swap lets two packs last to the end; None where there are none, or no need."""
    used, packs = supply["used_wh"], supply["packs"]
    if supply["reserve"] is None or len(packs) < 2:
        return None
    early = next(n for n in range(1, len(used) + 1) if used[-1] - used[n - 1] <= packs[1]["usable_wh"])
    late = latest_frame(supply)
    return (early, late) if early < late else None


def latest_frame(supply: dict[str, Any]) -> int:
    """The last frame, from 1, at which the first pack has given no more than it should before a swap."""
    most_wh = supply["packs"][0]["usable_wh"] * LATEST_SHARE
    return max((frame for frame, used in enumerate(supply["used_wh"][:-1]) if used <= most_wh), default=0) + 1


def advised_swap(
    night: Night, timing: Timing, found: Found, keyframes: list[float], supply: dict[str, Any]
) -> dict[str, Any] | None:
    """The best part of the possible range, {from, until: {frame, time}}: in light, away from keyframes."""
    possible = possible_range(supply)
    if possible is None:
        return None
    first, last = _in_light(night, timing, found, possible)
    pieces = list(_quiet(first, last, keyframes))
    long = [piece for piece in pieces if _lasts_ms(timing, piece) >= LEAST_MS]
    first, last = (
        long[0] if long else max(pieces, key=lambda piece: piece[1] - piece[0], default=(first, last))
    )
    return {
        key: {"frame": frame, "time": stamp(night.spans, timing.ms_of(frame))}
        for key, frame in (("from", first), ("until", last))
    }


def swapped_at(used_wh: list[float], frame: float) -> float:
    """What is used [Wh] when the pack is changed at a frame."""
    return used_wh[min(max(floor(frame) - 1, 0), len(used_wh) - 1)]


def second_reserve(supply: dict[str, Any], frame: float) -> int | None:
    """The frame in which the second pack, put in at a frame, reaches its reserve; None where it lasts."""
    packs, used = supply["packs"], supply["used_wh"]
    return reserve_frame(used, packs[1]["usable_wh"], swapped_at(used, frame))


def _in_light(night: Night, timing: Timing, found: Found, possible: Range) -> Range:
    """The part of a range before civil dusk or after civil dawn, where that leaves time enough."""
    first, last = possible
    from_ms, until_ms = timing.ms_of(first), timing.ms_of(last)
    dark = stars_out(night, from_ms / 1000)
    edge = "civil dawn" if dark else "civil dusk"
    at_ms = next((ms for ms, name in found if name == edge and from_ms < ms < until_ms), None)
    if at_ms is None:
        return possible
    frame = timing.frame_at(at_ms)
    light = (ceil(frame), last) if dark else (first, floor(frame))
    return light if _lasts_ms(timing, light) >= LEAST_MS else possible


def _quiet(first: int, last: int, keyframes: list[float]) -> list[Range]:
    """The pieces of a range between the keyframes, without the frames around them."""
    inside = [key for key in keyframes if first - QUIET_FRAMES <= key <= last + QUIET_FRAMES]
    stops = [first - 1.0 - QUIET_FRAMES, *inside, last + 1.0 + QUIET_FRAMES]
    pieces = [
        (max(first, floor(before) + QUIET_FRAMES + 1), min(last, ceil(after) - QUIET_FRAMES - 1))
        for before, after in pairwise(stops)
    ]
    return [piece for piece in pieces if piece[0] < piece[1]]


def _lasts_ms(timing: Timing, piece: Range) -> int:
    return (piece[1] - piece[0]) * timing.interval_ms
