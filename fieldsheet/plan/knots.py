"""How many keyframes to follow a target with, and at which frames.  Python only.

Between two keyframes a rig runs straight, so a curve that bends away from the chord by d there can be met to
within d / 2: that measures a stretch without fitting it, and the frames that make the worst stretch least are
found among so many even ones by dynamic programming.
"""

from __future__ import annotations

from math import inf

import numpy as np
from numpy.typing import NDArray

from .drift import Drift

Floats = NDArray[np.float64]

GRID = 48
# More keyframes are worth it where each takes off a tenth of what is left.
WORTH = 1.1
NUDGE_DEG = 0.01


def chosen(
    drift: Drift, ideal: Floats, s: Floats, counts: tuple[int, int], enough: float
) -> list[int] | None:
    """Whole frames for counts[0] to counts[1] keyframes between the first and the last one of a stretch.

    ideal: pan and tilt (n, 2) of its frames, s: shares of the way there.  As few as bring the drift down to
    `enough` (a share of the frame's width), or near what the most can do; None where there is no room.
    """
    at = _grid(s)
    bends = _bends(drift, ideal, s, at)
    ways = _ways(bends, counts[1])
    if not ways:
        return None
    goal = max(enough, ways[-1][0] * WORTH)
    least = min(max(counts[0], 1), len(ways))
    worst, inner = next((way for way in ways[least - 1 :] if way[0] <= goal), ways[-1])
    return [int(drift.frames[at[index]]) for index in inner]


def _grid(s: Floats) -> list[int]:
    """Indices of frames that a keyframe may have: even ones, each farther on its way than the one before."""
    even = np.unique(np.floor(np.linspace(0, len(s) - 1, GRID + 1) + 0.5).astype(int)).tolist()
    inner = [index for index in even if s[0] < s[index] < s[-1]]
    return [0, *inner, len(s) - 1]


def _bends(drift: Drift, ideal: Floats, s: Floats, at: list[int]) -> Floats:
    """Half of how far the target strays at most from a chord between any two of the frames, (m, m)."""
    pan, tilt = ideal.T
    still = drift.off(pan, tilt)
    per_pan = (drift.off(pan + NUDGE_DEG, tilt) - still) / NUDGE_DEG
    per_tilt = (drift.off(pan, tilt + NUDGE_DEG) - still) / NUDGE_DEG
    bends = np.zeros((len(at), len(at)))
    for first, a in enumerate(at):
        for last in range(first + 1, len(at)):
            b = at[last]
            part = slice(a, b + 1)
            share = ((s[part] - s[a]) / (s[b] - s[a]))[:, None]
            away = ideal[a] + (ideal[b] - ideal[a]) * share - ideal[part]
            off = per_pan[part] * away[:, :1] + per_tilt[part] * away[:, 1:]
            bends[first, last] = np.hypot(*off.T).max() / 2
    return bends


def _ways(bends: Floats, most: int) -> list[tuple[float, list[int]]]:
    """For one frame between the ends, for two and so on: the least worst stretch, and the frames of it."""
    count = len(bends)
    reached = bends[0].copy()
    reached[0] = inf
    came: list[list[int]] = [[] for _ in range(count)]
    ways = []
    for _ in range(min(most, count - 2)):
        worst = np.maximum(reached[:, None], np.where(bends > 0, bends, inf))
        before = worst.argmin(axis=0)
        reached = worst[before, np.arange(count)]
        came = [[*came[index], int(index)] for index in before]
        if not np.isfinite(reached[-1]):
            break
        ways.append((float(reached[-1]), came[-1]))
    return ways
