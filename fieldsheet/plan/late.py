"""A start that comes late: ways to go on, by what must be keyed in again.  Twin: app/core/late.js.

Common practice, no source: a number is keyed in within a minute or two, one keyframe is aimed anew in 5 to
10, all of them in 15 to 20, in light that is going.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

from .anchors import Night
from .civil import stamp
from .keyed import settable_ms
from .keyframes import settings
from .options import Shot, Way, forbidden_way, option, same_axes, tried, without
from .problem import PlanProblem
from .timing import MOST_MS, Timing, keyframe_frames, quickened, restarted
from .waits import FIXED

MINUTES = {"as-set": (0, 0), "frames": (1, 2), "interval": (1, 2), "first": (5, 10), "all": (15, 20)}


def late_of(shot: Shot, start_ms: int) -> dict[str, Any] | None:
    """What to do of a first frame [ms UTC] after the planned one; None of any other.

    {late_ms, start, frames, interval_ms, options}: frames and interval_ms are the planned ones.  The options
    stand in the order of what must be keyed in again: nothing, the frames, the interval, the first keyframe
    with the frames, all.  The end that they keep is the planned one.
    """
    planned = shot.timing
    if start_ms <= planned.start_ms:
        return None
    ways = _Ways(shot.brief, shot.night, planned, start_ms)
    return {
        "late_ms": start_ms - planned.start_ms,
        "start": stamp(shot.night.spans, start_ms),
        "frames": planned.frames,
        "interval_ms": planned.keyed_ms,
        "options": [tried(id, partial(_made, id, shot, make)) for id, make in ways.by_id().items()],
    }


def late_way(brief: dict[str, Any], night: Night, planned: Timing, id: str, start_ms: int) -> Way:
    """The option of that id, one of MINUTES, as it is keyed in; PlanProblem where it cannot be."""
    if not planned.start_ms < start_ms < planned.start_ms + MOST_MS:
        raise PlanProblem("problem.way-when", {"start": start_ms, "planned": planned.start_ms}, "start")
    way = _Ways(brief, night, planned, start_ms).by_id()[id]()
    if isinstance(way, str):
        raise forbidden_way(id, way)
    return way


def _made(id: str, shot: Shot, make: Callable[[], Way | str]) -> dict[str, Any]:
    way = make()
    return without(id, way) if isinstance(way, str) else option(shot, way, id, MINUTES[id])


class _Ways:
    """The shot as planned, and the ways to start it late; each raises PlanProblem where there is none."""

    def __init__(self, brief: dict[str, Any], night: Night, planned: Timing, start_ms: int) -> None:
        self.brief, self.night, self.planned, self.start_ms = brief, night, planned, start_ms
        self.set_at = keyframe_frames(brief, night, planned)
        self.set_to = [here.axes for here in settings(brief, night, planned, self.set_at)]

    def by_id(self) -> dict[str, Callable[[], Way | str]]:
        """How each is made, in the order of what must be keyed in again."""
        return {
            "as-set": self.as_set,
            "frames": self.frames,
            "interval": self.interval,
            "first": self.first,
            "all": self.all,
        }

    def as_set(self) -> Way:
        """Everything as it is: it ends later."""
        later = restarted(self.planned, self.start_ms, self.planned.frames)
        return Way(self.brief, later, self.set_at, self.set_to, [""] * len(self.set_at))

    def frames(self) -> Way:
        """Fewer frames up to the planned end; a keyframe in between may have another frame."""
        fewer = self._fewer()
        frames = keyframe_frames(self.brief, self.night, fewer)
        return Way(self.brief, fewer, frames, self.set_to, self._moved(frames))

    def interval(self) -> Way:
        """All frames up to the planned end, the opening ones faster."""
        frames, until_ms = self.planned.opening
        interval_ms = _settable_down_ms(self.brief, (until_ms - self.start_ms) // frames)
        if interval_ms is None:
            raise self._after_end()
        faster = quickened(self.planned, self.start_ms, interval_ms)
        return Way(self.brief, faster, self.set_at, self.set_to, [""] * len(self.set_at))

    def first(self) -> Way | str:
        """As `frames`, the first keyframe aimed anew."""
        if not _follows(self.brief["keyframes"][:1]):
            return "late.same-first"
        way = self.frames()
        return replace(way, kept=[None, *way.kept[1:]], keyed=["set", *way.keyed[1:]])

    def all(self) -> Way | str:
        """All frames up to a later end, everything aimed anew."""
        if not _follows(self.brief["keyframes"]):
            return "late.same-all"
        later = restarted(self.planned, self.start_ms, self.planned.frames)
        frames = keyframe_frames(self.brief, self.night, later)
        aimed = [here.axes for here in settings(self.brief, self.night, later, frames)]
        keyed = [
            moved if same_axes(axes, before) else "set"
            for moved, axes, before in zip(self._moved(frames), aimed, self.set_to, strict=True)
        ]
        return Way(self.brief, later, frames, [None] * len(frames), keyed)

    def _fewer(self) -> Timing:
        fewer = restarted(self.planned, self.start_ms, None)
        if fewer.frames < 2:
            raise self._after_end()
        return fewer

    def _after_end(self) -> PlanProblem:
        args = {"start": self.start_ms, "end": self.planned.end_ms}
        return PlanProblem("problem.start-after-end", args, "start")

    def _moved(self, frames: list[float]) -> list[str]:
        """Which keyframes in between have another frame than planned, where the rig is told of it."""
        rig, last = self.brief["rig"], len(frames) - 1
        told = not (rig["keyframes"] and rig["keyframes"]["middle"] == "halfway")
        return [
            "frame" if told and 0 < index < last and abs(frame - before) >= 0.5 else ""
            for index, (frame, before) in enumerate(zip(frames, self.set_at, strict=True))
        ]


def _follows(keyframes: list[dict[str, Any]]) -> bool:
    """Whether any of these aims at what moves across the sky."""
    targets = [(keyframe["aim"] or {}).get("target") for keyframe in keyframes]
    return any(target is not None and target not in FIXED for target in targets)


def _settable_down_ms(brief: dict[str, Any], most_ms: int) -> int | None:
    """The longest interval, at most so long, that can be keyed in; None where none is so short."""
    least_ms, step_ms = settable_ms(brief, 0), brief["rig"]["interval_step_ms"]
    return None if most_ms < least_ms else least_ms + (most_ms - least_ms) // step_ms * step_ms
