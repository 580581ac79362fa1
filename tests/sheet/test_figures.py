"""Numbers of the sheet against something outside it: the angle-of-view table, and counting by hand."""

from __future__ import annotations

from math import radians, tan
from typing import Any

import pytest

from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky

# Angle of view of a 36 x 24 mm frame, rectilinear, focused at infinity [deg]: horizontal, vertical.
# T. Bryant, table posted to a photography mailing list, 1999-08-20.
ANGLE_OF_VIEW = {14: (104.250, 81.203), 24: (73.740, 53.130), 50: (39.598, 26.991), 200: (10.286, 6.867)}


def _numbers(brief: dict[str, Any], sky: Sky) -> dict[str, str]:
    numbers: dict[str, str] = make_sheet(plan_shot(brief, sky, {}))["numbers"]
    return numbers


@pytest.mark.parametrize(("focal_mm", "view_deg"), ANGLE_OF_VIEW.items())
def test_the_view_is_the_tables(
    demo_brief: dict[str, Any], sky: Sky, focal_mm: int, view_deg: tuple[float, float]
) -> None:
    demo_brief["camera"]["focal_mm"] = float(focal_mm)
    demo_brief["frame_mm"] = [36.0, 24.0]
    across, up = (f"{angle:.{0 if min(view_deg) >= 10 else 1}f}" for angle in view_deg)
    assert _numbers(demo_brief, sky)["view"].startswith(f"{across}° × {up}°, 36 × 24 of 36 × 24 mm")


@pytest.mark.parametrize(("focal_mm", "view_deg"), ANGLE_OF_VIEW.items())
def test_half_a_degree_moves_the_middle_by_its_share_of_the_tables_width(
    demo_brief: dict[str, Any], sky: Sky, focal_mm: int, view_deg: tuple[float, float]
) -> None:
    """In a flat picture angles off the axis are as wide as their tangents."""
    demo_brief["camera"]["focal_mm"] = float(focal_mm)
    demo_brief["frame_mm"] = [36.0, 24.0]
    share = 100 * tan(radians(0.5)) / (2 * tan(radians(view_deg[0] / 2)))
    said, unit = _numbers(demo_brief, sky)["aim_error"].split(" ", 1)
    assert unit == "% of the width" and float(said) == pytest.approx(share, abs=0.06)


def test_the_counts_to_compare_are_counted_by_hand(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Common practice, no source: duration / interval = frames; 100 frames of 18 s fill half an hour.

    From 19:30 on, frame 101 fires at 20:00, and 100 files lie between it and the first.
    """
    brief = {**demo_brief, "start": {"clock_s": 19 * 3600 + 1800}, "end": {"clock_s": 21 * 3600 + 60}}
    rows = make_sheet(plan_shot({**brief, "swap": None}, sky, {}))["rolling"]
    assert [(row["clock"], row["frame"], row["file"]) for row in rows] == [
        ("20:00", "101", "+100"),
        ("20:30", "201", "+200"),
        ("21:00", "301", "+300"),
    ]


def test_what_goes_on_after_a_stop_begins_to_the_second(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Frame 678 of one a 18 s after 19:36: 677 x 18 s = 3 h 23 min 6 s on."""
    way = {"id": "sky", "frame": 612, "rolling_ms": 0}
    planned = plan_shot(demo_brief, sky, {})
    way["rolling_ms"] = planned["window"]["start"]["utc_ms"] + (3 * 60 + 23) * 60_000
    assert make_sheet(planned)["numbers"]["first_frame"] == "19:36"
    went_on = make_sheet(plan_shot(demo_brief, sky, {"way": way}))
    assert went_on["numbers"]["first_frame"] == "22:59 + 6 s"
