"""The demo's aims, end to end, against astropy (IAU SOFA routines, its own ephemeris and refraction)."""

from __future__ import annotations

import warnings
from typing import Any

import numpy as np
import pytest

# astropy's refraction at 1010 hPa, 10 C, 550 nm and Saemundsson's differ by less than this above 10 degrees;
# its sun comes from another ephemeris.
TOLERANCE_DEG = 0.01


@pytest.fixture(scope="module")
def directions(demo_plan: dict[str, Any]) -> dict[str, tuple[float, float]]:
    """Azimuth and apparent altitude [deg] of the sun at K1 and of Sgr A* at K3, as astropy sees them."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns that the earth's rotation of 2027 is a forecast
        import astropy.units as u
        from astropy.coordinates import AltAz, EarthLocation, SkyCoord, get_sun
        from astropy.time import Time
        from astropy.utils import iers

        iers.conf.auto_download, iers.conf.auto_max_age = False, None
        place = demo_plan["brief"]["place"]
        site = EarthLocation.from_geodetic(
            place["longitude_deg"], place["latitude_deg"], place["elevation_m"] * u.m
        )
        # Reid & Brunthaler 2004 (from memory), as in the check values of the sky room.
        core = SkyCoord("17h45m40.0409s", "-29d00m28.118s")
        seen = {}
        for number in (1, 3):
            when = Time(demo_plan["keyframes"][number - 1]["time"]["utc_ms"] / 1000, format="unix")
            air = {"pressure": 1010 * u.hPa, "temperature": 10 * u.deg_C, "obswl": 0.55 * u.micron}
            frame = AltAz(obstime=when, location=site, **air)
            body = (get_sun(when) if number == 1 else core).transform_to(frame)
            seen[f"K{number}"] = (float(body.az.deg), float(body.alt.deg))
    return seen


@pytest.mark.parametrize("key", ["K1", "K3"])
def test_targets_stand_where_astropy_sees_them(
    demo_plan: dict[str, Any], directions: dict[str, tuple[float, float]], key: str
) -> None:
    keyframe = demo_plan["keyframes"][int(key[1]) - 1]
    ours = np.array([keyframe["azimuth_deg"], keyframe["altitude_deg"]])
    worst = float(np.abs(ours - directions[key]).max())
    print(f"{key}: worst difference {worst:.4f} degrees")
    assert worst < TOLERANCE_DEG


@pytest.mark.parametrize("key", ["K1", "K3"])
def test_the_set_angles_put_astropys_target_at_its_place_in_the_frame(
    demo_plan: dict[str, Any], directions: dict[str, tuple[float, float]], key: str
) -> None:
    """Plain vectors: the ray to the target along the camera's right, up and forward directions."""
    keyframe = demo_plan["keyframes"][int(key[1]) - 1]
    brief = demo_plan["brief"]
    azimuth, altitude = np.radians(directions[key])
    pan, tilt = np.radians([brief["zero_bearing_deg"] + keyframe["axes"]["pan"], keyframe["axes"]["tilt"]])
    ray = np.array([np.sin(azimuth) * np.cos(altitude), np.cos(azimuth) * np.cos(altitude), np.sin(altitude)])
    right = np.array([np.cos(pan), -np.sin(pan), 0])
    forward = np.array([np.sin(pan) * np.cos(tilt), np.cos(pan) * np.cos(tilt), np.sin(tilt)])
    up = np.cross(right, forward)
    half_mm = np.array(brief["frame_mm"]) / 2
    place = brief["camera"]["focal_mm"] * np.array([ray @ right, ray @ up]) / (ray @ forward) / half_mm
    print(f"{key}: stands at {place.round(4)}, meant for {keyframe['aim']['x']}, {keyframe['aim']['y']}")
    # Half a step of 0.1 degrees is 0.0022 of the half frame's height at 14 mm.
    assert place == pytest.approx([keyframe["aim"]["x"], keyframe["aim"]["y"]], abs=0.004)
