"""What is random of a place in the random briefs: where it is, skyline, compass, tides, spots near it."""

from __future__ import annotations

from random import Random
from typing import Any

from fieldsheet.catalog.names import TIDES
from fieldsheet.plan.civil import day_number, iso_date


def random_horizon(rng: Random) -> list[list[float]]:
    """No measured skyline, or one right round: low, high, or with a peak in it."""
    if rng.random() < 0.5:
        return []
    step = rng.choice([5, 30, 72])
    most = rng.choice([2.0, 8.0, 25.0])
    return [[azimuth + 0.5, round(rng.uniform(-0.5, most), 1)] for azimuth in range(0, 360, step)]


def random_declination(rng: Random) -> dict[str, Any]:
    """What the catalog finds: a declination, a weak one, or why there is none."""
    if rng.random() < 0.3:
        return {"declination": None, "no_declination": rng.choice(["dates", "pole"])}
    deg = rng.choice([rng.uniform(-30, 30), 0.5, -0.5, 0.0, 170.0])
    return {"declination": {"deg": round(deg, 3), "weak": rng.random() < 0.1}, "no_declination": None}


def random_spot(rng: Random, place: dict[str, Any]) -> Any:
    """Where somebody stands instead of the place: near it or far off; now and then nonsense."""
    spot = {key: place[key] for key in ("latitude_deg", "longitude_deg", "elevation_m")}
    if rng.random() < 0.15:
        wrong = {"latitude_deg": rng.choice([90.5, "37.1"]), "longitude_deg": -181.0, "elevation_m": None}
        key = rng.choice(list(wrong))
        return rng.choice([{**spot, key: wrong[key]}, {key: spot[key]}, "here"])
    reach = rng.choice([0.001, 0.05, 0.05, 3.0])
    spot["latitude_deg"] = max(-90.0, min(90.0, spot["latitude_deg"] + rng.uniform(-reach, reach)))
    spot["longitude_deg"] = max(-180.0, min(180.0, spot["longitude_deg"] + rng.uniform(-reach, reach)))
    return {**spot, "elevation_m": float(rng.randrange(0, 500))}


def random_latitude(rng: Random) -> float:
    """Where people live, and now and then up to the poles."""
    return round(
        rng.choice([1, -1]) * rng.uniform(60, 89.9) if rng.random() < 0.15 else rng.uniform(-66, 70), 3
    )


def random_tides(rng: Random, date: str) -> list[dict[str, Any]]:
    """A table of the date and of the day after it, with every kind of tide or with none."""
    if rng.random() < 0.4:
        return []
    after = iso_date(day_number(date) + 1)
    clocks = sorted(rng.sample(range(0, 86_400, 60), len(TIDES)))
    kinds = rng.sample(list(TIDES), len(TIDES))
    return [
        {"date": each, "clock_s": clock_s, "kind": kind}
        for each in (date, after)
        for clock_s, kind in zip(clocks, kinds, strict=True)
    ]
