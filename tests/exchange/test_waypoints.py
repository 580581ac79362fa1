"""Waypoints read back by a parser of XML, positions as addresses against the grammar of RFC 5870."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

import pytest

from fieldsheet.exchange.geo import geo_uri
from fieldsheet.exchange.waypoints import gpx_file, points_of
from tests.exchange.hostile import HOSTILE

GPX = "{http://www.topografix.com/GPX/1/1}"
DECIMAL = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)")  # of XML Schema: it has no exponent
# RFC 5870, section 3.3: coord-a "," coord-b of num = [ "-" ] 1*DIGIT [ "." 1*DIGIT ].
GEO = re.compile(r"geo:(-?\d+(?:\.\d+)?),(-?\d+(?:\.\d+)?)")
MAST = {
    "name": "mast",
    "latitude_deg": 37.171,
    "longitude_deg": -8.505,
    "elevation_m": 484.0,
    "height_m": 30.0,
}


def read(data: bytes) -> list[dict[str, str]]:
    """The waypoints; asserts GPX 1.1, and the ranges of its latitudeType and longitudeType."""
    root = ElementTree.fromstring(data)
    assert (root.tag, root.get("version")) == (f"{GPX}gpx", "1.1")
    found = []
    for point in root.findall(f"{GPX}wpt"):
        lat, lon = point.attrib["lat"], point.attrib["lon"]
        row = {"lat": lat, "lon": lon, **{one.tag.removeprefix(GPX): one.text or "" for one in point}}
        assert all(DECIMAL.fullmatch(row[key]) for key in ("lat", "lon", "ele"))
        assert -90 <= float(lat) <= 90 and -180 <= float(lon) < 180
        # The order that wptType of the schema asks for (gpx.xsd of GPX 1.1).
        assert [one.tag for one in point] == [
            GPX + key for key in ("ele", "name", "desc", "type") if key in row
        ]
        found.append(row)
    return found


def test_a_place_tells_the_way_in_and_a_placed_landmark_its_height(demo_brief: dict[str, Any]) -> None:
    place, mast = read(gpx_file("Saltings", points_of(demo_brief, [MAST])))
    assert (place["lat"], place["lon"], place["ele"]) == ("37.08", "-8.67", "12.0")
    assert (place["name"], place["type"]) == ("Gull Point, old slipway", "place")
    assert place["desc"].splitlines() == [
        "last car park above the chapel, then the goat path",
        "the way back runs over the lower ramp: see the tide",
        "25 min from leaving to being on site",
        "harbour light bears 225° true from here",
        "breakwater end bears 235° true from here",
        "chimney bears 312° true from here",
        "iron post bears 089° true from here",
    ]
    assert mast == {
        "lat": "37.171",
        "lon": "-8.505",
        "ele": "484.0",
        "name": "mast",
        "desc": "its top is 30 m above the ground",
        "type": "landmark",
    }


def test_a_place_that_two_shots_share_is_one_point(demo_brief: dict[str, Any]) -> None:
    points = points_of(demo_brief, [MAST])
    assert gpx_file("Saltings", points * 2) == gpx_file("Saltings", points)


@pytest.mark.parametrize("name", HOSTILE, ids=ascii)
def test_no_name_breaks_the_file(name: str) -> None:
    point = {**MAST, "text": name, "kind": "landmark", "name": name}
    (found,) = read(gpx_file(name, [point]))
    assert (found["lat"], found["type"]) == ("37.171", "landmark")


@pytest.mark.parametrize(
    ("latitude", "longitude", "address", "east"),
    [
        (37.08, -8.67, "geo:37.08,-8.67", "-8.67"),
        (48.2010, 16.3695, "geo:48.201,16.3695", "16.3695"),  # the standard's own example, without its height
        (-22.5, 17.0, "geo:-22.5,17", "17"),
        (0.0000004, -0.0000004, "geo:0,0", "0"),
        (0.00001, -0.00002, "geo:0.00001,-0.00002", "-0.00002"),
        (90, 17, "geo:90,0", "17"),  # at a pole the longitude should be 0: section 3.4.2
        (-89.9999999, 17, "geo:-90,0", "17"),
        (12, 180, "geo:12,180", "-180"),
    ],
)
def test_positions_at_the_edges(latitude: float, longitude: float, address: str, east: str) -> None:
    assert geo_uri(latitude, longitude) == address
    assert GEO.fullmatch(address)
    point = {**MAST, "latitude_deg": latitude, "longitude_deg": longitude, "text": "", "kind": "place"}
    (found,) = read(gpx_file("Edge", [point]))
    assert float(found["lon"]) == float(east)
