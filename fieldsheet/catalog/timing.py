"""Whether a shot says neither too little nor too much about its time.

Three of start, end, duration, interval and frames fix the other two, if a start or an end is among them and
an interval or a number of frames.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from itertools import combinations
from math import ceil

from ..problems import Problem
from .document import Document
from .words import one_of, show

KEYS = ("start", "end", "duration", "interval_s", "frames")
WRITTEN = (*KEYS, "clip_s")
FITTING = [
    set(three)
    for three in combinations(KEYS, 3)
    if {"start", "end"} & set(three) and {"interval_s", "frames"} & set(three)
]
MOST_S = 24 * 3600
# A start is moved to the whole minute.
START_MOVES_S = 30


def check_timing(shot: Document) -> Iterator[Problem]:
    """Problems of a shot's night, start, end, duration, interval, frames and clip length."""
    yield from _check_date(shot)
    counts = shot.written(("frames", "clip_s"))
    if len(counts) == 2:
        found = f"both {_with_lines(shot, counts)}"
        yield shot.problem(("clip_s",), found, "only one: remove frames or clip_s")
    count_key = counts[0] if counts else "frames"
    written = _together(shot.written(WRITTEN))
    # A misspelt key is told already, and nobody knows yet whether it will stay.
    if set(written) not in FITTING and set(_together(shot.given(WRITTEN))) not in FITTING:
        yield _misfit(shot, written, count_key)
    yield from _check_amounts(shot, count_key)
    yield from _check_window(shot)


def _together(keys: list[str]) -> list[str]:
    """A clip's length is a number of frames."""
    return sorted({"frames" if key == "clip_s" else key for key in keys}, key=KEYS.index)


def frames_known(shot: Document) -> int | None:
    """The number of frames, where the file alone fixes it and it makes a shot."""
    frames = _frames(shot)
    return frames if frames is None or frames >= 2 else None


def _frames(shot: Document) -> int | None:
    frames, clip_s, fps = shot.get("frames"), shot.get("clip_s"), shot.get("fps")
    duration_ms, interval_s = shot.get("duration"), shot.get("interval_s")
    if frames is not None:
        return int(frames)
    if clip_s is not None and fps is not None:
        return clip_frames(clip_s, fps)
    if duration_ms is not None and interval_s is not None and not shot.written(("phase",)):
        return int(duration_ms // (interval_s * 1000))
    return None


def clip_frames(clip_s: Decimal, fps: Fraction) -> int:
    """Frames of a clip at least that long."""
    return ceil(Fraction(clip_s) * fps)


def _check_date(shot: Document) -> Iterator[Problem]:
    dates = shot.written(("night", "day"))
    if len(dates) == 2:
        found = f"both {_with_lines(shot, dates)}"
        yield shot.problem(("day",), found, "only one: night (noon to noon) or day (midnight to midnight)")
    if not shot.given(("night", "day")):
        yield shot.problem(("night",), "no date", "night = 2027-06-05 (noon to noon), or day = 2027-06-05")


def _misfit(shot: Document, given: list[str], count_key: str) -> Problem:
    named = {"frames": count_key}
    keys = [named.get(key, key) for key in given]
    if not given:
        return shot.problem(("start",), "no start, end, duration, interval_s or frames", "three of them")
    last = max(keys, key=lambda key: shot.lines.of((key,)))
    found = f"{'only ' if len(given) < 3 else ''}{_with_lines(shot, keys)}"
    return shot.problem((last,), found, _way_out(given, named))


def _way_out(given: list[str], named: dict[str, str]) -> str:
    if len(given) > 3:
        return f"three of them: {_removal(given, named)}"
    if len(given) == 3:
        wrong_kind = ("start", "end") if not {"start", "end"} & set(given) else ("interval_s", "frames")
        return f"{one_of(wrong_kind)} in place of one of them"
    missing = [sorted(fit - set(given), key=KEYS.index) for fit in FITTING if set(given) <= fit]
    if len(given) == 2:
        return f"one more: add {one_of([more[0] for more in missing])}"
    return f"two more: add {one_of([f'{first} with {second}' for first, second in missing[:3]])}"


def _removal(given: list[str], named: dict[str, str]) -> str:
    spare = [sorted(set(given) - fit, key=KEYS.index) for fit in FITTING if fit <= set(given)]
    if len(given) == 4:
        return f"remove {one_of([named.get(keys[0], keys[0]) for keys in spare])}"
    return f"remove two, such as {one_of([named.get(key, key) for key in spare[0]], 'and')}"


def _with_lines(shot: Document, keys: list[str]) -> str:
    placed = sorted((shot.lines.of((key,)), key) for key in keys)
    return one_of([f"{key} (line {line})" for line, key in placed], "and")


def _check_amounts(shot: Document, count_key: str) -> Iterator[Problem]:
    interval_s, frames, counted = shot.get("interval_s"), _frames(shot), shot.written(("frames", "clip_s"))
    if frames is not None and frames < 2:
        key = count_key if counted else "duration"
        yield shot.problem(
            (key,), f"{frames} frame{'' if frames == 1 else 's'}", "time for at least 2 frames"
        )
    alone = interval_s is not None and not shot.written(("phase",))
    if alone and frames is not None and counted and interval_s * frames > MOST_S:
        found = f"{frames} frames at {show(interval_s)} s, which is {ceil(interval_s * frames / 3600)} h"
        yield shot.problem((count_key,), found, "at most 24 h")


def _check_window(shot: Document) -> Iterator[Problem]:
    """A window between two moments that hang on one event leaves room for two frames on any night."""
    start, end, interval_s = shot.get("start"), shot.get("end"), shot.get("interval_s")
    if shot.draft is None or start is None or end is None:
        return
    text = show(shot.draft.raw["end"])
    if start == end:
        right = "a later moment, or duration = '24h' in place of one of them"
        yield shot.problem(("end",), f"{text}, the very moment of start", right)
    elif "event" in start and start["event"] == end.get("event") and interval_s is not None:
        span_s = end["offset_s"] - start["offset_s"]
        if 0 < span_s < 2 * interval_s - START_MOVES_S:
            found = f"{text}, {span_s} s after start, at {show(interval_s)} s a frame"
            yield shot.problem(("end",), found, "time for at least 2 frames")
