"""Random briefs and changes, seeded, for comparing the twins: every branch of the plan is reached often."""

from __future__ import annotations

from random import Random
from typing import Any

from fieldsheet.catalog.zones import spans
from fieldsheet.sky.events import EVENTS

UNTIL_S = 1_924_992_000  # 2031-01-01, as far as the spans of 2027 reach
ZONES = (
    "Europe/Lisbon",
    "Europe/London",
    "America/St_Johns",
    "America/Santiago",
    "Pacific/Auckland",
    "Pacific/Chatham",
    "Asia/Kathmandu",
    "Atlantic/Stanley",
    "Africa/Windhoek",
    "UTC",
)
AXES = {
    "slide": {
        "unit": "mm",
        "min": 0.0,
        "max": 1060.0,
        "step": 1.0,
        "speed_max": 14.0,
        "acceleration_max": 18.0,
    },
    "pan": {
        "unit": "deg",
        "min": -175.0,
        "max": 175.0,
        "step": 0.1,
        "speed_max": 8.0,
        "acceleration_max": 12.0,
    },
    "tilt": {
        "unit": "deg",
        "min": -40.0,
        "max": 75.0,
        "step": 0.1,
        "speed_max": 6.0,
        "acceleration_max": 10.0,
    },
}


def random_case(rng: Random) -> dict[str, Any]:
    """One brief with changes to it; well formed, though the night may give no plan."""
    brief = random_brief(rng)
    if rng.random() < 0.05:
        _at_a_clock_change(brief, rng.choice(["2027-03-28", "2027-10-31"]))
    changes: dict[str, Any] = {}
    if rng.random() < 0.5:
        changes["night"] = _date(rng) if rng.random() < 0.95 else rng.choice(["2031-03-01", "2028-11-01"])
    if rng.random() < 0.25:
        changes["start_ms"] = 1_000 * rng.randrange(1_799_000_000, 1_828_000_000)
    return {"brief": brief, "changes": changes}


def random_brief(rng: Random) -> dict[str, Any]:
    date = _date(rng)
    axes = _axes(rng)
    frames = rng.choice([None, rng.randrange(2, 900)])
    count = rng.randrange(2, 6)
    return {
        "format": "fieldsheet brief",
        "version": 1,
        "revision": "0A1B2C",
        "shot": {"id": "random", "title": "Random <b>&</b> shot", "notes": []},
        "place": {
            "id": "somewhere",
            "title": "Somewhere",
            "latitude_deg": round(rng.uniform(-66, 70), 3),
            "longitude_deg": round(rng.uniform(-180, 180), 3),
            "elevation_m": float(rng.randrange(0, 4000)),
            "zone": _zone(rng.choice(ZONES)),
            "hazards": ["edge {not a slot}"],
            "abort": [],
        },
        "rig": {
            "id": "rig",
            "title": "Rig",
            "letter": "B",
            "motion": rng.choice(["shoot-move-shoot", "continuous"]),
            "trigger": rng.choice(["rig", "camera"]),
            "interval_step_ms": rng.choice([1, 100, 500, 1000]),
            "settle_ms": rng.choice([0, 500, 1500]),
            "program_order": ["interval", "dwell", "frames", "hold", "ease"],
            "axes": axes,
            "joints": [{"name": "head", "seat": "plate", "key": "arrow", "lock": "lever"}],
            "cables": [{"name": "tilt", "from": "motor", "to": "head", "key": "rib up"}],
            "remote": {"kind": "wireless", "pair": "hold", "steers_by_tilt": rng.random() < 0.5},
        },
        "camera": {
            "id": "camera",
            "title": "Camera",
            "focal_mm": rng.choice([14.0, 24.0, 50.0]),
            "release_lag_ms": rng.choice([0, 100, 250]),
            "ready_ms": rng.choice([100, 400]),
            "remote_plug": None,
            "switch_off": ["Stabiliser"],
        },
        "night": {"rule": rng.choice(["night", "night", "day"]), "date": date},
        **_timing(rng, frames),
        "fps": rng.choice([[25, 1], [30000, 1001], [24, 1]]),
        "longest_shutter_ms": rng.choice([500, 13000, 16000, 32000]),
        "hold": rng.choice([[1, 1], [0, 0], [5, 10]]),
        "ease": rng.choice([[0, 0], [10, 10], [3, 40]]),
        "frame_mm": rng.choice([[36.0, 20.25], [24.0, 36.0]]),
        "zero_bearing_deg": float(rng.randrange(0, 720)) / 2,
        "zero_sighting": rng.choice([None, "mast on the point"]),
        "rail": rng.choice([None, {"bearing_deg": 120.0, "incline_deg": 12.5, "home_end": "left"}]),
        "order": rng.choice(["first-to-last", "last-to-first"]),
        "keyframes": [_keyframe(rng, index, count, axes) for index in range(count)],
    }


CLOCK_CHANGES = ("2027-03-28", "2027-10-31", "2027-03-14", "2027-11-07", "2027-09-25")


def _at_a_clock_change(brief: dict[str, Any], date: str) -> None:
    """At 01:30 Lisbon's clocks skip on 28 March 2027 and come twice on 31 October."""
    brief["place"]["zone"] = _zone("Europe/Lisbon")
    brief["night"] = {"rule": "day", "date": date}
    brief |= {"start": {"clock_s": 5400}, "end": None, "duration_ms": None}
    brief |= {"interval_ms": 18_000, "frames": 400}
    for keyframe in brief["keyframes"]:
        keyframe |= {"aim": None, "axes": dict.fromkeys(brief["rig"]["axes"], 1.0)}


def _date(rng: Random) -> str:
    if rng.random() < 0.1:
        return rng.choice(CLOCK_CHANGES)
    return f"2027-{rng.randrange(1, 13):02d}-{rng.randrange(1, 29):02d}"


def _zone(name: str) -> dict[str, Any]:
    return {
        "name": name,
        "spans": [list(span) for span in spans(name, 2027)],
        "until_s": UNTIL_S if name != "UTC" else 1_850_000_000,
    }


def _axes(rng: Random) -> dict[str, Any]:
    names = rng.choice([("slide", "pan", "tilt"), ("slide", "pan", "tilt"), ("pan", "tilt"), ("slide",)])
    axes = {name: dict(AXES[name]) for name in names}
    for axis in axes.values():
        axis["step"] = rng.choice([axis["step"], 0.05, 0.5])
        axis["speed_max"] *= rng.choice([1, 1, 0.002])
    return axes


def _anchor(rng: Random) -> dict[str, Any]:
    if rng.random() < 0.35:
        return {"clock_s": rng.choice([rng.randrange(0, 86400, 300), rng.randrange(0, 10800, 900)])}
    return {"event": rng.choice(list(EVENTS)), "offset_s": rng.randrange(-4, 8) * 900}


def _timing(rng: Random, frames: int | None) -> dict[str, Any]:
    """Three of the five, as the catalog would have it."""
    timing: dict[str, Any] = dict.fromkeys(("start", "end", "duration_ms", "interval_ms", "frames"))
    window = rng.choice(
        [("start", "end"), ("start", "duration_ms"), ("end", "duration_ms"), ("start",), ("end",)]
    )
    for name in window:
        timing[name] = rng.randrange(600_000, 20_000_000) if name == "duration_ms" else _anchor(rng)
    interval_ms = rng.choice([2000, 9990, 18000, 20500])
    if len(window) == 1:
        return {**timing, "interval_ms": interval_ms, "frames": frames or 400}
    return {**timing, **({"interval_ms": interval_ms} if frames is None else {"frames": frames})}


def _keyframe(rng: Random, index: int, count: int, axes: dict[str, Any]) -> dict[str, Any]:
    values = {name: round(rng.uniform(axis["min"], axis["max"]), 2) for name, axis in axes.items()}
    aim = None
    if "pan" in axes and rng.random() < 0.7:
        del values["pan"], values["tilt"]
        aim = {"x": rng.choice([0.0, 0.5]), "y": rng.choice([0.0, -0.33, 0.2])}
        if rng.random() < 0.7:
            aim = {"target": rng.choice(["sun", "moon", "galactic core", "galactic core"]), **aim}
        else:
            aim = {
                "bearing_deg": rng.randrange(0, 360) * 1.0,
                "altitude_deg": rng.randrange(-5, 40) * 1.0,
                **aim,
            }
    return {
        "at": _position(rng, index, count),
        "axes": values,
        "aim": aim,
        "turn": rng.choice([None, None, "cw", "ccw"]),
        "sighting": rng.choice([None, "light on the lower third"]),
    }


def _position(rng: Random, index: int, count: int) -> dict[str, Any]:
    if index in (0, count - 1) or rng.random() < 0.8:
        return {"fraction": index / (count - 1)}
    return rng.choice([{"frame": rng.choice([3, rng.randrange(2, 400)])}, _anchor(rng)])
