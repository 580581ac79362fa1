"""Needs of a target or of the moon against a skyline that somebody measured, and against the horizon."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.sky.sky import Sky

from .measured import END, found_for, verdicts


@pytest.mark.parametrize(
    ("skyline_deg", "low", "high", "verdict"),
    [
        (None, 10.0, 40.0, "met: 11.2°"),
        (5.0, 10.0, 40.0, "met: 11.2°"),
        (15.0, 10.0, 40.0, "not met: 11.2°, behind the skyline"),
        (15.0, 0.0, 90.0, "not met: 11.2°, behind the skyline"),
        (15.0, 12.0, 40.0, "not met: 11.2°, behind the skyline"),
        # Who lets a target be below the horizon does not ask to see it.
        (15.0, -90.0, 20.0, "met: 11.2°, behind the skyline"),
        (15.0, -18.0, 20.0, "met: 11.2°, behind the skyline"),
    ],
)
def test_a_target_behind_the_skyline_is_not_where_it_is_to_be_seen(
    demo_brief: dict[str, Any], sky: Sky, skyline_deg: float | None, low: float, high: float, verdict: str
) -> None:
    if skyline_deg is not None:
        demo_brief["place"]["horizon"] = [[azimuth, skyline_deg] for azimuth in (0.0, 120.0, 240.0)]
    need = {"kind": "altitude", "target": "galactic core", "at": END, "altitude_deg": [low, high]}
    assert verdicts(demo_brief, sky, need) == [verdict]


def test_a_sun_that_is_to_be_down_is_not_looked_for_over_the_skyline(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    demo_brief["place"]["horizon"] = [[0.0, 8.0], [120.0, 8.0], [240.0, 8.0]]
    need = {"kind": "altitude", "target": "sun", "at": {"event": "nautical dusk", "offset_s": 0}}
    assert verdicts(demo_brief, sky, {**need, "altitude_deg": [-12.5, -6.0]}) == ["met: −12.0°"]


@pytest.mark.parametrize("body", ["sun", "moon", "core"])
def test_what_has_just_come_over_the_ridge_is_seen(demo_brief: dict[str, Any], sky: Sky, body: str) -> None:
    """Sun and moon by their upper edge, as the events of the ridge have it; a minute before they are not."""
    demo_brief["place"]["horizon"] = [[0.0, 6.0], [120.0, 6.0], [240.0, 6.0]]
    target = "galactic core" if body == "core" else body
    needs = [
        {
            "kind": "altitude",
            "target": target,
            "at": {"event": f"{body} over ridge", "offset_s": offset_s},
            "altitude_deg": [0.0, 90.0],
        }
        for offset_s in (-1800, -60, 0, 60)
    ]
    assert [met for *_, met in found_for(demo_brief, sky, *needs)] == [False, False, True, True]


def test_the_moon_by_horizon_and_skyline(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Behind the skyline she is not there to be seen, and not down: her light fills the sky."""
    needs = [
        {"kind": f"moon-{way}", "at": {"event": "moonset", "offset_s": offset_s}}
        for offset_s in (-7200, -600, 600)
        for way in ("up", "down")
    ]
    high, low, down = "up by 20.0°", "up by 1.4°", "down by 1.7°"
    assert verdicts(demo_brief, sky, *needs) == [
        *(f"met: {high}", f"not met: {high}"),
        *(f"met: {low}", f"not met: {low}"),
        *(f"not met: {down}", f"met: {down}"),
    ]
    demo_brief["place"]["horizon"] = [[0.0, 8.0], [120.0, 8.0], [240.0, 8.0]]
    assert verdicts(demo_brief, sky, *needs) == [
        *(f"met: {high}", f"not met: {high}"),
        f"not met: {low}, but behind the skyline",
        f"not met: {low}, behind the skyline but lighting the sky",
        *(f"not met: {down}", f"met: {down}"),
    ]


@pytest.mark.parametrize(("sea_horizon_m", "apart"), [(None, "0.1°"), (340.0, "0.2°")])
def test_up_and_down_are_told_by_the_edge_that_is_judged(
    demo_brief: dict[str, Any], sky: Sky, sea_horizon_m: float | None, apart: str
) -> None:
    """At her set it is nothing, a minute on either side as much as she is seen to sink; over a sea too."""
    demo_brief["place"]["sea_horizon_m"] = sea_horizon_m
    needs = [
        {"kind": "moon-up", "at": {"event": "moonset", "offset_s": offset_s}} for offset_s in (-60, -1, 1, 60)
    ]
    up, down = "met: up by ", "not met: down by "
    assert verdicts(demo_brief, sky, *needs) == [up + apart, f"{up}0.0°", f"{down}0.0°", down + apart]
