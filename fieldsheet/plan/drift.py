"""How far a followed target is off its place, at many frames and for any pan and tilt.  Python only.

The same measure as tracked(), which has one place a frame; tests hold the two together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .aim import Lens, aim_at, pan_zero_deg
from .scene import Scene
from .seen import seen_at
from .tracked import BLIND

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Drift:
    """A target at n frames: where it stands over the head's plate [deg], and its intended place."""

    frames: Floats
    azimuth_deg: Floats
    altitude_deg: Floats
    x: Floats
    y: Floats
    zero_deg: float
    lens: Lens

    def off(self, pan: Floats, tilt: Floats) -> Floats:
        """Right and up (n, 2) in shares of the frame's width; BLIND where the lens does not show it."""
        spot, blind = _spots(self.lens, self.azimuth_deg - self.zero_deg - pan, self.altitude_deg, tilt)
        halves = np.array([1.0, self.lens.half_height / self.lens.half_width]) / 2
        off = (spot - np.stack([self.x, self.y], axis=1)) * halves
        off[blind] = (BLIND, 0.0)
        return off

    def ideal(self) -> Floats | None:
        """Pan and tilt (n, 2) that keep it in its place throughout, without jumps; None where none do."""
        level = Lens(self.lens.half_width, self.lens.half_height, self.lens.projection)
        rows = np.stack([self.azimuth_deg, self.altitude_deg, self.x, self.y], axis=1).tolist()
        aims = [aim_at(azimuth, altitude, x, y, level) for azimuth, altitude, x, y in rows]
        if None in aims:
            return None
        axes = np.array(aims)
        return np.stack([np.unwrap(axes[:, 0] - self.zero_deg, period=360), axes[:, 1]], axis=1)


def drift_of(scene: Scene, first: int, last: int, frames: Sequence[int]) -> Drift:
    """What keyframes `first` to `last` (indices) follow, at some frames between them."""
    aims = [keyframe["aim"] for keyframe in scene.brief["keyframes"][first : last + 1]]
    at = [setting.frame for setting in scene.path.settings[first : last + 1]]
    target: str = aims[0]["target"]
    times_s = [scene.timing.ms_of(frame) / 1000 for frame in frames]
    azimuth, altitude = seen_at(scene.night, target, times_s)
    if scene.lens.base is not None:
        turned = [scene.lens.base.of_head(float(a), float(h)) for a, h in zip(azimuth, altitude, strict=True)]
        azimuth, altitude = np.array(turned).T
    x, y = (np.interp(frames, at, [aim[part] for aim in aims]) for part in ("x", "y"))
    return Drift(np.array(frames, np.float64), azimuth, altitude, x, y, pan_zero_deg(scene.brief), scene.lens)


def _spots(lens: Lens, across_deg: Floats, altitude_deg: Floats, tilt_deg: Floats) -> tuple[Floats, Any]:
    """As place_in_frame, of directions over the plate: (n, 2), and at which the lens is blind (n,)."""
    across, altitude, tilt = np.radians(across_deg), np.radians(altitude_deg), np.radians(tilt_deg)
    level, height = np.cos(altitude) * np.cos(across), np.sin(altitude)
    forward = level * np.cos(tilt) + height * np.sin(tilt)
    right = np.cos(altitude) * np.sin(across)
    up = height * np.cos(tilt) - level * np.sin(tilt)
    size = np.hypot(right, up)
    if lens.projection == "rectilinear":
        blind = forward <= 0
        scale = 1 / np.where(blind, 1.0, forward)
    else:
        theta = np.arctan2(size, forward)
        blind = (size == 0) & (forward <= 0)
        r = theta if lens.projection == "equidistant" else 2 * np.sin(theta / 2)
        scale = r / np.where(size == 0, 1.0, size)
    half = np.array([lens.half_width, lens.half_height])
    return np.stack([right, up], axis=1) * scale[:, None] / half, blind
