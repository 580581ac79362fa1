"""Random briefs and changes, seeded, for comparing the twins: every branch of the plan is reached often."""

from __future__ import annotations

from random import Random
from typing import Any

from fieldsheet.catalog.names import BASE_EVENTS, BODIES, BODY_EVENTS, PROJECTIONS, RIDGE_EVENTS, TIDES
from fieldsheet.catalog.zones import spans, until_s
from fieldsheet.plan.keyed import ready_ms
from tests.random_axes import KEYFRAMES, random_axes
from tests.random_exposure import random_exposure
from tests.random_needs import random_needs
from tests.random_phases import random_phases
from tests.random_places import random_declination, random_horizon, random_latitude, random_spot, random_tides
from tests.random_power import random_battery, random_cards, random_heater, random_power

YEARS = (2026, 2027, 2028)
YEAR_S = 365 * 86_400
# The outermost days of the years of sky, some of them too near its edge to be planned.
EDGES = ("2026-01-01", "2026-01-05", "2026-01-06", "2028-12-24", "2028-12-26", "2028-12-31")
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
PROGRAM = ["interval", "dwell", "frames", "hold", "ease"]
UNASKED = {"continuous": ("dwell",), "none": ("dwell", "hold", "ease")}


def random_case(rng: Random) -> dict[str, Any]:
    """One brief with changes to it; well formed, though the night may give no plan."""
    brief = random_brief(rng)
    if rng.random() < 0.05:
        _at_a_clock_change(brief, rng.choice(["2027-03-28", "2027-10-31"]))
    elif rng.random() < 0.03:
        _at_a_graze(brief)
    changes: dict[str, Any] = {}
    if rng.random() < 0.5:
        changes["night"] = _date(rng) if rng.random() < 0.95 else rng.choice(["2031-03-01", "2028-11-01"])
    if rng.random() < 0.25:
        later_s = (_year(brief["night"]["date"]) - 2027) * YEAR_S
        changes["start_ms"] = 1_000 * (later_s + rng.randrange(1_799_000_000, 1_828_000_000))
    if rng.random() < 0.2:
        changes["spot"] = random_spot(rng, brief["place"])
    if rng.random() < 0.15:
        changes["exposure_shift_ev"] = rng.choice([1 / 3, 1 / 3, -2 / 3, 7.0])
    return {"brief": brief, "changes": changes}


def random_brief(rng: Random) -> dict[str, Any]:
    """One brief of the shape that the catalog makes, whatever the sky may say to it."""
    date = _date(rng)
    axes = random_axes(rng)
    count = rng.choice([1, 2, 2, 3, 3, 4, 5]) if axes else 0
    rig = _rig(rng, axes)
    camera = _camera(rng)
    shutter_ms = rng.choice([500, 13000, 16000, 32000])
    still = count < 2
    rail = _rail(rng) if "slide" in axes else None
    brief = {
        "format": "fieldsheet brief",
        "version": 1,
        "revision": "0A1B2C",
        "shot": {"id": "random", "title": "Random <b>&</b> shot"},
        "place": _place(rng, date),
        "rig": rig,
        "camera": camera,
        "night": {"rule": rng.choice(["night", "night", "day"]), "date": date},
        **_timing(rng, rng.choice([None, rng.randrange(2, 900)])),
        "fps": rng.choice([[25, 1], [30000, 1001], [24, 1]]),
        "longest_shutter_ms": shutter_ms,
        "hold": [0, 0] if still else rng.choice([[1, 1], [0, 0], [5, 10]]),
        "ease": [0, 0] if still else rng.choice([[0, 0], [10, 10], [3, 40]]),
        "frame_mm": _frame_mm(rng, camera["sensor_mm"]),
        "zero_bearing_deg": float(rng.randrange(0, 720)) / 2,
        "zero_sighting": rng.choice([None, "mast on the point"]),
        "tilt_deg": None if "tilt" in axes else rng.choice([0.0, 12.5, -3.0]),
        "rail": rail,
        **_on_the_rail(rng, rail),
        "base_pitch_deg": rng.choice([0.0, 0.0, 0.0, 1.5]),
        "base_roll_deg": rng.choice([0.0, 0.0, 0.0, -0.4]),
        "lens_height_m": rng.choice([1.2, 0.4, 2.5]),
        "setup_ms": rng.choice([3_600_000, 5_400_000, 7_200_000]),
        "exposure": random_exposure(rng, shutter_ms, _anchor),
        "swap": _swap(rng),
        "temperature_c": rng.choice([24.0, 11.5, -4.0, -13.0]),
        "deep_cold": rng.random() < 0.2,
        "dew": _dew(rng),
        "mains_hz": rng.choice([None, None, 50, 60]),
        "subject": rng.choice([None, {"name": "slow clouds", "least_ms": 4000, "most_ms": 10_000}]),
        "heater": random_heater(rng),
        "order": "first-to-last" if still else rng.choice(["first-to-last", "last-to-first"]),
        "reverse": rng.random() < 0.1,
        "keyframes": [_keyframe(rng, index, count, axes) for index in range(count)],
        "needs": random_needs(rng, _anchor),
        "words": _words(rng),
    }
    if rig["interval_means"] == "gap" and brief["interval_ms"] is not None:
        brief["interval_ms"] = _with_a_gap(rng, brief)
    brief["phases"] = random_phases(rng, brief, _anchor)
    if brief["rail"] and abs(brief["rail"]["incline_deg"]) > 30:
        rig["load_kg"] = [[0.0, 6.0], [45.0, 4.0], [90.0, 2.5]]
    if brief["heater"] is None:
        brief["assumed"] = {"count": count + 1, "first": "settle 1.0 s, slide speed 15 mm a second"}
    return brief


def _place(rng: Random, date: str) -> dict[str, Any]:
    check_in = {"with": "the boathouse", "at": _anchor(rng)}
    return {
        "id": "somewhere",
        "title": "Somewhere",
        "latitude_deg": random_latitude(rng),
        "longitude_deg": round(rng.uniform(-180, 180), 3),
        "elevation_m": float(rng.randrange(0, 4000)),
        "zone": _zone(rng.choice(ZONES), date),
        "horizon": random_horizon(rng),
        "sea_horizon_m": rng.choice([None, None, 2.0, 340.0]),
        "air": rng.choice([None, None, {"pressure_hpa": 640.0, "temperature_c": -18.5}]),
        **random_declination(rng),
        "landmarks": [
            {
                "name": f"mark {number}",
                "bearing_deg": rng.randrange(0, 720) / 2,
                "altitude_deg": rng.choice([0.0, 2.5, -1.0]),
            }
            for number in range(rng.randrange(0, 4))
        ],
        "tides": random_tides(rng, date),
        "turn_back": rng.choice([None, {"clock_s": 81_000}, _anchor(rng)]),
        "gate_closes": rng.choice([None, {"clock_s": 84_600}]),
        "check_in": rng.choice([None, check_in]),
        "approach_ms": rng.choice([None, 1_500_000, 5_400_000]),
    }


def _rig(rng: Random, axes: dict[str, Any]) -> dict[str, Any]:
    motion = rng.choice(["shoot-move-shoot", "continuous"]) if axes else "none"
    gap = motion == "shoot-move-shoot" and rng.random() < 0.3
    return {
        "id": "rig",
        "title": "Rig",
        "letter": "B",
        "motion": motion,
        "trigger": rng.choice(["rig", "camera"]),
        "interval_step_ms": rng.choice([1, 100, 500, 1000]),
        "interval_changes": rng.random() < 0.6,
        "settle_ms": rng.choice([0, 500, 1500]),
        "program_order": [
            name for name in PROGRAM if motion == "shoot-move-shoot" or name not in UNASKED[motion]
        ],
        "axes": axes,
        "keyframes": rng.choice(KEYFRAMES) if axes else None,
        "position_after_power_loss": rng.choice([None, "kept", "lost"]) if axes else None,
        "interval_means": "gap" if gap else "start to start",
        "joins": rng.choice(["straight", "smooth"]),
        "waits_for_camera": motion == "shoot-move-shoot" and rng.random() < 0.3,
        **_over_rail(rng, axes),
        "load_kg": None,
        "power": random_power(rng, axes),
    }


def _over_rail(rng: Random, axes: dict[str, Any]) -> dict[str, Any]:
    over_mm = rng.choice([None, 180.0, 420.0]) if "slide" in axes else None
    legs = [{"at_mm": rng.choice([0.0, 900.0]), "height_mm": 500.0, "spread_mm": 120.0}]
    return {"lens_over_rail_mm": over_mm, "legs": rng.choice([[], legs]) if over_mm else []}


def _camera(rng: Random) -> dict[str, Any]:
    return {
        "id": "camera",
        "title": "Camera",
        "focal_mm": rng.choice([14.0, 24.0, 50.0]),
        "release_lag_ms": rng.choice([0, 100, 250]),
        "ready_ms": rng.choice([100, 400]),
        "widest_f": rng.choice([None, None, "1.4", "2.8"]),
        "noise_reduction": rng.random() < 0.15,
        "projection": rng.choice(["rectilinear", *PROJECTIONS]),
        "sensor_mm": rng.choice([[36.0, 24.0], [24.0, 36.0], [23.5, 15.7]]),
        "pixels": rng.choice([None, [6000, 4000]]),
        "battery": random_battery(rng),
        "cards": random_cards(rng),
    }


def _dew(rng: Random) -> dict[str, Any] | None:
    """Air with its dew point or its humidity, near or far from dew."""
    air_c = rng.choice([24.0, 7.5, -3.0])
    dew = {"air_c": air_c, "dew_point_c": air_c - rng.choice([1.5, 9.0]), "humidity_pct": None}
    damp = {"air_c": air_c, "dew_point_c": None, "humidity_pct": rng.choice([42.0, 88.0, 100.0])}
    return rng.choice([None, None, dew, damp])


def _frame_mm(rng: Random, sensor_mm: list[float]) -> list[float]:
    """The whole sensor, or its largest part of 16:9."""
    width, height = sensor_mm
    return rng.choice([sensor_mm, [min(width, height * 16 / 9), min(height, width * 9 / 16)]])


def _rail(rng: Random) -> dict[str, Any]:
    incline = rng.choice([0.0, 0.0, 12.5, -20.0, 45.0, 75.0, -90.0])
    ends = ["low", "high"] if abs(incline) > 60 else ["left", "right"]
    home = rng.choice(ends) if abs(incline) <= 60 else ends[incline < 0]
    return {
        "bearing_deg": None if abs(incline) == 90 else float(rng.randrange(0, 360)),
        "incline_deg": incline,
        "home_end": home,
        "motor_end": rng.choice([None, *ends]),
        "payload_kg": rng.choice([2.4, 4.8]) if abs(incline) > 30 else rng.choice([None, 2.4]),
    }


def _on_the_rail(rng: Random, rail: dict[str, Any] | None) -> dict[str, Any]:
    """How the head stands on its rail, and how far off the nearest thing in the picture is."""
    if rail is None:
        return {"head_base": "levelled", "foreground_m": None}
    leans = abs(rail["incline_deg"]) <= 60 and rng.random() < 0.6
    return {
        "head_base": "follows rail" if leans else "levelled",
        "foreground_m": rng.choice([None, 1.5, 4.0, 25.0]),
    }


def _swap(rng: Random) -> dict[str, Any] | None:
    if rng.random() < 0.5:
        return None
    fractions = sorted(rng.sample(range(1, 100), 2))
    from_, until = ({"fraction": fraction / 100} for fraction in fractions)
    return {
        "from": rng.choice([from_, from_, _anchor(rng)]),
        "until": rng.choice([until, until, {"frame": rng.randrange(2, 900)}, _anchor(rng)]),
    }


def _with_a_gap(rng: Random, brief: dict[str, Any]) -> int:
    """An interval that leaves a gap of whole steps after the dwell, as the catalog asks."""
    open_ms: int = brief["camera"]["release_lag_ms"] + brief["longest_shutter_ms"]
    waits = brief["rig"]["waits_for_camera"]
    open_ms += ready_ms(brief, brief["longest_shutter_ms"]) if waits else 0
    step_ms: int = brief["rig"]["interval_step_ms"]
    return -(-open_ms // 1000) * 1000 + rng.randrange(1, 20) * step_ms


def _words(rng: Random) -> dict[str, Any]:
    power = {
        "supply": "12 V barrel",
        "isolating_lead": rng.random() < 0.5,
        "sleeps": rng.random() < 0.5,
        "packs": [{"name": name, "seat": "pouch"} for name in ("A", "B")],
    }
    house = {"section": "wrap", "text": "count the {pegs}", "note": None, "must": True, "role": None}
    return {
        "hazards": ["edge {not a slot}"],
        "abort": [],
        "access": rng.choice([[], ["by the <i>gate</i>"]]),
        "permit": rng.choice([None, "asked for"]),
        "stays": rng.choice([None, "Runa"]),
        "notes": [],
        "crew": [{"role": "operator", "who": "Runa"}],
        "roles": {"camera": "operator"},
        "joints": [{"name": "head", "seat": "plate", "key": "arrow", "lock": "lever", "release": None}],
        "cables": [{"name": "tilt", "from": "motor", "to": "head", "key": "rib up", "fits": None}],
        "remote": {
            "kind": "wireless",
            "pair": rng.choice([None, "hold"]),
            "steers_by_tilt": rng.random() < 0.5,
        },
        "power": rng.choice([None, power]),
        "shutter_by": rng.choice(["camera", "rig"]),
        "back_to_start": rng.choice([None, "hold the key until it stops"]),
        "remote_plug": None,
        "switch_off": ["Stabiliser"],
        "viewfinder": rng.choice(["optical", "electronic", "none"]),
        "file_roll": 9999,
        "pack": ["spare strap"],
        "house": rng.choice([[], [house]]),
        "other_letters": rng.choice([[], ["A"]]),
    }


CLOCK_CHANGES = ("2027-03-28", "2027-10-31", "2027-03-14", "2027-11-07", "2027-09-25")


def _at_a_clock_change(brief: dict[str, Any], date: str) -> None:
    """At 01:30 Lisbon's clocks skip on 28 March 2027 and come twice on 31 October."""
    brief["place"]["zone"] = _zone("Europe/Lisbon", date)
    brief["night"] = {"rule": "day", "date": date}
    brief |= {"start": {"clock_s": 5400}, "end": None, "duration_ms": None}
    brief |= {"interval_ms": 18_000, "frames": 400}
    for keyframe in brief["keyframes"]:
        keyframe |= {"aim": None, "axes": dict.fromkeys(brief["rig"]["axes"], 1.0)}


def _at_a_graze(brief: dict[str, Any]) -> None:
    """On 23 August 2027 at 15:00 UTC the moon's edge turns back 0.004 degrees above this horizon."""
    brief["place"] |= {"latitude_deg": 69.65, "longitude_deg": 18.96, "elevation_m": 0.0}
    brief["place"] |= {"zone": _zone("UTC", "2027-08-23"), "sea_horizon_m": None}
    brief["night"] = {"rule": "night", "date": "2027-08-23"}


def _date(rng: Random) -> str:
    if rng.random() < 0.1:
        return rng.choice(CLOCK_CHANGES)
    if rng.random() < 0.05:
        return rng.choice(EDGES)
    return f"{rng.choice([2027, *YEARS])}-{rng.randrange(1, 13):02d}-{rng.randrange(1, 29):02d}"


def _year(date: str) -> int:
    return int(date[:4])


def _zone(name: str, date: str) -> dict[str, Any]:
    """As a brief of that date has it; of UTC no more is known than to the summer of 2028."""
    year = _year(date)
    return {
        "name": name,
        "spans": [list(span) for span in spans(name, year)],
        "until_s": until_s(year) if name != "UTC" else 1_850_000_000,
    }


def _anchor(rng: Random) -> dict[str, Any]:
    if rng.random() < 0.35:
        return {"clock_s": rng.choice([rng.randrange(0, 86400, 300), rng.randrange(0, 10800, 900)])}
    return _event(rng)


def _event(rng: Random) -> dict[str, Any]:
    kinds = [BASE_EVENTS, BASE_EVENTS, BASE_EVENTS, BODY_EVENTS, RIDGE_EVENTS, tuple(TIDES)]
    events = rng.choice(kinds)
    return {"event": rng.choice(events), "offset_s": rng.randrange(-4, 8) * 900}


def _timing(rng: Random, frames: int | None) -> dict[str, Any]:
    """Three of the five, as the catalog would have it."""
    timing: dict[str, Any] = dict.fromkeys(("start", "end", "duration_ms", "interval_ms", "frames"))
    window = rng.choice(
        [("start", "end"), ("start", "duration_ms"), ("end", "duration_ms"), ("start",), ("end",)]
    )
    for name in window:
        timing[name] = rng.randrange(600_000, 20_000_000) if name == "duration_ms" else _anchor(rng)
    interval_ms = rng.choice([5000, 9990, 18000, 20500])
    if rng.random() < 0.1:
        interval_ms = rng.randrange(60_001, 200_000)
    if len(window) == 1:
        return {**timing, "interval_ms": interval_ms, "frames": frames or 400}
    return {**timing, **({"interval_ms": interval_ms} if frames is None else {"frames": frames})}


def _keyframe(rng: Random, index: int, count: int, axes: dict[str, Any]) -> dict[str, Any]:
    values = {name: round(rng.uniform(axis["min"], axis["max"]), 2) for name, axis in axes.items()}
    aim: dict[str, Any] | None = None
    if "tilt" in axes and rng.random() < 0.7:
        del values["pan"], values["tilt"]
        aim = {"x": rng.choice([0.0, 0.5]), "y": rng.choice([0.0, -0.33, 0.2])}
        if rng.random() < 0.7:
            aim = {"target": rng.choice(["sun", "moon", "galactic core", *BODIES]), **aim}
        else:
            aim = {
                "bearing_deg": rng.randrange(0, 360) * 1.0,
                "altitude_deg": rng.randrange(-5, 40) * 1.0,
                **aim,
            }
    return {
        "at": _position(rng, index, count),
        "meant_for": _event(rng) if rng.random() < 0.15 else None,
        "axes": values,
        "aim": aim,
        "turn": rng.choice([None, None, "cw", "ccw"]),
        "sighting": rng.choice([None, "light on the lower third"]),
        "scene_ev": rng.choice([0.0, 0.0, -2.5, 1.0]),
    }


def _position(rng: Random, index: int, count: int) -> dict[str, Any]:
    if count == 1:
        return rng.choice([{"fraction": 0.0}, {"fraction": 0.5}, {"frame": 2}, _anchor(rng)])
    if index in (0, count - 1) or rng.random() < 0.8:
        return {"fraction": index / (count - 1)}
    return rng.choice([{"frame": rng.choice([3, rng.randrange(2, 400)])}, _anchor(rng)])
