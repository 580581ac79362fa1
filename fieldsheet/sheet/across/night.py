"""A night across its shots: every one of them, and all that hangs on a clock in one list."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ...plan.anchors import TIDES, night_of, occurrences, whole_second
from ...plan.civil import span_at
from ...sky.sky import Sky
from ..times import Clock, dated
from ..words import WORDS, clock, event_word
from .shots import NightOf, Shot

BEFORE_MS = 3 * 3600 * 1000  # a tide or a dusk that late before the first deadline decides the way in
AFTER_MS = 6 * 3600 * 1000  # a tide that soon after the end the way out, a moonset whether it can run on

# While somebody is out there it is the light to walk by; beyond that it is nobody's.
SUN = (
    *("sun behind ridge", "sunset", "civil dusk", "nautical dusk", "astronomical dusk"),
    *("astronomical dawn", "nautical dawn", "civil dawn", "sunrise", "sun over ridge"),
)
# What a night is used for, and what the water does.
BEYOND = (
    *("moonrise", "moon over ridge", "moon behind ridge", "moonset"),
    *("core usable", "core over ridge", "core behind ridge", "core unusable"),
    *TIDES,
)

# The lines of moon and core; the planets' are of one shot's window.
OF_THE_NIGHT = 2


@dataclass(frozen=True)
class Moment:
    """Something that falls due: when [ms UTC], by which clock, for which rigs and shots (or places).

    weight: "act" is due by a hand, "frame" is frame 1 or the end, "sky" is the sky's or the water's.
    """

    utc_ms: int
    clock: str
    what: str
    letter: str
    shot: str
    weight: str


@dataclass(frozen=True)
class NightView:
    """What page and sheet show. sky: place -> its lines of moon and core, each {"name", "text"}."""

    night: NightOf
    moments: list[Moment]
    sky: dict[str, list[dict[str, str]]]
    clashes: Sequence[str]


def night_view(night: NightOf, clashes: Mapping[str, Sequence[str]], sky: Sky) -> NightView:
    """The night's moments in order of time; shots at the same place share its sky and tides.

    `sky` is the one that the shots were planned with.
    """
    with_zone = zone_changes(night.entries)
    moments = [moment for entry in night.entries for moment in _due(entry, clock_of(entry, with_zone))]
    for entries in of_place(night.entries):
        moments += _sky_moments(entries, sky, clock_of(entries[0], with_zone))
    lines = {entry.sheet["place"]: entry.sheet["sky_lines"][:OF_THE_NIGHT] for entry in night.entries}
    return NightView(night, _together(moments), lines, clashes.get(night.date, ()))


def zone_changes(entries: Sequence[Shot]) -> bool:
    """Whether these shots fall under more than one offset of the clocks."""
    return len({offset for entry in entries for offset in _offsets(entry)}) > 1


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


def _due(entry: Shot, at: Clock) -> Iterator[Moment]:
    """What is due by a hand, and the shot's own two ends."""
    sheet, plan = entry.sheet, entry.plan

    def moment(utc_ms: int, what: str, weight: str) -> Moment:
        return Moment(utc_ms, at(utc_ms), what, sheet["letter"], sheet["title"], weight)

    rows = [*zip(plan["window"]["deadlines"], sheet["deadlines"], strict=True)]
    rows += zip(plan["place"]["limits"], sheet["limits"], strict=True)
    for row, line in rows:
        yield moment(row["time"]["utc_ms"], line["label"], "act")
    for swap in plan["power"]["changes"]:
        for edge in ("from", "until"):
            yield moment(swap[edge]["time"]["utc_ms"], WORDS[f"moment.swap-{edge}"], "act")
    yield moment(entry.start_ms, "frame 1", "frame")
    yield moment(entry.end_ms, "end", "frame")


def _sky_moments(entries: Sequence[Shot], sky: Sky, at: Clock) -> Iterator[Moment]:
    """What sun, moon, core and water do around the shots at one place."""
    brief = entries[0].plan["brief"]
    night = night_of(brief, sky, brief["night"])
    from_s = (min(min(_due_ms(entry)) for entry in entries) - BEFORE_MS) / 1000
    home_s = max(max(_due_ms(entry)) for entry in entries) / 1000
    until_s = max(home_s, (max(entry.end_ms for entry in entries) + AFTER_MS) / 1000)
    for names, to_s in ((SUN, home_s), (BEYOND, until_s)):
        for name in names:
            for t_s in occurrences(night, name, from_s, to_s):
                utc_ms = whole_second(t_s) * 1000
                yield Moment(utc_ms, at(utc_ms), event_word(name), "", entries[0].sheet["place"], "sky")


def of_place(entries: Sequence[Shot]) -> list[list[Shot]]:
    """The shots by the place that they share, in their order."""
    places: dict[str, list[Shot]] = {}
    for entry in entries:
        places.setdefault(entry.plan["place"]["id"], []).append(entry)
    return list(places.values())


def _due_ms(entry: Shot) -> list[int]:
    """The instants [ms UTC] from leaving for a shot to the last thing that its place sets."""
    rows: list[dict[str, Any]] = [*entry.plan["window"]["deadlines"], *entry.plan["place"]["limits"]]
    return [entry.start_ms, entry.end_ms, *(row["time"]["utc_ms"] for row in rows)]


def clock_of(entry: Shot, with_zone: bool) -> Clock:
    """Clock times of the shot's place, with the weekday after midnight, as its sheet writes them."""
    spans = entry.plan["brief"]["place"]["zone"]["spans"]

    def at(utc_ms: int) -> str:
        return clock(utc_ms, spans) + (f" {span_at(spans, utc_ms / 1000)[2]}" if with_zone else "")

    return dated(entry.plan, spans, at)


def _offsets(entry: Shot) -> set[int]:
    """The offsets of the place's clocks that the shot falls under."""
    spans = entry.plan["brief"]["place"]["zone"]["spans"]
    return {int(span_at(spans, utc_ms / 1000)[1]) for utc_ms in _due_ms(entry)}
