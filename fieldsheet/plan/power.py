"""Watt-hours to the last frame: supplies, their packs, and their changes.  Twin: app/core/power.js."""

from __future__ import annotations

from math import ceil, floor
from typing import Any

from .anchors import Night
from .civil import stamp
from .move import Path
from .supplies import Before, camera_supply, heater_supply, reserve_frame, rig_supply
from .swaps import Found, advised_swaps, busy_frames, change, pack_reserve
from .timing import Timing


def power_of(
    brief: dict[str, Any],
    night: Night,
    timing: Timing,
    path: Path,
    found: Found,
    own: dict[str, Any] | None,
    exposure: dict[str, Any] | None,
    before: Before,
) -> dict[str, Any]:
    """{changes, temperature_c, supplies}: a person's own swap is the first of the changes, see `change`.

    The supplies are those that the files say something of, with used_wh at every frame; `thinned` has them
    as the plan keeps them.
    """
    supplies = supplies_of(brief, night, timing, path, before)
    power = brief["rig"]["power"]
    rig = supplies[0] if power else None
    ranges: list[Any] = [(own["from"]["frame"], own["until"]["frame"])] if own else []
    given = [(ceil(first), floor(last)) for first, last in ranges]
    if rig and power["can_swap"] and _to_change(rig, given):
        stops = [setting.frame for setting in path.settings]
        stops += [float(segment.first_frame) for segment in timing.segments[1:]]
        busy = busy_frames(timing, stops, exposure)
        ranges += advised_swaps(night, timing, found, busy, rig, given)[len(given) :]
    return {
        "changes": [change(night, timing, rig, number, part) for number, part in enumerate(ranges, start=1)],
        "temperature_c": brief["temperature_c"],
        "supplies": supplies,
    }


def supplies_of(
    brief: dict[str, Any], night: Night, timing: Timing, path: Path, before: Before
) -> list[dict[str, Any]]:
    """The supplies that the files say something of, the rig's first; no sky is asked."""
    supplies = [
        rig_supply(brief, night, timing, path, before),
        camera_supply(brief, night, timing, before),
        heater_supply(brief, night, timing, before),
    ]
    return [supply for supply in supplies if supply]


def after_stop(
    supplies: list[dict[str, Any]], night: Night, timing: Timing, stop: dict[str, Any] | None
) -> dict[str, Any] | None:
    """What the rig takes until all frames that a stop left are made, {needed_wh, reserve: {frame, time}}.

    reserve: when the first pack, put in full as it stopped, is at its reserve.  stop: the plan's recovery.
    None of a shot that runs through, or where nothing is known of the rig.
    """
    rig = next((supply for supply in supplies if supply["id"] == "rig"), None)
    if rig is None or stop is None:
        return None
    fired, draws, used = stop["frame"], rig["phases"]["shooting"], rig["used_wh"]
    share = stop["gap_ms"] / timing.elapsed_ms(timing.frames)
    stands_wh = (draws["electronics_wh"] + draws["holding_wh"]) * share
    since = [stands_wh + wh - used[fired] for wh in used[fired:]]
    more = reserve_frame(since, rig["packs"][0]["usable_wh"])
    frame = None if more is None else fired + more
    return {
        "needed_wh": since[-1],
        "reserve": frame
        and {"frame": frame, "time": stamp(night.spans, timing.ms_of(frame) + stop["gap_ms"])},
    }


def _to_change(rig: dict[str, Any], given: list[tuple[int, int]]) -> bool:
    """Whether the pack that is in then does not last, though it be put in as late as it may."""
    if given:
        return pack_reserve(rig, 1, given[0][1]) is not None
    return rig["reserve"] is not None
