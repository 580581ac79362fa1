"""A shot whose interval changes: when its frames start, what it comes to, and what is told of it."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.exchange.frames import frames_csv
from fieldsheet.plan.pace import Pace, Phase, Segment, paced
from fieldsheet.plan.plan import plan
from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.sky import Sky
from tests.plain import plain

START_MS = 1_812_220_560_000
HOUR_MS = 3_600_000


def _at(clock: int, interval_s: float) -> dict[str, Any]:
    """A phase from an hour of the clock on."""
    return {"from": {"clock_s": clock * 3600}, "interval_ms": int(interval_s * 1000)}


def _brief(brief: dict[str, Any], *phases: dict[str, Any], **more: Any) -> dict[str, Any]:
    """From 20:00 to 23:00 every 20 s, by the clock of the demo's first shot."""
    window = {"start": {"clock_s": 20 * 3600}, "end": {"clock_s": 23 * 3600}, "duration_ms": None}
    plain(brief).update({**window, "interval_ms": 20_000, "frames": None, "phases": list(phases), **more})
    brief["swap"] = None
    return brief


def _times(found: dict[str, Any]) -> list[str]:
    """When each frame starts, by its CSV: hours, minutes, seconds."""
    rows = csv.DictReader(io.StringIO(frames_csv(found)))
    return [row["time"][11:19] for row in rows]


def test_an_hour_at_20_s_then_two_at_25_s_by_hand(demo_brief: dict[str, Any], sky: Sky) -> None:
    """180 frames to 21:00, then 288 to 23:00: 468 frames, 18.72 s at 25 a second."""
    found = plan(_brief(demo_brief, _at(21, 25)), sky, {})
    timing = found["timing"]
    assert [(row["first_frame"], row["interval_ms"]) for row in timing["segments"]] == [
        (1, 20_000),
        (181, 25_000),
    ]
    assert (timing["frames"], timing["clip_ms"], timing["duration_ms"]) == (468, 18_720, 3 * HOUR_MS)
    times = _times(found)
    assert len(times) == 468
    assert [times[frame - 1] for frame in (1, 2, 180, 181, 182, 468)] == [
        *("20:00:00", "20:00:20", "20:59:40", "21:00:00", "21:00:25", "22:59:35")
    ]
    sheet = changing({**found, "revision": ""})
    assert sheet["numbers"]["interval"] == "20 s, from frame 181 (21:00) 25 s"
    assert sheet["phases"] == ["frame 181, 21:00: 25 s"]
    (act,) = (moment for moment in sheet["strip"]["moments"] if moment["label"] == "interval 25 s")
    assert (act["frame"], act["clock"], act["kind"]) == (181, "21:00", "act")
    rolling = {row["clock"]: row["frame"] for row in sheet["rolling"]}
    assert rolling == {"20:30": "91", "21:00": "181", "21:30": "253", "22:00": "325", "22:30": "397"}


def test_a_phase_begins_at_the_first_whole_frame_after_its_moment(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """7 s a frame: frame 515 starts at 20:59:58, the next one at 21:00:05; from there 715 of 10 s fit."""
    found = plan(_brief(demo_brief, _at(21, 10), interval_ms=7000, longest_shutter_ms=500), sky, {})
    assert found["timing"]["segments"][1]["first_frame"] == 516
    assert _times(found)[514:517] == ["20:59:58", "21:00:05", "21:00:15"]
    assert found["timing"]["frames"] == 515 + 719


def test_with_frames_given_the_end_is_what_they_come_to(demo_brief: dict[str, Any], sky: Sky) -> None:
    """180 of 20 s and 120 of 30 s: two hours; asked for by a frame it is the same."""
    by_clock = plan(_brief(demo_brief, _at(21, 30), end=None, frames=300), sky, {})
    at_frame = {"from": {"frame": 181}, "interval_ms": 30_000}
    by_frame = plan({**_brief(demo_brief, at_frame, end=None, frames=300)}, sky, {})
    assert by_clock["timing"] == by_frame["timing"]
    assert by_clock["timing"]["duration_ms"] == 2 * HOUR_MS
    assert by_clock["window"]["last_frame"]["local"][11:19] == "21:59:30"


def test_of_a_gap_each_phase_has_its_own_figure(demo_brief: dict[str, Any], sky: Sky) -> None:
    """14 s of dwell: gaps of 6 and of 11 s."""
    demo_brief["rig"]["interval_means"] = "gap"
    sheet = changing({**plan(_brief(demo_brief, _at(21, 25)), sky, {}), "revision": ""})
    assert sheet["numbers"]["gap"] == "6 s, from frame 181 (21:00) 11 s"
    assert sheet["phases"] == ["frame 181, 21:00: gap 11 s (interval 25 s)"]
    assert "gap 11 s" in [moment["label"] for moment in sheet["strip"]["moments"]]


def test_a_late_start_keeps_phases_on_their_moments(demo_brief: dict[str, Any], sky: Sky) -> None:
    brief = _brief(demo_brief, _at(21, 25))
    start_ms = plan(brief, sky, {})["window"]["start"]["utc_ms"]
    late = plan(brief, sky, {"start_ms": start_ms + HOUR_MS // 2})["timing"]
    assert late["segments"][1] == {
        "first_frame": 91,
        "start_ms": start_ms + HOUR_MS,
        "interval_ms": 25_000,
        "phase": 1,
    }
    assert late["frames"] == 90 + 288
    latest = plan(brief, sky, {"start_ms": start_ms + HOUR_MS + 60_000})["timing"]
    assert [row["interval_ms"] for row in latest["segments"]] == [25_000]
    assert latest["frames"] == (2 * HOUR_MS - 60_000) // 25_000
    kept = plan({**brief, "end": None, "frames": 468}, sky, {"start_ms": start_ms + HOUR_MS // 2})
    assert (kept["timing"]["frames"], kept["timing"]["segments"][1]["first_frame"]) == (468, 91)


@pytest.mark.parametrize(
    ("phases", "left", "told"),
    [
        pytest.param([_at(23, 25)], [20_000], [("phase-outside", 1)], id="at the end"),
        pytest.param(
            [{"from": {"event": "sunrise", "offset_s": 0}, "interval_ms": 25_000}],
            [20_000],
            [("phase-outside", 1)],
            id="next morning",
        ),
        pytest.param(
            [{"from": {"event": "high tide", "offset_s": 0}, "interval_ms": 25_000}],
            [20_000],
            [("phase-outside", 1)],
            id="never",
        ),
        pytest.param([_at(22, 30), _at(21, 25)], [20_000, 25_000], [("phase-ended", 1)], id="out of order"),
        pytest.param([_at(21, 25), _at(22, 30)], [20_000, 25_000, 30_000], [], id="both"),
        pytest.param(
            [_at(21, 25), {"from": {"frame": 600}, "interval_ms": 30_000}],
            [20_000, 25_000],
            [("phase-outside", 2)],
            id="a frame too many",
        ),
    ],
)
def test_a_phase_that_does_not_come_is_told(
    demo_brief: dict[str, Any], sky: Sky, phases: list[dict[str, Any]], left: list[int], told: Any
) -> None:
    demo_brief["place"]["tides"] = []
    found = plan(_brief(demo_brief, *phases), sky, {})
    assert [row["interval_ms"] for row in found["timing"]["segments"]] == left
    warned = [(row["id"], row["args"]) for row in found["warnings"] if "phase" in row["args"]]
    assert [(id.removeprefix("warning."), args["phase"]) for id, args in warned] == told
    said = changing({**found, "revision": ""})["phases"]
    assert [number for number, text in enumerate(said, start=1) if text == "not in this shot"] == [
        number for _, number in told
    ]


def test_one_phase_of_the_same_interval_changes_nothing(demo_brief: dict[str, Any], sky: Sky) -> None:
    alone = plan(_brief(demo_brief), sky, {})
    same = plan(_brief(demo_brief, _at(21, 20)), sky, {})
    assert _times(alone) == _times(same)
    # How late one may start is another question: only what comes before the change goes faster then.
    assert {**same["window"], "late": None} == {**alone["window"], "late": None}
    assert same["keyframes"] == alone["keyframes"] and same["picture"] == alone["picture"]
    for name, way in alone["move"]["way"].items():
        assert same["move"]["way"][name]["top_speed"] == pytest.approx(way["top_speed"])
    assert same["timing"]["frames"] == alone["timing"]["frames"]
    assert [row["first_frame"] for row in same["timing"]["segments"]] == [1, 181]


PHASES = st.lists(
    st.tuples(st.integers(1, 60_000), st.one_of(st.integers(0, 4 * HOUR_MS), st.none()), st.integers(2, 900)),
    max_size=3,
)


@given(st.integers(500, 60_000), PHASES, st.integers(2, 2000))
def test_frames_and_times_are_each_others_inverse(
    interval_ms: int, later: list[tuple[int, int | None, int]], frames: int
) -> None:
    """By counting one frame after the other: each starts the interval of the one before after it."""
    rows = [
        Phase(ms, None if at is None else START_MS + at, frame if at is None else None)
        for ms, at, frame in later
    ]
    phases = (Phase(interval_ms, None, 1), *rows)
    segments, count = paced(START_MS, phases, frames, None)
    pace = Pace(segments)
    assert count == frames and segments[0].first_frame == 1 and segments[0].start_ms == START_MS
    ms = START_MS
    for frame in range(1, frames + 1):
        assert pace.ms_of(frame) == ms and pace.frame_at(ms) == frame
        assert pace.frame_at(pace.ms_of(frame + 0.5)) == pytest.approx(
            frame + 0.5, abs=0.51 / pace.interval_at(frame)
        )
        ms += pace.interval_at(frame)
    assert pace.elapsed_ms(frames) == ms - START_MS
    for before, after in zip(segments, segments[1:], strict=False):
        assert before.first_frame < after.first_frame and before.phase < after.phase
        at_ms = phases[after.phase].at_ms
        if at_ms is not None:
            assert after.start_ms - before.interval_ms < at_ms <= after.start_ms


@given(st.integers(500, 60_000), PHASES, st.integers(120_000, 6 * HOUR_MS))
def test_a_window_takes_as_many_whole_frames_as_there_are(
    interval_ms: int, later: list[tuple[int, int | None, int]], lasts_ms: int
) -> None:
    rows = [
        Phase(ms, None if at is None else START_MS + at, frame if at is None else None)
        for ms, at, frame in later
    ]
    segments, frames = paced(START_MS, (Phase(interval_ms, None, 1), *rows), None, START_MS + lasts_ms)
    pace = Pace(segments)
    assert pace.elapsed_ms(frames) <= lasts_ms < pace.elapsed_ms(frames + 1)
    assert all(segment.first_frame <= frames for segment in segments)


def test_segments_end_where_the_next_begins() -> None:
    pace = Pace((Segment(1, 0, 10, 0), Segment(11, 100, 20, 1)))
    assert [pace.frame_at(ms) for ms in (-10, 0, 95, 100, 110)] == [0, 1, 10.5, 11, 11.5]
    assert [pace.interval_at(frame) for frame in (0, 10.9, 11, 50)] == [10, 10, 20, 20]
    assert [pace.shortest_ms(*span) for span in ((1, 50), (11, 50), (5, 10))] == [10, 20, 10]
