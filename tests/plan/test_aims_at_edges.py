"""Aims at the edges of sky, clock and rig: shots planned there, against astropy, Skyfield and SciPy.

Where a target stands is astropy's (IAU SOFA routines, its own ephemeris), lifted by Skyfield's refraction
(Bennett 1982, turned round); where a ray through the frame goes at the angles as they are set is SciPy's.
"""

from __future__ import annotations

import warnings
from typing import Any, NamedTuple

import numpy as np
import pytest
from scipy.spatial.transform import Rotation
from skyfield.earthlib import refract

from fieldsheet.catalog.zones import spans
from fieldsheet.plan.plan import plan
from fieldsheet.sky.bodies import STARS
from fieldsheet.sky.observe import NOMINAL
from fieldsheet.sky.sky import Sky

STEP_DEG = 0.01
# Half a step of pan and of tilt; astropy's moon is within 10" (it says so), Bennett's and Saemundsson's
# refraction agree within 4" (Meeus, Astronomical Algorithms, chapter 16).
TOLERANCE_DEG = 2**0.5 * STEP_DEG / 2 + 14 / 3600
J1991_25_S = 670_598_942  # JD 2448349.0625, less the seconds by which TT was ahead of UTC
# Of the radio source at the core, J2000: Reid & Brunthaler 2004 (from memory).
SGR_A = ("17h45m40.0409s", "-29d00m28.118s")
FULL = (36.0, 24.0)


class Edge(NamedTuple):
    """Where and when a shot begins by the place's clock, what it follows, and through which lens."""

    latitude_deg: float
    longitude_deg: float
    zone: str
    begins: str
    hours: float
    target: str
    keyframes: int = 3
    spot: tuple[float, float] = (0.0, 0.0)
    focal_mm: float = 14.0
    sensor_mm: tuple[float, float] = FULL
    projection: str = "rectilinear"
    lean_deg: float = 0.0


EDGES = {
    "midnight sun all round": Edge(78, 15, "UTC", "2027-06-21 00", 23, "sun", 12, (0, -0.5)),
    "polar night": Edge(78, 15, "UTC", "2027-12-14 06", 10, "moon", 5, (0.3, -0.2)),
    "over the zenith": Edge(-29, 20, "UTC", "2027-06-08 21", 4, "galactic core", 5),
    "beside the zenith": Edge(-27, 20, "UTC", "2027-06-08 21", 4, "galactic core", 5, (0, -0.5), 35),
    "the sun through north": Edge(-41, 174, "Pacific/Auckland", "2027-06-21 09", 6, "sun", 4, (-0.6, -0.4)),
    "equator and date line": Edge(0, 179.999, "Pacific/Tarawa", "2027-03-20 07", 9, "sun", 5),
    "a day ahead": Edge(1.9, -157.4, "Pacific/Kiritimati", "2027-08-16 20", 5, "moon"),
    "clocks go back": Edge(50, 8, "Europe/Berlin", "2027-10-31 01", 5, "capella", 3, (0.1, 0.3), 24),
    "clocks go ahead": Edge(50, 8, "Europe/Berlin", "2027-03-28 01", 5, "arcturus"),
    "leap day": Edge(37, -8.7, "Europe/Lisbon", "2028-02-29 04", 3, "galactic core", 3, (0, 0.2)),
    "into the new year": Edge(-23, -68, "America/Santiago", "2027-12-31 23", 4, "canopus", 3, (0.5, -0.9)),
    "north pole": Edge(69.7, 19, "Europe/Oslo", "2027-01-10 20", 6, "north pole", 2, (0, 0.7)),
    "south pole": Edge(-54.8, -68.3, "UTC", "2027-07-10 01", 6, "south pole", 2, (-0.5, 0.5), 24),
    "beside the pole": Edge(51, 0, "UTC", "2027-01-10 20", 10, "polaris", 4, focal_mm=200),
    "2 m of focal length": Edge(28.3, -16.5, "UTC", "2027-08-16 21", 0.2, "moon", 2, (0.5, -0.5), 2000),
    "a tiny sensor": Edge(
        40, -3.7, "Europe/Madrid", "2027-05-20 20", 3, "moon", 3, (0.8, 0.8), 4.3, (6.2, 4.6)
    ),
    "equal areas": Edge(52, 21, "UTC", "2027-06-21 03", 12, "sun", 4, (0.2, 0.6), 8, FULL, "equisolid"),
    "behind the lens": Edge(52, 21, "UTC", "2027-06-21 03", 12, "sun", 4, (0.2, 1), 7, FULL, "equidistant"),
    "leaning": Edge(-33, 151, "UTC", "2027-07-01 07", 2, "galactic core", 4, (0.2, -0.3), lean_deg=25),
    "two frames": Edge(37, -8.7, "Europe/Lisbon", "2027-06-05 22", 20 / 3600, "arcturus", 2),
}


@pytest.mark.parametrize("edge", EDGES.values(), ids=list(EDGES))
def test_the_angles_as_set_put_the_target_at_its_place(
    demo_brief: dict[str, Any], sky: Sky, edge: Edge
) -> None:
    brief = _brief(demo_brief, edge)
    keyframes = plan(brief, sky, {})["keyframes"]
    assert len(keyframes) == edge.keyframes
    seen = _seen(edge, [keyframe["time"]["utc_ms"] / 1000 for keyframe in keyframes])
    looks = np.array([_looks(edge, brief, keyframe["axes"]) for keyframe in keyframes])
    apart_deg = np.degrees(2 * np.arcsin(np.linalg.norm(seen - looks, axis=1) / 2))
    print(f"{apart_deg.max():.4f} degrees off at most, {TOLERANCE_DEG:.4f} allowed")
    assert apart_deg.max() < TOLERANCE_DEG


def test_under_a_midnight_sun_pan_goes_on_round_with_it(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Azimuths of astropy's sun, one after the other, are NumPy's to unwrap: some 330 degrees in 22 hours."""
    edge = EDGES["midnight sun all round"]
    keyframes = plan(_brief(demo_brief, edge), sky, {})["keyframes"]
    pans = [keyframe["axes"]["pan"] for keyframe in keyframes]
    seen = _seen(edge, [keyframe["time"]["utc_ms"] / 1000 for keyframe in keyframes])
    expected = np.degrees(np.unwrap(np.arctan2(seen[:, 0], seen[:, 1])))
    assert (np.diff(pans) > 0).all()
    assert pans[-1] - pans[0] == pytest.approx(expected[-1] - expected[0], abs=2 * STEP_DEG)


def _brief(brief: dict[str, Any], edge: Edge) -> dict[str, Any]:
    """The demo's shot, taken there, by a head that turns as far as it is asked to."""
    date, hour = edge.begins.split()
    zone = {"name": edge.zone, "spans": [list(span) for span in spans(edge.zone, int(date[:4]))]}
    brief["place"] |= {"latitude_deg": float(edge.latitude_deg), "longitude_deg": float(edge.longitude_deg)}
    brief["place"] |= {"zone": {**zone, "until_s": 1_924_992_000}, "elevation_m": 0.0, "declination": None}
    brief["place"] |= {"tides": [], "landmarks": [], "turn_back": None, "check_in": None}
    for name in ("pan", "tilt"):
        brief["rig"]["axes"][name] |= {"min": -800.0, "max": 800.0, "step": STEP_DEG}
    lens = {"focal_mm": float(edge.focal_mm), "projection": edge.projection}
    brief["camera"] |= {**lens, "sensor_mm": list(edge.sensor_mm)}
    brief |= {"frame_mm": list(edge.sensor_mm), "night": {"rule": "day", "date": date}}
    brief |= {"start": {"clock_s": int(hour) * 3600}, "end": None, "duration_ms": int(edge.hours * 3_600_000)}
    brief |= {
        "interval_ms": max(10_000, int(edge.hours) * 60_000),
        "longest_shutter_ms": 2000,
        "hold": [0, 0],
        "ease": [0, 0],
    }
    brief |= {"exposure": None, "swap": None, "needs": []}
    brief["head_base"] = "follows rail"
    brief["rail"]["incline_deg"] = edge.lean_deg
    aim = {"target": edge.target, "x": edge.spot[0], "y": edge.spot[1]}
    brief["keyframes"] = [
        {**brief["keyframes"][0], "at": {"fraction": n / (edge.keyframes - 1)}, "aim": aim}
        for n in range(edge.keyframes)
    ]
    return brief


def _seen(edge: Edge, times_s: list[float]) -> np.ndarray:
    """Rows east, north, up of where the target is seen, by astropy and Skyfield."""
    if edge.target.endswith("pole"):
        # By the definition of latitude; the axis wanders in the Earth by 0.3" or so.
        azimuth_deg = np.full(len(times_s), 180.0 if edge.latitude_deg < 0 else 0.0)
        altitude_deg = np.full(len(times_s), abs(edge.latitude_deg))
    else:
        azimuth_deg, altitude_deg = _by_astropy(edge, times_s)
    lifted_deg = refract(altitude_deg, NOMINAL.temperature_c, NOMINAL.pressure_hpa)
    azimuth, altitude = np.radians([azimuth_deg, lifted_deg])
    level = np.cos(altitude)
    return np.stack([level * np.sin(azimuth), level * np.cos(azimuth), np.sin(altitude)], axis=1)


def _by_astropy(edge: Edge, times_s: list[float]) -> tuple[np.ndarray, np.ndarray]:
    """True azimuth and altitude [deg], without air."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns that the Earth's rotation of 2028 is a forecast
        import astropy.units as u
        from astropy.coordinates import AltAz, EarthLocation, SkyCoord, get_body
        from astropy.time import Time
        from astropy.utils import iers

        with iers.conf.set_temp("auto_max_age", None), iers.conf.set_temp("auto_download", False):
            site = EarthLocation.from_geodetic(edge.longitude_deg, edge.latitude_deg)
            when = Time(times_s, format="unix")
            if edge.target in ("sun", "moon"):
                body = get_body(edge.target, when, site)
            elif edge.target == "galactic core":
                body = SkyCoord(*SGR_A)
            else:
                row = STARS[edge.target]  # of the Hipparcos Catalogue, J1991.25
                years = (times_s[0] - J1991_25_S) / (365.25 * 86400)
                north_deg = row["dec_deg"] + row["pm_dec_mas"] * years / 3_600_000
                east_deg = row["pm_ra_mas"] * years / 3_600_000 / np.cos(np.radians(north_deg))
                body = SkyCoord((row["ra_deg"] + east_deg) * u.deg, north_deg * u.deg)
            stood = body.transform_to(AltAz(obstime=when, location=site))
    return np.asarray(stood.az.deg), np.asarray(stood.alt.deg)


def _looks(edge: Edge, brief: dict[str, Any], axes: dict[str, float]) -> np.ndarray:
    """East, north, up of the ray through the target's place in the frame, at those angles."""
    right, up = np.array(edge.spot) * edge.sensor_mm / 2 / edge.focal_mm
    r = np.hypot(right, up)
    # The projections as P. Corke has them: Robotics, Vision and Control (2023), section 13.3.1.
    off = {"rectilinear": np.arctan(r), "equidistant": r, "equisolid": 2 * np.arcsin(min(r / 2, 1))}
    theta = off[edge.projection]
    aside = np.array([right, 0.0, up]) / r if r else np.zeros(3)
    ray = np.sin(theta) * aside + np.cos(theta) * np.array([0.0, 1.0, 0.0])

    bearing, zero = np.radians([brief["rail"]["bearing_deg"], brief["zero_bearing_deg"]])
    lean = Rotation.from_rotvec(
        np.array([np.cos(bearing), -np.sin(bearing), 0]) * edge.lean_deg, degrees=True
    )
    # Pan 0 looks along what plate and upright plane through the zero bearing have in common.
    ahead = np.cross([np.cos(zero), -np.sin(zero), 0], lean.apply([0, 0, 1]))
    over_plate = lean.inv().apply(-ahead if ahead @ [np.sin(zero), np.cos(zero), 0] < 0 else ahead)
    axis_deg = np.degrees(np.arctan2(over_plate[0], over_plate[1])) + axes["pan"]
    turned = lean * Rotation.from_euler("ZX", [-axis_deg, axes["tilt"]], degrees=True)
    return np.asarray(turned.apply(ray))
