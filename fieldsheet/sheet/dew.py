"""The air and its dew in words.  Twin: app/core/sheet-dew.js."""

from __future__ import annotations

from typing import Any

from ..plan.dew import SPREAD_C, dew_of
from .times import Clock
from .words import WORDS, say


def dew_lines(plan: dict[str, Any], at: Clock) -> list[dict[str, str]]:
    """The expected air, and whether glass stays dry in it: {name, text}; none where nobody says."""
    dew = dew_of(plan["brief"]["dew"])
    if dew is None:
        return []
    if dew["likely"]:
        fate = say("dew.likely", {"clock": at(plan["window"]["start"]["utc_ms"])}, ())
    else:
        fate = say("dew.unlikely", {"from_c": dew["settles_c"] + SPREAD_C}, ())
    return [
        {"name": WORDS["dew.air"], "text": say("dew.measured", dew, ())},
        {"name": WORDS["dew.dew"], "text": fate},
    ]
