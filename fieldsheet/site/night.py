"""The page of a night: every shot of it, and all that hangs on a clock in one list."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..plan.civil import DAY_S, Spans, clock_instants, day_number, span_at
from ..sheet.words import clock, event_word
from .entries import Entry, NightOf

TIDES_BEFORE_MS = 3 * 3600 * 1000  # a tide that late before the first deadline decides the way in
TIDES_AFTER_MS = 6 * 3600 * 1000  # and one that soon after the end the way out


# The lines of moon and core; the planets' are of one shot's window.
OF_THE_NIGHT = 2


@dataclass(frozen=True)
class Moment:
    """Something that falls due: when [ms UTC], by which clock, for which rigs and shots (or places).

    weight: "act" is due by a hand, "frame" is frame 1 or the end, "sky" is the water's.
    """

    utc_ms: int
    clock: str
    what: str
    letter: str
    shot: str
    weight: str


@dataclass(frozen=True)
class NightView:
    """What the page shows. sky: place -> its lines of moon and core, each {"name", "text"}."""

    night: NightOf
    moments: list[Moment]
    sky: dict[str, list[dict[str, str]]]
    clashes: Sequence[str]


def night_view(night: NightOf, clashes: Mapping[str, Sequence[str]]) -> NightView:
    """The night's moments in order of time; shots at the same place share its sky and tides."""
    zones = {_zone_at(entry) for entry in night.entries}
    moments = [moment for entry in night.entries for moment in _moments(entry, len(zones) > 1)]
    sky = {entry.sheet["place"]: entry.sheet["sky_lines"][:OF_THE_NIGHT] for entry in night.entries}
    return NightView(night, _together(moments), sky, clashes.get(night.date, ()))


def _together(moments: Sequence[Moment]) -> list[Moment]:
    """In order of time; what falls due at once for several shots is one line."""
    shared: dict[tuple[int, str, str, str], list[Moment]] = {}
    for moment in moments:
        shared.setdefault((moment.utc_ms, moment.clock, moment.what, moment.weight), []).append(moment)
    return [
        Moment(utc_ms, said, what, _joined(group, "letter", " "), _joined(group, "shot", ", "), weight)
        for (utc_ms, said, what, weight), group in sorted(shared.items())
    ]


def _joined(moments: Sequence[Moment], name: str, between: str) -> str:
    """Each text of that field once, in order."""
    return between.join(dict.fromkeys(getattr(moment, name) for moment in moments))


def _moments(entry: Entry, with_zone: bool) -> Iterator[Moment]:
    sheet, window = entry.sheet, entry.plan["window"]
    spans = entry.plan["brief"]["place"]["zone"]["spans"]

    def moment(utc_ms: int, what: str, weight: str) -> Moment:
        said = clock(utc_ms, spans) + (f" {span_at(spans, utc_ms / 1000)[2]}" if with_zone else "")
        return Moment(utc_ms, said, what, sheet["letter"], sheet["title"], weight)

    for deadline, line in zip(window["deadlines"], sheet["deadlines"], strict=True):
        yield moment(deadline["time"]["utc_ms"], line["label"], "act")
    yield moment(entry.start_ms, "frame 1", "frame")
    yield moment(entry.end_ms, "end", "frame")
    for limit, line in zip(entry.plan["place"]["limits"], sheet["limits"], strict=True):
        yield moment(limit["time"]["utc_ms"], line["label"], "act")
    first_ms = min([entry.start_ms, *(deadline["time"]["utc_ms"] for deadline in window["deadlines"])])
    for tide_ms, kind in _tides(entry, spans):
        if first_ms - TIDES_BEFORE_MS <= tide_ms <= entry.end_ms + TIDES_AFTER_MS:
            yield Moment(tide_ms, moment(tide_ms, "", "").clock, event_word(kind), "", sheet["place"], "sky")


def _tides(entry: Entry, spans: Spans) -> Iterator[tuple[int, str]]:
    """The place's table as (ms UTC, name); a clock time that is skipped that day is left out."""
    for tide in entry.plan["brief"]["place"]["tides"]:
        for instant in clock_instants(spans, day_number(tide["date"]), tide["clock_s"])[:1]:
            yield instant * 1000, tide["kind"]


def _zone_at(entry: Entry) -> int:
    """The offset of the place's clocks at frame 1, in seconds of a day."""
    spans = entry.plan["brief"]["place"]["zone"]["spans"]
    return int(span_at(spans, entry.start_ms / 1000)[1]) % DAY_S
