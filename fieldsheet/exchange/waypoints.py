"""Where shots are made, for maps and receivers: GPX 1.1 through gpxpy.

A point is {latitude_deg, longitude_deg, elevation_m above the sea, name, text, kind}, with kind "place" or
"landmark".  A landmark that is known by its bearing alone has no position: the text of the place tells it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from gpxpy.gpx import GPX, GPXWaypoint

from ..sheet.words import bearing, say
from .foreign import foreign_line, foreign_text

Point = Mapping[str, Any]
DECIMALS = 6  # of a degree: 0.1 m
MADE_BY = "Fieldsheet"


def points_of(brief: Mapping[str, Any], positioned: Iterable[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """The place of a brief and its landmarks of known position.

    positioned: {name, latitude_deg, longitude_deg, elevation_m, height_m} of each such landmark.
    """
    place = brief["place"]
    marks = list(positioned)
    known = {mark["name"] for mark in marks}
    lines = [
        *brief["words"]["access"],
        *([say("waypoint.approach", place, ())] if place["approach_ms"] is not None else []),
        *(_sighted(mark) for mark in place["landmarks"] if mark["name"] not in known),
    ]
    own = {**_position(place), "name": place["title"], "text": "\n".join(lines), "kind": "place"}
    return [own, *map(_landmark, marks)]


def gpx_file(title: str, points: Sequence[Point]) -> bytes:
    """The points as a GPX file, each once; the same arguments give the same bytes."""
    gpx = GPX()
    gpx.creator, gpx.name = MADE_BY, foreign_line(title)
    once = {(point["latitude_deg"], point["longitude_deg"], point["name"]): point for point in points}
    gpx.waypoints = [_waypoint(point) for point in once.values()]
    return gpx.to_xml("1.1").encode()


def _waypoint(point: Point) -> GPXWaypoint:
    waypoint = GPXWaypoint(
        latitude=round(point["latitude_deg"], DECIMALS),
        longitude=_east(round(point["longitude_deg"], DECIMALS)),
        elevation=round(point["elevation_m"], 1),
        name=foreign_line(point["name"]),
        description=foreign_text(point["text"]) or None,
    )
    waypoint.type = point["kind"]
    return waypoint


def _east(longitude_deg: float) -> float:
    """GPX ends below 180."""
    return -180.0 if longitude_deg == 180 else longitude_deg


def _position(of: Mapping[str, Any]) -> dict[str, float]:
    return {key: float(of[key]) for key in ("latitude_deg", "longitude_deg", "elevation_m")}


def _landmark(mark: Mapping[str, Any]) -> dict[str, Any]:
    top = say("waypoint.top", {"metres": mark["height_m"]}, ()) if mark["height_m"] else ""
    return {**_position(mark), "name": mark["name"], "text": top, "kind": "landmark"}


def _sighted(mark: Mapping[str, Any]) -> str:
    args = {"name": mark["name"], "bearing": bearing(mark["bearing_deg"])}
    return say("waypoint.sighted", args, ())
