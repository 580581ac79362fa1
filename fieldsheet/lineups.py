"""When something of the sky stands behind a landmark, as rows for a machine and as lines for a person."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import cos, radians
from typing import Any

from fieldsheet.catalog.placed import landmark_stand, place_of
from fieldsheet.catalog.read import Catalog
from fieldsheet.plan.aim import by_compass, wrap_deg
from fieldsheet.plan.anchors import site_of
from fieldsheet.plan.civil import Spans, day_number, local_day, midnight, span_at, stamp
from fieldsheet.sheet.words import body_word, clock, compass, day_text, fixed, signed, way
from fieldsheet.sky.lineups import LineUp, line_ups
from fieldsheet.sky.moon import moon_light
from fieldsheet.sky.observe import Site, apparent_altitude_deg, horizontal
from fieldsheet.sky.sky import Sky

# Down to what altitude of the sun's centre, in degrees: sunset and the three twilights of the almanacs.
LIGHTS = (
    (-50 / 60, "day"),
    (-6.0, "civil twilight"),
    (-12.0, "nautical twilight"),
    (-18.0, "astronomical twilight"),
)


@dataclass(frozen=True)
class Mark:
    """What is lined up with: name, true bearing and apparent altitude [deg], distance [m] if known."""

    name: str
    bearing_deg: float
    altitude_deg: float
    distance_m: float | None


@dataclass(frozen=True)
class Search:
    """A target (a body of the sky) behind a mark, from one local date to another, so near [deg]."""

    target: str
    mark: Mark
    first: date
    last: date
    within_deg: float


def marks(catalog: Catalog, place_id: str, day: date) -> dict[str, Mark]:
    """The landmarks of a place by name; raises KeyError for an unknown place."""
    place = catalog.places[place_id]
    rows = place_of(place_id, place, day)["landmarks"]
    stands = [landmark_stand(place, landmark) for landmark in place.landmark]
    return {
        row["name"]: Mark(
            row["name"], row["bearing_deg"], row["altitude_deg"], stand.distance_m if stand else None
        )
        for row, stand in zip(rows, stands, strict=True)
    }


def found(place: dict[str, Any], sky: Sky, search: Search) -> list[dict[str, Any]]:
    """A row for each passage, JSON-able: when, how far off and on which side, and in what light.

    place: as a brief has it.  right_deg is along the sky, up_deg above the mark; altitudes are apparent, the
    sun's geometric.  Raises SpanError where the sky does not reach.
    """
    spans, site = place["zone"]["spans"], site_of(place)
    first, after = day_number(search.first.isoformat()), day_number(search.last.isoformat()) + 1
    passages = line_ups(
        sky,
        site,
        search.target,
        search.mark.bearing_deg,
        search.mark.altitude_deg,
        midnight(spans, first),
        midnight(spans, after),
        search.within_deg,
    )
    return [_row(spans, site, sky, search.mark, passage) for passage in passages]


def _row(spans: Spans, site: Site, sky: Sky, mark: Mark, passage: LineUp) -> dict[str, Any]:
    sun, _, _ = horizontal(sky, site, "sun", passage.moment_s)
    moon, _, _ = horizontal(sky, site, "moon", passage.moment_s)
    lit, _ = moon_light(sky, passage.moment_s)
    across = wrap_deg(passage.azimuth_deg - mark.bearing_deg) * cos(radians(passage.altitude_deg))
    return {
        "time": stamp(spans, int(passage.moment_s * 1000 + 0.5)),
        "apart_deg": passage.apart_deg,
        "right_deg": across,
        "up_deg": passage.altitude_deg - mark.altitude_deg,
        "azimuth_deg": passage.azimuth_deg,
        "altitude_deg": passage.altitude_deg,
        "sun_altitude_deg": float(sun),
        "light": light(float(sun)),
        "moon": {"lit": lit, "altitude_deg": float(apparent_altitude_deg(float(moon), site.air))},
    }


def light(sun_deg: float) -> str:
    """What light an altitude of the sun's centre [deg] gives: "day", a twilight, or "night"."""
    return next((name for down_to, name in LIGHTS if sun_deg >= down_to), "night")


def page(place: dict[str, Any], search: Search, rows: Sequence[Mapping[str, Any]]) -> str:
    """What was asked, and a line for each passage: date, clock, side, height, light, the moon's share."""
    if not rows:
        return f"{_asked(place, search)}\nno line-up within {fixed(search.within_deg, 2)}°"
    cells = [_cells(place["zone"]["spans"], search, row) for row in rows]
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    lines = ("  ".join(map(str.ljust, row, widths)).rstrip() for row in cells)
    return "\n".join([_asked(place, search), *lines])


def as_json(place: dict[str, Any], search: Search, rows: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """What was asked and found, for a machine; units are in the names."""
    mark = search.mark
    return {
        "place": place["id"],
        "target": search.target,
        "landmark": {
            "name": mark.name or None,
            "bearing_deg": mark.bearing_deg,
            "altitude_deg": mark.altitude_deg,
            "distance_m": mark.distance_m,
        },
        "from": search.first.isoformat(),
        "to": search.last.isoformat(),
        "within_deg": search.within_deg,
        "line_ups": list(rows),
    }


def _asked(place: dict[str, Any], search: Search) -> str:
    mark = search.mark
    far = "" if mark.distance_m is None else f", {way(mark.distance_m)} away"
    at = f"{compass(by_compass(place, mark.bearing_deg))}, {signed(mark.altitude_deg, 1)}°{far}"
    name = f"{mark.name} ({at})" if mark.name else at
    return f"{body_word(search.target)} behind {name}, from {place['title']}"


def _cells(spans: Spans, search: Search, row: Mapping[str, Any]) -> list[str]:
    ms = row["time"]["utc_ms"]
    moon, is_moon = row["moon"], search.target == "moon"
    shining = "" if is_moon else ", up" if moon["altitude_deg"] > 0 else ", down"
    return [
        day_text(local_day(spans, ms / 1000)),
        f"{clock(ms, spans)} {span_at(spans, ms / 1000)[2]}",
        f"{_aside(row['right_deg'], 'right', 'left')}, {_aside(row['up_deg'], 'above', 'below')}",
        f"{signed(row['altitude_deg'], 1)}°",
        row["light"],
        f"moon {fixed(moon['lit'] * 100, 0)} % lit{shining}",
    ]


def _aside(value_deg: float, positive: str, negative: str) -> str:
    return f"{fixed(abs(value_deg), 2)}° {positive if value_deg >= 0 else negative}"
