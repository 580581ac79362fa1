"""From shot to shot: the ways between places, and how much time there is for them.  Python only."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise
from math import atan2, cos, degrees, radians, sin
from typing import Any

from ...plan.spot import distance_m
from ..words import say
from .lanes import Lane, Stint
from .night import clock_of
from .shots import Shot

Place = dict[str, Any]


def apart(shots: Sequence[Shot]) -> list[str]:
    """How far each two places of a date are from each other, in words."""
    places = {shot.plan["place"]["id"]: shot.plan["place"] for shot in shots}
    return [
        say("day.apart", _between(first, second), ()) for first, second in combinations(places.values(), 2)
    ]


def legs(lanes: Sequence[Lane], with_zone: bool) -> list[tuple[str, str]]:
    """(who, in words: from where to where, how far, how long in between) for each who has a next shot.

    `with_zone`: clock times with their zone.
    """
    return [
        (lane.who, _leg(before, after, with_zone))
        for lane in lanes
        if lane.who
        for before, after in pairwise(lane.stints)
    ]


def _leg(before: Stint, after: Stint, with_zone: bool) -> str:
    """Time is counted from being back to setting out, or on site where the ways are not known."""
    first, second = before.shot.plan["place"], after.shot.plan["place"]
    free_ms = after.from_ms - before.until_ms
    args = {
        "ends": clock_of(before.shot, with_zone)(before.until_ms),
        "begins": clock_of(after.shot, with_zone)(after.from_ms),
        "free": abs(free_ms),
        "first": before.shot.sheet["title"],
        "second": after.shot.sheet["title"],
        "place": second["title"],
    }
    kind = "late" if free_ms < 0 else "stays" if free_ms == 0 else "free"
    if first["id"] == second["id"]:
        return say(f"day.leg-same-{kind}", args, ())
    return say(f"day.leg-{kind}", {**args, **_between(first, second)}, ())


def _between(first: Place, second: Place) -> dict[str, Any]:
    return {
        "from": first["title"],
        "to": second["title"],
        "metres": distance_m(first, second),
        "bearing": bearing_deg(first, second),
    }


def bearing_deg(a: Place, b: Place) -> float:
    """The true bearing, 0 to 360, in which b lies from a on a sphere (a textbook's formula, from memory)."""
    north, south = radians(a["latitude_deg"]), radians(b["latitude_deg"])
    east = radians(b["longitude_deg"] - a["longitude_deg"])
    across = sin(east) * cos(south)
    along = cos(north) * sin(south) - sin(north) * cos(south) * cos(east)
    return degrees(atan2(across, along)) % 360
