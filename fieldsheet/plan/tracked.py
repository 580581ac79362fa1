"""A target that two neighbouring keyframes share: its way through the frame.  Twin: app/core/tracked.js."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor, hypot
from typing import Any

from .aim import place_in_frame
from .scene import Scene, largest, moment
from .seen import seen_at

Spot = tuple[float, float]

DRAWN = 16
BLIND = 9.0
"""Off by so many frame widths where the lens does not show the target at all."""


def tracked(scene: Scene) -> list[dict[str, Any]]:
    """For each two neighbouring keyframes with one target how it strays between them from its intended place.

    {number (of the first), target, worst, path}: the intended place runs evenly from x, y of the first aim to
    those of the second.  worst: {frame, time, right, up, share, px}: off by these parts of the frame's width
    and height, altogether by that share of its width, and by pixels of the clip where those are known.  path:
    its places [x, y] in the frame, None where the lens does not show it, at DRAWN + 1 even moments.
    """
    aims = [keyframe["aim"] or {} for keyframe in scene.brief["keyframes"]]
    return [
        _between(scene, index, aims[index], aims[index + 1])
        for index in range(len(aims) - 1)
        if "target" in aims[index] and aims[index]["target"] == aims[index + 1].get("target")
    ]


def _between(scene: Scene, index: int, aim: dict[str, Any], next_aim: dict[str, Any]) -> dict[str, Any]:
    first, last = (scene.path.settings[at].frame for at in (index, index + 1))

    def strays(frame: float, spot: Spot | None) -> tuple[float, float, float]:
        """Parts of the frame's width and height off the intended place, and the share of its width."""
        if spot is None:
            return 0.0, 0.0, BLIND
        share = (frame - first) / (last - first)
        right = (spot[0] - aim["x"] - (next_aim["x"] - aim["x"]) * share) / 2
        up = (spot[1] - aim["y"] - (next_aim["y"] - aim["y"]) * share) / 2
        return right, up, hypot(right, up * scene.lens.half_height / scene.lens.half_width)

    looked = scene.frames(first, last)
    spots = _spots(scene, aim["target"], looked)
    off = [strays(frame, spot) for frame, spot in zip(looked, spots, strict=True)]
    _, worst = largest([(one[2], at) for at, one in enumerate(off)])
    frame, (right, up, share) = looked[worst], off[worst]
    across_px = clip_px(scene.brief)
    px = None if across_px is None or share == BLIND else share * across_px
    even = [first + (last - first) * part / DRAWN for part in range(DRAWN + 1)]
    return {
        "number": index + 1,
        "target": aim["target"],
        "worst": {
            **moment(scene, frame),
            "right": right,
            "up": up,
            "share": None if share == BLIND else share,
            "px": px,
        },
        "path": [_cut(spot) for spot in _spots(scene, aim["target"], even)],
    }


def clip_px(brief: dict[str, Any]) -> float | None:
    """Pixels across the delivered frame; None where nobody gave the camera's."""
    pixels = brief["camera"]["pixels"]
    return None if pixels is None else pixels[0] * brief["frame_mm"][0] / brief["camera"]["sensor_mm"][0]


def _spots(scene: Scene, body: str, frames: Sequence[float]) -> list[Spot | None]:
    """Its places in the frame at (real) frames, None where the lens does not show it."""
    stands = seen_at(scene.night, body, [scene.timing.ms_of(frame) / 1000 for frame in frames])
    places = zip(*(part.tolist() for part in stands), strict=True)
    return [
        place_in_frame(azimuth, altitude, *scene.axis(frame), scene.lens)
        for frame, (azimuth, altitude) in zip(frames, places, strict=True)
    ]


def _cut(spot: Spot | None) -> list[float] | None:
    """As finely as it can be drawn."""
    return spot and [floor(part * 1000 + 0.5) / 1000 for part in spot]
