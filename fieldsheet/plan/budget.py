"""What has to fit into one interval, at every frame and at the worst.  Twin: app/core/budget.js."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import ceil
from typing import Any

from .keyed import SECOND_MS, dwell_ms, gap_ms, ready_ms, settable_ms
from .keyframes import Setting
from .move import Path, Stage, path_through, slowest_s, staged, travel_s
from .opened import Opens, carried_over, within
from .pace import Phase
from .problem import PlanProblem
from .timing import Timing, rephased

TENTH_MS = 100
MEND_TRIES = 40
# Besides the opening one; as many as a file may ask for.
MOST_PHASES = 3
OF_STAGE = ("first_frame", "interval_ms", "shutter_ms", "needed_ms", "slack_ms", "longest_shutter_ms")


def budget_of(brief: dict[str, Any], timing: Timing, path: Path, opens: Opens) -> dict[str, Any]:
    """The budget at the worst frame, the first of equals, with its frame, its interval, and all stages.

    frame: None where all frames are alike.  stages: the frames of one interval, apart where they fit and
    where they do not, each by its worst frame.  gap_ms is the opening interval's.
    """
    rows: list[dict[str, Any]] = []
    for stage in staged(path, timing):
        for row in _rows(brief, stage, opens, len(opens) + len(timing.segments) > 2):
            if rows and rows[-1]["segment"] == row["segment"] and _fits(rows[-1]) == _fits(row):
                if (row["needed_ms"], row["shutter_ms"]) > (rows[-1]["needed_ms"], rows[-1]["shutter_ms"]):
                    rows[-1] = {**row, "first_frame": rows[-1]["first_frame"]}
            else:
                rows.append(row)
    worst = min(rows, key=lambda row: row["slack_ms"])
    return {
        **{key: value for key, value in worst.items() if key not in ("segment", "first_frame")},
        "gap_ms": gap_ms(brief, timing.keyed_ms),
        "shortest_frames": timing.frames,
        "stages": [{key: row[key] for key in OF_STAGE} for row in rows],
    }


def _fits(row: dict[str, Any]) -> bool:
    return bool(row["slack_ms"] >= 0)


def _rows(brief: dict[str, Any], stage: Stage, opens: Opens, differ: bool) -> list[dict[str, Any]]:
    """The budget wherever the exposure of a stage changes; differ: whether frames may be unlike."""
    interval_ms = stage.segment.interval_ms
    rows = []
    for first, open_ms in within(opens, stage.segment.first_frame, stage.last):
        row = interval_budget(brief, stage.steps, interval_ms, open_ms)
        frame = first if differ else None
        if row["needed_ms"] > row["release_lag_ms"] + open_ms + row["camera_ready_ms"]:
            frame = _slowest_frame(brief, stage)
        place = {"segment": stage.segment.first_frame, "first_frame": first}
        rows.append({**row, **place, "frame": frame, "interval_ms": interval_ms})
    return rows


def _slowest_frame(brief: dict[str, Any], stage: Stage) -> int | None:
    """The frame after which the rig takes longest; None where it stands still."""
    longest_s, frame = 0.0, None
    for name, step in stage.steps.items():
        axis = brief["rig"]["axes"][name]
        takes_s = travel_s(step["step"], axis["speed_max"], axis["acceleration_max"])
        if takes_s > longest_s:
            longest_s, frame = takes_s, int(step["frame"])
    return frame


def interval_budget(
    brief: dict[str, Any], steps: dict[str, dict[str, float]], interval_ms: int, open_ms: int
) -> dict[str, Any]:
    """Milliseconds of each part, their need, the slack that the interval leaves, and what would just fit.

    A rig that moves between frames stands still for the dwell (longest shutter and release lag, in whole
    seconds, as it is keyed in), then moves and settles; the camera gets ready meanwhile, but where the rig
    waits for it: then it is a plain sum.  A rig that does not stop between frames has no dwell (None) and
    only waits for the camera.
    """
    camera, rig = brief["camera"], brief["rig"]
    lag_ms, busy_ms = camera["release_lag_ms"], ready_ms(brief, open_ms)
    exposes = 2 if camera["noise_reduction"] else 1
    stands_ms, move_ms, settle_ms = dwell_ms(brief), 0, 0
    needed_ms = lag_ms + open_ms + busy_ms
    longest_ms = (interval_ms - camera["ready_ms"] - lag_ms) // exposes
    if stands_ms is not None:
        distances = {name: step["step"] for name, step in steps.items()}
        move_ms, settle_ms = ceil(slowest_s(distances, rig["axes"]) * SECOND_MS - 1e-6), rig["settle_ms"]
        needed_ms = max(needed_ms, stands_ms + move_ms + settle_ms)
        room_ms = _down(interval_ms - move_ms - settle_ms, SECOND_MS) - lag_ms
        waits = rig["waits_for_camera"]
        longest_ms = min(longest_ms, (room_ms - camera["ready_ms"]) // exposes if waits else room_ms)
    return {
        "shutter_ms": open_ms,
        "release_lag_ms": lag_ms,
        "camera_ready_ms": busy_ms,
        "dwell_ms": stands_ms,
        "gap_ms": gap_ms(brief, interval_ms),
        "move_ms": move_ms,
        "settle_ms": settle_ms,
        "needed_ms": needed_ms,
        "slack_ms": interval_ms - needed_ms,
        "shortest_interval_ms": settable_ms(brief, needed_ms),  # with these steps
        "longest_shutter_ms": max(_down(longest_ms, TENTH_MS), 0),
    }


def mended(
    brief: dict[str, Any], timing: Timing, path: Path, opens: Opens, shortest_ms: int
) -> tuple[int, Timing] | None:
    """The shortest interval that really works, from shortest_ms up, and its timing; None where none does.

    Shorter ones of a shot with several are raised to it.  Where the window is given, a longer interval means
    fewer frames, hence longer steps, which may want a longer interval again.
    """

    def raised(interval_ms: int) -> tuple[Phase, ...]:
        return tuple(
            replace(phase, interval_ms=max(phase.interval_ms, interval_ms)) for phase in timing.phases
        )

    return _workable(brief, timing, path, opens, raised, shortest_ms)


def _workable(
    brief: dict[str, Any],
    timing: Timing,
    path: Path,
    opens: Opens,
    phases_with: Callable[[int], tuple[Phase, ...]],
    from_ms: int,
) -> tuple[int, Timing] | None:
    """The shortest interval, from from_ms up, with which a shot of other phases fits, and its timing."""
    interval_ms = from_ms
    for _ in range(MEND_TRIES):
        to = rephased(brief, timing, phases_with(interval_ms))
        if to.frames < 2:
            return None
        try:
            moved = path_through(brief, _moved(brief, timing, path.settings, to), to.frames)
        except PlanProblem:
            return None
        budget = budget_of(brief, to, moved, carried_over(opens, timing, to))
        if budget["slack_ms"] >= 0:
            return interval_ms, to
        interval_ms = max(budget["shortest_interval_ms"], interval_ms + brief["rig"]["interval_step_ms"])
    return None


def second_interval(
    brief: dict[str, Any], timing: Timing, path: Path, opens: Opens, frame: int
) -> tuple[int, Timing] | None:
    """The shortest other interval from a frame on with which all fits, and the timing that it makes.

    None where the rig cannot change it, or stands for the longest shutter whatever the frame.
    """
    if not brief["rig"]["interval_changes"] or dwell_ms(brief) is not None or frame == 1:
        return None
    if len(timing.phases) > MOST_PHASES or timing.segment_of(frame) != timing.segments[-1]:
        return None
    longest_ms = max(open_ms for _, open_ms in within(opens, frame, timing.frames))
    needed_ms = brief["camera"]["release_lag_ms"] + longest_ms + ready_ms(brief, longest_ms)

    def followed(interval_ms: int) -> tuple[Phase, ...]:
        return (*timing.phases, Phase(interval_ms, None, frame))

    return _workable(brief, timing, path, opens, followed, settable_ms(brief, needed_ms))


def _moved(brief: dict[str, Any], timing: Timing, settings: list[Setting], to: Timing) -> list[Setting]:
    """The keyframes where another timing has them."""
    moved = []
    for keyframe, setting in zip(brief["keyframes"], settings, strict=True):
        at, frame = keyframe["at"], to.frame_at(timing.utc_ms(setting.frame))
        if "frame" in at:
            frame = setting.frame
        elif "fraction" in at:
            frame = 1 + at["fraction"] * (to.frames - 1)
        moved.append(replace(setting, frame=frame))
    return moved


def _down(ms: int, step_ms: int) -> int:
    return ms // step_ms * step_ms
