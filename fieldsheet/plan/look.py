"""How the move will look: how fast the picture passes, where its speed jumps.  Twin: app/core/look.js.

The picture's speed is that of the optical axis, over the angle of view across the delivered frame: what
pan and tilt do to all that is far away.  What a slide does hangs on how near things are: it is not in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, hypot, radians
from typing import Any

from .aim import lens_of
from .move import Path
from .opened import Opens, within
from .pace import Segment
from .timing import Timing
from .trails import CLIP_PX

FULL_TURN_DEG = 360

Turn = tuple[float, float]
"""Degrees across and up by which the optical axis turns from one frame to the next."""


def look_of(brief: dict[str, Any], turns: list[Turn]) -> dict[str, Any] | None:
    """The speed of the picture after its fastest frame, and the largest change of speed at a frame.

    change: as a share of the fastest speed, 0 where all is even; its frame None then.  None for a picture
    that stands still.
    """
    fastest, fastest_frame = _largest([hypot(*turn) for turn in turns])
    if fastest == 0:
        return None
    changes = [
        hypot(after[0] - before[0], after[1] - before[1])
        for before, after in zip(turns, turns[1:], strict=False)
    ]
    change, change_after = _largest(changes)
    rate, scale = brief["fps"]
    widths_per_s = fastest * rate / scale / lens_of(brief).view_deg()[0]
    return {
        "turn_deg": fastest,
        "fastest_frame": fastest_frame,
        "frame_widths_per_s": widths_per_s,
        "seconds_per_frame_width": 1 / widths_per_s,
        "largest_change": {"share": change / fastest, "frame": change_after and change_after + 1},
    }


def exposed(brief: dict[str, Any], turns: list[Turn], timing: Timing, opens: Opens) -> dict[str, Any]:
    """What turning while it exposes does to a frame: None of it where the rig or the picture stands still.

    blur_px: in the middle of the frame, in pixels of a clip of CLIP_PX, at blur_frame, where it is most;
    shutter_angle_deg: the share of the interval that the shutter is open there, of a full turn.
    """
    none = {"blur_px": None, "blur_frame": None, "shutter_angle_deg": None}
    if brief["rig"]["motion"] != "continuous":
        return none
    shares = [
        open_ms / segment.interval_ms
        for segment, first, last, open_ms in _alike(timing, opens)
        for _ in range(first, last + 1)
    ]
    turned, frame = _largest([hypot(*turn) * share for turn, share in zip(turns, shares, strict=False)])
    if frame is None:
        return none
    blur_px = radians(turned) * brief["camera"]["focal_mm"] / max(brief["frame_mm"]) * CLIP_PX
    return {"blur_px": blur_px, "blur_frame": frame, "shutter_angle_deg": FULL_TURN_DEG * shares[frame - 1]}


def _alike(timing: Timing, opens: Opens) -> Iterator[tuple[Segment, int, int, int]]:
    """(segment, first frame, last frame, milliseconds open) of a shot's frames, as long as they are alike."""
    ends = [*(segment.first_frame for segment in timing.segments[1:]), timing.frames + 1]
    for segment, end in zip(timing.segments, ends, strict=True):
        here = within(opens, segment.first_frame, end - 1)
        lasts = [*(first - 1 for first, _ in here[1:]), end - 1]
        yield from ((segment, first, last, ms) for (first, ms), last in zip(here, lasts, strict=True))


def turns_of(brief: dict[str, Any], path: Path, frames: int) -> list[Turn]:
    """What the optical axis turns after every frame but the last; none where nothing moves."""
    if path.warp is None:
        return []
    ways = []
    pan, tilt = _axis(brief, path, 1)
    for frame in range(2, frames + 1):
        next_pan, next_tilt = _axis(brief, path, frame)
        ways.append(((next_pan - pan) * cos(radians((tilt + next_tilt) / 2)), next_tilt - tilt))
        pan, tilt = next_pan, next_tilt
    return ways


def _axis(brief: dict[str, Any], path: Path, frame: int) -> tuple[float, float]:
    axes = path.at(frame)
    return axes.get("pan", 0.0), axes.get("tilt", brief["tilt_deg"] or 0.0)


def _largest(values: list[float]) -> tuple[float, int | None]:
    """The largest of some values and its number from 1, the first of equals; (0, None) where all are 0."""
    largest, number = 0.0, None
    for index, value in enumerate(values, start=1):
        # A shade of slack, so that rounding noise on a steady move does not pick the frame.
        if value > largest * (1 + 1e-6) + 1e-9:
            largest, number = value, index
    return largest, number
