"""Whether what a shot says of its air can be, and is enough for a dew point."""

from __future__ import annotations

from collections.abc import Iterator

from ...problems import Problem
from ..document import Document
from ..words import show

NEEDED = "temperature_c as well, here or in the place's air"


def check_air(shot: Document, place: Document | None) -> Iterator[Problem]:
    """One of dew point and humidity, with a temperature that is not below the dew point."""
    given = shot.written(("dew_point_c", "humidity_pct"))
    if len(given) == 2:
        yield shot.problem((given[0],), "both dew_point_c and humidity_pct", "only one of them")
    if len(given) != 1:
        return
    air = place.get("air") if place is not None else None
    air_c = shot.get("temperature_c")
    if air_c is None and air is not None:
        air_c = air.temperature_c
    known = place is not None and (air is not None or not place.given(("air",)))
    if air_c is None and known and not shot.given(("temperature_c",)):
        yield shot.problem((given[0],), f"{given[0]} without a temperature", NEEDED)
    dew_c = shot.get("dew_point_c")
    if air_c is not None and dew_c is not None and dew_c > air_c:
        found = f"a dew point of {show(dew_c)} °C in air of {show(air_c)} °C"
        yield shot.problem(("dew_point_c",), found, f"at most {show(air_c)}")
