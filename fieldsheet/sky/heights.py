"""How far bodies stand above thresholds, for many places along a grid, without a single arctangent.

A body at distance D from a place, along the unit vector d, has altitude h with sin h = up.d / |d + m|; m is
the place's motion (observe.py), which is level, and |d + m| is 1 + m.d (the square, 1e-12, left out). So
D (1 + m.d) (sin h - sin h0), which has the sign of h - h0, is up.G - up.P - sin h0 (D + m.G), where G is the
body's and P the place's vector from the Earth's centre: dot products with vectors that a place never changes,
and one square root for all thresholds of a body. For the upper limb of the moon, of radius R,
h0 - arcsin(R / D) takes the place of h0.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fieldsheet.sky.events import MOON_RADIUS_KM
from fieldsheet.sky.grid import Ints
from fieldsheet.sky.observe import Floats, Site


class Places:
    """What does not change at some sites: position_km, up, east (3 columns each), speed_c, all (sites, .).

    axes: up, east and position_km below one another. height_km and square: how far a site lies from the
    Earth's centre along its own up, and the square of its distance from there, (sites, 1).
    """

    def __init__(self, sites: Sequence[Site]) -> None:
        self.position_km = np.array([site.position_km for site in sites]).reshape(-1, 3)
        self.up = np.array([site.up for site in sites]).reshape(-1, 3)
        self.east = np.array([site.east for site in sites]).reshape(-1, 3)
        motion = np.array([site.motion_c for site in sites]).reshape(-1, 3)
        self.speed_c = np.sqrt((motion * motion).sum(axis=1))
        self.axes = np.concatenate([self.up, self.east, self.position_km])
        self.height_km = (self.up * self.position_km).sum(axis=1)[:, np.newaxis]
        self.square = (self.position_km * self.position_km).sum(axis=1)[:, np.newaxis]


class Heights:
    """A body as seen from places: (sites, moments), or (n,) with a moment and a site each.

    distance: km, or 1 where the body is far; up and east: its line of sight's parts along these axes.
    """

    def __init__(self, up: Floats, east: Floats, distance: Floats, speed_c: Floats) -> None:
        self.distance = distance
        self._up = up
        self._east = east
        self._length = distance + speed_c * east
        self._speed_c = speed_c

    def clearance(
        self, sine: Floats, cosine: Floats, *, upper_limb: bool, out: Floats | None = None
    ) -> Floats:
        """Above 0 where the body stands above an altitude of that sine and cosine, and 0 where it crosses.

        The limb is the moon's. out: where to write it.
        """
        if upper_limb:
            to_limb = np.sqrt(self.distance * self.distance - MOON_RADIUS_KM * MOON_RADIUS_KM)
            to_limb *= sine
            to_limb -= MOON_RADIUS_KM * cosine
            lowered = np.multiply(to_limb, self._length / self.distance, out=out)
        else:
            lowered = np.multiply(sine, self._length, out=out)
        return np.subtract(self._up, lowered, out=lowered)

    def past_meridian(self, out: Floats | None = None) -> Floats:
        """Comes up through 0 at the upper transit, and down through it at the lower. out: as above."""
        return np.subtract(-self._east, self._speed_c * self.distance, out=out)


def on_grid(places: Places, vectors: Floats, squares: Floats, *, far: bool) -> Heights:
    """What the places see of a body at the same moments: Earth-fixed vectors (3, moments), their squares."""
    count = len(places.up)
    axes = places.axes[: 2 * count] if far else places.axes
    up, east, *along = (axes @ vectors).reshape(-1, count, vectors.shape[1])
    speed_c = places.speed_c[:, np.newaxis]
    if far:
        return Heights(up, east, np.ones((1, 1)), speed_c)
    up -= places.height_km  # east is at right angles to the place's vector
    distance = along[0]
    distance *= -2.0
    distance += squares
    distance += places.square
    return Heights(up, east, np.sqrt(distance, out=distance), speed_c)


def at_moments(places: Places, site: Ints, vectors: Floats, *, far: bool) -> Heights:
    """What is seen from site (n,), a moment each, from Earth-fixed vectors (n, 3)."""
    sight = vectors if far else vectors - places.position_km[site]
    up, east = (sight * places.up[site]).sum(axis=1), (sight * places.east[site]).sum(axis=1)
    return Heights(up, east, np.sqrt((sight * sight).sum(axis=1)), places.speed_c[site])
