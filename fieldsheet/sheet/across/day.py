"""A date across its shots, as its sheet shows it: people, places, light, ways, and the night by the clock."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor

from ...plan.anchors import site_of
from ...plan.civil import DAY_S, Spans, span_at
from ...plan.light import tone
from ...sky.events import clearance_deg, crossing_named
from ...sky.observe import horizontal
from ...sky.sky import Sky
from ..words import clock, say
from .lanes import Lane, lanes_of
from .night import NightView, night_view, of_place, zone_changes
from .shots import NightOf, Shot
from .travel import apart, legs

HOUR_MS = 3_600_000
QUARTER_MS = HOUR_MS // 4  # what the offsets of zones are whole numbers of
TONES = 120
LOOKS = 600  # at the moon, a minute and a half apart in a night of fifteen hours

Span = tuple[int, int]


@dataclass(frozen=True)
class Light:
    """The light at a place: tones as on a shot's strip; when [ms UTC] the moon is up and the core usable."""

    place: str
    tones: tuple[float, ...]
    moon: tuple[Span, ...]
    core: tuple[Span, ...]


@dataclass(frozen=True)
class DayView:
    """What the sheet of a date shows.

    from_ms, until_ms [ms UTC]: the first and the last full hour of the drawing; hours: (ms UTC, clock) of
    each hour in it; zone_of: by whose clock that is, "" where all places share one; lights: by place; apart:
    the places from each other; legs: (who, the way to their next shot).
    """

    night: NightView
    from_ms: int
    until_ms: int
    hours: tuple[tuple[int, str], ...]
    zone_of: str
    lights: tuple[Light, ...]
    lanes: tuple[Lane, ...]
    apart: tuple[str, ...]
    legs: tuple[tuple[str, str], ...]


def day_view(night: NightOf, clashes: Mapping[str, Sequence[str]], sky: Sky) -> DayView:
    """A date's people, light and ways; `clashes` as for night_view, `sky` the one it was planned with."""
    lanes = lanes_of(night.entries)
    spans = night.entries[0].plan["brief"]["place"]["zone"]["spans"]
    stints = [stint for lane in lanes for stint in lane.stints]
    from_ms, until_ms = _whole_hours(
        min(stint.from_ms for stint in stints), max(stint.until_ms for stint in stints), spans
    )
    places = of_place(night.entries)
    offsets = {span_at(one[0].plan["brief"]["place"]["zone"]["spans"], from_ms / 1000)[1] for one in places}
    return DayView(
        night=night_view(night, clashes, sky),
        from_ms=from_ms,
        until_ms=until_ms,
        hours=tuple(_hours(from_ms, until_ms, spans)),
        zone_of=_zone_of(night.entries[0]) if len(offsets) > 1 else "",
        lights=tuple(_light(shots, sky, (from_ms, until_ms)) for shots in places),
        lanes=tuple(lanes),
        apart=tuple(apart(night.entries)),
        legs=tuple(legs(lanes, zone_changes(night.entries))),
    )


def _zone_of(shot: Shot) -> str:
    return say("day.zone", {"place": shot.sheet["place"], "zone": shot.sheet["zone"]}, ())


def _whole_hours(from_ms: int, until_ms: int, spans: Spans) -> Span:
    """From the full hour of the clock before to the one after."""
    offset_ms = span_at(spans, from_ms / 1000)[1] * 1000
    first, last = floor((from_ms + offset_ms) / HOUR_MS), ceil((until_ms + offset_ms) / HOUR_MS)
    return first * HOUR_MS - offset_ms, last * HOUR_MS - offset_ms


def _hours(from_ms: int, until_ms: int, spans: Spans) -> Iterator[tuple[int, str]]:
    """Every full hour that the clock shows, also where it is changed on the way."""
    for ms in range(from_ms, until_ms + 1, QUARTER_MS):
        if (ms // 1000 + span_at(spans, ms / 1000)[1]) % DAY_S % 3600 == 0:
            yield ms, clock(ms, spans)


def _light(shots: Sequence[Shot], sky: Sky, between: Span) -> Light:
    """The light at the place that these shots share."""
    first, last = between
    site = site_of(shots[0].plan["brief"]["place"])
    middles = [first + (last - first) * (n + 0.5) / TONES for n in range(TONES)]
    suns = horizontal(sky, site, "sun", [ms / 1000 for ms in middles])[0]
    looks = [first + (last - first) * n // LOOKS for n in range(LOOKS + 1)]
    over = clearance_deg(sky, site, crossing_named("moonrise"), [ms / 1000 for ms in looks]) > 0
    usable = [_usable(span, between) for shot in shots for span in shot.plan["sky"]["usable"]]
    return Light(
        place=shots[0].sheet["place"],
        tones=tuple(tone(altitude) for altitude in suns.tolist()),
        moon=tuple(_runs(looks, over.tolist())),
        core=tuple(sorted({span for span in usable if span[0] < span[1]})),
    )


def _usable(span: Mapping[str, Mapping[str, int] | None], between: Span) -> Span:
    """A span of the plan, cut to what is drawn; an open end reaches beyond it."""
    begins, ends = span["from"], span["until"]
    first = between[0] if begins is None else max(between[0], begins["utc_ms"])
    return first, between[1] if ends is None else min(between[1], ends["utc_ms"])


def _runs(looks: Sequence[int], up: Sequence[bool]) -> Iterator[Span]:
    """The spans in which it is up, from look to look."""
    begins: int | None = None
    for ms, is_up in zip(looks, up, strict=True):
        if is_up and begins is None:
            begins = ms
        if not is_up and begins is not None:
            yield begins, ms
            begins = None
    if begins is not None and begins < looks[-1]:
        yield begins, looks[-1]
