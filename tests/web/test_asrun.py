"""How the rig runs, from its start and the frames that it was seen to show: cases worked out by hand.

A frame lasts 18 s as planned and a tap is a second sharp: frame n showing at t says
start + ratio x 18 (n - 1) - 1 <= t <= start + ratio x 18 n + 1.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import pytest
from playwright.sync_api import Page

START_MS = 1_812_220_560_000
PLANNED = [{"first_frame": 1, "start_ms": START_MS, "interval_ms": 18_000, "phase": 0}]
# Every 12 s from frame 101 on, which fires at 1800 s.
PHASED = [*PLANNED, {"first_frame": 101, "start_ms": START_MS + 1_800_000, "interval_ms": 12_000, "phase": 1}]

JUDGE = """async (cases) => {
  const {judged, runOf} = await import("/app/takes/asrun.js");
  return cases.map(([segments, fired_ms, counts]) => {
    const timing = {segments, frames: 750};
    const found = judged(timing, fired_ms, counts);
    return {...found, odd: found.odd.map(({frame}) => frame), run_of: runOf(timing, fired_ms, counts)};
  });
}"""


class Case(NamedTuple):
    """counts: (seconds after the planned start, frame); start_s: of the run after the planned one."""

    counts: list[tuple[float, int]]
    start_s: float = 0
    ratio: float = 1
    odd: tuple[int, ...] = ()
    fired_s: float = 0
    segments: list[dict[str, int]] = PLANNED


# Half a frame after it fired, frame n of a rig at 18.3 s: 18.3 (n - 1) + 9.
SLOW = [(4584.0, 251), (9159.0, 501)]
# With the start: (9159 - 2) / 9018 to (9159 + 2) / 9000.
SLOW_RATIO = (9157 / 9018 + 9161 / 9000) / 2

CASES = {
    "nothing counted": Case([], fired_s=40, start_s=40),
    "on time": Case([(1805, 101)]),
    "on time, at the very edges": Case([(1799.2, 101), (3617.8, 201)]),
    "on time after a late start": Case([(1905, 101)], fired_s=100, start_s=100),
    # Frame 199 is planned for 3564 to 3582 s: the start is 17 to 37 s late.
    "one count that does not fit shifts": Case([(3600, 199)], start_s=27),
    # 170 to 190 and 175 to 195.
    "two that agree on a shift": Case([(1990, 101), (3795, 201)], start_s=182.5),
    "18.3 s instead of 18 s": Case(SLOW, ratio=SLOW_RATIO),
    "a mistyped third count": Case([*SLOW, (12000, 66)], ratio=SLOW_RATIO, odd=(66,)),
    "a mistyped first count": Case([(1805, 11), (3605, 201)], odd=(11,)),
    "a mistyped count in between": Case([(1805, 101), (2705, 51), (3605, 201)], odd=(51,)),
    # It stood still for 600 s after frame 100: a first count alone is not believed, a second one is.
    "it stood still, counted once": Case([(891, 50), (3471, 160)], odd=(160,)),
    "it stood still, counted twice": Case([(891, 50), (3471, 160), (5271, 260)], start_s=600, odd=(50,)),
    "it stood still, long counted": Case(
        [(891, 50), (1341, 75), (3471, 160), (5271, 260)], start_s=600, odd=(50, 75)
    ),
    # The gap of 18 s was keyed as one, with 13 s of shutter: 31 s a frame.
    "a gap keyed as an interval": Case([(604, 20), (1844, 60)], ratio=(1842 / 1080 + 1846 / 1062) / 2),
    "a log that was made up": Case(
        [*((9.0 * n, 1 + 7919 * n % 700) for n in range(4000)), *((18.0 * n + 9, n + 1) for n in range(60))]
    ),
    "on time in a second phase": Case([(1800 + 1205, 201)], segments=PHASED),
    # Frame 199 is planned for 2976 to 2988 s.
    "behind in a second phase": Case([(3000, 199)], start_s=18, segments=PHASED),
}


def _plain(case: Case) -> list[Any]:
    at = [{"frame": frame, "utc_ms": START_MS + round(second * 1000)} for second, frame in case.counts]
    return [case.segments, START_MS + round(case.fired_s * 1000), at]


@pytest.fixture
def found(modules_page: Page) -> dict[str, dict[str, Any]]:
    return dict(
        zip(CASES, modules_page.evaluate(JUDGE, [_plain(case) for case in CASES.values()]), strict=True)
    )


def test_start_and_counts_give_the_run(found: dict[str, dict[str, Any]]) -> None:
    for name, case in CASES.items():
        run = found[name]["run"]
        assert (run["start_ms"] - START_MS) / 1000 == pytest.approx(case.start_s, abs=1.01), name
        assert run["ratio"] == pytest.approx(case.ratio, abs=1e-9), name
        assert tuple(found[name]["odd"]) == case.odd, name
        is_planned = run["start_ms"] == START_MS and case.ratio == 1
        assert found[name]["run_of"] == (None if is_planned else run), name
        assert (found[name]["span"] is None) == (case.ratio == 1), name


def test_two_counts_end_a_shot_of_750_frames_3_min_45_s_later(found: dict[str, dict[str, Any]]) -> None:
    low, high = (750 * 18 * (ratio - 1) for ratio in found["18.3 s instead of 18 s"]["span"])
    assert low < 225 < high
    assert (low + high) / 2 == pytest.approx(225, abs=1)
    assert high - low < 36, "two counts half a shot apart leave less than two frames at its end"
