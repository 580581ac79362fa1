"""The camera in the world, at many frames at once: where it looks, what it shows.  Twin: app/core/gaze.js.

Vectors are east, north and up.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .aim import Lens

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Gaze:
    """The camera's own axes (n, 3) of length one, and its lens.

    axes: azimuth and tilt [deg] over the head's plate, (n, 2).
    """

    axes: Floats
    right: Floats
    up: Floats
    forward: Floats
    lens: Lens

    def shows(self, towards: ArrayLike) -> Bools:
        """Whether the delivered frame shows what stands that way (3,), or a way (n, 3) at each frame."""
        way = np.asarray(towards, np.float64)
        right, up, forward = ((own * way).sum(axis=1) for own in (self.right, self.up, self.forward))
        across, size = np.hypot(right, up), self._sizes(right, up, forward)
        within = (np.abs(right) * size <= self.lens.half_width * across) & (
            np.abs(up) * size <= self.lens.half_height * across
        )
        return np.asarray(within & (size >= 0) & ((across > 0) | (forward > 0)))

    def _sizes(self, right: Floats, up: Floats, forward: Floats) -> Floats:
        """How far from the middle of the sensor, over the focal length; below 0 where the lens is blind."""
        across = np.hypot(right, up)
        if self.lens.projection == "rectilinear":
            return np.where(forward > 0, across / np.where(forward > 0, forward, 1.0), -1.0)
        theta = np.arctan2(across, forward)
        return theta if self.lens.projection == "equidistant" else 2 * np.sin(theta / 2)

    def sees(self, places: Sequence[tuple[float, float]]) -> Floats:
        """What stands at m places of the frame, (n, m, 3); places where the lens is blind are left out."""
        rays = [ray for x, y in places if (ray := self.lens.ray(x, y)) is not None]
        own = np.stack([self.right, self.up, self.forward], axis=1)
        return np.asarray(np.array(rays).reshape(-1, 3) @ own)


def gaze(axes_deg: Sequence[tuple[float, float]], lens: Lens) -> Gaze:
    """The camera at these azimuths and tilts over the head's plate."""
    axes = np.array(axes_deg).reshape(-1, 2)
    azimuth, tilt = np.radians(axes).T
    right = np.stack([np.cos(azimuth), -np.sin(azimuth), np.zeros(azimuth.size)], axis=1)
    forward = vectors(axes[:, 0], axes[:, 1])
    up = np.stack([-np.sin(tilt) * np.sin(azimuth), -np.sin(tilt) * np.cos(azimuth), np.cos(tilt)], axis=1)
    plate = np.eye(3) if lens.base is None else np.array(lens.base.axes())
    return Gaze(axes, right @ plate, up @ plate, forward @ plate, lens)


def vectors(azimuth_deg: ArrayLike, altitude_deg: ArrayLike) -> Floats:
    """Directions (n, 3) of azimuths and altitudes (n,)."""
    azimuth, altitude = np.radians(np.asarray(azimuth_deg)), np.radians(np.asarray(altitude_deg))
    level = np.cos(altitude)
    return np.stack([level * np.sin(azimuth), level * np.cos(azimuth), np.sin(altitude)], axis=-1)
