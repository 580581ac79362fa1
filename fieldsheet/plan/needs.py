"""What a shot needs of its night, measured: asked, found, met or not, or not known.  Twin: app/core/needs.js.

A measure is rounded as it will be shown, and judged so: what is printed never contradicts its verdict.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import floor, inf
from typing import Any

from ..sky.events import HALF_DISC_DEG, clearance_deg, crossing_named, usable_margin_deg
from ..sky.moon import moon_light
from ..sky.observe import Site, apparent_altitude_deg
from .anchors import Night, occurrences, whole_second
from .civil import DAY_S, clock_of
from .known import NOT_KNOWN, Lack, Moment, days_around, days_between, moment_of, unknown
from .nightsky import USABLE, Found
from .seen import over_deg, seen_deg
from .timing import Timing, to_minute

DARK = ("astronomical dusk", "astronomical dawn")
DAYS = ("Thu", "Fri", "Sat", "Sun", "Mon", "Tue", "Wed")  # day number 0, 1970-01-01, was a Thursday
# By kind: the bounds of what is asked, and the whole range, to whose ends a need is told as least or most.
RANGES: dict[str, tuple[str, Sequence[float]]] = {
    "moon-lit": ("lit_pct", (0.0, 100.0)),
    "altitude": ("altitude_deg", (-90.0, 90.0)),
    "azimuth": ("azimuth_deg", ()),
}
# What comes over the skyline just then stands on it: nobody sees a twentieth of a degree.
SKYLINE_DEG = 0.05


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
    brief: dict[str, Any], night: Night, timing: Timing | None, found: Found, sight: Sight | None = None
) -> list[dict[str, Any]]:
    """A row {id, args, met} for each need of the brief, in its order; args hold what is asked and `actual`.

    met: True, False, or None where nobody can tell.  actual: what was found, None where nothing was; args
    have `found`, the id of its words, where these are not the usual ones of the need.  timing: None on a
    night without a plan, on which needs at a position in the shot are not known.  found: events of the
    night, with those of DARK and of USABLE.  sight: the sky, where it is known already.
    """
    sight = sight or sight_of(night)
    return [
        _judged(need, moment_of(need.get("at"), night, timing), night, found, sight)
        for need in brief["needs"]
    ]


def asked_ms(brief: dict[str, Any], night: Night, timing: Timing | None) -> list[int | None]:
    """The moment [ms UTC] at which each need is judged; None where it has none, or where it does not come."""
    return [moment_of(need.get("at"), night, timing).ms for need in brief["needs"]]


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


@dataclass(frozen=True)
class _Asked:
    """What a need asks for: the id of its words without "need.", and what they take."""

    name: str
    args: dict[str, Any]

    def row(self, actual: Any, met: bool | None, **more: Any) -> dict[str, Any]:
        """What was found, and whether that meets it; more: `found`, and what its words take."""
        return {"id": f"need.{self.name}", "args": {**self.args, "actual": actual, **more}, "met": met}

    def nothing(self, lack: Lack) -> dict[str, Any]:
        """Nothing was found, or nobody can tell."""
        return self.row(None, None if lack["found"] in NOT_KNOWN else False, **lack)


def _asked(need: dict[str, Any]) -> _Asked:
    kind = need["kind"]
    args: dict[str, Any] = {key: need[key] for key in ("target", "event", "at", "days") if key in need}
    if kind in ("darkness", "core-usable"):
        args["least"] = need["least_ms"]
    elif kind == "event-between":
        args["first"], args["last"] = need["between"]
    elif kind == "event-within":
        args["within"] = need["within_ms"]
    elif kind in RANGES:
        key, whole = RANGES[kind]
        args["low"], args["high"] = low, high = need[key]
        open_to = "-least" if high in whole[1:] else "-most" if low in whole[:1] else ""
        return _Asked(kind + open_to, args)
    return _Asked(kind, args)


def _judged(need: dict[str, Any], moment: Moment, night: Night, found: Found, sight: Sight) -> dict[str, Any]:
    kind, asked = need["kind"], _asked(need)
    if kind == "weekday":
        day = DAYS[night.day % 7]
        return asked.row(day, day in need["days"])
    if kind in ("darkness", "core-usable"):
        held = to_minute(dark_ms(night, found) if kind == "darkness" else usable_ms(night, found, sight))
        return asked.row(held, held >= need["least_ms"])
    if kind == "event-between":
        return _between(asked, need, night)
    if moment.ms is None:
        return asked.nothing(moment.lack)
    if kind == "event-within":
        return _within(asked, need, moment.ms, night)
    return _of_the_sky(asked, need, moment.ms, night.site, sight)


def _of_the_sky(asked: _Asked, need: dict[str, Any], at_ms: int, site: Site, sight: Sight) -> dict[str, Any]:
    """A need of how the sky stands at a moment."""
    kind = need["kind"]
    if kind == "moon-lit":
        low, high = need["lit_pct"]
        lit = shown(sight.light(at_ms)[0] * 100, 0)
        return asked.row(lit, low <= lit <= high)
    if kind == "altitude":
        return _altitude(asked, need, sight.place(need["target"], at_ms), site)
    if kind == "azimuth":
        from_deg, to_deg = need["azimuth_deg"]
        bearing = shown(sight.place(need["target"], at_ms)[0], 0) % 360
        return asked.row(bearing, (bearing - from_deg) % 360 <= (to_deg - from_deg) % 360)
    return _moon(asked, kind == "moon-up", at_ms, site, sight)


def _altitude(asked: _Asked, need: dict[str, Any], place: tuple[float, float], site: Site) -> dict[str, Any]:
    """How high a target stands.  Who asks for no less than the horizon wants to see it: behind the skyline it
    is not; who asks for less (a sun at -12 degrees) does not."""
    low, high = need["altitude_deg"]
    altitude = shown(place[1], 1)
    hidden = altitude >= 0 and _is_hidden(site, need["target"], place)
    met = low <= altitude <= high and not (hidden and low >= 0)
    return asked.row(altitude, met, **({"found": "found.hidden"} if hidden else {}))


def _moon(asked: _Asked, wanted: bool, at_ms: int, site: Site, sight: Sight) -> dict[str, Any]:
    """Whether the moon is up.  Her upper edge over the horizon, as seen, is what is judged and told: behind a
    measured skyline her light is in the sky, so she is not down, but neither is she there to be seen."""
    clear_deg = sight.moon(at_ms)
    horizon_deg = crossing_named("moonrise").rule.lies_deg(site)
    edge_deg = apparent_altitude_deg([horizon_deg + clear_deg, horizon_deg], site.air)
    actual = shown(abs(float(edge_deg[0] - edge_deg[1])), 1)
    if clear_deg < 0:
        return asked.row(actual, not wanted, found="found.down")
    if _is_hidden(site, "moon", sight.place("moon", at_ms)):
        return asked.row(actual, False, found="found.up-behind" if wanted else "found.up-lights")
    return asked.row(actual, wanted, found="found.up")


def _is_hidden(site: Site, body: str, place: tuple[float, float]) -> bool:
    """Whether a body at an azimuth and apparent altitude [deg] is behind the skyline, if one was measured."""
    azimuth, altitude = place
    edge_deg = altitude + HALF_DISC_DEG.get(body, 0.0)
    return bool(site.ridge) and over_deg(site, azimuth, edge_deg) < -SKYLINE_DEG


def _between(asked: _Asked, need: dict[str, Any], night: Night) -> dict[str, Any]:
    """An event of the night by the place's clock; the range may run through midnight."""
    events = [whole_second(t_s) for t_s in occurrences(night, need["event"], night.from_s, night.until_s)]
    first_s, last_s = need["between"]
    # The clock is read as it is shown, to the nearest minute.
    inside = [
        at_s
        for at_s in events
        if (clock_of(night.spans, (at_s + 30) // 60 * 60) - first_s) % DAY_S <= (last_s - first_s) % DAY_S
    ]
    if inside:
        return asked.row(inside[0] * 1000, True)
    lack = unknown(night, need["event"], days_between(night, first_s, last_s))
    if lack is None and events:
        return asked.row(events[0] * 1000, False)
    return asked.nothing(lack or {"found": "found.no-event"})


def _within(asked: _Asked, need: dict[str, Any], at_ms: int, night: Night) -> dict[str, Any]:
    """An event near a moment, looked for a day on either side; how far off it is is judged and told."""
    event, within_ms = need["event"], need["within_ms"]
    near = [
        whole_second(t_s) * 1000
        for t_s in occurrences(night, event, at_ms / 1000 - DAY_S, at_ms / 1000 + DAY_S)
    ]
    actual = min(near, key=lambda ms: abs(ms - at_ms), default=None)
    away_ms = inf if actual is None else to_minute(abs(actual - at_ms))
    met = away_ms <= within_ms
    lack = None if met else unknown(night, event, days_around(night, at_ms, within_ms))
    if lack is not None or actual is None:
        return asked.nothing(lack or {"found": "found.none-near"})
    return asked.row(actual, met, **({"found": "found.near", "away": away_ms} if away_ms else {}))


def shown(value: float, decimals: int) -> float:
    """A measure rounded as it will be written: half up on its magnitude."""
    size: float = floor(abs(value) * 10**decimals + 0.5 + 1e-7) / 10**decimals
    return -size if value < 0 else size
