"""How light it is: illuminance of the ground by the sun alone, and a tone for it.  Twin: app/core/light.js.

Polynomials of Janiczek & DeYoung, US Naval Observatory Circular 171 (1987), as tabulated in Urban &
Seidelmann, Explanatory Supplement to the Astronomical Almanac, 3rd ed. (2013), p. 518:
log10 E[lx] = l0 + l1 x + l2 x^2 + l3 x^3 with x = solar altitude / 90 deg, from -18 to 90 deg.
"""

from __future__ import annotations

from math import floor

LOWEST_DEG = -18.0
PIECES = (
    (20.0, (3.74, 3.97, -4.07, 1.47)),
    (5.0, (3.05, 13.28, -45.98, 64.33)),
    (-0.8, (2.88, 22.26, -207.64, 1034.30)),
    (-5.0, (2.88, 21.81, -258.11, -858.36)),
    (-12.0, (2.70, 12.17, -431.69, -1899.83)),
    (LOWEST_DEG, (13.84, 262.72, 1447.42, 2797.93)),
)
FULL_DAY_LOG_LX = 4.0
FULL_NIGHT_LOG_LX = -3.19


def log_illuminance(altitude_deg: float) -> float:
    """log10 of the sun's illuminance [lx] of level ground under a clear sky; constant below -18 deg."""
    altitude = max(altitude_deg, LOWEST_DEG)
    coefficients = next(piece for lowest, piece in PIECES if altitude >= lowest)
    x = altitude / 90
    return coefficients[0] + x * (coefficients[1] + x * (coefficients[2] + x * coefficients[3]))


def tone(altitude_deg: float) -> float:
    """0 in full day (10,000 lx and more) to 1 in astronomical night, even in the log of the light.

    To a thousandth, which is finer than any screen.
    """
    share = (FULL_DAY_LOG_LX - log_illuminance(altitude_deg)) / (FULL_DAY_LOG_LX - FULL_NIGHT_LOG_LX)
    return floor(min(max(share, 0.0), 1.0) * 1000 + 0.5) / 1000
