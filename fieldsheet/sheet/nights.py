"""The nights of a shot in words: when, moon, core, and in a few words why a night fails.  Python only."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from string import ascii_lowercase
from typing import Any

from ..plan.civil import Spans, day_number
from .needs import need_name
from .words import clock, day_text, fixed, say, span_text

# Why a night gives no plan, where a line has no room for the whole problem.
WHY = {
    "problem.no-event": "no {event|event}",
    "problem.never-event": "no {event|event}",
    "problem.no-ridge": "no skyline for {event|event}",
    "problem.clock-skipped": "the clocks skip {clock}",
    "problem.frames": "{frames|frames} only",
    "problem.too-long": "more than 24 h",
    "problem.keyframe-outside": "K{number} not in the shot",
    "problem.keyframe-in-hold": "K{number} in a hold",
    "problem.no-room": "no time to move",
    "problem.aim": "K{number} too high to aim at",
    "problem.no-sky": "beyond the ephemeris",
    "problem.no-zone": "clock changes not known",
}
SPAN = {"span": "{start|clock}–{end|clock} {end|zone}"}
MINUTE_MS = 60_000


@dataclass(frozen=True)
class NightLine:
    """One night in words.

    date: YYYY-MM-DD; month: "June 2027"; day: "Fri 4"; span: the window by the place's clock, "" without a
    plan; moon: her light, rise and set, "" beyond the sky's reach; lit: 0 to 1; core: for how long it can be
    used, "" if not at all; unmet: letters of the needs that are not met; why: why there is no plan, else "".
    """

    date: str
    month: str
    day: str
    good: bool
    span: str
    moon: str
    lit: float
    core: str
    unmet: tuple[str, ...]
    why: str


@dataclass(frozen=True)
class Nights:
    """A shot's nights: needs by letter, what is asked; lines in order; reasons: how often each one fails.

    reasons: (what, nights, nights on which nothing else is wrong), the most frequent first; what is the name
    of a need, or why there is no plan.
    """

    needs: dict[str, str]
    lines: list[NightLine]
    reasons: list[tuple[str, int, int]]

    @property
    def good(self) -> list[NightLine]:
        """The good ones."""
        return [line for line in self.lines if line.good]


def nights_told(brief: dict[str, Any], rows: Sequence[dict[str, Any]]) -> Nights:
    """The rows of a search in words; needs have letters in the order of the brief."""
    spans = brief["place"]["zone"]["spans"]
    measured: list[dict[str, Any]] = next((row["needs"] for row in rows if row["needs"]), [])
    needs = {ascii_lowercase[index % 26]: need_name(need, spans) for index, need in enumerate(measured)}
    lines = [_line(row, spans) for row in rows]
    return Nights(needs, lines, _reasons(needs, lines))


def _line(row: dict[str, Any], spans: Spans) -> NightLine:
    weekday, number, month = day_text(day_number(row["night"])).split(" ", 2)
    window, problem = row["window"], row["problem"]
    span = ""
    if window is not None:
        span = say("span", {key: window[key]["utc_ms"] for key in ("start", "end")}, spans, SPAN)
    core_ms = round((row["core_usable_h"] or 0) * 3_600_000 / MINUTE_MS) * MINUTE_MS
    return NightLine(
        date=row["night"],
        month=month,
        day=f"{weekday} {number}",
        good=row["good"],
        span=span,
        moon=_moon(row["moon"], spans) if row["moon"] else "",
        lit=row["moon"]["lit"] if row["moon"] else 0.0,
        core=span_text(core_ms) if core_ms else "",
        unmet=tuple(ascii_lowercase[n % 26] for n, need in enumerate(row["needs"]) if not need["met"]),
        why=why_not(problem, spans) if problem else "",
    )


def why_not(problem: dict[str, Any], spans: Spans) -> str:
    """A problem {id, args} of a night in a few words."""
    return say(problem["id"], problem["args"], spans, WHY)


def _moon(moon: dict[str, Any], spans: Spans) -> str:
    edges = sorted(
        (moon[key]["utc_ms"], f"{key}s {clock(moon[key]['utc_ms'], spans)}")
        for key in ("rise", "set")
        if moon[key]
    )
    return ", ".join([f"{fixed(moon['lit'] * 100, 0)} % lit", *(text for _, text in edges)])


def _reasons(needs: dict[str, str], lines: Sequence[NightLine]) -> list[tuple[str, int, int]]:
    all_told: Counter[str] = Counter()
    alone: Counter[str] = Counter()
    for line in lines:
        faults = [line.why] if line.why else [needs[letter] for letter in line.unmet]
        all_told.update(faults)
        alone.update(faults if len(faults) == 1 else ())
    return [(what, count, alone[what]) for what, count in all_told.most_common()]
