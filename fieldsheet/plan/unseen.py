"""Targets that the shot never shows: message ids, arguments.  Twin: app/core/unseen.js.

Stars, planets and poles.  Sun and moon show by day too, so that below the horizon or behind the skyline says
it all of them; the core has a stricter rule of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil

import numpy as np
from numpy.typing import NDArray

from ..sky.ridge import skyline_deg
from .anchors import Night
from .planned import Caution, Planned, caution
from .seen import BRIGHT, dark_at, seen_at, seen_deg

STEP_S = 60
RULED_OTHERWISE = (*BRIGHT, "galactic core")


def unseen(planned: Planned) -> Iterator[Caution]:
    """Each target that no minute of the shot shows, by the first keyframe aimed at it, and when it shows."""
    night, timing = planned.night, planned.timing
    targets = [(keyframe["aim"] or {}).get("target") for keyframe in planned.brief["keyframes"]]
    for target in dict.fromkeys(targets):
        if target is None or target in RULED_OTHERWISE:
            continue
        if _shows(night, target, _minutes(timing.start_ms / 1000, timing.end_ms / 1000)).any():
            continue
        index = targets.index(target)
        at_s = timing.ms_of(planned.settings[index].frame) / 1000
        altitude, sun = (seen_deg(night, body, at_s)[1] for body in (target, "sun"))
        args = {"number": index + 1, "target": target, "altitude": altitude, "sun": sun}
        yield caution("mind", "unseen", {**args, "spans": _shown(night, target)})


def _shown(night: Night, body: str) -> list[list[int]]:
    """When in the night a star, planet or pole shows: [from, until] [ms UTC], its first and last minute."""
    times_s = _minutes(night.from_s, night.until_s)
    steps = np.diff(_shows(night, body, times_s), prepend=False, append=False).nonzero()[0].reshape(-1, 2)
    return [
        [int(times_s[first]) * 1000, int(times_s[after - 1]) * 1000]
        for first, after in steps
        if after - first > 1  # a single one is no span
    ]


def _minutes(from_s: float, until_s: float) -> list[float]:
    """Instants so far apart, and the last one."""
    steps = ceil((until_s - from_s) / STEP_S)
    return [min(from_s + step * STEP_S, until_s) for step in range(steps + 1)]


def _shows(night: Night, body: str, times_s: Sequence[float]) -> NDArray[np.bool_]:
    """Whether it stands over what hides the sky, and the sun so low that bright stars are out."""
    azimuths, altitudes = seen_at(night, body, times_s)
    hidden = skyline_deg(night.site.ridge, azimuths) if night.site.ridge else 0.0
    return np.asarray((altitudes > hidden) & dark_at(night, times_s))
