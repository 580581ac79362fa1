"""What is in the frame over the whole shot.  Twin: app/core/picture.js."""

from __future__ import annotations

from typing import Any

from ..sky.galaxy import galactic_pole
from ..sky.moon import moon_light
from .aim import direction_at, inside_frame, wrap_deg
from .inside import inside
from .onrail import foreground, lean, own_rig
from .scene import Scene
from .seen import seen_deg, stars_out
from .tracked import tracked

# Where along each side of the frame its direction is looked up.
SIDE = (-1.0, -0.75, -0.5, -0.25, 0.0, 0.25, 0.5, 0.75, 1.0)
BORDER = [
    *((x, y) for y in (-1.0, 1.0) for x in SIDE),
    *((x, y) for x in (-1.0, 1.0) for y in SIDE),
]
POLES_DEG = (90.0, -90.0)


def picture(scene: Scene) -> dict[str, Any]:
    """The plan's `picture`: what is tracked, what is inside, how it leans, what to keep out of it."""
    return {
        "tracked": tracked(scene),
        "inside": inside(scene),
        "lean": lean(scene),
        "foreground": foreground(scene),
        "own_rig": own_rig(scene),
        "keep_out": keep_out(scene),
        "views": [_view(scene, setting.frame) for setting in scene.path.settings],
    }


def keep_out(scene: Scene) -> dict[str, float] | None:
    """All azimuths that the lens sees over the shot, clockwise {from_deg, to_deg}; None for all round."""
    left, right = [], []
    for frame in scene.frames():
        axis_deg, tilt_deg = scene.axis(frame)
        if any(inside_frame(0.0, pole, axis_deg, tilt_deg, scene.lens) for pole in POLES_DEG):
            return None
        seen = [direction_at(x, y, axis_deg, tilt_deg, scene.lens) for x, y in BORDER]
        aside = [wrap_deg(at[0] - axis_deg) for at in seen if at is not None]
        left.append(axis_deg + min(aside, default=-180.0))
        right.append(axis_deg + max(aside, default=180.0))
    from_deg, to_deg = min(left), max(right)
    return None if to_deg - from_deg >= 360 else {"from_deg": from_deg % 360, "to_deg": to_deg % 360}


def _view(scene: Scene, frame: float) -> dict[str, Any]:
    """What the drawing of a keyframe's frame needs of the sky: {pole, moon}.

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
