"""The programmes of the rig that a take ran, one after the other, each with what was planned and how it ran.

Another way to go on that keys in anything begins another one.  The same as app/takes/programmes.js.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import floor
from typing import Any

from .asrun import Run, pace_from, run_of
from .takes import Event, TakeState, event_key, keyed_by, reduce

_KEPT_LATER = ("undo", "untick")


@dataclass(frozen=True)
class Programme:
    """One programme, as it was at its end.

    planned: {timing, window, keyframes, power} of a plan; is_known: False where the log lacks what was
    planned after a change, and planned is older.  run: None where frame 1 is not known to have fired.
    until_ms: the last moment that the log knows of it [ms UTC]; stopped: the frame after which it is said
    to have stopped.
    """

    planned: Mapping[str, Any]
    is_known: bool
    events: tuple[Event, ...]
    state: TakeState
    run: Run | None
    until_ms: int
    stopped: int | None

    @property
    def frames(self) -> int:
        """How many frames were planned."""
        return int(self.planned["timing"]["frames"])

    def frame_at(self, utc_ms: float) -> int | None:
        """The frame that the rig was likely at; None outside the shot, or where that is not known."""
        if self.run is None:
            return None
        pace = pace_from(self.planned["timing"])
        frame = floor(pace.frame_at(pace.start_ms + (utc_ms - self.run.start_ms) / self.run.ratio))
        return frame if 1 <= frame <= self.frames else None

    @property
    def shot(self) -> int | None:
        """How many frames were likely shot; None where that cannot be known."""
        if self.run is None:
            return None
        if self.stopped is not None:
            return self.stopped
        before = self.until_ms < self.run.start_ms
        return self.frame_at(self.until_ms) or (0 if before else self.frames)

    @property
    def end_ms(self) -> int | None:
        """When the last planned frame's interval ended as it ran [ms UTC]."""
        if self.run is None:
            return None
        window = self.planned["window"]
        length_ms = window["end"]["utc_ms"] - window["start"]["utc_ms"]
        return int(floor(self.run.start_ms + length_ms * self.run.ratio + 0.5))


def programmes(events: Sequence[Event], plan: Mapping[str, Any]) -> list[Programme]:
    """The programmes of a take's events, which are in the order of the log, begun on a plan."""
    cuts = [0, *_cuts(events), len(events)]
    found: list[Programme] = []
    planned, is_known = plan, True
    changes: dict[str, Any] = {}
    for first, end in zip(cuts, cuts[1:], strict=False):
        for event in events[first:end]:
            if event["kind"] not in ("take", "changes"):
                continue
            asked = _without_light(event["payload"].get("changes", {}))
            if "planned" in event["payload"]:
                planned, is_known = event["payload"]["planned"], True
            elif event["kind"] == "changes" and asked != changes:
                is_known = False
            changes = asked
        found.append(_programme(events, first, end, planned, is_known))
    return found


def told_of(found: Sequence[Programme]) -> list[Programme]:
    """Those that ran, in the order in which they were left for good; where none did, the last one.

    One that was left and gone back to is told once, with the events of both times.
    """
    told: dict[str, Programme] = {}
    for one in found:
        if one.run is not None:
            name = json.dumps([one.state.changes.get("way"), one.state.fired_ms])
            before = told.pop(name, None)
            told[name] = replace(one, events=(*(before.events if before else ()), *one.events))
    return list(told.values()) or list(found[-1:])


def runs_of(told: Sequence[Programme]) -> dict[str, int]:
    """Which of the programmes that are told each event is of, counted from 1, by the event's name."""
    return {event_key(event): run for run, one in enumerate(told, start=1) for event in one.events}


def _cuts(events: Sequence[Event]) -> list[int]:
    """Where another programme begins."""
    way, cuts = None, []
    for index, event in enumerate(events):
        if event["kind"] in ("take", "changes"):
            asked = keyed_by(event["payload"].get("changes", {}))
            if asked != way and index > 0:
                cuts.append(index)
            way = asked
    return cuts


def _without_light(changes: Mapping[str, Any]) -> dict[str, Any]:
    """What of changes alters more than the exposure."""
    return {key: value for key, value in changes.items() if key != "exposure_shift_ev"}


def _programme(
    events: Sequence[Event], first: int, end: int, planned: Mapping[str, Any], is_known: bool
) -> Programme:
    later = [event for event in events[end:] if event["kind"] in _KEPT_LATER]
    state = reduce([*events[:end], *later])
    own = tuple(events[first:end])
    run = None if state.fired_ms is None else run_of(planned["timing"], state.fired_ms, state.counts)
    way = events[end]["payload"]["changes"].get("way") if end < len(events) else None
    frame = way.get("frame") if isinstance(way, dict) else None
    stopped = frame if isinstance(frame, int) and 0 <= frame <= planned["timing"]["frames"] else None
    ends = [event["utc_ms"] for event in own if event["kind"] == "end"]
    until_ms = events[end]["utc_ms"] if end < len(events) else (ends or [own[-1]["utc_ms"]])[-1]
    return Programme(planned, is_known, own, state, run, until_ms, stopped)
