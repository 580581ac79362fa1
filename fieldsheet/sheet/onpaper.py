"""A plan as paper may say it, by twelve hours of the clock; what phones show counts 24."""

from __future__ import annotations

from typing import Any

from .words import TwelveHours


def by_twelve(plan: dict[str, Any]) -> dict[str, Any]:
    """The plan with its place's clocks counting twelve hours; numbers and people's own words stay."""
    place = plan["brief"]["place"]
    zone = place["zone"] | {"spans": TwelveHours(place["zone"]["spans"]), "clock_h": 12}
    return plan | {"brief": plan["brief"] | {"place": place | {"zone": zone}}}
