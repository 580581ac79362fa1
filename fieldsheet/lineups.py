"""When something of the sky stands behind a landmark, as rows for a machine and as lines for a person."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import acos, cos, degrees, radians
from typing import Any

from fieldsheet.catalog.landmarks import REFRACTION_K
from fieldsheet.catalog.placed import landmark_stand, place_of
from fieldsheet.catalog.read import Catalog
from fieldsheet.earth import MEAN_RADIUS_M
from fieldsheet.plan.aim import by_compass, wrap_deg
from fieldsheet.plan.anchors import site_of
from fieldsheet.plan.civil import Spans, day_number, local_day, midnight, span_at, stamp
from fieldsheet.plan.needs import SKYLINE_DEG
from fieldsheet.plan.seen import BRIGHT, STARS_OUT_DEG
from fieldsheet.sheet.words import body_word, clock, compass, day_text, fixed, signed, way
from fieldsheet.sky.events import HALF_DISC_DEG
from fieldsheet.sky.lineups import LineUp, horizon_deg, line_ups, nearest_in_sight
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
BEHIND, BELOW, BY_DAY = "behind the skyline", "below the horizon", "too light to see it"
HEADS = ("date", "clock", "its middle passes", "altitude", "light", "moon", "")


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
    passages = line_ups(sky, site, *_looked_for(spans, search), search.within_deg)
    return [_row(spans, site, sky, search, passage) for passage in passages]


def found_nearest(place: dict[str, Any], sky: Sky, search: Search) -> dict[str, Any] | None:
    """The row of the moment at which the body, in sight, comes nearest; None where it is never in sight.

    What shows only in the dark is in sight while bright stars are out.
    """
    spans, site = place["zone"]["spans"], site_of(place)
    dark_deg = None if search.target in BRIGHT else STARS_OUT_DEG
    edge_deg = _edge_deg(site, search.target)
    passage = nearest_in_sight(sky, site, *_looked_for(spans, search), edge_deg, dark_deg)
    return None if passage is None else _row(spans, site, sky, search, passage)


def _looked_for(spans: Spans, search: Search) -> tuple[str, float, float, float, float]:
    """Body, direction [deg] and window [s UTC] as the search of the sky takes them."""
    first, after = day_number(search.first.isoformat()), day_number(search.last.isoformat()) + 1
    mark = search.mark
    window = midnight(spans, first), midnight(spans, after)
    return (search.target, mark.bearing_deg, mark.altitude_deg, *window)


def _row(spans: Spans, site: Site, sky: Sky, search: Search, passage: LineUp) -> dict[str, Any]:
    mark = search.mark
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
        "horizon_deg": float(horizon_deg(site, passage.azimuth_deg)),
        "hidden": _hidden(site, search.target, passage, float(sun)),
        "sun_altitude_deg": float(sun),
        "light": light(float(sun)),
        "moon": {"lit": lit, "altitude_deg": float(apparent_altitude_deg(float(moon), site.air))},
    }


def _hidden(site: Site, body: str, passage: LineUp, sun_deg: float) -> str | None:
    """What even the body's upper edge is behind or below, or that it is too light; else None."""
    edge_deg = passage.altitude_deg + _edge_deg(site, body)
    if edge_deg < horizon_deg(site, passage.azimuth_deg):
        return BEHIND if site.ridge else BELOW
    return None if body in BRIGHT or sun_deg < STARS_OUT_DEG else BY_DAY


def _edge_deg(site: Site, body: str) -> float:
    """What a body's middle may lack of the horizon and be in sight: as for needs."""
    return HALF_DISC_DEG.get(body, 0.0) + (SKYLINE_DEG if site.ridge else 0.0)


def doubts(place: dict[str, Any], mark: Mark) -> list[str]:
    """Why nothing, or not all that lines up with a mark, can be seen from the place; in words."""
    site = site_of(place)
    if _earth_hides(mark, site.elevation_m):
        return ["the curve of the Earth hides the landmark, even if nothing but sea lies between"]
    horizon = float(horizon_deg(site, mark.bearing_deg))
    if signed(mark.altitude_deg, 1) == signed(horizon, 1) or mark.altitude_deg >= horizon:
        return []
    what, hidden = ("measured skyline", BEHIND) if site.ridge else ("horizon", BELOW)
    higher = f"the {what} there stands at {signed(horizon, 1)}°, higher than the {mark.name or 'direction'}"
    return [f"{higher}: what lines up exactly is {hidden}"]


def _earth_hides(mark: Mark, eye_m: float) -> bool:
    """Whether a smooth Earth at the level of the sea hides the mark from an eye so far above it [m]."""
    if mark.distance_m is None or eye_m < 0:
        return False
    radius_m = MEAN_RADIUS_M / (1 - REFRACTION_K)
    dip = acos(radius_m / (radius_m + eye_m))
    return mark.distance_m > radius_m * dip and mark.altitude_deg < -degrees(dip)


def light(sun_deg: float) -> str:
    """What light an altitude of the sun's centre [deg] gives: "day", a twilight, or "night"."""
    return next((name for down_to, name in LIGHTS if sun_deg >= down_to), "night")


def page(
    place: dict[str, Any], search: Search, rows: Sequence[Mapping[str, Any]], near: Mapping[str, Any] | None
) -> str:
    """What was asked, what to mind, and a line for each passage; without any, how near the body comes.

    near: the row of found_nearest, where there are no rows.
    """
    asked = [_asked(place, search), *(f"mind: {doubt}" for doubt in doubts(place, search.mark))]
    if rows:
        return "\n".join([*asked, *_table(place, search, rows)])
    none = f"no line-up within {fixed(search.within_deg, 2)}°"
    if near is None:
        return "\n".join([*asked, f"{none}; it is never in sight"])
    return "\n".join([*asked, f"{none}; the nearest in sight:", *_nearest(place, search, near)])


def _nearest(place: dict[str, Any], search: Search, near: Mapping[str, Any]) -> Iterator[str]:
    yield from _table(place, search, [near])
    direction = f"{compass(by_compass(place, near['azimuth_deg']))}, {signed(near['altitude_deg'], 1)}° high"
    yield f"{fixed(near['apart_deg'], 2)}° off: it would be behind what stands at {direction}"


def _table(place: dict[str, Any], search: Search, rows: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    cells = [HEADS, *(_cells(place["zone"]["spans"], search, row) for row in rows)]
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    yield from ("  ".join(map(str.ljust, row, widths)).rstrip() for row in cells)


def as_json(
    place: dict[str, Any], search: Search, rows: Sequence[Mapping[str, Any]], near: Mapping[str, Any] | None
) -> dict[str, Any]:
    """What was asked and found, for a machine; units are in the names.  near: as page() takes it."""
    mark = search.mark
    whole = {
        "place": place["id"],
        "target": search.target,
        "landmark": {
            "name": mark.name or None,
            "bearing_deg": mark.bearing_deg,
            "altitude_deg": mark.altitude_deg,
            "distance_m": mark.distance_m,
            "doubts": doubts(place, mark),
        },
        "from": search.first.isoformat(),
        "to": search.last.isoformat(),
        "within_deg": search.within_deg,
        "line_ups": list(rows),
        "nearest": near,
    }
    return {key: _without_minus_zero(value) for key, value in whole.items()}


def _without_minus_zero(value: Any) -> Any:
    """The same with every -0.0 as 0.0: a sign that says nothing."""
    if isinstance(value, dict):
        return {key: _without_minus_zero(part) for key, part in value.items()}
    if isinstance(value, list):
        return [_without_minus_zero(part) for part in value]
    return value + 0.0 if isinstance(value, float) else value


def _asked(place: dict[str, Any], search: Search) -> str:
    mark = search.mark
    far = "" if mark.distance_m is None else f", {way(mark.distance_m)} away"
    at = f"{compass(by_compass(place, mark.bearing_deg))}, {signed(mark.altitude_deg, 1)}° high{far}"
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
        f"{fixed(moon['lit'] * 100, 0)} % lit{shining}",
        row["hidden"] or "",
    ]


def _aside(value_deg: float, positive: str, negative: str) -> str:
    return f"{fixed(abs(value_deg), 2)}° {positive if value_deg >= 0 else negative}"
