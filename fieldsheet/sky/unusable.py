"""Why the core is not usable: too light, too low, out of sight, or moonlit.  Python only."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fieldsheet.sky.events import Joint, Part, Passing, event_named, part_deg, parts_at
from fieldsheet.sky.observe import Site
from fieldsheet.sky.scan import SCAN_S
from fieldsheet.sky.sky import Sky


def why_unusable(sky: Sky, site: Site, spans_s: Sequence[tuple[int, int]]) -> list[str | None]:
    """What keeps the core from being usable in each span [s UTC]: "sun", "low", "ridge" or "moon".

    It is the first of these after which no moment of the span is left, looked at every SCAN_S; None where
    one is left.  Raises SpanError outside the sky's span.
    """
    if not spans_s:
        return []
    event = event_named("core usable")
    assert isinstance(event, Joint), "the core is usable while several things hold"
    steps_s = [np.arange(from_s, until_s, SCAN_S) for from_s, until_s in spans_s]
    ends = np.cumsum([steps.size for steps in steps_s])[:-1]
    holds = np.full(sum(steps.size for steps in steps_s), True)
    causes: list[str | None] = [None] * len(spans_s)
    for part in parts_at(event.parts, site):
        holds &= part.direction * part_deg(sky, site, part, np.concatenate(steps_s)) >= 0
        for index, left in enumerate(np.split(holds, ends)):
            if not left.any():
                causes[index] = causes[index] or _name(part)
    return causes


def _name(part: Part) -> str:
    if isinstance(part, Passing):
        return "ridge"
    return "low" if part.body == "galactic core" else part.body
