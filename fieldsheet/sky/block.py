"""The search for events in a block of places: what several events share is computed once.

A curve is a body above a threshold, or past the meridian, for every place of the block along the whole grid.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import cos, radians
from typing import NamedTuple

import numpy as np

from fieldsheet.sky.events import (
    Crossing,
    Event,
    Highest,
    Joint,
    Part,
    Passing,
    Rule,
    over_skyline_deg,
)
from fieldsheet.sky.find import NEAR_DEG, passings
from fieldsheet.sky.grazes import GRAZE_DEG
from fieldsheet.sky.grid import Grid, Ints
from fieldsheet.sky.heights import Heights, Places, at_moments, on_grid
from fieldsheet.sky.observe import Floats, Site
from fieldsheet.sky.roots import Bools, Roots, find_roots, read_curves
from fieldsheet.sky.scan import SCAN_S

Curve = tuple[str, Rule | None]
"""A body and a rule that it stands above, or None for how far it is past the meridian."""

TOGETHER = 60_000
"""How many values of curves are searched at once: half a megabyte, which fits a processor's cache."""

_NEAR_RAD, _GRAZE_RAD = radians(NEAR_DEG), radians(GRAZE_DEG)
_POLISH_ROUNDS = 12
_POLISHED_S = 1e-6


class Moments(NamedTuple):
    """Moments (n,): site in the block, POSIX UTC seconds, whether upwards, whether it is grazing."""

    site: Ints
    moment_s: Floats
    up: Bools
    grazing: Bools

    def chosen(self, which: Bools | Ints) -> Moments:
        return Moments(self.site[which], self.moment_s[which], self.up[which], self.grazing[which])


def curves_of(event: Event) -> Iterator[Curve]:
    """The curves that an event is found from."""
    for part in event.parts if isinstance(event, Joint) else (event,):
        if isinstance(part, Passing):
            continue  # asked of the sky itself
        yield part.body, part.rule
        if isinstance(part, Highest):
            yield part.body, None


class Sides(NamedTuple):
    """Where the bodies of a part change sides at the sites, and at which of them they are above at first."""

    moments: Moments
    above: Bools


class Block:
    """Some sites along a grid that has the bodies; polish: each moment is refined by the sky itself."""

    def __init__(self, grid: Grid, sites: Sequence[Site], curves: Iterable[Curve], *, polish: bool) -> None:
        self._grid = grid
        self._sites = sites
        self._places = Places(sites)
        self._dips_deg = np.array([site.dip_deg for site in sites])
        self._polish = polish
        self._seen: dict[str, Heights] = {}
        self._passed: dict[str, Sides] = {}
        self._curves = {curve: self._along_grid(curve) for curve in curves}
        self._found = self._sought()

    def moments(self, event: Event) -> Moments:
        """Where an event happens along the grid, in order within each site."""
        if isinstance(event, Joint):
            return self._joint(event)
        if isinstance(event, Highest):
            return self._highest(event)
        found = self._sides(event).moments
        return found.chosen(found.up == (event.direction > 0))

    def _sides(self, part: Part) -> Sides:
        if isinstance(part, Crossing):
            curve = part.body, part.rule
            return Sides(self._found[curve], self._curves[curve][:, 0] >= 0.0)
        if part.body not in self._passed:
            self._passed[part.body] = self._by_skyline(part.body)
        return self._passed[part.body]

    def _by_skyline(self, body: str) -> Sides:
        """Over or behind the measured skylines; where there is none, over it all the time."""
        sky, steps_s = self._grid.sky, self._grid.moments_s
        above = np.array(
            [not site.ridge or over_skyline_deg(sky, site, body, steps_s[0]) >= 0.0 for site in self._sites]
        )
        found = [passings(sky, site, body, steps_s, over=True, behind=True) for site in self._sites]
        counts = [moments_s.size for moments_s in found]
        row = np.repeat(np.arange(len(found)), counts)
        nth = np.concatenate([np.arange(count) for count in counts])
        moments = Moments(row, np.concatenate(found), (nth % 2 == 1) == above[row], np.full(row.size, False))
        return Sides(moments, above)

    def _highest(self, event: Highest) -> Moments:
        transits = self._found[event.body, None]
        places = (transits.moment_s - self._grid.moments_s[0]) / SCAN_S
        heights = read_curves(self._curves[event.body, event.rule], transits.site, places)
        return transits.chosen(transits.up & (heights >= 0.0))

    def _joint(self, event: Joint) -> Moments:
        """Where the number of parts that hold comes up to all of them, or goes down from it."""
        sides = [self._sides(part) for part in event.parts]
        found = [side.moments for side in sides]
        comes = [one.up == (part.direction > 0) for one, part in zip(found, event.parts, strict=True)]
        crossings = Moments(*map(np.concatenate, zip(*found, strict=True)))
        order = np.lexsort((crossings.moment_s, crossings.site))
        crossings = crossings.chosen(order)
        change = np.where(np.concatenate(comes)[order], 1, -1)
        total = np.concatenate([[0], np.cumsum(change)])
        begins = np.searchsorted(crossings.site, np.arange(len(self._sites)))
        at_first = np.zeros(len(self._sites), np.int64)
        for side, part in zip(sides, event.parts, strict=True):
            at_first += side.above == (part.direction > 0)
        before = (at_first - total[begins])[crossings.site] + total[:-1]
        all_held = np.maximum(before, before + change) == len(event.parts)
        return crossings.chosen(all_held & (change == event.direction))

    def _sought(self) -> dict[Curve, Moments]:
        """The moments of every curve, found in one go, which is what makes a single night cheap."""
        if not self._curves:
            return {}
        roots, count = find_roots(self._groups()), len(self._sites)
        order = np.argsort(roots.row, kind="stable")
        ends = np.searchsorted(roots.row[order], np.arange(len(self._curves) + 1) * count)
        return {
            curve: self._told(curve, roots.chosen(order[ends[index] : ends[index + 1]], index * count))
            for index, curve in enumerate(self._curves)
        }

    def _groups(self) -> Iterator[tuple[Floats, Floats]]:
        """The curves, as many together as fit the processor's cache, and how near 0 they may turn."""
        every, count = list(self._curves.items()), len(self._sites)
        together = max(1, TOGETHER // (count * self._grid.moments_s.size))
        for first in range(0, len(every), together):
            group = every[first : first + together]
            near = np.repeat([0.0 if rule is None else self._near(body) for (body, rule), _ in group], count)
            yield (np.concatenate([along for _, along in group]) if len(group) > 1 else group[0][1]), near

    def _near(self, body: str) -> float:
        distance = self._seen[body].distance
        return _NEAR_RAD * (1.0 if distance.size == 1 else float(distance.max()))

    def _told(self, curve: Curve, roots: Roots) -> Moments:
        """What the roots of a curve mean."""
        body, rule = curve
        moment_s = self._grid.moments_s[0] + roots.place * SCAN_S
        if self._polish:
            moment_s = self._polished(curve, roots, moment_s)
        grazing = np.zeros(moment_s.size, np.bool_)
        if rule is not None:
            distance = self._seen[body].distance
            here = distance[0] if self._is_far(body) else distance[roots.row, roots.place.astype(np.int64)]
            grazing = _turns_at_once(roots, here * cos(radians(rule.altitude_deg)))
        return Moments(roots.row, moment_s, roots.up, grazing)

    def _polished(self, curve: Curve, roots: Roots, moment_s: Floats) -> Floats:
        """Newton's steps, with the slope of the grid's polynomial and what the sky itself says."""
        body, rule = curve
        # No step leads as far as the turning point beside it, or rises and sets would not alternate.
        left = np.flatnonzero(roots.slope)
        most_s = np.full(moment_s.size, np.inf)
        bent = np.flatnonzero(roots.bend)
        most_s[bent] = np.abs(roots.slope[bent] / roots.bend[bent]) * SCAN_S / 2.0
        least_s, polished_s, most_s = moment_s - most_s, moment_s.copy(), moment_s + most_s
        for _ in range(_POLISH_ROUNDS):
            row = roots.row[left]
            vectors = self._grid.sky.vector_km(body, polished_s[left])
            seen = at_moments(self._places, row, vectors, far=self._is_far(body))
            step_s = self._reading(seen, rule, row) / roots.slope[left] * SCAN_S
            polished_s[left] = np.clip(polished_s[left] - step_s, least_s[left], most_s[left])
            left = left[np.abs(step_s) > _POLISHED_S]
            if left.size == 0:
                break
        return polished_s

    def _is_far(self, body: str) -> bool:
        return self._grid.sky.is_far(body)

    def _along_grid(self, curve: Curve) -> Floats:
        """A curve's readings, (sites, steps)."""
        body, rule = curve
        if body not in self._seen:
            vectors, squares = self._grid.vectors[body], self._grid.squares[body]
            self._seen[body] = on_grid(self._places, vectors, squares, far=self._is_far(body))
        return self._reading(self._seen[body], rule, np.arange(len(self._sites))[:, np.newaxis])

    def _reading(self, seen: Heights, rule: Rule | None, site: Ints) -> Floats:
        """What a curve reads where a body is seen so, from those sites."""
        if rule is None:
            return seen.past_meridian()
        lies_rad = np.radians(rule.altitude_deg - self._dips_deg * rule.horizon)
        return seen.clearance(np.sin(lies_rad)[site], np.cos(lies_rad)[site], upper_limb=rule.upper_limb)


def _turns_at_once(roots: Roots, radian: Floats) -> Bools:
    """Whether the parabola at each root turns within GRAZE_DEG; radian (n,): what one of height counts."""
    return np.asarray(roots.slope**2 <= 2.0 * np.abs(roots.bend) * (_GRAZE_RAD * radian))
