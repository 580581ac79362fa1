"""A tone for how light the sun makes it, for the picture of the shot.  Twin: app/core/light.js."""

from __future__ import annotations

from math import floor

from ..sky.illuminance import sun_log_lx

FULL_DAY_LOG_LX = 4.0
FULL_NIGHT_LOG_LX = -3.19


def tone(altitude_deg: float) -> float:
    """0 in full day (10,000 lx and more) to 1 in astronomical night, even in the log of the light.

    To a thousandth, which is finer than any screen.
    """
    share = (FULL_DAY_LOG_LX - sun_log_lx(altitude_deg)) / (FULL_DAY_LOG_LX - FULL_NIGHT_LOG_LX)
    return floor(min(max(share, 0.0), 1.0) * 1000 + 0.5) / 1000
