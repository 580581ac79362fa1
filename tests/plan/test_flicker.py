"""Mains light and lenses that close: what flickers, and what is named instead."""

from __future__ import annotations

from math import pi
from typing import Any

import numpy as np
import pytest

from fieldsheet.catalog.marks import SHUTTERS
from fieldsheet.plan.flicker import SEEN, STEADY, ripple
from fieldsheet.plan.plan import plan
from fieldsheet.sky.sky import Sky
from tests.plan.test_exposure import exposing, warned


@pytest.mark.parametrize("hz", [50, 60])
@pytest.mark.parametrize("seconds", [1 / 500, 1 / 125, 1 / 60, 1 / 40, 0.3])
def test_ripple_is_what_a_shutter_sees_of_a_light_that_swells(hz: int, seconds: float) -> None:
    """Against a light of 1 + sin, summed over the shutter at every phase at which it may open."""
    times = np.linspace(0, seconds, 20_001)
    phases = np.linspace(0, 2 * pi, 181)
    seen = [np.trapezoid(1 + np.sin(2 * pi * 2 * hz * times + phase), times) / seconds for phase in phases]
    assert ripple(hz, seconds) == pytest.approx((max(seen) - min(seen)) / 2, abs=1e-3)


@pytest.mark.parametrize("hz", [50, 60])
def test_what_is_named_holds_the_swell_and_so_does_all_from_a_tenth_on(hz: int) -> None:
    """Common practice, no source: 1/50 and 1/100 at 50 Hz, 1/60 at 60 Hz; much faster ones flicker."""
    for mark in STEADY[hz].split(" or "):
        assert mark in SHUTTERS and ripple(hz, 1 / int(mark[2:])) < 1e-9
    for mark in SHUTTERS[SHUTTERS.index("1/10") :]:
        seconds = 1 / int(mark[2:]) if mark.startswith("1/") else float(mark)
        assert ripple(hz, seconds) <= SEEN, mark
    assert all(ripple(hz, 1 / speed) > 0.5 for speed in (200, 500, 1000))


def test_the_first_frame_that_flickers_is_named(demo_brief: dict[str, Any], sky: Sky) -> None:
    args = warned(plan(exposing({**demo_brief, "mains_hz": 50}), sky, {}))["mains-flicker"]
    assert (args["frame"], args["shutter"], args["steady"]) == (1, "1/1000", "1/100 or 1/50")
    assert "mains-flicker" not in warned(plan(exposing(demo_brief), sky, {}))


@pytest.mark.parametrize(("open_ms", "said"), [(20, None), (8, "1/125"), (2500, None)])
def test_without_an_exposure_the_shots_own_shutter_counts(
    demo_brief: dict[str, Any], sky: Sky, open_ms: int, said: str | None
) -> None:
    brief = {**demo_brief, "exposure": None, "mains_hz": 50, "longest_shutter_ms": open_ms}
    assert warned(plan(brief, sky, {})).get("mains-flicker", {}).get("shutter") == said


@pytest.mark.parametrize(
    ("widest", "keys", "frame"),
    [
        ("4", {}, None),
        (None, {}, None),
        ("2.8", {}, 1),
        ("4", {"aperture": "moves", "bright": {"f": 8, "shutter": "1/250", "iso": 100}}, 1),
    ],
)
def test_a_lens_that_closes_is_told_where_it_is_not_at_its_widest(
    demo_brief: dict[str, Any], sky: Sky, widest: str | None, keys: dict[str, Any], frame: int | None
) -> None:
    brief = exposing(demo_brief, **keys)
    brief["camera"] = {**brief["camera"], "widest_f": widest}
    assert warned(plan(brief, sky, {})).get("aperture-flicker", {}).get("frame") == frame
