"""All events of many places over a year or more at once; what find_events says of one place and one name.

No loop goes over nights. Places come in blocks that fit the processor's cache; each curve of a block, a body
above a threshold or past the meridian, is searched whole (block.py, roots.py). Curves through six neighbours
of a ten-minute grid put a moment within microseconds of where the pack has it, except at the joints of the
pack's segments (two milliseconds) and where a body all but grazes its threshold; polish=True asks the pack.

A measured skyline is searched place by place, in one go for the whole span (find.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsheet.sky.block import Block
from fieldsheet.sky.curves import TOGETHER, Curve, curves_of
from fieldsheet.sky.events import Event, event_named
from fieldsheet.sky.grid import Grid, year_grid
from fieldsheet.sky.observe import Floats, Site
from fieldsheet.sky.roots import Bools
from fieldsheet.sky.tables import bulk_tables

__all__ = ["BulkEvents", "bodies_of", "bulk_events", "bulk_tables", "year_grid"]


class BulkEvents(NamedTuple):
    """Events, one a row (n,), sorted by site, name and moment.

    site and name index what bulk_events was given. moment_s: POSIX UTC seconds. grazing: whether the body
    turns back within grazes.GRAZE_DEG of the threshold, so that a little more or less air may undo it.
    """

    site: NDArray[np.int32]
    name: NDArray[np.int32]
    moment_s: Floats
    grazing: Bools


def bodies_of(names: Iterable[str]) -> list[str]:
    """The bodies that a grid needs for some events. Raises KeyError for a name that event_named lacks."""
    return list(dict.fromkeys(body for body, _ in _asked(tuple(names))[1]))


def bulk_events(
    grid: Grid, sites: Sequence[Site], names: Sequence[str], *, polish: bool = False
) -> BulkEvents:
    """Every moment in [grid.t0_s, grid.t1_s) of events that event_named knows, at every site.

    polish asks the sky itself about each moment: it then agrees with find_events within 0.0001 seconds. An
    event that never comes has no row. Raises KeyError for a name that event_named lacks, ValueError for a
    grid without a body that is needed.
    """
    grid.must_have(bodies_of(names))
    size = max(1, TOGETHER // grid.moments_s.size)
    empty = BulkEvents(np.empty(0, np.int32), np.empty(0, np.int32), np.empty(0), np.empty(0, np.bool_))
    blocks = [
        _block_events(grid, sites[first : first + size], first, names, polish)
        for first in range(0, len(sites) if names else 0, size)
    ]
    return BulkEvents(*map(np.concatenate, zip(empty, *blocks, strict=True)))


@lru_cache(maxsize=64)
def _asked(names: tuple[str, ...]) -> tuple[tuple[Event, ...], tuple[Curve, ...]]:
    """The events of some names, and the curves that they are found from, each once."""
    events = tuple(event_named(name) for name in names)
    return events, tuple(dict.fromkeys(curve for event in events for curve in curves_of(event)))


def _block_events(
    grid: Grid, sites: Sequence[Site], first: int, names: Sequence[str], polish: bool
) -> BulkEvents:
    events, curves = _asked(tuple(names))
    block = Block(grid, sites, curves, polish=polish)
    which = [block.of(event) for event in events]
    name = np.repeat(np.arange(len(names), dtype=np.int32), [one.size for one in which])
    site, moment_s, grazing = block.moments.chosen(np.concatenate(which))
    inside = (grid.t0_s <= moment_s) & (moment_s < grid.t1_s)
    order = np.lexsort((moment_s, name, site))
    order = order[inside[order]]
    return BulkEvents((site[order] + first).astype(np.int32), name[order], moment_s[order], grazing[order])
