"""What sky, sea and place hold against a shot: message ids with arguments.  Twin: app/core/outdoors.js."""

from __future__ import annotations

from collections.abc import Iterator

from ..sky.moon import moon_light
from .acts import limits_unknown
from .dew import dew_of
from .nightsky import core_margin_deg
from .planned import Caution, Placed, Planned, caution
from .schedule import deadlines
from .seen import over_deg, seen_deg, stars_out
from .spot import DECLINATION_M

# An aim that hangs on "core usable" stands on the edge itself: nobody sees a twentieth of a degree.
CORE_EDGE_DEG = 0.05
# From a quarter lit on, the moon washes out the Milky Way (common practice, no source).
BRIGHT_MOON = 0.25
TIDE_MS = 13 * 3_600_000
# What comes minutes before or after an event that a body grazes.
OTHER_EDGE = {
    "sunset": "sunrise",
    "civil dusk": "civil dawn",
    "nautical dusk": "nautical dawn",
    "astronomical dusk": "astronomical dawn",
    "moonset": "moonrise",
}


def _way_out(planned: Placed) -> Iterator[Caution]:
    """The way out closes, or the water reaches the rig, before everybody is away."""
    timing = planned.timing
    on_site_ms = dict(deadlines(planned.brief, timing.prepared_ms))["on-site"]
    away_ms = timing.end_ms + (planned.brief["place"]["approach_ms"] or 0)
    for kind, id, until_ms in (
        ("exit closes", "exit-closes", away_ms),
        ("wet line", "wet-line", timing.end_ms),
    ):
        for at_s, what in planned.night.tides:
            if what == kind and on_site_ms <= at_s * 1000 < until_ms:
                yield caution("no-go", id, {"clock": at_s * 1000, "end": timing.end_ms, "away": away_ms})
                break


def _limit_passed(planned: Placed) -> Iterator[Caution]:
    """Turning back, or the gate's closing, comes before the last frame is in."""
    for row in planned.limited:
        if row["id"] != "check-in" and row["time"]["utc_ms"] < planned.timing.end_ms:
            args = {"clock": row["time"]["utc_ms"], "end": planned.timing.end_ms}
            yield caution("no-go", row["id"] + "-passed", args)


def _limit_unknown(planned: Planned) -> Iterator[Caution]:
    """A time that the place sets hangs on an event that does not come."""
    for name in limits_unknown(planned.brief, planned.limited):
        yield caution("no-go", "limit-unknown", {"id": "moment." + name})


def _tide_unknown(planned: Planned) -> Iterator[Caution]:
    """A place with a tide table that says nothing of this night."""
    tides, timing = planned.night.tides, planned.timing
    if not tides:
        return
    from_ms, until_ms = timing.start_ms - TIDE_MS, timing.end_ms + TIDE_MS
    if not any(from_ms <= at_s * 1000 <= until_ms for at_s, _ in tides):
        yield caution("mind", "tide-unknown", {"night": timing.start_ms})


def _moon_rises(planned: Planned) -> Iterator[Caution]:
    """A bright moon comes up in the dark, during a shot that is not made of it."""
    timing = planned.timing
    if any((keyframe["aim"] or {}).get("target") == "moon" for keyframe in planned.brief["keyframes"]):
        return
    for ms, name in planned.found:
        inside = name == "moonrise" and timing.start_ms <= ms < timing.end_ms
        if inside and stars_out(planned.night, ms / 1000):
            lit, _ = moon_light(planned.night.sky, ms / 1000)
            if lit >= BRIGHT_MOON:
                args = {"clock": ms, "frame": timing.frame_at(ms), "lit": lit * 100}
                yield caution("mind", "moon-rises", args)


def _graze(planned: Planned) -> Iterator[Caution]:
    """Sun or moon turns so near to an altitude that the air decides whether it is crossed."""
    for graze in planned.grazes:
        event, at_ms = graze["event"], graze["time"]["utc_ms"]
        yield caution("mind", "graze", {"event": event, "other": OTHER_EDGE[event], "clock": at_ms})


def _core_unusable(planned: Planned) -> Iterator[Caution]:
    """A keyframe aimed at the core, in sight, at a moment at which haze, dusk or moon hides it."""
    night = planned.night
    pairs = zip(planned.brief["keyframes"], planned.settings, strict=True)
    for number, (keyframe, setting) in enumerate(pairs, start=1):
        if (keyframe["aim"] or {}).get("target") != "galactic core":
            continue
        at_s = planned.timing.ms_of(setting.frame) / 1000
        sun, moon = (seen_deg(night, body, at_s)[1] for body in ("sun", "moon"))
        stands = seen_deg(night, "galactic core", at_s)
        if core_margin_deg(night, at_s) < -CORE_EDGE_DEG and over_deg(night.site, *stands) > 0:
            args = {"number": number, "sun": sun, "core": stands[1], "moon": moon}
            yield caution("mind", "core-unusable", args)


def _spot(planned: Planned) -> Iterator[Caution]:
    """Planned for another spot than the place: how far off, and what does not hold there."""
    away_m = planned.brief["place"].get("spot_m")
    if away_m is not None:
        yield caution("mind", "spot-far" if away_m > DECLINATION_M else "spot", {"away": away_m})


def _compass(planned: Planned) -> Iterator[Caution]:
    """No magnetic bearings, and why; or a compass that is hardly to be trusted."""
    place = planned.brief["place"]
    if place.get("no_declination"):
        yield caution("mind", "compass-" + place["no_declination"], {})
    elif place.get("declination") and place["declination"]["weak"]:
        yield caution("mind", "compass-weak", {})


def _need_unmet(planned: Planned) -> Iterator[Caution]:
    """What makes a night good for this shot is not all there."""
    unmet = sum(need["met"] is False for need in planned.needs)
    if unmet:
        yield caution("mind", "need-unmet", {"unmet": unmet, "all": len(planned.needs)})


def _need_unknown(planned: Planned) -> Iterator[Caution]:
    """Whether it is all there hangs on what nobody typed in or measured."""
    unknown = sum(need["met"] is None for need in planned.needs)
    if unknown:
        yield caution("mind", "need-unknown", {"unknown": unknown, "all": len(planned.needs)})


def _dew(planned: Planned) -> Iterator[Caution]:
    """Glass will be wet, and nothing warms it."""
    dew = dew_of(planned.brief["dew"])
    if dew is not None and dew["likely"] and planned.brief["heater"] is None:
        yield caution("mind", "dew", {**dew, "clock": planned.timing.start_ms})


def _deep_cold(planned: Planned) -> Iterator[Caution]:
    """So cold that cables, grease and phone work otherwise."""
    brief = planned.brief
    if brief["deep_cold"]:
        id = "deep-cold" if brief["rig"]["motion"] == "shoot-move-shoot" else "deep-cold-still"
        args = {"degrees": brief["temperature_c"], "settle": brief["rig"]["settle_ms"]}
        yield caution("mind", id, args)


OF_THE_PLACE = (_way_out, _limit_passed)
"""Each a "no-go" of the hours that the place sets."""

CHECKS = (
    *OF_THE_PLACE,
    _limit_unknown,
    _tide_unknown,
    _moon_rises,
    _graze,
    _core_unusable,
    _need_unmet,
    _need_unknown,
    _spot,
    _compass,
    _dew,
    _deep_cold,
)
