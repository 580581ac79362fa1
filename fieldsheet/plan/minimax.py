"""Values of two axes at keyframes that keep a target nearest to its place at the worst frame.  Python only.

First the frames' offs are fitted in the norm of an ever higher power p, which comes to the least worst of
all (Polya's way to Chebyshev's approximation; each by Newton's steps on reweighted squares, cut by p - 1),
then the values go to what a hand can set, and from there by steps of it as long as the worst gets less.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

POWERS = (2, 4, 8, 16, 32, 64, 128, 256, 512)
ROUNDS = 2
HALVINGS = 5
NUDGE_DEG = 0.01
REACH = 2
# A tenth of a second or so: from a good fit few steps are left.
MOST_TRIES = 1200
LEAST_GAIN = 1e-9


@dataclass(frozen=True)
class Course:
    """What is to be fitted, at n frames, through k keyframes of which `free` (indices) may be set otherwise.

    off: pan (n,) and tilt (n,) in degrees to how far off the target is (n, 2), in shares of the frame's
    width; along: one axis's values at the keyframes (k,) to its positions (n,).  parts: the frames between
    each two keyframes.  low, high, step: of pan and tilt, in degrees.
    """

    off: Callable[[Floats, Floats], Floats]
    along: Callable[[Floats], Floats]
    free: Sequence[int]
    parts: Sequence[slice]
    low: Floats
    high: Floats
    step: Floats

    def offs(self, values: Floats) -> Floats:
        """How far off (n, 2) with these values (k, 2)."""
        return self.off(self.along(values[:, 0]), self.along(values[:, 1]))

    def worst(self, values: Floats) -> tuple[float, ...]:
        """The most that each part is off, the largest first: so all parts count, not the worst alone."""
        sizes = np.hypot(*self.offs(values).T)
        return tuple(sorted((float(sizes[part].max()) for part in self.parts), reverse=True))


def nearest(course: Course, start: Floats) -> Floats:
    """The values (k, 2), multiples of what a hand can set, within limits, with the least worst off."""
    return _settled(course, fitted(course, start))


def fitted(course: Course, start: Floats) -> Floats:
    """The same before they are rounded; from a start (k, 2) that shows the target at most frames."""
    values = _within(course, start)
    for power in POWERS:
        for _ in range(ROUNDS):
            values = _stepped(course, values, power)
    return values


def _stepped(course: Course, values: Floats, power: int) -> Floats:
    """One step of Newton's, halved while it makes the norm greater."""
    offs = course.offs(values)
    sizes = np.hypot(*offs.T)
    most = float(sizes.max())
    if most == 0:
        return values
    weights = (sizes / most) ** (power - 2)
    design = _design(course, values, offs)
    weighted = design * weights[:, None, None]
    normal = np.einsum("nci,ncj->ij", weighted, design)
    pull = np.einsum("nci,nc->i", weighted, offs)
    ridge = 1e-12 * float(np.trace(normal)) + 1e-300
    way = np.linalg.solve(normal + ridge * np.eye(len(normal)), -pull).reshape(-1, 2)
    before = _norm(sizes, power)
    share = 1.0
    for _ in range(HALVINGS):
        tried = values.copy()
        tried[list(course.free)] += share / (power - 1) * way if share < 1 else way
        tried = _within(course, tried)
        if _norm(np.hypot(*course.offs(tried).T), power) < before:
            return tried
        share /= 2
    return values


def _design(course: Course, values: Floats, offs: Floats) -> Floats:
    """What a degree of pan and tilt of each free keyframe does to each off: (n, 2, 2 x free)."""
    positions = [course.along(values[:, axis]) for axis in (0, 1)]
    by_axis = []
    for axis in (0, 1):
        nudged = [position + NUDGE_DEG * (at == axis) for at, position in enumerate(positions)]
        by_axis.append((course.off(nudged[0], nudged[1]) - offs) / NUDGE_DEG)
    columns = []
    for keyframe, axis in product(course.free, (0, 1)):
        moved = values[:, axis].copy()
        moved[keyframe] += NUDGE_DEG
        share = (course.along(moved) - positions[axis]) / NUDGE_DEG
        columns.append(by_axis[axis] * share[:, None])
    return np.stack(columns, axis=-1)


def _norm(sizes: Floats, power: int) -> float:
    most = float(sizes.max())
    return most and most * float(np.mean((sizes / most) ** power)) ** (1 / power)


def _within(course: Course, values: Floats) -> Floats:
    kept = values.copy()
    free = list(course.free)
    kept[free] = np.clip(kept[free], course.low, course.high)
    return kept


def _settled(course: Course, values: Floats) -> Floats:
    """From the nearest values that can be set to better ones, one keyframe or two neighbours at a time."""
    lowest, highest = np.ceil(course.low / course.step - 1e-9), np.floor(course.high / course.step + 1e-9)
    here = values.copy()
    free = list(course.free)
    here[free] = np.clip(np.floor(values[free] / course.step + 0.5), lowest, highest) * course.step
    ways = [*_alone(free), *_pairs(free)]
    worst = course.worst(here)
    for _ in range(MOST_TRIES // sum(len(moves) for _, moves in ways)):
        before = worst
        for keyframes, moves in ways:
            here, worst = _best_move(course, here, worst, keyframes, moves, (lowest, highest))
        if not _less(worst, before):
            break
    return here


def _alone(free: Sequence[int]) -> list[tuple[list[int], list[Floats]]]:
    far = range(-REACH, REACH + 1)
    moves = [np.array([move], np.float64) for move in product(far, far)]
    return [([keyframe], moves) for keyframe in free]


def _pairs(free: Sequence[int]) -> list[tuple[list[int], list[Floats]]]:
    one = (-1, 0, 1)
    moves = [np.array(move, np.float64).reshape(2, 2) for move in product(one, one, one, one)]
    return [([a, b], moves) for a, b in zip(free, free[1:], strict=False)]


def _best_move(
    course: Course,
    values: Floats,
    worst: tuple[float, ...],
    keyframes: list[int],
    moves: Sequence[Floats],
    bounds: tuple[Floats, Floats],
) -> tuple[Floats, tuple[float, ...]]:
    best = values
    for move in moves:
        ticks = np.floor(values[keyframes] / course.step + 0.5) + move
        if (ticks < bounds[0]).any() or (ticks > bounds[1]).any():
            continue
        tried = values.copy()
        tried[keyframes] = ticks * course.step
        score = course.worst(tried)
        if _less(score, worst):
            best, worst = tried, score
    return best, worst


def _less(score: tuple[float, ...], than: tuple[float, ...]) -> bool:
    """Whether the first of the parts that differ is clearly less off."""
    for new, old in zip(score, than, strict=True):
        if abs(new - old) > LEAST_GAIN:
            return new < old
    return False
