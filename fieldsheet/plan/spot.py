"""The same shot from another spot than the catalog's place: what still holds there.  Twin: app/core/spot.js.

The distance is that on a sphere of the Earth's mean radius, by the haversine formula: within 0.6 % of the
ellipsoid's, and no worse over a few metres.
"""

from __future__ import annotations

from math import asin, cos, isfinite, radians, sin, sqrt
from typing import Any

from ..earth import MEAN_RADIUS_M
from .problem import PlanProblem

# Declination changes by a fraction of a degree over that way, where a compass is worth reading at all.
DECLINATION_M = 50_000.0
RANGES = {"latitude_deg": (-90, 90), "longitude_deg": (-180, 180), "elevation_m": (-500, 9000)}


def at_spot(brief: dict[str, Any], changes: dict[str, Any]) -> dict[str, Any]:
    """The brief with its place at `changes["spot"]`, if there is one: the keys of RANGES.

    Horizon, sea view, landmarks and sightings were taken at the place and are dropped; the declination is
    kept within DECLINATION_M.  The place gains spot_m, its distance in m.  Raises PlanProblem for a spot not
    on Earth.
    """
    spot = changes.get("spot")
    if spot is None:
        return brief
    if not isinstance(spot, dict) or not all(_within(spot.get(key), *ends) for key, ends in RANGES.items()):
        raise PlanProblem("problem.spot", {}, "place")
    place = brief["place"]
    moved_m = distance_m(place, spot)
    moved = {
        **place,
        **{key: spot[key] for key in RANGES},
        "horizon": [],
        "sea_horizon_m": None,
        "landmarks": [],
        **({} if moved_m <= DECLINATION_M else {"declination": None, "no_declination": None}),
        "spot_m": moved_m,
    }
    keyframes = [{**keyframe, "sighting": None} for keyframe in brief["keyframes"]]
    return {**brief, "place": moved, "zero_sighting": None, "keyframes": keyframes}


def distance_m(a: dict[str, Any], b: dict[str, Any]) -> float:
    """Metres between two positions (latitude_deg, longitude_deg) along the sphere."""
    north, south = radians(a["latitude_deg"]), radians(b["latitude_deg"])
    up, across = sin((south - north) / 2), sin(radians(b["longitude_deg"] - a["longitude_deg"]) / 2)
    return 2 * MEAN_RADIUS_M * asin(min(1.0, sqrt(up * up + cos(north) * cos(south) * across * across)))


def _within(value: Any, low: float, high: float) -> bool:
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    return is_number and isfinite(value) and low <= value <= high
