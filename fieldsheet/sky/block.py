"""The search for events in a block of places: what several events share is computed once."""

from __future__ import annotations

from collections.abc import Sequence
from math import radians
from typing import NamedTuple

import numpy as np

from fieldsheet.sky.curves import Curve, Curves
from fieldsheet.sky.events import Crossing, Event, Highest, Joint, Part, over_skyline_deg
from fieldsheet.sky.find import passings
from fieldsheet.sky.grazes import GRAZE_DEG
from fieldsheet.sky.grid import Grid, Ints
from fieldsheet.sky.observe import Floats, Site
from fieldsheet.sky.roots import Bools, Roots, find_roots, read_curves
from fieldsheet.sky.scan import SCAN_S

_GRAZE_RAD = radians(GRAZE_DEG)
_POLISH_ROUNDS = 12
_POLISHED_S = 1e-6


class Moments(NamedTuple):
    """Moments (n,): site in the block, POSIX UTC seconds, whether it is grazing."""

    site: Ints
    moment_s: Floats
    grazing: Bools

    def chosen(self, which: Ints) -> Moments:
        """Those at some places, in the order of the places."""
        return Moments(self.site[which], self.moment_s[which], self.grazing[which])


class Block:
    """Some sites along a grid that has the bodies; polish: each moment is refined by the sky itself.

    moments: where bodies pass thresholds, the meridian and skylines: one of these tracks after the other, and
    of each the ways down before those up.
    """

    def __init__(self, grid: Grid, sites: Sequence[Site], curves: Sequence[Curve], *, polish: bool) -> None:
        self._grid = grid
        self._sites = sites
        self._curves = Curves(grid, sites, curves)
        self._tracks: dict[Curve | str, int] = {curve: index for index, curve in enumerate(curves)}
        self._above = [*(self._curves.readings[:, :, 0] >= 0.0)]
        # All curves are searched in one go, which is what makes a single night cheap.
        roots, self._begins = self._by_way(find_roots(self._curves.groups()))
        self.moments = self._told(roots, polish=polish)

    def of(self, event: Event) -> Ints:
        """Which of the moments are an event's, in any order."""
        if isinstance(event, Joint):
            return self._joint(event)
        if isinstance(event, Highest):
            return self._highest(event)
        return self._passed(self._track(event), up=event.direction > 0)

    def _track(self, part: Part) -> int:
        if isinstance(part, Crossing):
            return self._tracks[part.body, part.rule]
        if part.body not in self._tracks:
            self._add_skyline(part.body)
        return self._tracks[part.body]

    def _passed(self, track: int, *, up: bool) -> Ints:
        """Which of the moments are a track's, one way."""
        way = 2 * track + up
        return np.arange(self._begins[way], self._begins[way + 1])

    def _add_skyline(self, body: str) -> None:
        """Over or behind the measured skylines; where there is none, over it all the time."""
        sky, steps_s = self._grid.sky, self._grid.moments_s
        above = np.array(
            [not site.ridge or over_skyline_deg(sky, site, body, steps_s[0]) >= 0.0 for site in self._sites]
        )
        found = [passings(sky, site, body, steps_s, over=True, behind=True) for site in self._sites]
        counts = [moments_s.size for moments_s in found]
        row = np.repeat(np.arange(len(found)), counts)
        nth = np.concatenate([np.arange(count) for count in counts])
        up = (nth % 2 == 1) == above[row]
        own = Moments(row, np.concatenate(found), np.full(row.size, False)).chosen(up.argsort(kind="stable"))
        self.moments = Moments(
            np.concatenate([self.moments.site, own.site]),
            np.concatenate([self.moments.moment_s, own.moment_s]),
            np.concatenate([self.moments.grazing, own.grazing]),
        )
        before = self._begins[-1]
        self._begins += [before + row.size - int(up.sum()), before + row.size]
        self._tracks[body] = len(self._above)
        self._above.append(above)

    def _highest(self, event: Highest) -> Ints:
        transits = self._passed(self._tracks[event.body, None], up=True)
        places = (self.moments.moment_s[transits] - self._grid.moments_s[0]) / SCAN_S
        heights = self._curves.readings[self._tracks[event.body, event.rule]]
        return transits[read_curves(heights, self.moments.site[transits], places) >= 0.0]

    def _joint(self, event: Joint) -> Ints:
        """Where the number of parts that hold comes up to all of them, or goes down from it."""
        tracks = [(self._track(part), part.direction > 0) for part in event.parts]
        comes = np.concatenate([self._passed(track, up=up) for track, up in tracks])
        goes = np.concatenate([self._passed(track, up=not up) for track, up in tracks])
        which, change = np.concatenate([comes, goes]), np.repeat([1, -1], [comes.size, goes.size])
        order = np.lexsort((self.moments.moment_s[which], self.moments.site[which]))
        which, change = which[order], change[order]
        site = self.moments.site[which]
        total = np.concatenate([[0], np.cumsum(change)])
        begins = np.searchsorted(site, np.arange(len(self._sites)))
        at_first = np.zeros(len(self._sites), np.int64)
        for track, up in tracks:
            at_first += self._above[track] == up
        before = (at_first - total[begins])[site] + total[:-1]
        all_held = np.maximum(before, before + change) == len(event.parts)
        return np.asarray(which[all_held & (change == event.direction)])

    def _by_way(self, roots: Roots) -> tuple[Roots, list[int]]:
        """Roots curve by curve, their rows being sites; where those of each begin, down first, then up."""
        curve, site = np.divmod(roots.row, len(self._sites))
        way = 2 * curve + roots.up
        order = way.argsort(kind="stable")
        begins = way[order].searchsorted(np.arange(2 * len(self._tracks) + 1))
        return roots._replace(row=site).chosen(order), begins.tolist()

    def _told(self, roots: Roots, *, polish: bool) -> Moments:
        """What the roots mean."""
        moment_s = self._grid.moments_s[0] + roots.place * SCAN_S
        step, radian = roots.place.astype(np.int64), np.empty(moment_s.size)
        for index in range(len(self._tracks)):
            its = slice(self._begins[2 * index], self._begins[2 * index + 2])
            radian[its] = self._curves.radian(index, roots.row[its], step[its])
            if polish:
                moment_s[its] = self._polished(index, roots.chosen(its), moment_s[its])
        return Moments(roots.row, moment_s, _turns_at_once(roots, radian))

    def _polished(self, index: int, roots: Roots, moment_s: Floats) -> Floats:
        """Newton's steps, with the slope of the grid's polynomial and what the sky itself says."""
        # No step leads as far as the turning point beside it, or rises and sets would not alternate.
        left = np.flatnonzero(roots.slope)
        most_s = np.full(moment_s.size, np.inf)
        bent = np.flatnonzero(roots.bend)
        most_s[bent] = np.abs(roots.slope[bent] / roots.bend[bent]) * SCAN_S / 2.0
        least_s, polished_s, most_s = moment_s - most_s, moment_s.copy(), moment_s + most_s
        for _ in range(_POLISH_ROUNDS):
            read = self._curves.at(index, roots.row[left], polished_s[left])
            step_s = read / roots.slope[left] * SCAN_S
            polished_s[left] = np.clip(polished_s[left] - step_s, least_s[left], most_s[left])
            left = left[np.abs(step_s) > _POLISHED_S]
            if left.size == 0:
                break
        return polished_s


def _turns_at_once(roots: Roots, radian: Floats) -> Bools:
    """Whether the parabola at each root turns within GRAZE_DEG; radian (n,): what one of height counts."""
    return np.asarray(roots.slope**2 <= 2.0 * np.abs(roots.bend) * (_GRAZE_RAD * radian))
