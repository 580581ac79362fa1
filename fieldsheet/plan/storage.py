"""Whether the cards hold the frames.  Twin: app/core/storage.js."""

from __future__ import annotations

from math import floor
from typing import Any

from .anchors import Night
from .civil import stamp
from .timing import Timing

# Cards are sold by the thousand, not by 1024.
MB_A_GB = 1000


def storage_of(brief: dict[str, Any], night: Night, timing: Timing, before: int = 0) -> dict[str, Any] | None:
    """What the frames take of the cards, which fill one after another with whole files; None if not known.

    before: frames that are on them already; needed_gb has them, too.  fit: frames for which there is room;
    full: {frame, time} of the first one that finds none.
    """
    cards = brief["camera"]["cards"]
    if cards is None:
        return None
    fit = 0
    for card_gb in cards["card_gb"]:
        fit += floor(card_gb * MB_A_GB / cards["frame_mb"] + 1e-9)
    fit = max(fit - before, 0)
    frame = fit + 1
    is_full = frame <= timing.frames
    return {
        "frame_mb": cards["frame_mb"],
        "card_gb": cards["card_gb"],
        "needed_gb": (before + timing.frames) * cards["frame_mb"] / MB_A_GB,
        "spare_gb": (fit - timing.frames) * cards["frame_mb"] / MB_A_GB,
        "fit": fit,
        "fill_ms": timing.elapsed_ms(fit),
        "full": {"frame": frame, "time": stamp(night.spans, timing.ms_of(frame))} if is_full else None,
    }
