"""How much light falls on level ground under the open sky, and what exposure value that is.

twin: site_templates/app/core/illuminance.js

Sun and moon: polynomials of Janiczek & DeYoung, US Naval Observatory Circular 171 (1987), as tabulated in
Urban & Seidelmann, Explanatory Supplement to the Astronomical Almanac, 3rd ed. (2013), p. 518:
log10 E[lx] = l0 + l1 x + l2 x^2 + l3 x^3 with x = geometric altitude / 90 deg, and for the moon less
8.68e-3 f + 2.2e-9 f^4 (f = 180 deg - elongation) and more 2 log10(parallax / 0.951 deg).
"""

from __future__ import annotations

from math import asin, degrees, log2, log10

SUN = (
    (20.0, (3.74, 3.97, -4.07, 1.47)),
    (5.0, (3.05, 13.28, -45.98, 64.33)),
    (-0.8, (2.88, 22.26, -207.64, 1034.30)),
    (-5.0, (2.88, 21.81, -258.11, -858.36)),
    (-12.0, (2.70, 12.17, -431.69, -1899.83)),
    (-18.0, (13.84, 262.72, 1447.42, 2797.93)),
)
MOON = (
    (20.0, (-1.95, 4.06, -4.24, 1.56)),
    (5.0, (-2.58, 12.58, -42.58, 59.06)),
    (-0.8, (-2.79, 24.27, -252.95, 1321.29)),
)
MEAN_PARALLAX_DEG = 0.951
EQUATOR_KM = 6378.137  # WGS84
# A clear moonless sky with its airglow (an encyclopedia's table); starlight alone would be a tenth of it.
STARLIGHT_LX = 0.002
# E = 2.5 lx x 2^EV100, for a flat receptor of C = 250 (ISO 2720 allows 240 to 400).
LX_AT_EV_0 = 2.5

Pieces = tuple[tuple[float, tuple[float, float, float, float]], ...]


def sun_log_lx(altitude_deg: float) -> float:
    """log10 of the sun's illuminance [lx] under a clear sky.

    The tables end at -18 deg; below, the last piece runs on, and falls away under the light of the stars.
    """
    return _log_lx(SUN, altitude_deg)


def moon_log_lx(altitude_deg: float, elongation_deg: float, distance_km: float) -> float:
    """log10 of the moon's illuminance [lx] under a clear sky; distance from the Earth's centre.

    Below -0.8 deg, where the tables end, the last piece runs on as the glow before moonrise (our choice).
    """
    f = 180.0 - elongation_deg
    phase = -8.68e-3 * f - 2.2e-9 * f * f * f * f
    parallax_deg = degrees(asin(EQUATOR_KM / distance_km))
    return _log_lx(MOON, altitude_deg) + phase + 2 * log10(parallax_deg / MEAN_PARALLAX_DEG)


def _log_lx(pieces: Pieces, altitude_deg: float) -> float:
    c = next((piece for lowest, piece in pieces if altitude_deg >= lowest), pieces[-1][1])
    x = altitude_deg / 90
    return c[0] + x * (c[1] + x * (c[2] + x * c[3]))


def open_sky_lx(sun_deg: float, moon: tuple[float, float, float]) -> float:
    """Illuminance [lx] of sun, moon (altitude, elongation [deg], distance [km]) and stars, sky clear."""
    return float(10 ** sun_log_lx(sun_deg) + 10 ** moon_log_lx(*moon) + STARLIGHT_LX)


def ev100(lx: float) -> float:
    """The exposure value at ISO 100 of an illuminance [lx] (ISO 2720, flat receptor, C = 250)."""
    return log2(lx / LX_AT_EV_0)


def lx_of(ev: float) -> float:
    """The illuminance [lx] of an exposure value at ISO 100."""
    return float(LX_AT_EV_0 * 2**ev)
