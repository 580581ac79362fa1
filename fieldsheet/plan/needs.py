"""What a shot needs of its night, measured: asked, found, met or not.  Twin: app/core/needs.js.

A measure is rounded as it will be shown, and judged so: what is printed never contradicts its verdict.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import floor
from typing import Any

from ..sky.events import clearance_deg, crossing_named, usable_margin_deg
from ..sky.moon import moon_light
from .anchors import Night, occurrences, opening, whole_second
from .civil import DAY_S, clock_of
from .nightsky import USABLE, Found
from .problem import PlanProblem
from .seen import seen_deg
from .timing import MINUTE_MS, Timing, frame_of

DARK = ("astronomical dusk", "astronomical dawn")
DAYS = ("Thu", "Fri", "Sat", "Sun", "Mon", "Tue", "Wed")  # day number 0, 1970-01-01, was a Thursday


@dataclass(frozen=True)
class Sight:
    """What needs ask of the sky of one night, each by instant [ms UTC].

    place: true azimuth and apparent altitude [deg] of a body; moon: how far [deg] her limb is over the
    horizon of her rise and set; light: the lit part of her, and whether it grows; core: degrees that the
    core has in hand to be used.
    """

    place: Callable[[str, int], tuple[float, float]]
    moon: Callable[[int], float]
    light: Callable[[int], tuple[float, bool]]
    core: Callable[[int], float]


def sight_of(night: Night) -> Sight:
    """The sky of a night, looked up when it is asked for."""
    sky, site, rise = night.sky, night.site, crossing_named("moonrise")
    return Sight(
        lambda body, at_ms: seen_deg(night, body, at_ms / 1000),
        lambda at_ms: float(clearance_deg(sky, site, rise, at_ms / 1000)),
        lambda at_ms: moon_light(sky, at_ms / 1000),
        lambda at_ms: float(usable_margin_deg(sky, site, at_ms / 1000)),
    )


def measured(
    brief: dict[str, Any], night: Night, timing: Timing, found: Found, sight: Sight | None = None
) -> list[dict[str, Any]]:
    """A row {id, args, met} for each need of the brief, in its order; args hold what is asked and `actual`.

    `actual` is None where the moment or the event does not come.  found: events of the night, with those of
    DARK and of USABLE.  sight: the sky, where it is known already.
    """
    sight = sight or sight_of(night)
    moments = asked_ms(brief, night, timing)
    return [
        _judged(need, at_ms, night, found, sight) for need, at_ms in zip(brief["needs"], moments, strict=True)
    ]


def asked_ms(brief: dict[str, Any], night: Night, timing: Timing) -> list[int | None]:
    """The moment [ms UTC] at which each need is judged; None where it has none, or where it does not come."""
    return [_moment_ms(need.get("at"), night, timing) for need in brief["needs"]]


def _moment_ms(at: dict[str, Any] | None, night: Night, timing: Timing) -> int | None:
    """A position in the shot, or an anchor of the night as `start` is one."""
    if at is None:
        return None
    if "frame" in at or "fraction" in at:
        frame = frame_of(at, night, timing, "needs")
        return timing.ms_of(frame) if frame <= timing.frames else None
    if "event" in at:
        events = occurrences(night, at["event"], night.from_s, night.until_s)
        return (whole_second(events[0]) + int(at["offset_s"])) * 1000 if events else None
    try:
        return opening(night, at, "needs") * 1000
    except PlanProblem:
        return None


def dark_ms(night: Night, found: Found) -> int:
    """How long [ms] of the night the sun is more than 18 degrees down."""

    def throughout() -> bool:
        dusk, at_s = crossing_named(DARK[0]), middle_ms(night) / 1000
        return float(clearance_deg(night.sky, night.site, dusk, at_s)) < 0

    return _held_ms(night, found, DARK, throughout)


def usable_ms(night: Night, found: Found, sight: Sight) -> int:
    """How long [ms] of the night the core can be used."""
    return _held_ms(night, found, USABLE, lambda: sight.core(middle_ms(night)) >= 0)


def middle_ms(night: Night) -> int:
    """The middle of a night [ms UTC]."""
    return (night.from_s + night.until_s) * 500


def _held_ms(night: Night, found: Found, edges: Sequence[str], always: Callable[[], bool]) -> int:
    """Time of the night between each first and second of two kinds of edges; all or nothing without any."""
    first_ms, last_ms = night.from_s * 1000, night.until_s * 1000
    cuts = [(ms, name) for ms, name in found if name in edges and night.holds(ms)]
    if not cuts:
        return last_ms - first_ms if always() else 0
    total, since_ms = 0, first_ms if cuts[0][1] == edges[1] else None
    for ms, name in cuts:
        if name == edges[0]:
            since_ms = ms
        elif since_ms is not None:
            total, since_ms = total + ms - since_ms, None
    return total if since_ms is None else total + last_ms - since_ms


def _judged(
    need: dict[str, Any], at_ms: int | None, night: Night, found: Found, sight: Sight
) -> dict[str, Any]:
    kind = need["kind"]
    if kind == "weekday":
        day = DAYS[night.day % 7]
        return _row("weekday", {"days": ", ".join(need["days"])}, day, day in need["days"])
    if kind in ("darkness", "core-usable"):
        held = _minutes_ms(dark_ms(night, found) if kind == "darkness" else usable_ms(night, found, sight))
        return _row(kind, {"least": need["least_ms"]}, held, held >= need["least_ms"])
    if kind == "event-between":
        return _between(need, night)
    if kind == "event-within":
        return _within(need, at_ms, night)
    return _of_the_sky(need, at_ms, sight)


def _of_the_sky(need: dict[str, Any], at_ms: int | None, sight: Sight) -> dict[str, Any]:
    """A need of how the sky stands at a moment."""
    kind, target = need["kind"], need.get("target", "moon")
    args = {"at": need["at"], "target": target}
    if kind == "moon-lit":
        lit = None if at_ms is None else shown(sight.light(at_ms)[0] * 100, 0)
        return _ranged(kind, args, need["lit_pct"], (0.0, 100.0), lit)
    azimuth, altitude = (None, None) if at_ms is None else sight.place(target, at_ms)
    high = None if altitude is None else shown(altitude, 1)
    if kind == "altitude":
        return _ranged(kind, args, need["altitude_deg"], (-90.0, 90.0), high)
    if kind != "azimuth":
        return _row(kind, args, high, at_ms is not None and (sight.moon(at_ms) >= 0) == (kind == "moon-up"))
    from_deg, to_deg = need["azimuth_deg"]
    bearing = None if azimuth is None else shown(azimuth, 0) % 360
    met = bearing is not None and (bearing - from_deg) % 360 <= (to_deg - from_deg) % 360
    return _row(kind, {**args, "low": from_deg, "high": to_deg}, bearing, met)


def _ranged(
    kind: str, args: dict[str, Any], asked: Sequence[float], whole: tuple[float, float], actual: float | None
) -> dict[str, Any]:
    """A measure between two bounds; one that is open to a side is told as least or most."""
    low, high = asked
    name = f"{kind}-least" if high == whole[1] else f"{kind}-most" if low == whole[0] else kind
    met = actual is not None and low <= actual <= high
    return _row(name, {**args, "low": low, "high": high}, actual, met)


def _between(need: dict[str, Any], night: Night) -> dict[str, Any]:
    """An event of the night by the place's clock; the range may run through midnight."""
    events = [whole_second(t_s) for t_s in occurrences(night, need["event"], night.from_s, night.until_s)]
    first_s, last_s = need["between"]
    # The clock is read as it is shown, to the nearest minute.
    inside = [
        at_s
        for at_s in events
        if (clock_of(night.spans, (at_s + 30) // 60 * 60) - first_s) % DAY_S <= (last_s - first_s) % DAY_S
    ]
    actual = next(iter(inside or events), None)
    args = {"event": need["event"], "first": first_s, "last": last_s}
    return _row("event-between", args, actual and actual * 1000, bool(inside))


def _within(need: dict[str, Any], at_ms: int | None, night: Night) -> dict[str, Any]:
    """An event near a moment, looked for a day on either side."""
    args = {"event": need["event"], "within": need["within_ms"], "at": need["at"]}
    if at_ms is None:
        return _row("event-within", args, None, False)
    near = [
        whole_second(t_s) * 1000
        for t_s in occurrences(night, need["event"], at_ms / 1000 - DAY_S, at_ms / 1000 + DAY_S)
    ]
    actual = min(near, key=lambda ms: abs(ms - at_ms), default=None)
    met = actual is not None and _minutes_ms(abs(actual - at_ms)) <= need["within_ms"]
    return _row("event-within", args, actual, met)


def _row(name: str, args: dict[str, Any], actual: Any, met: bool) -> dict[str, Any]:
    return {"id": f"need.{name}", "args": {**args, "actual": actual}, "met": met}


def _minutes_ms(ms: int) -> int:
    return (ms + MINUTE_MS // 2) // MINUTE_MS * MINUTE_MS


def shown(value: float, decimals: int) -> float:
    """A measure rounded as it will be written: half up on its magnitude."""
    size: float = floor(abs(value) * 10**decimals + 0.5 + 1e-7) / 10**decimals
    return -size if value < 0 else size
