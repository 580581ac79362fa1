"""Positions of every axis at every frame, through the keyframes.  Twin: app/core/move.js.

The path runs by s in 0..1.  Holding frames keep s at 0 or 1; in between, the frame-to-frame speed rises over
the ease-in, is constant, and falls over the ease-out (a trapezoid).  Keyframe k is met at s(frame_k);
between keyframes every axis runs over s as the rig joins them: straight or smooth (joins.py).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Any

from .joins import slopes, smooth, straight
from .keyframes import Setting
from .pace import Segment
from .problem import PlanProblem
from .timing import Timing


@dataclass(frozen=True)
class Warp:
    """s of a frame: frames up to `first` and from `last` on stand still; eases are lengths in frames."""

    first: float
    last: float
    ease_in: float
    ease_out: float

    def s(self, frame: float) -> float:
        """Share of the way, 0 to 1, at a real frame."""
        span = self.last - self.first
        u = frame - self.first
        top = 1 / (span - self.ease_in / 2 - self.ease_out / 2)
        if u <= 0:
            return 0.0
        if u >= span:
            return 1.0
        if u < self.ease_in:
            return top * u * u / (2 * self.ease_in)
        if u <= span - self.ease_out:
            return top * (u - self.ease_in / 2)
        return 1 - top * (span - u) * (span - u) / (2 * self.ease_out)


def warp_of(hold: Sequence[int], ease: Sequence[int], frames: int) -> Warp:
    """The warp of a shot; raises PlanProblem where holds and eases leave no frame to move in."""
    first, last = max(1, hold[0]), frames + 1 - max(1, hold[1])
    if last <= first or ease[0] + ease[1] > last - first:
        over = max(1, ease[0] + ease[1]) - (last - first)
        args = {"hold": hold[0] + hold[1], "ease": ease[0] + ease[1], "frames": frames}
        args |= {"over": over, "least": frames + over}
        raise PlanProblem("problem.no-room", args, "ease_frames")
    return Warp(float(first), float(last), float(ease[0]), float(ease[1]))


def between(warp: Warp, knots: list[float], frame: float) -> tuple[int, float]:
    """(number of the keyframe, from 0, that a real frame is on the way to; share of that way)."""
    s, k = warp.s(frame), 1
    while k < len(knots) - 1 and s > knots[k]:
        k += 1
    return k, (s - knots[k - 1]) / (knots[k] - knots[k - 1])


@dataclass(frozen=True)
class Path:
    """The move: the warp, and s and axis values at each keyframe; no warp where nothing moves.

    slopes: of each axis over s at each keyframe, in units of the axis; None where it runs straight.
    """

    warp: Warp | None
    knots: list[float]
    settings: list[Setting]
    slopes: dict[str, list[float]] | None = None

    def at(self, frame: float) -> dict[str, float]:
        """Position of every axis at a (real) frame."""
        if self.warp is None:
            return dict(self.settings[0].axes) if self.settings else {}
        k, share = between(self.warp, self.knots, frame)
        way = self.knots[k] - self.knots[k - 1]
        before, after = self.settings[k - 1].axes, self.settings[k].axes
        if share == 1:
            return dict(after)
        if self.slopes is None:
            return {name: straight(share, value, after[name]) for name, value in before.items()}
        return {
            name: smooth(share, value, after[name], self.slopes[name][k - 1], self.slopes[name][k], way)
            for name, value in before.items()
        }


def path_through(brief: dict[str, Any], settings: list[Setting], frames: int) -> Path:
    """The path through the keyframes (fewer than two stand still); PlanProblem for one inside a hold."""
    if len(settings) < 2:
        return Path(None, [], settings)
    warp = warp_of(brief["hold"], brief["ease"], frames)
    knots = [warp.s(setting.frame) for setting in settings]
    for index in range(1, len(knots)):
        if knots[index] <= knots[index - 1]:
            # Of two that stand at the end the first is at fault, of two at the start the second.
            at = index - 1 if knots[index] >= 1 else index
            moving = {"first": warp.first, "last": warp.last}
            args = {"number": at + 1, "frame": settings[at].frame, **moving}
            raise PlanProblem("problem.keyframe-in-hold", args, f"keyframe.{at}.at")
    if brief["rig"]["joins"] == "straight":
        return Path(warp, knots, settings)
    of_axes = {name: [setting.axes[name] for setting in settings] for name in settings[0].axes}
    return Path(warp, knots, settings, {name: slopes(knots, values) for name, values in of_axes.items()})


def path_of(plan: Mapping[str, Any]) -> Path:
    """The move of a finished plan, from its keyframes as they are set."""
    settings = [
        Setting(keyframe["frame"], keyframe["axes"], None, None, None, None) for keyframe in plan["keyframes"]
    ]
    return path_through(plan["brief"], settings, plan["timing"]["frames"])


@dataclass(frozen=True)
class Stage:
    """The frames of one interval, up to `last`, and the largest steps after them."""

    segment: Segment
    last: int
    steps: dict[str, dict[str, float]]


def staged(path: Path, timing: Timing) -> list[Stage]:
    """A shot's stages, in order."""
    ends = [*(segment.first_frame for segment in timing.segments[1:]), timing.frames + 1]
    return [
        Stage(segment, end - 1, largest_steps(path, min(end, timing.frames), segment.first_frame))
        for segment, end in zip(timing.segments, ends, strict=True)
    ]


def largest_of(stages: list[Stage]) -> dict[str, dict[str, float]]:
    """The largest steps of a whole shot, by axis; the first of equals wins."""
    largest = stages[0].steps
    for stage in stages[1:]:
        largest = {name: _larger(step, stage.steps[name]) for name, step in largest.items()}
    return largest


def _larger(step: dict[str, float], other: dict[str, float]) -> dict[str, float]:
    # A shade of slack, so that rounding noise on a steady move does not pick the frame.
    return other if abs(other["step"]) > abs(step["step"]) * (1 + 1e-9) + 1e-12 else step


def largest_steps(path: Path, frames: int, first: int = 1) -> dict[str, dict[str, float]]:
    """For each axis the largest move between two frames, from `first` to `frames`, and the frame before it.

    step is signed, in the axis's unit; the first of equals wins.
    """
    position = path.at(first)
    largest = {name: {"step": 0.0, "frame": first} for name in position}
    if path.warp is None:
        return largest
    for frame in range(first + 1, frames + 1):
        following = path.at(frame)
        for name, value in following.items():
            largest[name] = _larger(largest[name], {"step": value - position[name], "frame": frame - 1})
        position = following
    return largest


def travel_s(distance: float, speed_max: float, acceleration_max: float) -> float:
    """Seconds that an axis needs from rest to rest: the closed form of a trapezoidal (or triangular) move."""
    distance = abs(distance)
    if distance < speed_max * speed_max / acceleration_max:
        return 2 * sqrt(distance / acceleration_max)
    return distance / speed_max + speed_max / acceleration_max


def top_speed(brief: dict[str, Any], name: str, stages: list[Stage]) -> float:
    """The highest speed, in the axis's unit a second, that an axis gets to on its way through a shot."""
    if brief["rig"]["motion"] == "continuous":
        return max(speed_in(stage, name) for stage in stages)
    axis = brief["rig"]["axes"][name]
    step = max(abs(stage.steps[name]["step"]) for stage in stages)
    return float(min(axis["speed_max"], sqrt(step * axis["acceleration_max"])))


def speed_in(stage: Stage, name: str) -> float:
    """The speed, in units a second, at which an axis that never stops makes its largest step of a stage."""
    return abs(stage.steps[name]["step"]) * 1000 / stage.segment.interval_ms


def slowest_s(distances: dict[str, float], axes: dict[str, Any]) -> float:
    """Seconds until the last of several axes stands still again."""
    times = (
        travel_s(distance, axes[name]["speed_max"], axes[name]["acceleration_max"])
        for name, distance in distances.items()
    )
    return max(times, default=0.0)
