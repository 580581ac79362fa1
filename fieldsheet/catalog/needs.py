"""The needs of a shot as the brief holds them: a flat list, one row for each thing that is measured."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from .models.needs import EventNeed, MoonNeed, Needs, TargetNeed


def needs_of(needs: Needs | None) -> list[dict[str, Any]]:
    """The rows {kind, ...} in the order in which they are told; [] for a shot without needs.

    least_ms, within_ms in ms; lit_pct, altitude_deg, azimuth_deg are pairs; between: seconds after midnight.
    """
    return [] if needs is None else list(_rows(needs))


def _rows(needs: Needs) -> Iterator[dict[str, Any]]:
    if needs.weekdays is not None:
        yield {"kind": "weekday", "days": needs.weekdays}
    for kind, hours in (("darkness", needs.darkness_h_min), ("core-usable", needs.core_usable_h_min)):
        if hours is not None:
            yield {"kind": kind, "least_ms": int(hours * 3_600_000)}
    for moon in needs.moon:
        yield from _moon(moon)
    for target in needs.target:
        yield from _target(target)
    yield from map(_event, needs.event)


def _moon(need: MoonNeed) -> Iterator[dict[str, Any]]:
    if need.is_ is not None:
        yield {"kind": f"moon-{need.is_}", "at": need.at}
    if need.lit_pct is not None:
        yield {"kind": "moon-lit", "at": need.at, "lit_pct": _pair(need.lit_pct)}


def _target(need: TargetNeed) -> Iterator[dict[str, Any]]:
    for kind, pair in (("altitude", need.altitude_deg), ("azimuth", need.azimuth_deg)):
        if pair is not None:
            yield {"kind": kind, "target": need.target, "at": need.at, f"{kind}_deg": _pair(pair)}


def _event(need: EventNeed) -> dict[str, Any]:
    if need.between is not None:
        return {"kind": "event-between", "event": need.event, "between": need.between}
    return {"kind": "event-within", "event": need.event, "within_ms": need.within, "at": need.of}


def _pair(pair: list[Decimal]) -> list[float]:
    return [float(value) for value in pair]
