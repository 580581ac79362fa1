"""How each keyframe is driven to when it is set: the way it runs.  Twin: app/core/drives.js.

Gears have play: an axis that comes from the other side than it will in the run stands elsewhere at the same
figure.  So where the drive goes against the run, it goes past the keyframe and comes back.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from .keyframes import Setting, reach
from .move import slowest_s

# How far past: a good deal more than the play of any gear, 0.05 to 0.3 degrees (common practice, no source).
PAST = {"mm": 5.0, "deg": 2.0, "turns": 0.1, "percent": 2.0}


def drives(
    axes: dict[str, Any], settings: Sequence[Setting], set_order: Sequence[int]
) -> list[dict[str, Any]]:
    """[{number, via}] in the order of driving: the keyframe, and the positions to go to before it.

    via has the axes that must come back the way the run goes; not those that stand at a limit there.  Set
    first-to-last, the drive back to the first keyframe is the last row.
    """
    if len(settings) < 2:
        return []
    numbers = [*set_order, *([1] if set_order[-1] != 1 else [])]
    rows, before = [], None
    for number in numbers:
        via = {}
        for name, axis in axes.items():
            values = [setting.axes[name] for setting in settings]
            here, way = values[number - 1], _way(values, number - 1)
            against = before is None or (here - before[name]) * way < 0
            low, high = reach(axis)
            past = min(max(here - way * PAST[axis["unit"]], low), high)
            if against and (here - past) * way > 0:
                via[name] = past
        rows.append({"number": number, "via": via})
        before = settings[number - 1].axes
    return rows


def way_back(axes: dict[str, Any], settings: Sequence[Setting]) -> list[dict[str, float]]:
    """Positions from the last of several keyframes back to the first, by way of what is gone past."""
    first, last = settings[0].axes, settings[-1].axes
    via = drives(axes, settings, range(1, len(settings) + 1))[-1]["via"]
    return [last, {**first, **via}, first] if via else [last, first]


def drive_s(axes: dict[str, Any], stops: Sequence[dict[str, float]]) -> float:
    """Seconds from stop to stop, each waited for by all axes."""
    seconds = 0.0
    for before, after in zip(stops, stops[1:], strict=False):
        seconds += slowest_s({name: after[name] - value for name, value in before.items()}, axes)
    return seconds


def _way(values: Sequence[float], index: int) -> int:
    """The direction in which an axis comes to a keyframe, or leaves the first ones: 1, -1, or 0 at rest."""
    steps = [after - before for before, after in zip(values, values[1:], strict=False)]
    for step in (*steps[:index][::-1], *steps[index:]):
        if step:
            return 1 if step > 0 else -1
    return 0
