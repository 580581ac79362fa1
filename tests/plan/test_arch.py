"""How the Milky Way stands, in the plan and in its line of the sheet."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.plan.anchors import site_of
from fieldsheet.plan.plan import plan
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.galaxy import galactic_arch
from fieldsheet.sky.sky import Sky


def _line(plan: dict[str, Any]) -> str | None:
    return {row["name"]: row["text"] for row in make_sheet(plan)["arch_lines"]}.get("Milky Way")


def test_it_is_said_where_the_stars_are_out(demo_brief: dict[str, Any], sky: Sky) -> None:
    # The demo begins by daylight and ends in the dark.
    planned = plan_shot(demo_brief, sky, {})
    arch = planned["sky"]["arch"]
    assert arch["start"] is None
    end_s = planned["window"]["end"]["utc_ms"] / 1000
    assert arch["end"] == galactic_arch(sky, site_of(demo_brief["place"]), end_s)._asdict()
    # At the end of this June evening it goes from the south-east over the east to the north.
    assert 60.0 < arch["end"]["top_azimuth_deg"] < 120.0
    left, top, right = (round(arch["end"][f"{edge}_deg"]) for edge in ("left", "top_azimuth", "right"))
    height = round(arch["end"]["top_deg"])
    assert _line(planned) == (
        f"start: too light; end: arch from {left:03d}° to {right:03d}°, top {height}° up at {top:03d}°"
    )


def test_by_day_nothing_is_said_of_it(demo_brief: dict[str, Any], sky: Sky) -> None:
    demo_brief["end"] = {"kind": "clock", "clock_s": 20 * 3600}
    demo_brief |= {"ease": [0, 0]}
    planned = plan_shot(demo_brief, sky, {})
    assert planned["sky"]["arch"] == {"start": None, "end": None}
    assert _line(planned) is None


@pytest.mark.parametrize("hours", [2.0, 4.0])
def test_it_turns_with_the_hours(demo_brief: dict[str, Any], sky: Sky, hours: float) -> None:
    planned = plan(demo_brief, sky, {})
    site, end_s = site_of(demo_brief["place"]), planned["window"]["end"]["utc_ms"] / 1000
    later = galactic_arch(sky, site, end_s + hours * 3600.0)
    assert later.top_azimuth_deg > planned["sky"]["arch"]["end"]["top_azimuth_deg"]
