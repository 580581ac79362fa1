"""Anchors become instants: events of sky and sea, and clock times of one night.  Twin: app/core/anchors.js.

Tides are what a person typed in from the official table; they are never computed.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ..sky.events import RIDGE_EVENTS
from ..sky.find import find_events
from ..sky.observe import NOMINAL, Air, Floats, Site
from ..sky.sky import Sky
from . import civil
from .problem import PlanProblem

TIDES = ("high tide", "low tide", "wet line", "exit closes")
SEARCH_DAYS = 30
SEARCH_STEPS = 7
# What hangs on a window lies at most that far from it: an offset, the day searched, a day of setting up.
AROUND_S = 3 * civil.DAY_S


@dataclass(frozen=True)
class Night:
    """Where and when anchors are looked up: sky, site, zone spans, and the first and last instant [s UTC].

    tides: (s UTC, kind) in order of time.  known: events that were found before, each name with its moments
    [s UTC], ascending, over more than is asked here; other names are searched.
    """

    sky: Sky
    site: Site
    spans: civil.Spans
    tides: tuple[tuple[int, str], ...]
    day: int
    rule: str
    from_s: int
    until_s: int
    known: Mapping[str, Floats] | None = None

    def holds(self, utc_ms: int) -> bool:
        """Whether an instant [ms UTC] lies in the night."""
        return self.from_s * 1000 <= utc_ms < self.until_s * 1000


def night_of(brief: dict[str, Any], sky: Sky, night: dict[str, str]) -> Night:
    """The night or day of a brief; raises PlanProblem where the sky pack or the zone's spans do not reach."""
    place = brief["place"]
    spans = place["zone"]["spans"]
    day = civil.day_number(night["date"])
    opens = civil.noon if night["rule"] == "night" else civil.midnight
    from_s, until_s = opens(spans, day), opens(spans, day + 1)
    for what, reach in (("sky", sky.span_s), ("zone", (spans[0][0], place["zone"]["until_s"]))):
        first, last = nights_within(reach)
        if not first <= day <= last:
            args = {"date": night["date"], "first": civil.iso_date(first), "last": civil.iso_date(last)}
            raise PlanProblem(f"problem.no-{what}", args, "night")
    tides = tides_of(place["tides"], spans)
    return Night(sky, site_of(place), spans, tides, day, night["rule"], from_s, until_s)


def site_of(place: dict[str, Any]) -> Site:
    """The site of a brief's place, with its skyline, the sea that it looks over, and its air."""
    return Site(
        place["latitude_deg"],
        place["longitude_deg"],
        place["elevation_m"],
        place["sea_horizon_m"],
        tuple((azimuth, altitude) for azimuth, altitude in place["horizon"]),
        NOMINAL if place["air"] is None else Air(**place["air"]),
    )


def nights_within(reach: tuple[float, float]) -> tuple[int, int]:
    """Day numbers of the first and the last night that can be planned within a reach [s UTC].

    A start may lie a day off its night, what follows it a day after that, and an offset a day on either side;
    another day is for the zones of the Earth.
    """
    return int(reach[0] // civil.DAY_S) + 4, int(reach[1] // civil.DAY_S) - 6


def must_reach(night: Night, start_s: float, end_s: float) -> None:
    """Raises PlanProblem where the sky carried does not reach around a window [s UTC]."""
    if not night.sky.covers(start_s - AROUND_S, end_s + AROUND_S):
        first, last = (civil.iso_date(day) for day in nights_within(night.sky.span_s))
        date = civil.iso_date(civil.local_day(night.spans, start_s))
        raise PlanProblem("problem.no-sky", {"date": date, "first": first, "last": last}, "start")


def tides_of(rows: list[dict[str, Any]], spans: civil.Spans) -> tuple[tuple[int, str], ...]:
    """The typed table as instants; a clock time that is skipped gives none, a doubled one its first."""
    instants = (
        (instant, row["kind"])
        for row in rows
        for instant in civil.clock_instants(spans, civil.day_number(row["date"]), row["clock_s"])[:1]
    )
    return tuple(sorted(instants))


def occurrences(night: Night, name: str, from_s: float, until_s: float) -> list[float]:
    """The moments [s UTC] in [from_s, until_s) of an event of the sky, or of a kind of tide."""
    if name in TIDES:
        return [float(at_s) for at_s, kind in night.tides if kind == name and from_s <= at_s < until_s]
    if night.known is not None and name in night.known:
        moments_s = night.known[name]
        first, beyond = (bisect_left(moments_s, edge_s) for edge_s in (from_s, until_s))
        return [float(moment_s) for moment_s in moments_s[first:beyond]]
    return find_events(night.sky, night.site, name, from_s, until_s)


def opening(night: Night, anchor: dict[str, Any], key: str) -> int:
    """Instant [s UTC] of an anchor of the night: its event lies in the night, the offset may leave it."""
    if "event" in anchor:
        return _first_event(night, anchor, night.from_s, night.until_s, key) + int(anchor["offset_s"])
    next_morning = night.rule == "night" and anchor["clock_s"] < civil.DAY_S // 2
    return _clock(night, night.day + 1 if next_morning else night.day, anchor["clock_s"], key)


def following(night: Night, anchor: dict[str, Any], start_s: float, key: str) -> int:
    """Instant [s UTC] of an anchor, offset included, that comes first within 24 h after the start."""
    if "event" in anchor:
        offset_s = int(anchor["offset_s"])
        earliest = start_s - offset_s
        return _first_event(night, anchor, earliest, earliest + civil.DAY_S, key) + offset_s
    day, clock_s = civil.local_day(night.spans, start_s), anchor["clock_s"]
    later = [instant for instant in civil.clock_instants(night.spans, day, clock_s) if instant >= start_s]
    if later:
        return later[0]
    passed = civil.clock_of(night.spans, start_s) >= clock_s
    return _clock(night, day + 1 if passed else day, clock_s, key)


def is_doubled(night: Night, instant_s: float) -> bool:
    """Whether the place's clock shows the same time again at another instant (clocks set back)."""
    local = int(instant_s + civil.span_at(night.spans, instant_s)[1])
    return len(civil.clock_instants(night.spans, local // civil.DAY_S, local % civil.DAY_S)) > 1


def _first_event(night: Night, anchor: dict[str, Any], from_s: float, until_s: float, key: str) -> int:
    """First occurrence of the anchor's event in [from_s, until_s), to the whole second."""
    if anchor["event"] in RIDGE_EVENTS and not night.site.ridge:
        raise PlanProblem("problem.no-ridge", {"event": anchor["event"]}, key)
    found = occurrences(night, anchor["event"], from_s, until_s)
    if found:
        return whole_second(found[0])
    before, after = (nearest_event(night, anchor["event"], *way) for way in ((from_s, -1), (until_s, 1)))
    args = {"event": anchor["event"], "from": int(from_s) * 1000, "until": int(until_s) * 1000}
    if before is None and after is None:
        raise PlanProblem("problem.never-event", args, key)
    raise PlanProblem("problem.no-event", {**args, "before": before, "after": after}, key)


def nearest_event(night: Night, event: str, edge_s: float, direction: int) -> int | None:
    """The event nearest to an edge, before (-1) or after (+1) it [ms UTC]; None within the sky's reach."""
    first_s, last_s = night.sky.span_s
    reach = SEARCH_DAYS * civil.DAY_S
    for step in range(SEARCH_STEPS):
        a = edge_s + direction * step * reach
        low, high = sorted((a, a + direction * reach))
        low, high = max(low, first_s + civil.DAY_S), min(high, last_s - civil.DAY_S)
        if low >= high:
            return None
        found = occurrences(night, event, low, high)
        if found:
            return whole_second(found[-1] if direction < 0 else found[0]) * 1000
    return None


def _clock(night: Night, day: int, clock_s: int, key: str) -> int:
    instants = civil.clock_instants(night.spans, day, clock_s)
    if not instants:
        local = {"date": civil.iso_date(day), "clock": f"{clock_s // 3600:02d}:{clock_s % 3600 // 60:02d}"}
        raise PlanProblem("problem.clock-skipped", local, key)
    return instants[0]


def whole_second(t_s: float) -> int:
    """Events are used to the whole second: finer than any almanac, coarser than the twins differ."""
    return int(t_s + 0.5)
