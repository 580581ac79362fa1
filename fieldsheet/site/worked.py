"""Numbers put into the formulas of the guide's chapter on computing, by what computes the plans themselves:
no example can say another thing than the program does.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from math import atan2, degrees, radians, tan
from typing import Any

from ..catalog.defaults import COLD
from ..catalog.landmarks import altitude_deg
from ..catalog.magnetic import declination
from ..catalog.marks import setting
from ..plan.aim import Base, Lens, aim_at, lens_of, roll_deg
from ..plan.dew import dew_of
from ..plan.flicker import ripple
from ..plan.joins import slopes, smooth
from ..plan.look import exposed, look_of
from ..plan.move import travel_s, warp_of
from ..plan.pace import Pace, Phase, paced
from ..plan.supplies import GRAVITY, held_pack
from ..plan.timing import Timing
from ..plan.trails import rule_500_s, rule_pixel_s, trail_mm
from ..sheet.words import bearing, fixed, signed
from ..sky.events import EVENTS, Crossing
from ..sky.illuminance import MOON, SUN, Pieces, ev100, moon_log_lx, open_sky_lx
from ..sky.observe import Air, Site, refraction_deg

# A 24 mm lens on a 36 x 24 mm sensor that delivers 16:9, on a head that turns while it exposes.
BRIEF: dict[str, Any] = {
    "camera": {"focal_mm": 24.0, "projection": "rectilinear"},
    "frame_mm": [36.0, 20.25],
    "fps": [25, 1],
    "rig": {"motion": "continuous"},
    "rail": None,
    "head_base": "levelled",
    "base_pitch_deg": 0.0,
    "base_roll_deg": 0.0,
    "zero_bearing_deg": 0.0,
}
MINUTE_MS, HOUR_MS = 60_000, 3_600_000
WINDOW_MS, INTERVAL_MS = 3 * HOUR_MS + 46 * MINUTE_MS, 18_000


def computing() -> dict[str, Any]:
    """What the chapter is given: the results by name, and the coefficients of the light."""
    return {**worked(), "light_pieces": [(name, _rows(one)) for name, one in (("sun", SUN), ("moon", MOON))]}


def _rows(pieces: Pieces) -> list[tuple[str, list[str]]]:
    return [(f"{signed(lowest, 1)}°", [fixed(value, 2) for value in row]) for lowest, row in pieces]


def worked() -> dict[str, str]:
    """Name -> the result as the chapter shows it, its unit with it."""
    parts: tuple[Callable[[], Mapping[str, str]], ...] = (
        _sky, _places, _timing, _moving, _looking, _trailing, _light, _power_and_air,
    )  # fmt: skip
    return {name: text for part in parts for name, text in part().items()}


def _sky() -> dict[str, str]:
    sunset, moonset = EVENTS["sunset"], EVENTS["moonset"]
    assert isinstance(sunset, Crossing) and isinstance(moonset, Crossing)
    by_sea = Site(37.08, -8.67, 14.0, sea_horizon_m=14.0)
    cold = Air(pressure_hpa=990.0, temperature_c=-5.0)
    return {
        "sunset_deg": f"{fixed(sunset.rule.altitude_deg, 3)}°",
        "moonset_deg": f"{fixed(moonset.rule.altitude_deg, 3)}°",
        "dip_deg": f"{fixed(by_sea.dip_deg, 3)}°",
        "sunset_sea_deg": f"{fixed(sunset.rule.lies_deg(by_sea), 3)}°",
        "refraction_0": f"{fixed(60 * float(refraction_deg(0.0)), 1)}′",
        "refraction_10": f"{fixed(60 * float(refraction_deg(10.0)), 1)}′",
        "air_factor": fixed(cold.factor, 3),
        "refraction_cold": f"{fixed(60 * float(refraction_deg(0.0, cold)), 1)}′",
    }


def _places() -> dict[str, str]:
    found = declination(37.08, -8.67, 6.0, date(2027, 6, 5))
    assert found.deg is not None, "a date and a place that the model knows"
    level_deg = altitude_deg(10_000.0, 100.0, 100.0)
    return {
        "declination": f"{signed(found.deg, 1)}°",
        "magnetic": bearing(225.0 - found.deg),
        "sunk_deg": f"{fixed(level_deg, 3)}°",
        "sunk_m": f"{fixed(-10_000.0 * tan(radians(level_deg)), 1)} m",
        "mast_deg": f"{signed(altitude_deg(4600.0, 100.0, 455.0), 1)}°",
    }


def _timing() -> dict[str, str]:
    segments, frames = paced(0, (Phase(INTERVAL_MS, None, 1),), None, WINDOW_MS)
    pace = Pace(segments)
    rate, scale = BRIEF["fps"]
    return {
        "frames": str(frames),
        "clip": f"{fixed(frames * scale / rate, 1)} s",
        "middle": _hms(pace.ms_of(376)),
        "last": _hms(pace.ms_of(frames)),
    }


def _hms(ms: int) -> str:
    """Hours, minutes and seconds."""
    minutes, seconds = divmod(ms // 1000, 60)
    return f"{minutes // 60} h {minutes % 60} min {seconds} s"


def _moving() -> dict[str, str]:
    warp = warp_of((1, 1), (40, 40), 753)
    knots, values = [0.0, 0.5, 1.0], [0.0, 20.0, 100.0]
    at = slopes(knots, values)
    return {
        "way_21": f"{fixed(1000 * warp.s(21), 1)} mm",
        "way_41": f"{fixed(1000 * warp.s(41), 1)} mm",
        "way_377": f"{fixed(1000 * warp.s(377), 1)} mm",
        "smooth": f"{fixed(smooth(0.5, values[0], values[1], at[0], at[1], 0.5), 2)}°",
        "short_move": f"{fixed(travel_s(1.4, 12.0, 20.0), 2)} s",
        "long_move": f"{fixed(travel_s(1060.0, 12.0, 20.0), 1)} s",
    }


def _looking() -> dict[str, str]:
    lens = lens_of(BRIEF)
    across_deg, up_deg = lens.view_deg()
    fisheye = Lens(18.0 / 10.0, 12.0 / 10.0, "equidistant").view_deg()
    aimed = aim_at(180.0, 10.0, 0.5, -0.5, lens)
    assert aimed is not None, "a tilt of a level head puts it there"
    turns = [(0.2, 0.0)] * 99
    look = look_of(BRIEF, turns)
    assert look is not None, "a head that turns"
    segments, frames = paced(0, (Phase(10_000, None, 1),), 100, None)
    timing = Timing(segments, frames, 0, (), (), 1_000_000, (Phase(10_000, None, 1),))
    blur = exposed(BRIEF, turns, timing, [(1, 5000)])
    return {
        "view": f"{fixed(across_deg, 1)}° × {fixed(up_deg, 1)}°",
        "fisheye": f"{fixed(fisheye[0], 0)}°",
        "aim": f"{fixed(aimed[0], 1)}°",
        "tilt": f"{signed(aimed[1], 1)}°",
        "width_s": f"{fixed(look['seconds_per_frame_width'], 1)} s",
        "blur": f"{fixed(blur['blur_px'], 1)} px",
        "shutter_angle": f"{fixed(blur['shutter_angle_deg'], 0)}°",
        "roll": f"{fixed(roll_deg(90.0, 0.0, Base(0.0, 1.0)), 1)}°",
        "shift": f"{fixed(degrees(atan2(1.2, 10.0)), 1)}°",
    }


def _trailing() -> dict[str, str]:
    trail = trail_mm(-29.0, 20.0, 24.0)
    return {
        "trail_um": f"{fixed(1000 * trail, 1)} µm",
        "trail_px": f"{fixed(trail / 0.00435, 2)} px",
        "trail_clip_px": f"{fixed(trail / 36.0 * 3840, 2)} px",
        "rule_500": f"{fixed(rule_500_s(24.0, [36.0, 24.0]), 1)} s",
        "rule_pixel": f"{fixed(rule_pixel_s(2.8, 24.0, 4.35, 0.0), 2)} s",
    }


def _light() -> dict[str, str]:
    dark = (-90.0, 0.0, 384_400.0)  # a new moon under the feet
    dusk_lx, night_lx = open_sky_lx(-6.0, dark), open_sky_lx(-18.0, dark)
    moon_lx = 10 ** moon_log_lx(60.0, 180.0, 384_400.0)
    bright = setting(Decimal("2.8"), "1/2000", 100)
    dim = setting(Decimal("2.8"), "13", 3200)
    return {
        "dusk_lx": f"{fixed(dusk_lx, 2)} lx",
        "dusk_ev": fixed(ev100(dusk_lx), 1),
        "night_lx": f"{fixed(night_lx, 4)} lx",
        "night_ev": fixed(ev100(night_lx), 1),
        "moon_lx": f"{fixed(moon_lx, 2)} lx",
        "moon_ev": fixed(ev100(moon_lx), 1),
        "bright_ev": fixed(bright.thirds / 3, 1),
        "dark_ev": fixed(dim.thirds / 3, 1),
        "clicks": str(bright.thirds - dim.thirds),
        "ripple_60": f"{fixed(100 * ripple(50, 1 / 60), 0)} %",
        "ripple_50": f"{fixed(100 * ripple(50, 1 / 50), 0)} %",
    }


def _power_and_air() -> dict[str, str]:
    cold = [[float(part) for part in pair] for pair in COLD]
    pack = {"name": "A", "rated_wh": 13_400 * 3.7 / 1000, "efficiency": 0.85, "reserve": 0.2, "cold": cold}
    warm, frozen = held_pack(pack, 20.0), held_pack(pack, -5.0)
    air = dew_of({"air_c": 13.0, "dew_point_c": None, "humidity_pct": 82.0})
    assert air is not None
    return {
        "rated": f"{fixed(warm['rated_wh'], 1)} Wh",
        "warm": f"{fixed(warm['usable_wh'], 1)} Wh",
        "frozen": f"{fixed(frozen['usable_wh'], 1)} Wh",
        "lift": f"{fixed(5 * GRAVITY * 1 / 3600, 4)} Wh",
        "dew_point": f"{fixed(air['dew_point_c'], 1)} °C",
        "spread": f"{fixed(air['spread_c'], 1)} °C",
    }
