"""Dew or frost on the front glass, by how near the air is to its dew point.  Twin: app/core/dew.js.

Magnus formulas with the constants of the World Meteorological Organization (WMO-No. 8, Guide to Instruments
and Methods of Observation): over water, -45 to 60 degrees Celsius, over ice, -65 to 0.
"""

from __future__ import annotations

from math import exp, log
from typing import Any

FACTOR, OFFSET_C = 17.62, 243.12
ICE_FACTOR, ICE_OFFSET_C = 22.46, 272.62
# Glass under a clear sky gets 2 to 4 degrees colder than the air, so that dew is to be minded from here on
# (common practice, no source).
SPREAD_C, HUMID_PCT = 5.0, 80.0
# Sums of decimal figures, such as 12.1 - 7.1, are not to fall on the wrong side.
HAIR = 1e-9


def dew_of(given: dict[str, Any] | None) -> dict[str, Any] | None:
    """{air_c, dew_point_c, humidity_pct, settles_c, spread_c, likely} of an air and one of the two.

    settles_c: the temperature of glass on which its water settles, spread_c below the air.  None without.
    """
    if given is None:
        return None
    air_c, dew_c, humidity = given["air_c"], given["dew_point_c"], given["humidity_pct"]
    if humidity is None:
        humidity = humidity_pct(air_c, dew_c)
    else:
        dew_c = dew_point_c(air_c, humidity)
    settles_c = dew_c if dew_c >= 0 else frost_point_c(dew_c)
    spread_c = air_c - settles_c
    likely = spread_c < SPREAD_C - HAIR or humidity > HUMID_PCT + HAIR
    return {
        "air_c": air_c,
        "dew_point_c": dew_c,
        "humidity_pct": humidity,
        "settles_c": settles_c,
        "spread_c": spread_c,
        "likely": likely,
    }


def dew_point_c(air_c: float, humidity: float) -> float:
    """The temperature at which air of this humidity [%] is saturated."""
    grown = log(humidity / 100) + _power(air_c)
    return OFFSET_C * grown / (FACTOR - grown)


def frost_point_c(dew_c: float) -> float:
    """The temperature at which ice grows from air of a dew point below 0: some degrees above that."""
    power = _power(dew_c)
    return ICE_OFFSET_C * power / (ICE_FACTOR - power)


def humidity_pct(air_c: float, dew_c: float) -> float:
    """The relative humidity [%] of air with this dew point."""
    return 100 * exp(_power(dew_c) - _power(air_c))


def _power(degrees_c: float) -> float:
    """The exponent of the saturation pressure."""
    return FACTOR * degrees_c / (OFFSET_C + degrees_c)
