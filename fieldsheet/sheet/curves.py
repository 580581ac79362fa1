"""How every axis stands and goes along the frames, as it is drawn on paper.  Python only."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..plan.move import Path, path_of
from .figures import axes_of, figure, unsigned
from .words import say

SAMPLES = 240
DECIMALS = 4

Spot = tuple[float, float]


def curves_of(plan: dict[str, Any]) -> list[dict[str, Any]]:
    """A lane for each axis, in the rig's order; none where nothing moves.

    {letter, text, frames; stands, goes, keys: lists of (frame, share of the lane's height)}. stands is 0 at
    the lowest position of the shot and 1 at the highest, and so are the keyframes; goes is the size of the
    way from a frame to the next one, 1 at the largest. An axis that does not move stands at a half.
    """
    if len(plan["keyframes"]) < 2:
        return []
    path, frames = path_of(plan), plan["timing"]["frames"]
    return [_lane(axis, path, frames, plan) for axis in axes_of(plan["brief"])]


def _lane(axis: dict[str, Any], path: Path, frames: int, plan: dict[str, Any]) -> dict[str, Any]:
    name, way = axis["name"], plan["move"]["way"][axis["name"]]
    looked = _looked_at(frames, [way["frame"]])
    stands = [(float(frame), path.at(frame)[name]) for frame in looked]
    goes = [(float(frame), abs(path.at(frame + 1)[name] - path.at(frame)[name])) for frame in looked[:-1]]
    keys = [(float(key["frame"]), key["axes"][name]) for key in plan["keyframes"]]
    whole = [at for _, at in (*stands, *keys)]
    low, high, most = min(whole), max(whole), max(step for _, step in goes)
    return {
        "letter": axis["letter"],
        "text": _text(axis, way, low, high),
        "frames": frames,
        "stands": _shares(stands, low, high),
        "goes": _shares(goes, 0.0, most, at_rest=0.0),
        "keys": _shares(keys, low, high),
    }


def _looked_at(frames: int, more: Sequence[int]) -> list[int]:
    """Frames from the first to the last, evenly, at most SAMPLES of them, and some more."""
    count = min(frames, SAMPLES)
    even = (1 + (frames - 1) * n // (count - 1) for n in range(count))
    return sorted({*even, *more})


def _shares(spots: Sequence[Spot], low: float, high: float, at_rest: float = 0.5) -> list[Spot]:
    """The same as shares of what lies between low and high."""
    reach = high - low
    return [
        (frame, round((value - low) / reach, DECIMALS) if reach > 0 else at_rest) for frame, value in spots
    ]


def _text(axis: dict[str, Any], way: dict[str, Any], low: float, high: float) -> str:
    """What the lane is of, from where to where the axis goes, and where it goes farthest."""
    figures = {"low": figure(low, axis), "high": figure(high, axis), "step": unsigned(way["step"], axis, 1)}
    unit = axis["unit"] if axis["angle"] else f" {axis['unit']}"
    args = {name: text + unit for name, text in figures.items()}
    args |= {"axis": axis["name"], "frame": way["frame"]}
    return say("curve.lane" if high > low else "curve.still", args, ())
