"""Stars, planets and poles that no minute of the shot shows, and when the night does."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from fieldsheet.catalog.read import Catalog
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky

POST = [[0.0, 10.0], [180.0, 10.0], [190.0, 40.0], [195.0, 40.0], [200.0, 10.0]]
# Latitude, longitude, hours of the clock before UTC.
SHORE, NORTH, SOUTH = (37.0, -8.9, 1), (68.9, 15.0, 2), (-37.0, 15.0, 1)
JUNE, MARCH = "2027-06-05", "2027-03-05"

# The figures are those of Skyfield, asked directly: DE421, stars by their Hipparcos rows, altaz() with its
# own refraction for 10 C and 1010 hPa, sun geometric, each whole minute of the night; poles at the latitude.
CASES = {
    "pole, midnight sun": ("north pole", NORTH, JUNE, "23:00", 150, [], []),
    "star low in the midnight sun": ("antares", NORTH, JUNE, "23:00", 150, [], []),
    "star by day": ("vega", SHORE, JUNE, "20:00", 60, [], ["21:23–05:45"]),
    "planet by day": ("jupiter", SHORE, JUNE, "19:00", 60, [], ["21:23–01:04"]),
    "planet of the evening, set": ("venus", SHORE, "2027-12-05", "20:18", 300, [], ["18:48–20:17"]),
    "planet of the morning": ("venus", SHORE, JUNE, "22:00", 300, [], ["05:18–05:45"]),
    "behind a post": ("antares", SHORE, JUNE, "01:33", 40, POST, ["21:43–01:31", "02:22–04:37"]),
    "pole of the south by day": ("south pole", SOUTH, JUNE, "14:00", 180, [], ["17:20–06:38"]),
    "pole of the north in the south": ("north pole", SOUTH, JUNE, "20:00", 180, [], []),
    "ends before it is dark": ("sirius", SHORE, MARCH, "18:00", 118, [], ["20:00–02:38"]),
    "ends in the dark": ("sirius", SHORE, MARCH, "18:00", 122, [], None),
    "begins as it sets": ("sirius", SHORE, MARCH, "02:36", 90, [], None),
    "begins after it has set": ("sirius", SHORE, MARCH, "02:40", 90, [], ["20:00–02:38"]),
    "sun by day": ("sun", SHORE, JUNE, "14:00", 180, [], None),
    "moon by day": ("moon", SHORE, JUNE, "14:00", 180, [], None),
    "core by day": ("galactic core", SHORE, JUNE, "14:00", 180, [], None),
}


def _shot(demo: Catalog, where: tuple[float, float, int], night: str) -> dict[str, Any]:
    """One keyframe alone, at frame 1, a frame each 30 s, at a bare place of our own."""
    brief = copy.deepcopy(demo.brief("pole-circle"))
    latitude_deg, longitude_deg, zone_h = where
    zone = {**brief["place"]["zone"], "spans": [[0, zone_h * 3600, "here"]]}
    bare: dict[str, Any] = {"tides": [], "turn_back": None, "check_in": None, "landmarks": []}
    brief["place"] |= {"latitude_deg": latitude_deg, "longitude_deg": longitude_deg, "zone": zone, **bare}
    brief["keyframes"][0]["sighting"] = None
    return brief | {"night": {"rule": "night", "date": night}, "needs": [], "zero_sighting": None}


def _told(brief: dict[str, Any], sky: Sky) -> dict[str, dict[str, str]]:
    plan = plan_shot(brief, sky, {})
    said = make_sheet(plan)["warnings"]
    return {warning["id"]: text for warning, text in zip(plan["warnings"], said, strict=True)}


@pytest.mark.parametrize(
    ("target", "where", "night", "start", "minutes", "horizon", "spans"), CASES.values(), ids=CASES
)
def test_what_the_shot_never_shows_is_told_with_when_it_shows(
    demo: Catalog,
    sky: Sky,
    target: str,
    where: tuple[float, float, int],
    night: str,
    start: str,
    minutes: int,
    horizon: list[list[float]],
    spans: list[str] | None,
) -> None:
    brief = _shot(demo, where, night)
    hours, rest = map(int, start.split(":"))
    brief |= {"start": {"clock_s": hours * 3600 + rest * 60}, "frames": minutes * 2}
    brief["place"]["horizon"] = horizon
    brief["keyframes"][0]["aim"]["target"] = target
    told = _told(brief, sky)
    assert ("warning.unseen" in told) == (spans is not None)
    if spans is not None:
        fix = told["warning.unseen"]["fix"]
        assert f"(this night: {', '.join(spans) or 'never'})" in fix


def test_a_target_is_told_of_once_and_never_said_to_come(demo: Catalog, sky: Sky) -> None:
    """At 68.9 N in June: sun at 4.0 degrees by Skyfield, 4.2 with refraction; the pole at the latitude."""
    brief = _shot(demo, NORTH, JUNE) | {"start": {"clock_s": 23 * 3600}}
    brief["keyframes"].append({**brief["keyframes"][0], "at": {"fraction": 1.0}})
    plan = plan_shot(brief, sky, {})
    assert [warning["id"] for warning in plan["warnings"]].count("warning.unseen") == 1
    told = _told(brief, sky)
    assert told["warning.unseen"]["head"] == "K1: the north pole cannot be seen in the shot"
    assert told["warning.unseen"]["sum"].startswith("Sun then at +4.2° (below −6° wanted), it at +68.9°")
    assert "will stand" in told["warning.no-sighting"]["sum"]
