"""horizon: the skyline of a place, measured by hand, right round the circle."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field

from ..values import decimal, pair_of, written
from ..words import Wrong, show, show_items

Pair = tuple[Decimal, Decimal]

FEWEST, MOST = 3, 360
# Between two sights farther apart nobody knows what the ground does.
WIDEST_GAP_DEG = 90
RIGHT = f"{FEWEST} to {MOST} pairs [azimuth, altitude] right round, such as [[0, 2.5], [90, 8], [200, 1]]"


def _pair(value: Any) -> Any:
    numbers = [decimal(part) for part in value] if isinstance(value, list) else []
    if len(numbers) != 2 or not all(isinstance(number, Decimal) for number in numbers):
        found = show_items(value) if isinstance(value, list) else show(value)
        raise Wrong(found, "a pair such as [45, 8.0]: azimuth and altitude in degrees")
    azimuth, altitude = numbers
    if not 0 <= azimuth < 360:
        raise Wrong(f"an azimuth of {show(azimuth)}°", "degrees clockwise from true north, 0 to below 360")
    if not -5 <= altitude <= 90:
        raise Wrong(f"an altitude of {show(altitude)}°", "degrees above the level horizon, -5 to 90")
    return azimuth, altitude


def _circle(pairs: list[Pair]) -> list[Pair]:
    """Rising azimuths, each once, none far from the next one, through north too."""
    for index in range(1, len(pairs)):
        here, before = pairs[index][0], pairs[index - 1][0]
        if here <= before:
            found = f"{show(here)}° twice" if here == before else f"{show(here)}° after {show(before)}°"
            raise Wrong(found, "azimuths that rise, each once", index)
    following = [*(pair[0] for pair in pairs[1:]), pairs[0][0] + 360]
    for index, (here, after) in enumerate(zip((pair[0] for pair in pairs), following, strict=True)):
        if after - here > WIDEST_GAP_DEG:
            found = f"not covering the circle: nothing from {show(here)}° to {show(after % 360)}°"
            raise Wrong(found, f"no gap wider than {WIDEST_GAP_DEG}°", index)
    return pairs


_PAIR = written(pair_of({"minimum": 0, "exclusiveMaximum": 360}, {"minimum": -5, "maximum": 90}))
Horizon = Annotated[
    list[Annotated[Pair, BeforeValidator(_pair, json_schema_input_type=_PAIR)]],
    Field(min_length=FEWEST, max_length=MOST),
    AfterValidator(_circle),
]
