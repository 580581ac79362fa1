"""When the rig's packs are changed while the shot runs.  Twin: app/core/swaps.js.

Each in a range of frames, early and in light, well before the reserve (common practice, no source): a pack
gives at most four fifths of what it has above its reserve before the next goes in, the last one what it has.
What that leaves over is shared out, and is how far the ranges reach.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor
from typing import Any

from .anchors import Night
from .civil import stamp
from .seen import stars_out
from .supplies import added, reserve_frame
from .timing import Timing

LATEST_SHARE = 0.8
# What hands in gloves need, with a look before and after.
LEAST_MS = 10 * 60_000
# So many frames on both sides of a keyframe, or of another interval, nobody touches the rig.
QUIET_FRAMES = 3
# Clicks of exposure that come closer are a steep band: half as fast as any dusk (our own choice).
STEEP_MS = 2 * 60_000
# How wide a range may be, by what the pack that goes in can give, and how long that one stays in at least.
WIDEST_SHARE, STAYS_SHARE = 0.4, 0.2

Range = tuple[int, int]
Found = list[tuple[int, str]]


@dataclass(frozen=True)
class Busy:
    """Frames, first to last, in which nobody changes packs: by what the rig does, and by the exposure."""

    rig: list[Range]
    steep: list[Range]


def busy_frames(timing: Timing, stops: Sequence[float], exposure: dict[str, Any] | None) -> Busy:
    """stops: the frames of keyframes and of new intervals; exposure: as the plan has it."""
    rig = [(ceil(stop) - QUIET_FRAMES, floor(stop) + QUIET_FRAMES) for stop in stops]
    bands = exposure["bands"] if exposure else []
    clicks = [
        band["first_frame"] + n * band["every_frames"] for band in bands for n in range(abs(band["clicks"]))
    ]
    steep = [
        (before - 1, after)
        for before, after in pairwise(clicks)
        if timing.ms_of(after) - timing.ms_of(before) < STEEP_MS
    ]
    return Busy(rig, steep)


def is_steep(timing: Timing, part: Range, exposure: dict[str, Any] | None) -> bool:
    """Whether a range that would be long enough has no part of that length without a steep band."""
    pieces = _free(part, busy_frames(timing, [], exposure).steep)
    return (
        _lasts_ms(timing, part) >= LEAST_MS > max((_lasts_ms(timing, piece) for piece in pieces), default=0)
    )


def advised_swaps(
    night: Night, timing: Timing, found: Found, busy: Busy, supply: dict[str, Any], given: list[Range]
) -> list[Range]:
    """The ranges in which packs are changed one after another, those given first; the fewest that do.

    None of their own where none is needed, or where all packs together do not last.
    """

    def best(possible: Range) -> Range:
        return _best(night, timing, found, busy, possible)

    chains = [
        chain
        for count in range(len(given) + 1, len(supply["packs"]))
        if (chain := _chain(supply, count, given, best))
    ]
    calm = (chain for chain in chains if all(_lasts_ms(timing, part) >= LEAST_MS for part in chain))
    return next(calm, chains[0] if chains else given)


def change(
    night: Night, timing: Timing, supply: dict[str, Any] | None, number: int, part: Any
) -> dict[str, Any]:
    """{from, until, reserve: {frame, time}} of the swap to pack `number`, the first being 0.

    reserve: when that pack, put in as early as can be, is at its reserve; None where it lasts, or unknown.
    """
    reserve = None
    if supply is not None and number < len(supply["packs"]):
        reserve = pack_reserve(supply, number, ceil(part[0]))
    rows = (("from", part[0]), ("until", part[1]), ("reserve", reserve))
    return {
        key: frame and {"frame": frame, "time": stamp(night.spans, timing.ms_of(frame))}
        for key, frame in rows
    }


def last_frame(used_wh: list[float], most_wh: float) -> int:
    """The last frame, from 1, at which no more is used."""
    return max((frame for frame, used in enumerate(used_wh[:-1]) if used <= most_wh), default=0) + 1


def swapped_at(used_wh: list[float], frame: float) -> float:
    """What is used [Wh] when the pack is changed at a frame."""
    return used_wh[min(max(floor(frame) - 1, 0), len(used_wh) - 1)]


def pack_reserve(supply: dict[str, Any], number: int, frame: float) -> int | None:
    """The frame in which a pack, put in at a frame, reaches its reserve; None where it lasts."""
    packs, used = supply["packs"], supply["used_wh"]
    return reserve_frame(used, packs[number]["usable_wh"], swapped_at(used, frame))


def together_wh(packs: Sequence[dict[str, Any]]) -> float:
    """What packs give one after another, changed well before their reserves [Wh]."""
    last_wh: float = packs[-1]["usable_wh"]
    return added(pack["usable_wh"] * LATEST_SHARE for pack in packs[:-1]) + last_wh


def _chain(supply: dict[str, Any], count: int, given: list[Range], best: Any) -> list[Range] | None:
    """So many changes, each in the best part of what the ones before leave; None where that is nothing."""
    chain = list(given)
    while len(chain) < count:
        possible = _possible(supply, chain, count)
        if possible is None:
            return None
        chain.append(best(possible))
    return chain


def _possible(supply: dict[str, Any], before: list[Range], count: int) -> Range | None:
    """The frames in which the next of `count` changes lets all packs last, whenever it is made in them."""
    used, packs, here = supply["used_wh"], supply["packs"], len(before)
    since_wh = swapped_at(used, before[-1][0]) if before else 0.0
    gives_wh = packs[here]["usable_wh"]
    spare_wh = since_wh + together_wh(packs[here : count + 1]) - used[-1]
    if spare_wh < 0:
        return None
    late_wh = since_wh + gives_wh * LATEST_SHARE
    early_wh = late_wh - spare_wh / (count - here)
    if before:
        early_wh = max(early_wh, swapped_at(used, before[-1][1]) + gives_wh * STAYS_SHARE)
    if here + 1 < count:
        late_wh = min(late_wh, max(early_wh, used[0]) + packs[here + 1]["usable_wh"] * WIDEST_SHARE)
    first = next((n for n, wh in enumerate(used[:-1], start=1) if wh >= early_wh), len(used))
    last = last_frame(used, late_wh)
    return (first, last) if first < last else None


def _best(night: Night, timing: Timing, found: Found, busy: Busy, possible: Range) -> Range:
    """The first part of a range that is long enough: in light and quiet, else quiet, else off keyframes."""
    light = _in_light(night, timing, found, possible)
    for part, taken in (
        (light, [*busy.rig, *busy.steep]),
        (possible, [*busy.rig, *busy.steep]),
        (light, busy.rig),
    ):
        for piece in _free(part, taken):
            if _lasts_ms(timing, piece) >= LEAST_MS:
                return piece
    return max(_free(light, busy.rig), key=lambda piece: piece[1] - piece[0], default=light)


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


def _free(part: Range, taken: Sequence[Range]) -> Iterator[Range]:
    """The pieces of a range, of two frames or more, that nothing takes."""
    start, end = part
    for low, high in (*sorted(taken), (end + 1, end + 1)):
        if start < min(low - 1, end):
            yield start, min(low - 1, end)
        start = max(start, high + 1)


def _lasts_ms(timing: Timing, piece: Range) -> int:
    return timing.ms_of(piece[1]) - timing.ms_of(piece[0])
