"""How much light there is along a run: on the ground, and of the picture itself.  Twin: app/core/lit.js."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil
from typing import Any

from ..sky.illuminance import ev100, lx_of, open_sky_lx
from ..sky.moon import moon_elongations
from ..sky.observe import horizontal
from ..sky.sky import Sky
from .anchors import Night, must_reach, night_of
from .move import Warp, between, warp_of
from .timing import Timing, frame_of, keyframe_frames, solve

LEAST_SAMPLES = 24
SAMPLE_MS = 60_000


@dataclass(frozen=True)
class Lit:
    """A run of a shot: its night and timing, and the share of the way of each keyframe, by whose warp."""

    brief: dict[str, Any]
    night: Night
    timing: Timing
    warp: Warp | None
    knots: list[float]

    @cached_property
    def frames(self) -> list[float]:
        """Real frames from the first to the last, evenly, at most a minute apart."""
        last = self.timing.frames
        longest_ms = max(segment.interval_ms for segment in self.timing.segments)
        samples = max(LEAST_SAMPLES, ceil((last - 1) * longest_ms / SAMPLE_MS))
        return [1 + (last - 1) * sample / samples for sample in range(samples + 1)]

    @cached_property
    def times_s(self) -> list[float]:
        """Their instants [s UTC]."""
        return [self.timing.utc_ms(frame) / 1000 for frame in self.frames]

    @cached_property
    def clear_lx(self) -> list[float]:
        """The illuminance [lx] of the ground at them under a clear sky."""
        return ground_lx(self.night, self.times_s)

    def scene_ev(self, frame: float) -> float:
        """Stops by which the picture is brighter than the ground says: the keyframes', blended by the way."""
        return scene_ev(self.brief, self.warp, self.knots, frame)

    def base(self, name: str) -> tuple[float, float]:
        """(instant [s UTC], real frame) of the moment that a base exposure is for."""
        frame = base_frame(self.brief, self.night, self.timing, name)
        if frame is not None:
            return self.timing.utc_ms(frame) / 1000, frame
        best = max(self.clear_lx) if name == "bright" else min(self.clear_lx)
        place = self.clear_lx.index(best)
        return self.times_s[place], self.frames[place]


def scene_ev(brief: dict[str, Any], warp: Warp | None, knots: list[float], frame: float) -> float:
    """Stops by which the picture at a real frame is brighter than the ground says."""
    scenes = [keyframe["scene_ev"] for keyframe in brief["keyframes"]]
    if warp is None:
        return float(scenes[0]) if scenes else 0.0
    k, share = between(warp, knots, frame)
    return float(scenes[k - 1] + (scenes[k] - scenes[k - 1]) * share)


def base_frame(brief: dict[str, Any], night: Night, timing: Timing, name: str) -> float | None:
    """The real frame that a base exposure is given for; None where it is for the brightest, the darkest.

    Raises PlanProblem where the event that it is for does not come.
    """
    at = brief["exposure"][name]["at"]
    return None if at is None else frame_of(at, night, timing, f"exposure.{name}.at")


def own_run(brief: dict[str, Any], sky: Sky) -> Lit:
    """The shot as its file has it, on its own night; raises PlanProblem where that gives no run."""
    night = night_of(brief, sky, brief["night"])
    timing = solve(brief, night, None)
    must_reach(night, timing.start_ms / 1000, timing.end_ms / 1000)
    frames = keyframe_frames(brief, night, timing)
    warp = warp_of(brief["hold"], brief["ease"], timing.frames) if len(frames) > 1 else None
    return Lit(brief, night, timing, warp, [warp.s(frame) for frame in frames] if warp else [])


def ground_lx(night: Night, times_s: Sequence[float]) -> list[float]:
    """Illuminance [lx] of the ground by sun, moon and stars under a clear sky, at instants [s UTC]."""
    sun, _, _ = horizontal(night.sky, night.site, "sun", times_s)
    moon, _, _ = horizontal(night.sky, night.site, "moon", times_s)
    elongation, distance_km = moon_elongations(night.sky, times_s)
    rows = zip(sun.tolist(), moon.tolist(), elongation.tolist(), distance_km.tolist(), strict=True)
    return [open_sky_lx(row[0], (row[1], row[2], row[3])) for row in rows]


def metered_ev(exposure: dict[str, Any], clear_lx: float, divisor: float) -> float:
    """EV at ISO 100 of the ground, with what cloud takes and what a town's glow adds."""
    glow = exposure["glow_ev"]
    return ev100(clear_lx / divisor + (0.0 if glow is None else lx_of(glow)))
