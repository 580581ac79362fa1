"""Better keyframes for a target that is followed, beside one's own: offered, never pushed.  Python only.

Least drift is not the better picture: what comes out is for comparing.  The target's intended place, the
frames at rest, eases and joins stay as they are.  Offered are other values of pan and tilt at one's own
moments, and, where the rig takes them, more keyframes, or others between the first and the last one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import pairwise
from math import floor, inf, radians, tan
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..sky.sky import Sky
from .aim import lens_of
from .anchors import night_of
from .civil import stamp
from .drift import Drift, drift_of
from .joins import slopes
from .keyframes import Setting, reach, to_step
from .knots import chosen
from .minimax import Course, nearest
from .move import largest_steps, path_through, slowest_s
from .problem import PlanProblem
from .scene import Scene
from .timing import solve
from .tracked import tracked

Floats = NDArray[np.float64]

AXES = ("pan", "tilt")
# What nobody sees, in shares of the frame's width.
LEAST_GAIN = 0.001
# Nobody sets an angle better by hand, and each keyframe takes minutes to set (common practice, no source).
HAND_DEG = 0.5
MOST_FOLLOWING = 8


def better_of(plan: dict[str, Any], sky: Sky) -> list[dict[str, Any]] | None:
    """For each stretch of keyframes that follow one target: one's own worst drift, and what is offered.

    [{first, last (numbers), target, own, offers}], own: {frame, time, share (of the frame's width; None where
    the lens loses it), px (of the clip; None where nobody gave the camera's)}; offers: none where one's own
    are as good, else at most two, {keyframes, worst}, the one with as many keyframes first: of each keyframe
    of the stretch {frame, time, axes}, and what is left as in own.  None where nothing is followed, and of a
    way that was taken or a rig that runs: what is set then is set.
    """
    brief, changes = plan["brief"], plan["changes"]
    stretches = list(_stretches(brief["keyframes"]))
    if not stretches or changes.get("way") or changes.get("run"):
        return None
    night = night_of(brief, sky, {**brief["night"], "date": plan["window"]["night"]})
    timing = solve(brief, night, changes.get("start_ms"), changes.get("interval_ms"))
    set_to = [Setting(row["frame"], row["axes"], None, None, None, None) for row in plan["keyframes"]]
    scene = Scene(brief, night, timing, path_through(brief, set_to, timing.frames), lens_of(brief))
    return [_compared(plan, scene, *stretch) for stretch in stretches]


def _stretches(keyframes: Sequence[dict[str, Any]]) -> Iterator[tuple[int, int]]:
    """First and last index of neighbouring keyframes with one target, as long as can be."""
    targets = [(keyframe["aim"] or {}).get("target") for keyframe in keyframes]
    first = 0
    for index in range(1, len(targets) + 1):
        if index == len(targets) or targets[index] is None or targets[index] != targets[first]:
            if index - first > 1:
                yield first, index - 1
            first = index


def _compared(plan: dict[str, Any], scene: Scene, first: int, last: int) -> dict[str, Any]:
    own = _worst(scene, first, last)
    offers: list[dict[str, Any]] = []
    to_beat = own
    for shot in _others(scene, first, last):
        end = last + len(shot.path.settings) - len(scene.path.settings)
        worst = _worst(shot, first, end)
        if _share(worst) < _share(to_beat) - LEAST_GAIN and _can_run(shot, plan):
            rows = [_row(scene, setting) for setting in shot.path.settings[first : end + 1]]
            offers.append({"keyframes": rows, "worst": worst})
            to_beat = worst
    target = scene.brief["keyframes"][first]["aim"]["target"]
    return {"first": first + 1, "last": last + 1, "target": target, "own": own, "offers": offers}


def _worst(scene: Scene, first: int, last: int) -> dict[str, Any]:
    rows = [row["worst"] for row in tracked(scene) if first < row["number"] <= last]
    worst = max(rows, key=_share)
    return {key: worst[key] for key in ("frame", "time", "share", "px")}


def _share(worst: dict[str, Any]) -> float:
    return inf if worst["share"] is None else float(worst["share"])


def _row(scene: Scene, setting: Setting) -> dict[str, Any]:
    time = stamp(scene.night.spans, scene.timing.ms_of(setting.frame))
    return {"frame": setting.frame, "time": time, "axes": setting.axes}


def _can_run(shot: Scene, plan: dict[str, Any]) -> bool:
    """Whether the rig has the time for a shot's steps, or had as little with those of the plan."""
    steps, own_steps = (
        {name: abs(row["step"]) for name, row in way.items()}
        for way in (largest_steps(shot.path, shot.timing.frames), plan["move"]["way"])
    )
    axes = shot.brief["rig"]["axes"]
    if shot.brief["rig"]["motion"] == "continuous":
        shortest_s = min(segment.interval_ms for segment in shot.timing.segments) / 1000
        return all(
            step <= max(own_steps[name], axes[name]["speed_max"] * shortest_s) for name, step in steps.items()
        )
    longer_s = slowest_s(steps, axes) - slowest_s(own_steps, axes)
    return longer_s * 1000 <= max(int(plan["interval_budget"]["slack_ms"]), 0)


@dataclass(frozen=True)
class _Stretch:
    """The keyframes from first to last (indices) of a shot, their drift, and pan and tilt that have none.

    ideal: (n, 2) at the frames of the drift; None where no pan and tilt keep the target in its place.
    """

    scene: Scene
    first: int
    last: int
    drift: Drift
    ideal: Floats | None

    @property
    def frames(self) -> list[float]:
        """Those of one's own keyframes."""
        return [setting.frame for setting in self.scene.path.settings[self.first : self.last + 1]]

    def shares(self, frames: Iterable[float]) -> Floats:
        """How far on its way the rig is at some frames, 0 to 1."""
        warp = self.scene.path.warp
        assert warp is not None, "two keyframes make a move"
        return np.array([warp.s(float(frame)) for frame in frames])


def _others(scene: Scene, first: int, last: int) -> Iterator[Scene]:
    """The shot with a stretch fitted: as many keyframes at one's moments, then what the rig takes, too."""
    settings = scene.path.settings
    drift = drift_of(scene, first, last, scene.frames(settings[first].frame, settings[last].frame))
    ideal = drift.ideal()
    if ideal is not None:
        ideal[:, 0] += 360 * floor((settings[first].axes["pan"] - ideal[0, 0]) / 360 + 0.5)
    stretch = _Stretch(scene, first, last, drift, ideal)
    yield _fitted(stretch, stretch.frames)
    inner = _more(stretch)
    if inner is not None:
        with suppress(PlanProblem):  # one of them lies where the rig stands still
            yield _fitted(stretch, [stretch.frames[0], *inner, stretch.frames[-1]])


def _more(stretch: _Stretch) -> list[float] | None:
    """Frames that the rig could have keyframes at between the ends of a stretch, beside one's own."""
    scene, own = stretch.scene, len(stretch.frames)
    limits, count = scene.brief["rig"]["keyframes"], len(scene.path.settings)
    if limits["middle"] == "halfway":
        return [(1 + scene.timing.frames) / 2] if count == 2 < limits["most"] else None
    most = min(limits["most"] - count + own, MOST_FOLLOWING) - 2
    if stretch.ideal is None or most < 1:
        return None
    enough = tan(radians(HAND_DEG)) / (2 * scene.lens.half_width)
    shares = stretch.shares(stretch.drift.frames)
    found = chosen(stretch.drift, stretch.ideal, shares, (own - 2, most), enough)
    return None if found is None else [float(frame) for frame in found]


def _fitted(stretch: _Stretch, frames: Sequence[float]) -> Scene:
    """The shot with keyframes of a stretch at these frames, their pan and tilt fitted; raises PlanProblem."""
    scene, first, last = stretch.scene, stretch.first, stretch.last
    keyframes, settings = scene.brief["keyframes"], scene.path.settings
    aims = [{"aim": _aim(stretch, frame)} for frame in frames]
    brief = {**scene.brief, "keyframes": [*keyframes[:first], *aims, *keyframes[last + 1 :]]}
    new = [Setting(frame, _stands(scene, frame), None, None, None, None) for frame in frames]
    whole = [*settings[:first], *new, *settings[last + 1 :]]
    start = np.array([[setting.axes[name] for name in AXES] for setting in whole])
    free = range(first, first + len(frames))
    if stretch.ideal is not None:
        start[free, :] = np.stack(
            [np.interp(frames, stretch.drift.frames, way) for way in stretch.ideal.T], 1
        )
    values = nearest(_course(stretch, [setting.frame for setting in whole], free), start)
    for index in free:
        axes = dict(zip(AXES, values[index].tolist(), strict=True))
        whole[index] = replace(whole[index], axes={**whole[index].axes, **axes})
    return replace(scene, brief=brief, path=path_through(brief, whole, scene.timing.frames))


def _aim(stretch: _Stretch, frame: float) -> dict[str, Any]:
    """The target in its intended place at a frame."""
    own = [keyframe["aim"] for keyframe in stretch.scene.brief["keyframes"][stretch.first : stretch.last + 1]]
    spot = {part: float(np.interp(frame, stretch.frames, [aim[part] for aim in own])) for part in ("x", "y")}
    return {"target": own[0]["target"], **spot}


def _stands(scene: Scene, frame: float) -> dict[str, float]:
    """Where all axes stand at a frame, as a hand can set it."""
    axes = scene.brief["rig"]["axes"]
    return {name: to_step(value, axes[name]["step"]) for name, value in scene.path.at(frame).items()}


def _course(stretch: _Stretch, frames: Sequence[float], free: range) -> Course:
    axes = [stretch.scene.brief["rig"]["axes"][name] for name in AXES]
    low, high = np.array([reach(axis) for axis in axes]).T
    edges = np.searchsorted(stretch.drift.frames, [frames[index] for index in free])
    parts = [slice(int(a), int(b) + 1) for a, b in pairwise(edges)]
    knots, at = stretch.shares(frames), stretch.shares(stretch.drift.frames)
    step = np.array([axis["step"] for axis in axes])
    along = _straight(knots, at) if stretch.scene.brief["rig"]["joins"] == "straight" else _smooth(knots, at)
    return Course(stretch.drift.off, along, free, parts, low, high, step)


def _straight(knots: Floats, at: Floats) -> Callable[[Floats], Floats]:
    return lambda values: np.interp(at, knots, values)


def _smooth(knots: Floats, at: Floats) -> Callable[[Floats], Floats]:
    """As joins.smooth, at many places at once."""
    part = np.clip(np.searchsorted(knots, at), 1, len(knots) - 1)
    ways = knots[part] - knots[part - 1]
    share = (at - knots[part - 1]) / ways
    rest = 1 - share

    def along(values: Floats) -> Floats:
        slope = np.array(slopes(knots.tolist(), values.tolist()))
        before, after = values[part - 1], values[part]
        curve = before + (after - before) * share * share * (3 - 2 * share)
        curve += ways * share * rest * (slope[part - 1] * rest - slope[part] * share)
        return np.clip(curve, np.minimum(before, after), np.maximum(before, after))

    return along
