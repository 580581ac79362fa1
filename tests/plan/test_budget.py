"""The budget of an interval by the exposure and the interval of each moment, and what mends it."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from fieldsheet.plan.opened import carried_over, open_at, opens_of, within
from fieldsheet.plan.pace import Phase, paced
from fieldsheet.plan.plan import plan
from fieldsheet.plan.timing import Timing
from fieldsheet.sky.sky import Sky

from .test_exposure import exposing, warned

LAG_MS, READY_MS = 100, 400


def _moving(brief: dict[str, Any], interval_ms: int, longest_ms: int, **keys: Any) -> dict[str, Any]:
    """The demo's dusk on a rig that never stops, its shutter from the day's to the longest of the night."""
    dark = {"f": 4, "shutter": longest_ms // 1000, "iso": 6400}
    made = exposing(copy.deepcopy(brief), longest_ms, dark=dark, **keys)
    made["rig"] |= {"motion": "continuous", "interval_changes": True}
    made["camera"] |= {"release_lag_ms": LAG_MS, "ready_ms": READY_MS}
    return {**made, "interval_ms": interval_ms, "swap": None, "phases": []}


def _needs(planned: dict[str, Any]) -> list[int]:
    """What every frame needs, by the closed form: lag, the time that it is open, ready again."""
    opens = opens_of(planned["brief"], planned["exposure"])
    frames = range(1, planned["timing"]["frames"] + 1)
    return [LAG_MS + open_at(opens, frame) + READY_MS for frame in frames]


def test_the_need_of_a_moving_rig_follows_the_exposure(demo_brief: dict[str, Any], sky: Sky) -> None:
    planned = plan(_moving(demo_brief, 18_000, 20_000), sky, {})
    budget, needs = planned["interval_budget"], _needs(planned)
    assert needs[0] < 1000 < max(needs) == budget["needed_ms"]
    assert budget["frame"] == 1 + needs.index(max(needs))
    assert budget["slack_ms"] == 18_000 - max(needs) < 0
    fits, short = budget["stages"]
    first = 1 + next(n for n, need in enumerate(needs) if need > 18_000)
    assert (fits["first_frame"], short["first_frame"]) == (1, first)
    assert fits["needed_ms"] == max(needs[: first - 1]) and short["needed_ms"] == max(needs)
    assert fits["slack_ms"] >= 0 > short["slack_ms"]


def test_a_dwell_covers_the_longest_shutter_from_frame_1_on(demo_brief: dict[str, Any], sky: Sky) -> None:
    """T10: set once, so the need of a rig that stops does not follow the exposure."""
    brief = _moving(demo_brief, 30_000, 20_000)
    brief["rig"]["motion"] = "shoot-move-shoot"
    budget = plan(brief, sky, {})["interval_budget"]
    assert budget["dwell_ms"] == 21_000 and len(budget["stages"]) == 1
    assert budget["needed_ms"] == 21_000 + budget["move_ms"] + budget["settle_ms"]


def test_every_segment_has_a_stage_and_the_worst_is_named(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Every 18 s while it is light, then 21 s for 20 s of shutter: there is less to spare."""
    phases = [{"from": {"event": "civil dusk", "offset_s": 0}, "interval_ms": 21_000}]
    planned = plan({**_moving(demo_brief, 18_000, 20_000), "phases": phases}, sky, {})
    budget, segments = planned["interval_budget"], planned["timing"]["segments"]
    assert [stage["first_frame"] for stage in budget["stages"]] == [row["first_frame"] for row in segments]
    assert (budget["interval_ms"], budget["slack_ms"]) == (21_000, 500)
    assert budget["frame"] > segments[1]["first_frame"]
    assert "exposure-outgrows-two" not in warned(planned)


def test_what_is_offered_instead_works(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Each way out of an exposure that outgrows its interval is planned anew, and comes to what was told."""
    brief = _moving(demo_brief, 18_000, 20_000)
    args = warned(plan(brief, sky, {}))["exposure-outgrows-two"]
    through = plan({**brief, "interval_ms": args["works"]}, sky, {})
    assert through["interval_budget"]["slack_ms"] >= 0
    assert through["timing"]["frames"] == args["works_frames"]
    assert plan({**brief, "interval_ms": args["works"] - 500}, sky, {})["interval_budget"]["slack_ms"] < 0
    phases = [{"from": {"frame": args["frame"]}, "interval_ms": args["second"]}]
    two = plan({**brief, "phases": phases}, sky, {})
    assert two["interval_budget"]["slack_ms"] >= 0 and two["timing"]["frames"] == args["frames"]
    assert two["timing"]["clip_ms"] // 100 * 100 == args["clip"]
    assert through["timing"]["frames"] < two["timing"]["frames"]
    assert "exposure-outgrows" in " ".join(warned(plan(brief, sky, {})))


@pytest.mark.parametrize("key", [{"interval_changes": False}, {"motion": "shoot-move-shoot"}])
def test_a_second_interval_is_offered_only_where_it_helps(
    demo_brief: dict[str, Any], sky: Sky, key: dict[str, Any]
) -> None:
    brief = _moving(demo_brief, 18_000, 20_000)
    brief["rig"] |= key
    assert "exposure-outgrows-two" not in warned(plan(brief, sky, {}))


def test_an_aperture_makes_up_for_what_no_iso_does(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Up to ISO 6400, the camera's last: from 25 s to 8 s are five thirds of a stop, 1.7."""
    brief = _moving(demo_brief, 9000, 25_000, iso_max=6400)
    args = warned(plan(brief, sky, {}))["exposure-outgrows-all-two"]
    assert (args["keeps"], args["iso"]) == ("8", "6400")
    assert args["stops"] == pytest.approx(5 / 3)


def test_shorter_intervals_are_raised_to_what_works(demo_brief: dict[str, Any], sky: Sky) -> None:
    """A move that three of four intervals have no time for."""
    demo_brief["rig"]["axes"]["slide"]["speed_max"] = 0.5
    phases = [
        {"from": {"event": "sunset", "offset_s": 0}, "interval_ms": 15_000},
        {"from": {"event": "civil dusk", "offset_s": 0}, "interval_ms": 60_000},
    ]
    brief = {**demo_brief, "phases": phases, "exposure": None}
    works = plan(brief, sky, {})["interval_budget"]["shortest_interval_ms"]
    for interval_ms, fits in ((works, True), (works - 500, False)):
        raised = [{**phase, "interval_ms": max(phase["interval_ms"], interval_ms)} for phase in phases]
        found = plan({**brief, "interval_ms": interval_ms, "phases": raised}, sky, {})["interval_budget"]
        assert (found["slack_ms"] >= 0) is fits


def test_exposures_keep_their_moments_in_another_timing() -> None:
    """10 s a frame, and 20 s: what comes at frame 21 comes at frame 11."""
    timings = []
    for interval_ms in (10_000, 20_000):
        phases = (Phase(interval_ms, None, 1),)
        segments, frames = paced(0, phases, None, 1_000_000)
        timings.append(Timing(segments, frames, 0, (), (), 1_000_000, phases))
    opens = [(1, 500), (20, 800), (21, 1000), (51, 2000)]
    assert carried_over(opens, *timings) == [(1, 500), (11, 1000), (26, 2000)]
    assert within(opens, 20, 50) == [(20, 800), (21, 1000)] and open_at(opens, 19) == 500
