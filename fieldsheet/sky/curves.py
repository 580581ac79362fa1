"""The curves that events are found from, as they read at some sites along a grid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, radians

import numpy as np

from fieldsheet.sky.events import Event, Highest, Joint, Passing, Rule
from fieldsheet.sky.find import NEAR_DEG
from fieldsheet.sky.grid import Grid, Ints
from fieldsheet.sky.heights import Heights, Places, at_moments, on_grid
from fieldsheet.sky.observe import Floats, Site

Curve = tuple[str, Rule | None]
"""A body and a rule that it stands above, or None for how far it is past the meridian."""

TOGETHER = 60_000
"""How many values of curves are searched at once: half a megabyte, which fits a processor's cache."""

_NEAR_RAD = radians(NEAR_DEG)


def curves_of(event: Event) -> Iterator[Curve]:
    """The curves that an event is found from."""
    for part in event.parts if isinstance(event, Joint) else (event,):
        if isinstance(part, Passing):
            continue  # asked of the sky itself
        yield part.body, part.rule
        if isinstance(part, Highest):
            yield part.body, None


class Curves:
    """Some curves at some sites along a grid that has their bodies.

    every: which, in order. readings: (curves, sites, steps), through 0 where a body crosses.
    """

    def __init__(self, grid: Grid, sites: Sequence[Site], every: Sequence[Curve]) -> None:
        self.every = every
        self._grid = grid
        self._places = Places(sites)
        self._seen = {
            body: on_grid(self._places, grid.vectors[body], grid.squares[body], far=grid.sky.is_far(body))
            for body in dict.fromkeys(body for body, _ in every)
        }
        lies_rad = _lies_rad([rule for _, rule in every], sites)
        self._sines, self._cosines = np.sin(lies_rad), np.cos(lies_rad)
        self.readings = np.empty((len(every), len(sites), grid.moments_s.size))
        for index, (body, _) in enumerate(every):
            self._read(index, self._seen[body], (slice(None), np.newaxis), out=self.readings[index])

    def at(self, index: int, site: Ints, moments_s: Floats) -> Floats:
        """What a curve reads at moments (n,), a site each, by the sky itself."""
        sky, (body, _) = self._grid.sky, self.every[index]
        seen = at_moments(self._places, site, sky.vector_km(body, moments_s), far=sky.is_far(body))
        return self._read(index, seen, site)

    def groups(self) -> Iterator[tuple[Floats, Floats]]:
        """As many curves together as fit the processor's cache, and how near 0 (rows,) they may turn."""
        curves, sites, steps = self.readings.shape
        together = max(1, TOGETHER // (sites * steps))
        near = {body: _NEAR_RAD * float(seen.distance.max()) for body, seen in self._seen.items()}
        for first in range(0, max(1, curves), together):  # one that is empty where there are no curves
            chosen = slice(first, first + together)
            how_near = [0.0 if rule is None else near[body] for body, rule in self.every[chosen]]
            yield self.readings[chosen].reshape(-1, steps), np.repeat(how_near, sites)

    def radian(self, index: int, site: Ints, step: Ints) -> Floats | float:
        """What a radian of height counts for at sites and steps (n,); 0 at the meridian."""
        body, rule = self.every[index]
        if rule is None:
            return 0.0
        distance, cosine = self._seen[body].distance, cos(radians(rule.altitude_deg))
        return cosine if distance.size == 1 else np.asarray(distance[site, step] * cosine)

    def _read(
        self, index: int, seen: Heights, site: Ints | tuple[slice, None], out: Floats | None = None
    ) -> Floats:
        """What a curve reads where its body is seen so, from those sites. out: where to write it."""
        rule = self.every[index][1]
        if rule is None:
            return seen.past_meridian(out)
        sine, cosine = self._sines[index][site], self._cosines[index][site]
        return seen.clearance(sine, cosine, upper_limb=rule.upper_limb, out=out)


def _lies_rad(rules: Sequence[Rule | None], sites: Sequence[Site]) -> Floats:
    """The altitudes of some rules at some sites, (rules, sites), 0 without a rule."""
    dips_deg = np.array([site.dip_deg for site in sites])
    altitudes_deg = np.array([0.0 if rule is None else rule.altitude_deg for rule in rules])
    dipped = np.array([rule is not None and rule.horizon for rule in rules])
    return np.asarray(np.radians(altitudes_deg[:, np.newaxis] - dips_deg * dipped[:, np.newaxis]))
