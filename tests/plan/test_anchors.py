"""What is looked up in a night: moments found before, and nights in which the clocks change."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from fieldsheet.plan.anchors import night_of, occurrences
from fieldsheet.plan.civil import DAY_S, day_number, iso_date
from fieldsheet.sky.events import EVENTS, RIDGE_EVENTS
from fieldsheet.sky.find import find_events
from fieldsheet.sky.sky import Sky


def test_known_moments_are_sliced_and_others_are_searched(demo_brief: dict[str, Any], sky: Sky) -> None:
    night = night_of(demo_brief, sky, demo_brief["night"])
    span_s = night.from_s - 5 * DAY_S, night.until_s + 5 * DAY_S
    sunsets = np.array(find_events(sky, night.site, "sunset", *span_s))
    knowing = replace(night, known={"sunset": sunsets})
    edges = [*(night.from_s + hours * 3600.0 for hours in range(0, 48, 5)), *sunsets[3:7].tolist()]
    for from_s in edges:
        for until_s in edges:
            for name in ("sunset", "moonrise", "high tide"):
                if from_s < until_s:
                    found = occurrences(knowing, name, from_s, until_s)
                    assert found == occurrences(night, name, from_s, until_s)
    assert occurrences(replace(night, known={"sunset": sunsets[:0]}), "sunset", *span_s) == []


@pytest.mark.parametrize(("date", "hours"), [("2027-03-27", 23), ("2027-06-05", 24), ("2027-10-30", 25)])
def test_nights_follow_each_other_through_a_change_of_clocks(
    demo_brief: dict[str, Any], sky: Sky, date: str, hours: int
) -> None:
    demo_brief["place"]["horizon"] = [[0.0, 3.0], [120.0, 8.0], [240.0, 2.0]]
    day = day_number(date)
    nights = [
        night_of(demo_brief, sky, {"rule": "night", "date": iso_date(day + shift)}) for shift in (-1, 0, 1)
    ]
    assert nights[1].until_s - nights[1].from_s == hours * 3600
    assert nights[0].until_s == nights[1].from_s
    assert nights[1].until_s == nights[2].from_s
    for name in (*EVENTS, *RIDGE_EVENTS):
        each = [
            moment for night in nights for moment in occurrences(night, name, night.from_s, night.until_s)
        ]
        assert each == find_events(sky, nights[0].site, name, nights[0].from_s, nights[2].until_s)
