"""The nights of a shot in words: when, moon, core, and in a few words why a night fails.  Python only."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import floor
from string import ascii_lowercase
from typing import Any

from ..plan.anchors import TIDES
from ..plan.civil import Spans, day_number
from ..plan.known import NO_PLAN
from ..plan.timing import MINUTE_MS
from .needs import need_name
from .words import WORDS, clock, day_text, fixed, say, span_text

# Why a night gives no plan, where a line has no room for the whole problem.
WHY = {
    "problem.no-event": "no {event|event}",
    "problem.never-event": "no {event|event}",
    "problem.no-ridge": "no skyline for {event|event}",
    "problem.clock-skipped": "the clocks skip {clock}",
    "problem.frames": "{frames|frames} at {interval|span}",
    "problem.too-long": "more than 24 h",
    "problem.keyframe-outside": "K{number} not in the shot",
    "problem.keyframes-meet": "K{number} at the same frame as the one before",
    "problem.keyframe-in-hold": "K{number} in a hold",
    "problem.no-room": "no time to move",
    "problem.aim": "K{number} too high to aim at",
    "problem.no-sky": "beyond the ephemeris",
    "problem.no-zone": "clock changes not known",
}
# A tide comes, but nobody typed it in; and what hangs on an event or a clock time that does not come.
UNTYPED = {"untyped": "no {event|event} typed in"}
AMISS = ("problem.no-event", "problem.never-event", "problem.no-ridge", "problem.clock-skipped")
CAUSES = {
    "sun": "never dark enough",
    "low": "too low while it is dark",
    "ridge": "behind the skyline while it is dark",
    "moon": "moon up while it is dark",
}
HANGS = {"start": "to start at", "end": "to end at"}
# What forbids many nights, where its own words have a figure of each.
FORBIDS = {
    "warning.cable-wrap": "pan's cables pull before K{number}",
    "warning.exit-closes": "the way out closes before everybody is out",
    "warning.turn-back-passed": "turning back comes before the end",
    "warning.gate-passed": "the gate closes before the end",
}
UNJUDGED = "without a plan, needs at a moment of the shot are not judged"
SPAN = {"span": "{start|clock}–{end|clock} {end|zone}"}


@dataclass(frozen=True)
class NightLine:
    """One night in words.

    date: YYYY-MM-DD; month: "June 2027"; day: "Fri 4"; verdict: as in a row of the search; span: the window
    by the place's clock, "" without a plan; moon: her light, rise and set, "" beyond the sky's reach; lit: 0
    to 1; core: for how long it can be used, "" if not at all; unmet, unknown: letters of the needs that are
    not met, and of those that are not known; why: why there is no plan, or what forbids a night that lacks
    no need, else ""; faults: the same one by one, and what unmet has, as reasons count them; unsaid: hours of
    the place that nobody knows on such a night, in words, else "".
    """

    date: str
    month: str
    day: str
    verdict: str
    span: str
    moon: str
    lit: float
    core: str
    unmet: tuple[str, ...]
    unknown: tuple[str, ...]
    why: str
    faults: tuple[str, ...]
    unsaid: str

    @property
    def lacks(self) -> str:
        """Letters of what the night lacks: "a c d?", those that are not known with a question mark.

        Without a plan only the unmet ones: that the others are not known goes without saying.
        """
        unknown = () if self.verdict == "none" else self.unknown
        return " ".join([*self.unmet, *(f"{letter}?" for letter in unknown)])


@dataclass(frozen=True)
class Reason:
    """What keeps nights from being good: a need, with its letter, or (letter "") why there is no plan.

    nights: how many it fails; alone: on how many of them nothing else is known to be wrong; unknown: on how
    many nights with a plan it is not known.
    """

    letter: str
    what: str
    nights: int
    alone: int
    unknown: int


@dataclass(frozen=True)
class Nights:
    """A shot's nights: what is asked, by letter; lines in order; reasons, the most frequent first.

    unjudged: whether there are nights without a plan on which needs could not be judged for lack of it.
    """

    needs: dict[str, str]
    lines: list[NightLine]
    reasons: list[Reason]
    unjudged: bool

    def count(self, verdict: str) -> int:
        """How many nights have a verdict."""
        return sum(line.verdict == verdict for line in self.lines)

    @property
    def good(self) -> list[NightLine]:
        """The good ones."""
        return [line for line in self.lines if line.verdict == "good"]


def nights_told(brief: dict[str, Any], rows: Sequence[dict[str, Any]]) -> Nights:
    """The rows of a search, at least one, in words; needs have letters in the order of the brief."""
    spans = brief["place"]["zone"]["spans"]
    needs = {letter(index): need_name(need, spans) for index, need in enumerate(rows[0]["needs"])}
    lines = [_line(row, spans) for row in rows]
    reasons = sorted(_reasons(needs, lines), key=lambda one: -one.nights)
    unjudged = any(need["args"].get("found") == NO_PLAN for row in rows for need in row["needs"])
    return Nights(needs, lines, reasons, unjudged)


def letter(index: int) -> str:
    """What stands for a need, counted from 0: a to z, then aa, ab and so on."""
    before, last = divmod(index, len(ascii_lowercase))
    return (letter(before - 1) if before else "") + ascii_lowercase[last]


def _line(row: dict[str, Any], spans: Spans) -> NightLine:
    weekday, number, month = day_text(day_number(row["night"])).split(" ", 2)
    window, problem, unmet = row["window"], row["problem"], _letters(row["needs"], False)
    no_plan = why_not(row, spans) if problem else ""
    span = ""
    if window is not None:
        span = say("span", {key: window[key]["utc_ms"] for key in ("start", "end")}, spans, SPAN)
    # Half up, as a need of it is judged.
    core_ms = floor((row["core_usable_h"] or 0) * 60 + 0.5 + 1e-7) * MINUTE_MS
    return NightLine(
        date=row["night"],
        month=month,
        day=f"{weekday} {number}",
        verdict=row["verdict"],
        span=span,
        moon=_moon(row["moon"], spans) if row["moon"] else "",
        lit=row["moon"]["lit"] if row["moon"] else 0.0,
        core=span_text(core_ms) if core_ms else "",
        unmet=unmet,
        unknown=_letters(row["needs"], None),
        why=no_plan or _no_go(row["no_go"], spans),
        faults=(*([f"no plan: {no_plan}"] if no_plan else _forbids(row["no_go"], spans)), *unmet),
        unsaid=_unsaid(row["limits_unknown"]),
    )


def _no_go(warnings: Sequence[dict[str, Any]], spans: Spans) -> str:
    heads = (say(warning["id"] + ".head", warning["args"], spans) for warning in warnings)
    return "; ".join(f"no go: {head}" for head in heads)


def _forbids(warnings: Sequence[dict[str, Any]], spans: Spans) -> Iterator[str]:
    """Each of them as it is counted over many nights."""
    for id, args in ((warning["id"], warning["args"]) for warning in warnings):
        yield f"no go: {say(id, args, spans, FORBIDS) if id in FORBIDS else say(id + '.head', args, spans)}"


def _unsaid(limits: Sequence[str]) -> str:
    names = ", ".join(WORDS["moment." + name] for name in limits)
    return f"not known: {names}" if names else ""


def _letters(needs: Sequence[dict[str, Any]], met: bool | None) -> tuple[str, ...]:
    return tuple(letter(index) for index, need in enumerate(needs) if need["met"] is met)


def why_not(row: Mapping[str, Any], spans: Spans) -> str:
    """Why the night of a row has no plan, in a few words such as "no moonrise to start at"."""
    id, args, key = (row["problem"][part] for part in ("id", "args", "key"))
    is_tide = args.get("event") in TIDES
    if args.get("event") == "core unusable":
        args = {**args, "event": "core usable"}  # what never begins never ends
    why = say("untyped", args, spans, UNTYPED) if is_tide else say(id, args, spans, WHY)
    if id not in AMISS:
        return why
    cause = f" ({CAUSES[row['cause']]})" if row["cause"] else ""
    return f"{why} {HANGS[key] if key in HANGS else _for_keyframe(key)}{cause}"


def _for_keyframe(key: str) -> str:
    """What hangs on the anchor of a keyframe, by its key: "for K2"."""
    return f"for K{int(key.split('.')[1]) + 1}"


def _moon(moon: dict[str, Any], spans: Spans) -> str:
    edges = sorted(
        (moon[key]["utc_ms"], f"{key}s {clock(moon[key]['utc_ms'], spans)}")
        for key in ("rise", "set")
        if moon[key]
    )
    return ", ".join([f"{fixed(moon['lit'] * 100, 0)} % lit", *(text for _, text in edges)])


def _reasons(needs: dict[str, str], lines: Sequence[NightLine]) -> Iterator[Reason]:
    """Each way of having no plan, each no-go, and each need that is somewhere unmet or not known."""
    fails: Counter[str] = Counter()
    alone: Counter[str] = Counter()
    unknown: Counter[str] = Counter()
    for line in lines:
        faults = set(line.faults)
        fails.update(faults)
        alone.update(faults if len(faults) == 1 else ())
        unknown.update(() if line.why else line.unknown)
    for why in dict.fromkeys(fault for line in lines for fault in line.faults if fault not in needs):
        yield Reason("", why, fails[why], alone[why], 0)
    for name in needs:
        if fails[name] or unknown[name]:
            yield Reason(name, needs[name], fails[name], alone[name], unknown[name])
