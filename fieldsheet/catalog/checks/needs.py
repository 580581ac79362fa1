"""What the needs of a shot say against one another, and against its place."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from ...problems import Problem
from ..document import Document
from ..draft import Draft
from ..models.needs import EventNeed, MoonNeed, TargetNeed
from ..models.table import Table
from ..names import BASE_EVENTS
from ..words import Loc, show, show_items
from .order import Stop, check_order
from .place import check_known

TABLES: dict[str, type[Table]] = {"moon": MoonNeed, "target": TargetNeed, "event": EventNeed}
# Nobody sees by less whether the moon's disc is up or down: half of it, and the air.
EDGE_DEG = 1
HORIZON = ("moonrise", "moonset")
SKYLINE = ("moon over ridge", "moon behind ridge")
DAY_S = 86_400
# From 9,000 m the horizon of the sea lies 2.8 degrees down (1.76' a root of a metre, the almanacs' dip).
SEA_EDGE_DEG = 4
# These come once a night at most; stars and core gain four minutes a day, so that two may fall into one.
ONCE = tuple(name for name in BASE_EVENTS if name.startswith(("sun", "moon", "civil", "nautical", "astro")))


def check_needs(shot: Document, place: Document | None) -> Iterator[Problem]:
    """Needs that cannot all be met at one moment, or twice the same, or that the place knows nothing of."""
    raw = shot.draft.raw.get("needs") if shot.draft else None
    if not isinstance(raw, dict):
        return
    tables = {name: _tables(shot, raw, name) for name in TABLES}
    for name, needs in tables.items():
        for index, need in enumerate(needs):
            yield from _check_moments(shot, ("needs", name, index), need, place)
        yield from _check_twice(shot, name, needs)
    yield from _check_moon(shot, tables["moon"])
    yield from _check_targets(shot, tables["target"])
    edge_deg = SEA_EDGE_DEG if _looks_over_sea(place) else EDGE_DEG
    yield from _check_moon_as_target(shot, tables["moon"], tables["target"], edge_deg)
    yield from _check_ranges(shot, tables["event"])


def _tables(shot: Document, raw: dict[str, Any], name: str) -> list[Draft]:
    """The tables of a list, each with what is good in it; none where the list itself is at fault."""
    rows = raw.get(name)
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        return []
    return [Draft(TABLES[name], row, shot.lines, []) for row in rows]


def _check_moments(shot: Document, loc: Loc, need: Draft, place: Document | None) -> Iterator[Problem]:
    key = "of" if need.model is EventNeed else "at"
    at = need.get(key)
    if at is not None:
        yield from check_order(shot, [Stop((*loc, key), key, at, need.raw[key])], "")
    if place is not None:
        yield from check_known(shot, (*loc, key), at, place)
        if need.model is EventNeed:
            yield from check_known(shot, (*loc, "event"), {"event": need.get("event")}, place)


def _check_twice(shot: Document, name: str, needs: list[Draft]) -> Iterator[Problem]:
    wholes = [need.whole for need in needs]
    for index, whole in enumerate(wholes):
        if whole is not None and whole in wholes[:index]:
            found = f"the same as needs.{name} {wholes.index(whole) + 1}"
            yield shot.problem(("needs", name, index), found, "each need once")


def _check_moon(shot: Document, moons: list[Draft]) -> Iterator[Problem]:
    for index, need in enumerate(moons):
        at, way = need.get("at"), need.get("is_")
        event = at.get("event") if way and at and at.get("offset_s") == 0 else None
        if event in HORIZON or (event in SKYLINE and way == "up"):
            between = "neither up nor down" if event in HORIZON else "on the edge of the skyline"
            found = f"{show(need.raw['at'])}, when the moon is {between}"
            right = f"an offset, such as '{event} + 10m'"
            yield shot.problem(("needs", "moon", index, "at"), found, right)
    yield from _clashing(shot, "moon", moons, "is_", lambda a, b: a == b)
    yield from _clashing(shot, "moon", moons, "lit_pct", _overlap)


def _check_targets(shot: Document, targets: list[Draft]) -> Iterator[Problem]:
    for target in sorted({need.get("target") for need in targets} - {None}):
        of_it = [need if need.get("target") == target else None for need in targets]
        yield from _clashing(shot, "target", of_it, "altitude_deg", _overlap)
        yield from _clashing(shot, "target", of_it, "azimuth_deg", _overlap_round)


def _looks_over_sea(place: Document | None) -> bool:
    return bool(place and place.draft and "sea_horizon_m" in place.draft.raw)


def _check_moon_as_target(
    shot: Document, moons: list[Draft], targets: list[Draft], edge_deg: int
) -> Iterator[Problem]:
    """A moon that is to be up in [[needs.moon]] and below the horizon in [[needs.target]], or the reverse."""
    for index, need in enumerate(targets):
        altitudes = need.get("altitude_deg")
        if need.get("target") != "moon" or need.get("at") is None or altitudes is None:
            continue
        ways = {moon.get("is_") for moon in moons if moon.get("at") == need.get("at")}
        if ("up" in ways and altitudes[1] < -edge_deg) or ("down" in ways and altitudes[0] > edge_deg):
            way = "up" if altitudes[1] < -edge_deg else "down"
            found = f"{show_items(list(altitudes))} of a moon that is to be {way} at that moment"
            yield shot.problem(
                ("needs", "target", index, "altitude_deg"), found, "needs that can both be met"
            )


def _check_ranges(shot: Document, events: list[Draft]) -> Iterator[Problem]:
    """An event that comes once a night, and is wanted in two ranges of clock times that share none."""
    ranges = [(need.get("event"), need.get("between")) for need in events]
    for index, (event, between) in enumerate(ranges):
        if between is None or event not in ONCE:
            continue
        for other, (same, held) in enumerate(ranges[:index]):
            if same == event and held is not None and not _overlap_round(held, between, DAY_S):
                found = f"{show_items(events[index].raw['between'])} beside needs.event {other + 1}, "
                found += f"but {event} comes once a night"
                right = "ranges that can both be met, or one of them"
                yield shot.problem(("needs", "event", index, "between"), found, right)
                break


def _clashing(
    shot: Document,
    name: str,
    needs: list[Draft] | list[Draft | None],
    key: str,
    agree: Callable[[Any, Any], bool],
) -> Iterator[Problem]:
    """Needs of one moment of which the values under a key cannot both hold."""
    placed: list[tuple[int, Any, Any]] = []
    for index, need in enumerate(needs):
        at, value = (need.get("at"), need.get(key)) if need else (None, None)
        if at is None or value is None:
            continue
        other = next((n for n, there, held in placed if there == at and not agree(held, value)), None)
        placed.append((index, at, value))
        if other is not None:
            word = key.rstrip("_")
            shown = show_items(list(value)) if isinstance(value, list) else show(value)
            found = f"{shown} at the moment of needs.{name} {other + 1}, which asks for another"
            yield shot.problem(
                ("needs", name, index, word), found, "ranges that can both be met, or one of them"
            )


def _overlap(a: Any, b: Any) -> bool:
    return bool(max(a[0], b[0]) <= min(a[1], b[1]))


def _overlap_round(a: Any, b: Any, whole: int = 360) -> bool:
    """Whether two ranges of bearings, or of clock times, each clockwise from its first, share one."""

    def on(start: Any, end: Any) -> Any:  # the remainder of a Decimal has the sign of what is divided
        return ((end - start) % whole + whole) % whole

    return bool(on(a[0], b[0]) <= on(*a) or on(b[0], a[0]) <= on(*b))
