"""Window, interval, frames: what three given numbers make of the other two, and what no night can give."""

from __future__ import annotations

from math import floor
from typing import Any

import pytest

from fieldsheet.catalog.zones import spans
from fieldsheet.plan.plan import plan
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.plan.timing import clip_ms
from fieldsheet.sky.sky import Sky

OPEN = dict.fromkeys(("start", "end", "duration_ms", "interval_ms", "frames"))
AT_17 = {"clock_s": 17 * 3600}


def _planned(
    brief: dict[str, Any], sky: Sky, changes: dict[str, Any] | None = None, **timing: Any
) -> dict[str, Any]:
    return plan({**brief, "ease": [0, 0], **OPEN, **timing}, sky, changes or {})


@pytest.mark.parametrize(
    ("given", "frames", "interval_ms"),
    [
        # Common practice, no source: duration / interval = frames; 2 s for 6 min is 180 frames.
        pytest.param({"duration_ms": 360_000, "interval_ms": 2000}, 180, 2000, id="2 s for 6 min"),
        pytest.param({"duration_ms": 365_000, "interval_ms": 18_000}, 20, 18_000, id="the rest is left over"),
        pytest.param({"duration_ms": 360_000, "frames": 180}, 180, 2000, id="interval from frames"),
        pytest.param({"duration_ms": 360_000, "frames": 175}, 175, 2500, id="interval up to the rig's step"),
        pytest.param({"interval_ms": 2000, "frames": 180}, 180, 2000, id="duration from both"),
        pytest.param(
            {"end": {"clock_s": 17 * 3600 + 360}, "interval_ms": 2000}, 180, 2000, id="window by clock"
        ),
    ],
)
def test_three_given_numbers_make_the_other_two(
    demo_brief: dict[str, Any], sky: Sky, given: dict[str, Any], frames: int, interval_ms: int
) -> None:
    timing = _planned(demo_brief, sky, start=AT_17, **given)["timing"]
    assert (timing["frames"], timing["interval_ms"]) == (frames, interval_ms)
    assert timing["duration_ms"] == frames * interval_ms


def test_the_last_frame_starts_one_interval_before_the_end(demo_plan: dict[str, Any]) -> None:
    window, timing = demo_plan["window"], demo_plan["timing"]
    assert window["end"]["utc_ms"] - window["last_frame"]["utc_ms"] == timing["interval_ms"]
    assert demo_plan["keyframes"][-1]["time"] == window["last_frame"]


def test_an_end_and_a_duration_give_the_start(demo_brief: dict[str, Any], sky: Sky) -> None:
    window = _planned(demo_brief, sky, end=AT_17, duration_ms=3_600_000, interval_ms=10_000)["window"]
    assert window["start"]["local"] == "2027-06-05T16:00:00.000+01:00"


def test_a_start_on_an_event_is_a_whole_minute(demo_plan: dict[str, Any]) -> None:
    assert demo_plan["window"]["start"]["utc_ms"] % 60_000 == 0


def test_a_clip_at_ntsc_rate_is_counted_in_fractions(demo_brief: dict[str, Any], sky: Sky) -> None:
    """30000/1001 fps (SMPTE ST 12-1): 3000 frames are 100.1 s exactly."""
    brief = {**demo_brief, "fps": [30000, 1001]}
    timing = _planned(brief, sky, start=AT_17, interval_ms=2000, frames=3000)["timing"]
    assert timing["clip_ms"] == 100_100


def test_ten_minutes_of_ntsc_are_17982_frames(demo_brief: dict[str, Any]) -> None:
    """18,000 counted less the 18 that drop-frame time code leaves out (SMPTE ST 12-1, from memory)."""
    assert clip_ms({**demo_brief, "fps": [30000, 1001]}, 17_982) == pytest.approx(600_000, abs=1)


def test_a_clock_time_after_midnight_belongs_to_the_night_before(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    window = _planned(demo_brief, sky, start={"clock_s": 1800}, interval_ms=18_000, frames=100)["window"]
    assert window["start"]["local"] == "2027-06-06T00:30:00.000+01:00"
    by_day = {**demo_brief, "night": {"rule": "day", "date": "2027-06-05"}}
    window = _planned(by_day, sky, start={"clock_s": 1800}, interval_ms=18_000, frames=100)["window"]
    assert window["start"]["local"] == "2027-06-05T00:30:00.000+01:00"


def test_a_window_from_17_to_astronomical_dark_is_about_two_and_a_half_hours(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """Common practice, no source: with sunset at 18:30, 17:00 to astronomical dark is 2.5 h and more."""
    brief = {**demo_brief, "night": {"rule": "night", "date": "2027-03-24"}}
    end = {"event": "astronomical dusk", "offset_s": 0}
    planned = _planned(brief, sky, start=AT_17, end=end, interval_ms=18_000)
    sunset = next(event for event in planned["sky"]["events"] if event["event"] == "sunset")
    assert "T18:" in sunset["time"]["local"]
    assert 2.5 <= planned["timing"]["duration_ms"] / 3_600_000 <= 3.5


# New York, 2027: clocks skip 02:00-03:00 on 14 March and come twice from 01:00 to 02:00 on 7 November (IANA).
NEW_YORK = "America/New_York"


def _in_new_york(brief: dict[str, Any], night: dict[str, str]) -> dict[str, Any]:
    zone = {
        "name": NEW_YORK,
        "spans": [list(span) for span in spans(NEW_YORK, 2027)],
        "until_s": 1_924_992_000,
    }
    return {**brief, "night": night, "place": {**brief["place"], "longitude_deg": -74.0, "zone": zone}}


def test_an_end_that_the_clocks_skip_is_a_problem_and_not_a_day_later(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    brief = _in_new_york(demo_brief, {"rule": "day", "date": "2027-03-14"})
    with pytest.raises(PlanProblem) as caught:
        _planned(brief, sky, start={"clock_s": 1800}, end={"clock_s": 9000}, interval_ms=18_000)
    assert (caught.value.id, caught.value.key) == ("problem.clock-skipped", "end")


def test_an_end_at_the_second_of_two_equal_clock_times_is_that_one(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    brief = _in_new_york(demo_brief, {"rule": "night", "date": "2027-11-06"})
    for keyframe in brief["keyframes"]:
        keyframe["aim"] = {"bearing_deg": 200.0, "altitude_deg": 5.0, "x": 0.0, "y": 0.0}
    timing = _planned(brief, sky, start={"clock_s": 6300}, end={"clock_s": 5400}, interval_ms=18_000)[
        "timing"
    ]
    assert timing["duration_ms"] == 45 * 60_000


def test_a_late_start_of_a_shot_without_an_end_keeps_its_frames(demo_brief: dict[str, Any], sky: Sky) -> None:
    given: dict[str, Any] = {"start": AT_17, "interval_ms": 18_000, "frames": 600}
    printed = _planned(demo_brief, sky, **given)
    late_ms = printed["window"]["start"]["utc_ms"] + 900_000
    late = _planned(demo_brief, sky, {"start_ms": late_ms}, **given)
    assert late["timing"]["frames"] == 600
    assert late["window"]["end"]["utc_ms"] == printed["window"]["end"]["utc_ms"] + 900_000


def test_a_night_beyond_the_zones_known_changes_is_refused(demo_brief: dict[str, Any], sky: Sky) -> None:
    demo_brief["place"]["zone"]["until_s"] = 1_830_000_000
    with pytest.raises(PlanProblem) as caught:
        plan(demo_brief, sky, {"night": "2028-06-05"})
    assert caught.value.id == "problem.no-zone"


def test_a_late_start_keeps_the_end_and_costs_frames(demo_brief: dict[str, Any], sky: Sky) -> None:
    printed = plan(demo_brief, sky, {})
    late_ms = printed["window"]["start"]["utc_ms"] + 25 * 60_000
    late = plan(demo_brief, sky, {"start_ms": late_ms})
    lost = -(-25 * 60_000 // 18_000)
    assert late["timing"]["frames"] == printed["timing"]["frames"] - lost
    assert printed["window"]["end"]["utc_ms"] - late["window"]["end"]["utc_ms"] < 18_000


@pytest.mark.parametrize(
    ("changes_to_brief", "changes", "id", "key"),
    [
        pytest.param(
            {"night": {"rule": "night", "date": "2039-06-05"}}, {}, "no-sky", "night", id="beyond the sky"
        ),
        pytest.param(
            {}, {"start_ms": 1_812_300_000_000}, "start-after-end", "start", id="start after the end"
        ),
        pytest.param({"interval_ms": 20_000_000}, {}, "frames", "interval_s", id="one frame only"),
        pytest.param(
            {"start": {"event": "moonrise", "offset_s": 0}, "night": {"rule": "day", "date": "2027-06-24"}},
            {},
            "no-event",
            "start",
            id="no moonrise on that date (PyEphem: 23 June 23:54, then 25 June 00:18)",
        ),
        pytest.param(
            {"start": {"clock_s": 5400}, "night": {"rule": "day", "date": "2027-03-28"}},
            {},
            "clock-skipped",
            "start",
            id="a skipped clock time",
        ),
    ],
)
def test_what_no_night_can_give_is_a_problem_with_its_key(
    demo_brief: dict[str, Any],
    sky: Sky,
    changes_to_brief: dict[str, Any],
    changes: dict[str, Any],
    id: str,
    key: str,
) -> None:
    with pytest.raises(PlanProblem) as caught:
        plan({**demo_brief, **changes_to_brief}, sky, changes)
    assert (caught.value.id, caught.value.key) == ("problem." + id, key)


def test_an_event_that_does_not_come_names_the_two_nearest_that_do(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """At 70 N the sun does not set in early June; it does in May and in late July."""
    brief = {**demo_brief, "place": {**demo_brief["place"], "latitude_deg": 69.65, "longitude_deg": 18.96}}
    with pytest.raises(PlanProblem) as caught:
        plan(brief, sky, {})
    before, after = caught.value.args_["before"], caught.value.args_["after"]
    assert 1_810_000_000_000 < before < 1_812_200_000_000 < after < 1_817_300_000_000


@pytest.mark.parametrize(
    ("at", "outside"),
    [
        pytest.param({"frame": 5000}, True, id="frame beyond the end"),
        pytest.param({"fraction": 0.0}, True, id="not after the one before"),
        pytest.param({"event": "sunset", "offset_s": 0}, False, id="an event in the window"),
        pytest.param({"event": "sunrise", "offset_s": 0}, True, id="an event after the end"),
    ],
)
def test_keyframes_stand_in_order_inside_the_shot(
    demo_brief: dict[str, Any], sky: Sky, at: dict[str, Any], outside: bool
) -> None:
    demo_brief["keyframes"][1]["at"] = at
    if outside:
        with pytest.raises(PlanProblem) as caught:
            plan(demo_brief, sky, {})
        assert (caught.value.id, caught.value.key) == ("problem.keyframe-outside", "keyframe.1.at")
    else:
        assert plan(demo_brief, sky, {})["keyframes"][1]["time"]["local"].startswith("2027-06-05T20:5")


@pytest.mark.parametrize(
    ("frame", "number"),
    [(1.3, 2), (752.7, 3), (752.2, None)],
)
def test_each_keyframe_has_a_frame_of_its_own(
    demo_brief: dict[str, Any], sky: Sky, frame: float, number: int | None
) -> None:
    frames = plan(demo_brief, sky, {})["timing"]["frames"]
    assert frames == 753
    demo_brief["keyframes"][1]["at"] = {"fraction": (frame - 1) / (frames - 1)}
    if number is None:
        assert plan(demo_brief, sky, {})["keyframes"][1]["nearest_frame"] == 752
        return
    with pytest.raises(PlanProblem) as caught:
        plan(demo_brief, sky, {})
    assert (caught.value.id, caught.value.key) == ("problem.keyframes-meet", f"keyframe.{number - 1}.at")
    assert caught.value.args_ == {"before": number - 1, "number": number, "frame": floor(frame + 0.5)}


def test_a_doubled_clock_time_takes_the_first_and_warns(demo_brief: dict[str, Any], sky: Sky) -> None:
    brief = {**demo_brief, "night": {"rule": "day", "date": "2027-10-31"}}
    planned = _planned(brief, sky, start={"clock_s": 5400}, interval_ms=18_000, frames=100)
    assert planned["window"]["start"]["local"] == "2027-10-31T01:30:00.000+01:00"
    assert "warning.clock-doubled" in [warning["id"] for warning in planned["warnings"]]
