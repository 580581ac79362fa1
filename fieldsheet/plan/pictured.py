"""What the picture will not show as it is meant: message ids, arguments.  Twin: app/core/pictured.js."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import Any

from ..sky.ridge import skyline_deg
from .aim import axis_of, direction_at, lens_of
from .keyframes import Setting
from .planned import Caution, Placed, Planned, caution
from .seen import over_deg, seen_deg
from .waits import beside_landmark

# From here on a roll shows on a sea horizon (common practice, no source).
ROLL_SHOWS_DEG = 0.3
# Narrower, a lens is long: one of 50 mm sees 40 degrees of full frame (our own choice).
LONG_LENS_DEG = 45.0
# A disc whose centre is this far down is out of sight; nearer, its rise or set is what the shot is about.
SUNK_DEG = {"sun": 0.5, "moon": 0.5}
# Where along the frame's upper edge the sky is looked for.
ALONG_TOP = (-1.0, -0.5, 0.0, 0.5, 1.0)


def targets_down(planned: Placed) -> list[bool]:
    """For each keyframe whether it aims at a target that is out of sight and below the level horizon."""
    return [
        over is not None and over < 0 and setting.altitude_deg is not None and setting.altitude_deg < 0
        for over, setting in zip(_targets_over(planned), planned.settings, strict=True)
    ]


def _targets_over(planned: Placed) -> list[float | None]:
    """For each keyframe how far [deg] its target is in sight; None where it aims at none."""
    return [
        _target_over(planned, keyframe["aim"], setting)
        for keyframe, setting in zip(planned.brief["keyframes"], planned.settings, strict=True)
    ]


def _target_over(planned: Placed, aim: dict[str, Any] | None, setting: Setting) -> float | None:
    if aim is None or "target" not in aim or setting.azimuth_deg is None or setting.altitude_deg is None:
        return None
    over = over_deg(planned.night.site, setting.azimuth_deg, setting.altitude_deg)
    return over + SUNK_DEG.get(aim["target"], 0.0)


def out_of_sight(planned: Placed) -> Iterator[Caution]:
    """A target below the level horizon, or behind the measured skyline."""
    down = targets_down(planned)
    for index, over in enumerate(_targets_over(planned)):
        if over is None or over >= 0:
            continue
        setting = planned.settings[index]
        assert setting.azimuth_deg is not None and setting.altitude_deg is not None, "it has a target"
        args = {
            "number": index + 1,
            "target": planned.brief["keyframes"][index]["aim"]["target"],
            "clock": planned.timing.ms_of(setting.frame),
        }
        if down[index]:
            yield caution("no-go", "below-horizon", {**args, "below": -setting.altitude_deg})
        else:
            skyline = float(skyline_deg(planned.night.site.ridge, setting.azimuth_deg))
            args |= {"altitude": setting.altitude_deg, "skyline": skyline}
            yield caution("no-go", "behind-skyline", args)


def _no_sky(planned: Planned) -> Iterator[Caution]:
    """A keyframe whose frame ends below the measured skyline all along its upper edge."""
    ridge, lens = planned.night.site.ridge, lens_of(planned.brief)
    for number, setting in enumerate(planned.settings, start=1):
        looks = axis_of(planned.brief, setting.axes)
        if looks is None or not ridge:
            continue
        top = [at for x in ALONG_TOP if (at := direction_at(x, 1.0, *looks, lens)) is not None]
        lacking = [float(skyline_deg(ridge, azimuth)) - altitude for azimuth, altitude in top]
        if lacking and min(lacking) > 0:
            yield caution("mind", "no-sky", {"number": number, "lacking": min(lacking)})


def _sun_in_frame(planned: Planned) -> Iterator[Caution]:
    """The sun in the delivered frame of a shot that is not aimed at it, from the first frame with it."""
    if any((keyframe["aim"] or {}).get("target") == "sun" for keyframe in planned.brief["keyframes"]):
        return
    sun = next(row for row in planned.picture["inside"] if row["body"] == "sun")
    for span in sun["spans"][:1]:
        instant_ms = span["from"]["time"]["utc_ms"]
        _, altitude = seen_deg(planned.night, "sun", instant_ms / 1000)
        args = {"frame": ceil(span["from"]["frame"]), "clock": instant_ms, "altitude": altitude}
        yield caution("mind", "sun-in-frame", args)


def _leans(planned: Planned) -> Iterator[Caution]:
    """A head that follows its rail: the horizon rolls with the pan, and that shows."""
    worst = planned.picture["lean"]["worst"]
    if worst is not None and abs(worst["roll_deg"]) > ROLL_SHOWS_DEG:
        args = {"frame": worst["frame"], "clock": worst["time"]["utc_ms"], "roll": abs(worst["roll_deg"])}
        yield caution("mind", "leans", args)


def _sags(planned: Planned) -> Iterator[Caution]:
    """A long lens on a rail: what the rail gives shows."""
    sag = planned.picture["sag"]
    if sag is not None and lens_of(planned.brief).view_deg()[0] < LONG_LENS_DEG:
        yield caution("mind", "sags", {"share": sag["share"] * 100})


def _own_rig(planned: Planned) -> Iterator[Caution]:
    """The first frames with an end of the rail, a leg of it, the rig's shadow."""
    own = planned.picture["own_rig"]
    if own["ends"] is not None:
        end = "rail-end." + own["ends"]["end"]
        yield caution("mind", "own-rig", {**_first(own["ends"]), "end": end})
    if own["legs"] is not None:
        yield caution("mind", "own-legs", {**_first(own["legs"]), "leg": own["legs"]["leg"]})
    if own["shadow"] is not None:
        args = {"body": own["shadow"]["body"], "length": own["shadow"]["length_m"]}
        height = planned.brief["lens_height_m"]
        yield caution("mind", "own-shadow", {**_first(own["shadow"]), **args, "height": height})


def _first(row: dict[str, Any]) -> dict[str, Any]:
    return {"frame": row["frame"], "clock": row["time"]["utc_ms"]}


def _no_sighting(planned: Planned) -> Iterator[Caution]:
    """Keyframes are set long before their target stands there; a landmark near it gives a sighting too.

    At another spot none counts, which is said on its own.
    """
    if "spot_m" in planned.brief["place"]:
        return
    pairs = zip(planned.brief["keyframes"], planned.settings, strict=True)
    for number, (keyframe, setting) in enumerate(pairs, start=1):
        if keyframe["sighting"] or beside_landmark(planned.brief, setting) is not None:
            continue
        if keyframe["aim"] and "target" in keyframe["aim"]:
            yield caution("mind", "no-sighting", {"number": number, "target": keyframe["aim"]["target"]})
        else:
            yield caution("mind", "no-proof", {"number": number})


CHECKS = (out_of_sight, _no_sky, _sun_in_frame, _leans, _sags, _own_rig, _no_sighting)
