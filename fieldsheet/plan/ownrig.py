"""Whether the rig shows in its own picture: ends of its rail, legs, its shadow.  Twin: app/core/ownrig.js.

The ground is taken to be level for the shadow.  Vectors are east, north and up, in mm from the lens.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import cos, radians, sin, tan
from typing import Any

import numpy as np

from ..sky.moon import moon_light
from ..sky.ridge import skyline_deg
from .aim import Ray
from .gaze import Bools, Floats, Gaze, vectors
from .onrail import along
from .scene import Scene, moment
from .seen import dark_at, seen_at

# A rail goes on behind the carriage's travel: half a carriage and a soft margin (common practice, no source).
BEYOND_MM = 85.0
# What reaches away from under the lens is looked for at its far end, and at these parts of the way to it.
PARTS = (1.0, 0.85, 0.7, 0.55, 0.45, 0.35, 0.25)
UPRIGHT_DEG = 60.0
# A shadow is looked for from the lens's own down to the feet: at these parts of the way to straight below.
DOWN = (0.0, 0.2, 0.4, 0.6, 0.8)
# A disc half a degree wide washes out the shadow of what is 20 cm wide beyond 0.2 m / 0.0093.
LONGEST_SHADOW_M = 21.0
# A moon less lit than that throws no shadow that shows (common practice, no source).
SHADOW_LIT = 0.25

Test = Callable[[Sequence[int], Gaze], Iterator[tuple[Any, Bools]]]
"""Of each thing that may show, whether it does at each frame."""


def own_rig(scene: Scene) -> dict[str, Any]:
    """The first frame that shows each: {looked_for, ends, legs, shadow}, None for what does not show.

    ends: {frame, time, end}; legs: {frame, time, leg (its number)}; shadow: {frame, time, body, length_m}.
    looked_for: "ends" and "legs" where the rail does not stand upright and somebody said how the lens stands
    over it, "shadow" where sun or moon throw one.
    """
    lights = [body for body in ("sun", "moon") if _lights(scene, body, scene.looked[0])[0].any()]
    on_rail = _is_known(scene.brief)
    ends = _first(scene, _ends(scene), "end") if on_rail else None
    legs = _first(scene, _legs(scene), "leg") if on_rail else None
    shadow = _first(scene, _shadow(scene, lights), "body") if lights else None
    named = [("ends", on_rail), ("legs", on_rail and scene.brief["rig"]["legs"]), ("shadow", lights)]
    return {
        "looked_for": [name for name, known in named if known],
        "ends": ends,
        "legs": legs,
        "shadow": shadow and {**shadow, "length_m": _length_m(scene, shadow["body"], shadow["frame"])},
    }


def _is_known(brief: dict[str, Any]) -> bool:
    rail, over_mm = brief["rail"], brief["rig"]["lens_over_rail_mm"]
    return over_mm is not None and rail is not None and abs(rail["incline_deg"]) <= UPRIGHT_DEG


def _first(scene: Scene, test: Test, called: str) -> dict[str, Any] | None:
    """The first frame at which something shows, and what: of those looked at, then of those before it."""
    frames, gaze = scene.looked
    shown = np.zeros(len(frames), bool)
    for _, at in test(frames, gaze):
        shown |= at
    if not shown.any():
        return None
    place = int(np.argmax(shown))
    near = range(frames[max(place - 1, 0)] + (place > 0), frames[place] + 1)
    rows = [(what, at) for what, at in test(near, scene.gaze(near)) if at.any()]
    what, at = min(rows, key=lambda row: int(np.argmax(row[1])))
    return {**moment(scene, near[int(np.argmax(at))]), called: what}


def _ends(scene: Scene) -> Test:
    """The ends of the rail, each as far as its part is off the carriage."""
    slide = scene.brief["rig"]["axes"]["slide"]

    def test(frames: Sequence[int], gaze: Gaze) -> Iterator[tuple[str, Bools]]:
        travel = _travel_mm(scene, frames)
        for end, stop_mm in (("home", slide["min"] - BEYOND_MM), ("far", slide["max"] + BEYOND_MM)):
            reach_mm = stop_mm - travel
            yield end, _any(gaze.shows(_on_rail(scene, reach_mm * part)) for part in PARTS)

    return test


def _legs(scene: Scene) -> Test:
    """The legs of the rail: they stand plumb under it, their feet to either side."""
    bearing = radians(scene.brief["rail"]["bearing_deg"] or 0.0)
    aside = np.array([cos(bearing), -sin(bearing), 0.0])

    def test(frames: Sequence[int], gaze: Gaze) -> Iterator[tuple[int, Bools]]:
        travel = _travel_mm(scene, frames)
        for number, leg in enumerate(scene.brief["rig"]["legs"], start=1):
            top = _on_rail(scene, leg["at_mm"] - travel)
            foot = np.array([0.0, 0.0, -leg["height_mm"]])
            ways = [foot + side * leg["spread_mm"] * aside for side in (-1, 1)]
            yield number, _any(gaze.shows(top + part * way) for part in PARTS for way in ways)

    return test


def _shadow(scene: Scene, lights: Sequence[str]) -> Test:
    """From the point right opposite the light, where the lens's own shadow lies, down to the feet."""

    def test(frames: Sequence[int], gaze: Gaze) -> Iterator[tuple[str, Bools]]:
        for body in lights:
            lit, azimuths, altitudes = _lights(scene, body, frames)
            lows = (-altitudes - (90 - altitudes) * part for part in DOWN)
            yield body, lit & _any(gaze.shows(vectors(azimuths + 180, low)) for low in lows)

    return test


def _lights(scene: Scene, body: str, frames: Sequence[int]) -> tuple[Bools, Floats, Floats]:
    """Whether a body throws a shadow that shows, and its true azimuths and apparent altitudes [deg]."""
    night, times_s = scene.night, [scene.timing.ms_of(frame) / 1000 for frame in frames]
    azimuths, altitudes = seen_at(night, body, times_s)
    least_deg = np.degrees(np.arctan(scene.brief["lens_height_m"] / LONGEST_SHADOW_M))
    ridge = night.site.ridge
    lit = (altitudes >= least_deg) & (altitudes > (skyline_deg(ridge, azimuths) if ridge else 0.0))
    if body == "moon" and lit.any():
        middle_s = (scene.timing.start_ms + scene.timing.end_ms) / 2000
        lit &= dark_at(night, times_s) & (moon_light(night.sky, middle_s)[0] > SHADOW_LIT)
    return lit, azimuths, altitudes


def _length_m(scene: Scene, body: str, frame: int) -> float:
    """How far from the feet the lens's shadow lies."""
    _, altitudes = seen_at(scene.night, body, [scene.timing.ms_of(frame) / 1000])
    return float(scene.brief["lens_height_m"] / tan(radians(float(altitudes[0]))))


def _travel_mm(scene: Scene, frames: Sequence[int]) -> Floats:
    return np.array([scene.path.at(frame)["slide"] for frame in frames])


def _on_rail(scene: Scene, along_mm: Floats) -> Floats:
    """Ways (n, 3) from the lens to points of the rail (n,), so far from under it.

    A head that follows its rail stands at right angles to it, a levelled one plumb.
    """
    base = scene.lens.base
    up: Ray = (0.0, 0.0, 1.0) if base is None else base.axes()[2]
    over_mm = scene.brief["rig"]["lens_over_rail_mm"]
    under = over_mm * np.array(up)
    return np.asarray(along_mm[:, np.newaxis] * np.array(along(scene.brief["rail"])) - under)


def _any(parts: Iterator[Bools]) -> Bools:
    return np.asarray(np.logical_or.reduce(list(parts)))
