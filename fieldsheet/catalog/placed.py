"""A place with all that follows from where it is: the part of a brief that another spot would change."""

from __future__ import annotations

from datetime import date
from typing import Any

from . import zones
from .landmarks import Stand, stand
from .magnetic import declination
from .models.place import Landmark, Place
from .names import TIDES


def place_of(stem: str, place: Place, day: date) -> dict[str, Any]:
    """The place of a brief, as JSON values: degrees, metres, the zone's changes around the day's year."""
    latitude, longitude, elevation = (
        float(value) for value in (place.latitude_deg, place.longitude_deg, place.elevation_m)
    )
    turned = declination(latitude, longitude, elevation, day)
    return {
        "id": stem,
        "title": place.title,
        "latitude_deg": latitude,
        "longitude_deg": longitude,
        "elevation_m": elevation,
        "zone": zone_of(place.zone, day, day),
        "horizon": [[float(part) for part in pair] for pair in place.horizon or []],
        "sea_horizon_m": None if place.sea_horizon_m is None else float(place.sea_horizon_m),
        "air": {key: float(value) for key, value in place.air} if place.air else None,
        "declination": None if turned.deg is None else {"deg": _milli(turned.deg), "weak": turned.weak},
        "no_declination": turned.lacks,
        "landmarks": [_landmark(place, mark) for mark in place.landmark],
        "tides": _tides(place),
        "turn_back": place.turn_back,
        "gate_closes": place.gate_closes,
        "check_in": {"with": place.check_in.with_, "at": place.check_in.at} if place.check_in else None,
        "approach_ms": None if place.approach_min is None else int(place.approach_min * 60_000),
    }


def zone_of(name: str, first: date, last: date) -> dict[str, Any]:
    """A zone as a brief has it, with the changes of its clocks in all years from the first to the last."""
    spans = [list(span) for span in zones.spans(name, first.year, last.year)]
    return {"name": name, "spans": spans, "until_s": zones.until_s(last.year)}


def landmark_stand(place: Place, mark: Landmark) -> Stand | None:
    """How the top of a landmark given by its position stands from the place; None for a measured one."""
    if mark.latitude_deg is None or mark.longitude_deg is None or mark.elevation_m is None:
        return None
    return stand(
        (float(place.latitude_deg), float(place.longitude_deg)),
        float(place.elevation_m),
        (float(mark.latitude_deg), float(mark.longitude_deg)),
        float(mark.elevation_m + (mark.height_m or 0)),
    )


def _landmark(place: Place, mark: Landmark) -> dict[str, Any]:
    placed = landmark_stand(place, mark)
    if placed is not None:
        return {
            "name": mark.name,
            "bearing_deg": _milli(placed.bearing_deg) % 360,
            "altitude_deg": _milli(placed.altitude_deg),
        }
    assert mark.bearing_deg is not None and mark.altitude_deg is not None, "a checked landmark stands"
    return {
        "name": mark.name,
        "bearing_deg": float(mark.bearing_deg),
        "altitude_deg": float(mark.altitude_deg),
    }


def _milli(angle_deg: float) -> float:
    """To a thousandth of a degree, so that every machine's libraries give the same brief."""
    return round(angle_deg, 3)


def _tides(place: Place) -> list[dict[str, Any]]:
    """Every moment of the tide table, by date and clock."""
    found = [
        {"date": tide.date.isoformat(), "clock_s": clock_s, "kind": kind}
        for tide in place.tide
        for kind, key in TIDES.items()
        for clock_s in getattr(tide, key)
    ]
    return sorted(found, key=lambda moment: (moment["date"], moment["clock_s"]))
