"""How the Milky Way stands at both ends of the window.  Twin: app/core/arch.js."""

from __future__ import annotations

from typing import Any

from ..sky.galaxy import galactic_arch
from .anchors import Night
from .seen import stars_out
from .timing import Timing


def arch(night: Night, timing: Timing) -> dict[str, Any]:
    """The arch at the first frame and at the end: {start, end}, None where the stars are not out.

    Else left_deg, right_deg, top_azimuth_deg (true azimuths) and top_deg (apparent).
    """
    ends = {"start": timing.start_ms, "end": timing.end_ms}
    return {edge: _arch_at(night, ms / 1000) for edge, ms in ends.items()}


def _arch_at(night: Night, utc_s: float) -> dict[str, float] | None:
    if not stars_out(night, utc_s):
        return None
    return galactic_arch(night.sky, night.site, utc_s)._asdict()
