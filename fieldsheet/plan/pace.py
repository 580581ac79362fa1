"""When each frame of a shot starts, in whole milliseconds.  Twin: app/core/pace.js."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil
from typing import Any


@dataclass(frozen=True)
class Phase:
    """A change of interval as it is asked for: from an instant [ms UTC] on, or from a frame on.

    Neither: what it hangs on does not come.
    """

    interval_ms: int
    at_ms: int | None
    frame: int | None


@dataclass(frozen=True)
class Segment:
    """Frame first_frame starts at start_ms [ms UTC]; from it on a frame comes each interval_ms.

    phase: the number of the phase that asks for it, 0 the opening one.
    """

    first_frame: int
    start_ms: int
    interval_ms: int
    phase: int


@dataclass(frozen=True)
class Pace:
    """The segments of a shot, ascending; the first of them begins at frame 1, the last one has no end."""

    segments: tuple[Segment, ...]

    @property
    def start_ms(self) -> int:
        """When frame 1 starts [ms UTC]."""
        return self.segments[0].start_ms

    @property
    def interval_ms(self) -> int:
        """The interval that the shot begins with."""
        return self.segments[0].interval_ms

    def segment_of(self, frame: float) -> Segment:
        """The segment of a real frame position; the first one's before frame 1."""
        return next((one for one in reversed(self.segments) if one.first_frame <= frame), self.segments[0])

    def interval_at(self, frame: float) -> int:
        """From the start of a frame to the start of the next."""
        return self.segment_of(frame).interval_ms

    def shortest_ms(self, first: int, last: int) -> int:
        """The shortest interval that begins in the frames from first to last."""
        here = (one.interval_ms for one in self.segments if first < one.first_frame <= last)
        return min([self.interval_at(first), *here])

    def utc_ms(self, frame: float) -> float:
        """Instant [ms UTC] of a real frame position, with its part of a millisecond."""
        segment = self.segment_of(frame)
        return segment.start_ms + (frame - segment.first_frame) * segment.interval_ms

    def ms_of(self, frame: float) -> int:
        """Instant [ms UTC] of a real frame position."""
        segment = self.segment_of(frame)
        return segment.start_ms + int((frame - segment.first_frame) * segment.interval_ms + 0.5)

    def frame_at(self, utc_ms: float) -> float:
        """Real frame position at an instant: 1 at the start."""
        segment = next((one for one in reversed(self.segments) if one.start_ms <= utc_ms), self.segments[0])
        return segment.first_frame + (utc_ms - segment.start_ms) / segment.interval_ms

    def elapsed_ms(self, frames: int) -> int:
        """How long so many frames take, from the start on."""
        return self.ms_of(frames + 1) - self.start_ms


def pace_of(timing: Mapping[str, Any]) -> Pace:
    """The pace of a plan's `timing`."""
    return Pace(tuple(Segment(**segment) for segment in timing["segments"]))


def paced(
    start_ms: int, phases: tuple[Phase, ...], frames: int | None, end_ms: int | None
) -> tuple[tuple[Segment, ...], int]:
    """(segments, frames) of a shot: so many frames, or as many whole ones as there are until an instant.

    Phases begin at the first whole frame at or after their moment, as counted by the interval before, one
    that is past before frame 1 at frame 1; one whose moment comes ends those written before it; one without a
    whole frame in the shot is left out.
    """
    segments: tuple[Segment, ...] = (Segment(1, start_ms, phases[0].interval_ms, 0),)
    for number, phase in enumerate(phases[1:], start=1):
        joined = _joined(segments, phase, number)
        if joined is not None and _holds(joined[-1], frames, end_ms):
            segments = joined
    if frames is None:
        assert end_ms is not None, "a shot has frames or an end"
        frames = segments[-1].first_frame - 1 + (end_ms - segments[-1].start_ms) // segments[-1].interval_ms
    return segments, frames


def _joined(segments: tuple[Segment, ...], phase: Phase, number: int) -> tuple[Segment, ...] | None:
    """The segments with another phase, which takes the place of those that would begin no earlier."""
    pace = Pace(segments)
    first = phase.frame
    if phase.at_ms is not None:
        first = max(1, ceil(pace.frame_at(phase.at_ms)))
    if first is None:
        return None
    if first > segments[-1].first_frame:
        return *segments, Segment(first, pace.ms_of(first), phase.interval_ms, number)
    if len(segments) > 1:
        return _joined(segments[:-1], phase, number)
    return (Segment(1, pace.start_ms, phase.interval_ms, number),)


def _holds(segment: Segment, frames: int | None, end_ms: int | None) -> bool:
    """Whether a segment has a whole frame in the shot."""
    if frames is not None:
        return segment.first_frame <= frames
    return end_ms is not None and segment.start_ms + segment.interval_ms <= end_ms
