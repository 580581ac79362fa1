"""A take as text: planned against actual, then its whole log.

The phone writes the same: app/takes/report.js.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from math import ceil, floor
from typing import Any

from ..plan.civil import Spans, local_day
from ..sheet.words import MINUS, day_text, decimals_of, fixed, signed, span_text
from .asrun import Run, pace_from
from .loglines import Lines, act_text, night_text, one_line
from .programmes import Programme, programmes, runs_of, told_of
from .takefile import Take
from .takes import Event, reduce

WIDTH = 80
_INDENT = "  "
_NUMBER = re.compile(f"[+{MINUS}-]?[0-9]{{1,6}}(\\.[0-9]{{1,3}})?")

_WITH_FRAME = ("start", "count", "mark")
_PLAN_BEFORE = "what was planned after that is not in this log: compared with the plan before"

Row = Sequence[str]


def report(take: Take) -> str:
    """The text of a take, its lines at most WIDTH signs wide where its words allow."""
    return "".join(f"{line}\n" for line in _Report(take).lines())


class _Report:
    def __init__(self, take: Take) -> None:
        self._take = take
        self._plan = take.plan
        self._spans: Spans = take.plan["brief"]["place"]["zone"]["spans"]
        self._lines = Lines(take.events, take.plan)
        self._state = reduce(take.events)
        self._programmes = programmes(take.events, take.plan)
        self._told = told_of(self._programmes)

    def lines(self) -> Iterable[str]:
        yield from self._head()
        for run, programme in enumerate(self._told, start=1):
            yield from self._programme(programme, f", run {run} of {len(self._told)}")
        yield from _section("Marks", self._marks())
        yield from _section("Notes", self._notes())
        yield from _section("Changes, readings, warnings closed", self._changes())
        yield from _section("Log", self._log())

    def _head(self) -> Iterable[str]:
        plan, begun = self._plan, self._take.events[0]["utc_ms"]
        night = night_text(plan["window"]["night"])
        yield from _wrapped(one_line(plan["shot"]["title"]))
        yield from _wrapped(f"{one_line(plan['place']['title'])} · {night} · revision {plan['revision']}")
        ended = [event["utc_ms"] for event in self._take.events if event["kind"] == "end"]
        state = f"ended {self._when(ended[-1])}" if ended else "not ended"
        yield f"take {self._take.take[:8]} · begun {self._when(begun)}"
        yield state
        yield from _wrapped(f"kept by {', '.join(self._lines.phones)}")
        if watch := self._state.watch:
            since = self._lines.clock(watch["utc_ms"])
            yield from _wrapped(f"watch: {one_line(watch['who'])}, since {since}")

    def _when(self, utc_ms: int) -> str:
        return f"{self._day(utc_ms)} {self._lines.clock(utc_ms)}"

    def _day(self, utc_ms: int) -> str:
        return day_text(local_day(self._spans, utc_ms / 1000))

    def _programme(self, programme: Programme, which: str) -> Iterable[str]:
        """What was planned of one programme of the rig, and what became of it; which: of several."""
        changed = self._lines.changes(programme.state.changes)
        told = [f"as changed: {changed}"] if changed else []
        told += [] if programme.is_known else [_PLAN_BEFORE]
        odd = [self._odd(count) for count in (programme.run.odd if programme.run else ())]
        compared = [*_wrapped_all(told), *_table(self._compared(programme)), *_wrapped_all(odd)]
        title = "Planned against actual" + (which if len(self._told) > 1 else "")
        yield from _section(title, compared)
        yield from _section("Keyframes", _table(self._as_set(programme)))
        yield from _section("Done", _table(self._acts(programme)))
        yield from _section("Ready to roll", self._ready(programme))

    def _odd(self, count: Mapping[str, Any]) -> str:
        at = f"frame {count['frame']} at {self._lines.clock(count['utc_ms'])}"
        return f"left out: {at}, which fits no other count"

    def _compared(self, programme: Programme) -> list[Row]:
        window, timing = programme.planned["window"], programme.planned["timing"]
        intervals = list(dict.fromkeys(segment["interval_ms"] for segment in timing["segments"]))
        planned = (
            ("frame 1", self._lines.clock(window["start"]["utc_ms"])),
            ("interval", ", ".join(map(span_text, intervals))),
            ("frames", str(programme.frames)),
            ("end", self._lines.clock(window["end"]["utc_ms"])),
        )
        ran = self._ran(programme, intervals)
        rows = [(*row, *became) for row, became in zip(planned, ran, strict=True)]
        return [("", "planned", "as it ran", "difference"), *rows]

    def _ran(self, programme: Programme, intervals: Sequence[int]) -> list[tuple[str, str]]:
        """(as it ran, difference) of frame 1, interval, frames and end."""
        run, window = programme.run, programme.planned["window"]
        fired_ms, shot, end_ms = programme.state.fired_ms, programme.shot, programme.end_ms
        if run is None or fired_ms is None or shot is None or end_ms is None:
            return [("not kept", ""), ("", ""), ("", ""), ("", "")]
        is_over = programme.state.ended or programme.events[-1] is not self._take.events[-1]
        return [
            (self._lines.clock(fired_ms), _late(fired_ms - window["start"]["utc_ms"])),
            _true_interval(run, intervals, len(programme.state.counts)),
            (f"{shot} likely", signed(shot - programme.frames, 0)) if is_over else (f"{shot} so far", ""),
            (self._lines.clock(end_ms), _late(end_ms - window["end"]["utc_ms"])),
        ]

    def _as_set(self, programme: Programme) -> list[Row]:
        """Of each keyframe of which something is written what was planned and what the rig showed."""
        rows = []
        as_set = reduce(programme.events).as_set
        for index, keyframe in enumerate(programme.planned["keyframes"]):
            written = {axis: as_set.get(f"{index}.{axis}", "") for axis in keyframe["axes"]}
            for axis, shown in written.items() if any(written.values()) else ():
                rows.append(self._axis_row(f"K{index + 1} {axis}", axis, keyframe["axes"][axis], shown))
        return [("", "planned", "the rig showed", "difference"), *rows] if rows else []

    def _axis_row(self, name: str, axis: str, planned: float, shown: str) -> Row:
        unit, known = self._lines.unit(axis), self._plan["brief"]["rig"]["axes"].get(axis)
        decimals = decimals_of(known["step"]) if known else 3
        number = _NUMBER.fullmatch(shown)
        off = signed(float(shown.replace(MINUS, "-")) - planned, decimals) + unit if number else ""
        return (
            one_line(name),
            fixed(planned, decimals) + unit,
            one_line(shown) + unit if shown else "not written",
            off,
        )

    def _acts(self, programme: Programme) -> list[Row]:
        """Swaps, done or not, and what else of the plan was done."""
        acts = programme.state.acts
        swaps = [f"swap.{number}" for number in range(1, len(programme.planned["power"]["changes"]) + 1)]
        others = sorted(set(acts) - set(swaps), key=lambda act: (int(acts[act]["utc_ms"]), act))
        rows = [
            (one_line(act_text(act)), self._due(programme, act), self._done(programme, acts.get(act)))
            for act in (*swaps, *others)
        ]
        return [("", "planned", "done"), *rows] if rows else []

    def _done(self, programme: Programme, kept: Mapping[str, Any] | None) -> str:
        if kept is None:
            return "not done"
        frame = programme.frame_at(kept["utc_ms"])
        return self._lines.clock(kept["utc_ms"]) + (f", frame {frame}" if frame else "")

    def _due(self, programme: Programme, act: str) -> str:
        """When an act was planned; "" where its name does not say."""
        kind, _, of = act.partition(".")
        number = int(of) if re.fullmatch("[0-9]{1,6}", of) else 0
        planned = programme.planned
        if kind == "swap" and 1 <= number <= len(planned["power"]["changes"]):
            swap = planned["power"]["changes"][number - 1]
            return f"frames {ceil(swap['from']['frame'])}–{floor(swap['until']['frame'])}"
        frame = number if kind == "exposure" else 0
        if kind == "keyframe" and 1 <= number <= len(planned["keyframes"]):
            frame = floor(planned["keyframes"][number - 1]["frame"] + 0.5)
        if not 1 <= frame <= programme.frames:
            return ""
        return f"{self._lines.clock(pace_from(planned['timing']).ms_of(frame))}, frame {frame}"

    def _ready(self, programme: Programme) -> list[str]:
        ready = programme.state.ready
        if ready is None:
            return ["not declared", *self._unready(programme)]
        said = f"declared {self._lines.clock(ready['utc_ms'])} by {self._lines.phone(ready['device'])}"
        if not ready["open"]:
            return _wrapped(f"{said}, no must-do open")
        return [
            *_wrapped(f"{said}, with must-dos open:"),
            *_wrapped_all(map(self._lines.item, ready["open"]), _INDENT),
        ]

    def _unready(self, programme: Programme) -> list[str]:
        """The must-dos that were open as frame 1 fired without it."""
        starts = [event["payload"] for event in programme.events if event["kind"] == "start"]
        items = starts[-1].get("unready", []) if starts else []
        opened = _wrapped_all(map(self._lines.item, items), _INDENT)
        return ["frame 1 fired with must-dos open:", *opened] if items else []

    def _marks(self) -> list[str]:
        runs = runs_of(self._told) if len(self._told) > 1 else None
        rows = [
            (
                self._lines.clock(mark["utc_ms"]),
                *([str(runs.get(mark["key"], ""))] if runs else []),
                "" if mark["frame"] is None else str(mark["frame"]),
                one_line(mark["file"]),
                one_line(mark["what"]),
            )
            for mark in self._state.marks
        ]
        return _table([("clock", *(["run"] if runs else []), "frame", "file", "what"), *rows]) if rows else []

    def _notes(self) -> list[str]:
        return [
            part
            for note in self._state.notes
            for part in self._at(note["utc_ms"], one_line(note["text"]), self._who(note["device"]))
        ]

    def _changes(self) -> list[str]:
        """What was changed and read, and the warnings that were closed."""
        kinds = ("changes", "reads")
        events = (event for event in self._take.events if event["kind"] in kinds or _is_told(event))
        return [part for event in events for part in self._event(event)]

    def _log(self) -> list[str]:
        """Every event by the clock of the phone that kept it, a day's under its date."""
        lines: list[str] = []
        day = ""
        for programme in self._programmes:
            for event in programme.events:
                if self._day(event["utc_ms"]) != day:
                    day = self._day(event["utc_ms"])
                    lines.append(day)
                has_own = event["kind"] in _WITH_FRAME
                lines += self._event(event, None if has_own else programme.frame_at(event["utc_ms"]))
        return lines

    def _event(self, event: Event, frame: int | None = None) -> list[str]:
        also = [f"frame {frame}"] if frame else []
        return self._at(event["utc_ms"], str(self._lines.line(event)), [*also, *self._who(event["device"])])

    def _who(self, device: str) -> list[str]:
        """The phone that kept something, where several did."""
        return [self._lines.phone(device)] if len(self._lines.phones) > 1 else []

    def _at(self, utc_ms: int, said: str, also: Sequence[str]) -> list[str]:
        tail = f" ({', '.join(also)})" if also else ""
        clock = self._lines.clock(utc_ms) + _INDENT
        return _wrapped(f"{clock}{said}{tail}", hanging=" " * len(clock))


def _is_told(event: Event) -> bool:
    """Whether it is an act in words of its own: a warning that was closed."""
    return event["kind"] == "act" and bool(event["payload"].get("text"))


def _true_interval(run: Run, intervals: Sequence[int], counts: int) -> tuple[str, str]:
    """The interval as it ran, and how far off it is, by the counts."""
    ran = ", ".join(f"{fixed(interval * run.ratio / 1000, 2)} s" for interval in intervals)
    if run.span is None:
        return ", ".join(map(span_text, intervals)), "none by the counts" if counts else "not counted"
    half = (run.span[1] - run.span[0]) / 2
    if len(intervals) > 1:
        return ran, f"× {fixed(run.ratio, 4)} ± {fixed(half, 4)}"
    off_s, half_s = (intervals[0] * value / 1000 for value in (run.ratio - 1, half))
    return ran, f"{signed(off_s, 2)} s ± {fixed(half_s, 2)} s"


def _late(ms: float) -> str:
    seconds = floor(abs(ms) / 1000 + 0.5)
    if seconds == 0:
        return "none"
    return f"{span_text(seconds * 1000)} {'late' if ms > 0 else 'early'}"


def _section(title: str, lines: Iterable[str]) -> list[str]:
    inside = [_INDENT + line for line in lines]
    return ["", title, *inside] if inside else []


def _table(rows: Sequence[Row]) -> list[str]:
    """Rows with their columns lined up."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return ["  ".join(map(str.ljust, row, widths)).rstrip(" ") for row in rows]


def _wrapped_all(texts: Iterable[str], first: str = "") -> list[str]:
    return [line for text in texts for line in _wrapped(text, first)]


def _wrapped(text: str, first: str = "", hanging: str = "") -> list[str]:
    """A text in lines that fit beside the indent of a section; a word that is longer stays whole."""
    lines, line = [], first
    for word in text.split(" "):
        if len(line) + len(word) > WIDTH - len(_INDENT) and line.strip(" "):
            lines.append(line.rstrip(" "))
            line = hanging or first
        line += word + " "
    return [*lines, line.rstrip(" ")]
