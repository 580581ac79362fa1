"""What is in the frame over the whole shot.  Twin: app/core/picture.js."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from typing import Any

import numpy as np

from ..sky.galaxy import galactic_pole
from ..sky.moon import moon_light
from .aim import inside_frame
from .civil import clock_of, stamp
from .gaze import Floats, Gaze
from .inside import inside
from .nightsky import in_frames
from .onrail import foreground, lean, sag
from .ownrig import own_rig
from .scene import Scene, moment
from .seen import seen_deg, stars_out
from .tracked import tracked

# Where along each side of the frame its direction is looked up.
SIDE = (-1.0, -0.75, -0.5, -0.25, 0.0, 0.25, 0.5, 0.75, 1.0)
BORDER = [
    *((x, y) for y in (-1.0, 1.0) for x in SIDE),
    *((x, y) for x in (-1.0, 1.0) for y in SIDE),
]
HOUR_S = 3600
# Half a turn either way is taken for the same one, whatever rounding makes of it.
HAIR = 1e-6
POLES = ((0.0, 0.0, 1.0), (0.0, 0.0, -1.0))


def picture(scene: Scene) -> dict[str, Any]:
    """The plan's `picture`: what is tracked, what is inside, how it leans, what to keep out of it."""
    return {
        "tracked": tracked(scene),
        "inside": inside(scene),
        "lean": lean(scene),
        "foreground": foreground(scene),
        "sag": sag(scene),
        "own_rig": own_rig(scene),
        "keep_out": keep_out(scene),
        "views": _views(scene),
    }


def keep_out(scene: Scene) -> dict[str, Any]:
    """All azimuths that the lens sees, clockwise {from_deg, to_deg}, over the shot and by the hour.

    by_hour: {from, until, from_deg, to_deg} for each hour of the place's clock that the shot runs in.  Both
    None where the lens sees all round.
    """
    frames, gaze = scene.looked
    sides = _sides(gaze)
    times_ms = [scene.timing.ms_of(frame) for frame in frames]
    rows = []
    for from_ms, until_ms in _hours(scene):
        first, beyond = bisect_right(times_ms, from_ms) - 1, bisect_left(times_ms, until_ms) + 1
        span = {"from": stamp(scene.night.spans, from_ms), "until": stamp(scene.night.spans, until_ms)}
        rows.append({**span, **_sector(sides[first:beyond])})
    return {**_sector(sides), "by_hour": rows}


def _sides(gaze: Gaze) -> Floats:
    """The azimuths [deg] between which the lens sees at each frame (n, 2), in the turn of its own axis."""
    axes, seen = _middles(gaze), gaze.sees(BORDER)
    aside = np.degrees(np.arctan2(seen[..., 0], seen[..., 1])) - axes
    aside = (aside + 180) % 360 - 180
    round_ = np.logical_or.reduce([gaze.shows(pole) for pole in POLES]) | (not seen.size)
    ends = [aside.min(axis=1, initial=180), aside.max(axis=1, initial=-180)]
    wide = [np.where(round_, all_round, end) for all_round, end in zip((-180, 180), ends, strict=True)]
    return np.asarray(axes + np.stack(wide, axis=1))


def _middles(gaze: Gaze) -> Floats:
    """The azimuth [deg] of the middle of each frame (n, 1), which never jumps as the head turns.

    It is another than the head's own where that leans, or is tilted past the zenith.
    """
    east, north, _ = gaze.forward.T
    steps = np.diff(np.degrees(np.arctan2(east, north)) - gaze.axes[:, 0], prepend=0.0)
    aside = (steps + 180 - HAIR) % 360 - 180 + HAIR
    return np.asarray((gaze.axes[:, 0] + np.cumsum(aside))[:, np.newaxis])


def _sector(sides: Floats) -> dict[str, float | None]:
    from_deg, to_deg = float(sides[:, 0].min()), float(sides[:, 1].max())
    if to_deg - from_deg >= 360:
        return {"from_deg": None, "to_deg": None}
    return {"from_deg": from_deg % 360, "to_deg": to_deg % 360}


def _hours(scene: Scene) -> Iterator[tuple[int, int]]:
    """The window cut where the place's clock strikes the hour [ms UTC]."""
    from_ms, end_ms = scene.timing.start_ms, scene.timing.end_ms
    while from_ms < end_ms:
        left_s = HOUR_S - clock_of(scene.night.spans, from_ms / 1000) % HOUR_S
        until_ms = min((from_ms // 1000 + left_s) * 1000, end_ms)
        yield from_ms, until_ms
        from_ms = until_ms


def _views(scene: Scene) -> list[dict[str, Any]]:
    """What the drawings need of the sky: one a keyframe, or both ends of a shot without any.

    These have {frame, time, in_frame} too, as a keyframe has them.
    """
    if scene.path.settings:
        return [_view(scene, setting.frame) for setting in scene.path.settings]
    ends = [moment(scene, frame) for frame in (1, scene.timing.frames)]
    shown = in_frames(scene.brief, scene.night, [({}, end["time"]["utc_ms"] / 1000, None) for end in ends])
    return [
        {**end, "in_frame": rows, **_view(scene, end["frame"])} for end, rows in zip(ends, shown, strict=True)
    ]


def _view(scene: Scene, frame: float) -> dict[str, Any]:
    """What the drawing of a frame needs of the sky: {pole, moon}.

    pole: true azimuth and altitude of the galaxy's north pole, None where the stars are not out; moon: how
    much of it is lit and where the sun stands, {lit, sun}, None where the moon is not in the frame.
    """
    night, t_s = scene.night, scene.timing.ms_of(frame) / 1000
    pole, moon = None, None
    if stars_out(night, t_s):
        pole = list(galactic_pole(night.sky, night.site, t_s))
    if inside_frame(*seen_deg(night, "moon", t_s), *scene.axis(frame), scene.lens) is not None:
        moon = {"lit": moon_light(night.sky, t_s)[0], "sun": list(seen_deg(night, "sun", t_s))}
    return {"pole": pole, "moon": moon}
