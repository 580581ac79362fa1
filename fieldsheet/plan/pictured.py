"""What the picture will not show as it is meant: message ids, arguments.  Twin: app/core/pictured.js."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import Any

from ..sky.ridge import skyline_deg
from .aim import axis_of, direction_at, inside_frame, lens_of
from .keyframes import Setting
from .planned import Caution, Planned, caution
from .seen import over_deg, seen_deg
from .waits import beside_landmark

SUN_SAMPLES = (48, 4000)
BISECTIONS = 16
SKY_DEG_PER_MS = 15 / 3_600_000
# A disc whose centre is this far down is out of sight; nearer, its rise or set is what the shot is about.
DISC_DEG = {"sun": 0.5, "moon": 0.5}
# Where along the frame's upper edge the sky is looked for.
ALONG_TOP = (-1.0, -0.5, 0.0, 0.5, 1.0)


def targets_down(planned: Planned) -> list[bool]:
    """For each keyframe whether it aims at a target that is out of sight and below the level horizon."""
    return [
        over is not None and over < 0 and setting.altitude_deg is not None and setting.altitude_deg < 0
        for over, setting in zip(_targets_over(planned), planned.settings, strict=True)
    ]


def _targets_over(planned: Planned) -> list[float | None]:
    """For each keyframe how far [deg] its target is in sight; None where it aims at none."""
    return [
        _target_over(planned, keyframe["aim"], setting)
        for keyframe, setting in zip(planned.brief["keyframes"], planned.settings, strict=True)
    ]


def _target_over(planned: Planned, aim: dict[str, Any] | None, setting: Setting) -> float | None:
    if aim is None or "target" not in aim or setting.azimuth_deg is None or setting.altitude_deg is None:
        return None
    over = over_deg(planned.night.site, setting.azimuth_deg, setting.altitude_deg)
    return over + DISC_DEG.get(aim["target"], 0.0)


def _out_of_sight(planned: Planned) -> Iterator[Caution]:
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
    frames = planned.timing.frames
    samples = _sun_samples(planned)
    before = 1.0
    for sample in range(samples + 1):
        frame = 1 + (frames - 1) * sample / samples
        if _sun_shows(planned, frame):
            for _ in range(BISECTIONS if sample else 0):
                middle = (before + frame) / 2
                before, frame = (before, middle) if _sun_shows(planned, middle) else (middle, frame)
            instant_ms = planned.timing.ms_of(frame)
            _, altitude = seen_deg(planned.night, "sun", instant_ms / 1000)
            yield caution(
                "mind", "sun-in-frame", {"frame": ceil(frame), "clock": instant_ms, "altitude": altitude}
            )
            return
        before = frame


def _sun_samples(planned: Planned) -> int:
    """So many that neither the sky nor the head turns by more than half a frame from one to the next."""
    turned = SKY_DEG_PER_MS * (planned.timing.end_ms - planned.timing.start_ms)
    for before, after in zip(planned.settings, planned.settings[1:], strict=False):
        turned += sum(abs(after.axes.get(name, 0) - before.axes.get(name, 0)) for name in ("pan", "tilt"))
    half_deg = min(lens_of(planned.brief).view_deg()) / 2
    return min(max(ceil(turned / half_deg), SUN_SAMPLES[0]), SUN_SAMPLES[1])


def _sun_shows(planned: Planned, frame: float) -> bool:
    looks = axis_of(planned.brief, planned.path.at(frame))
    azimuth, altitude = seen_deg(planned.night, "sun", planned.timing.ms_of(frame) / 1000)
    if looks is None or over_deg(planned.night.site, azimuth, altitude) <= 0:
        return False
    return inside_frame(azimuth, altitude, *looks, lens_of(planned.brief)) is not None


def _no_sighting(planned: Planned) -> Iterator[Caution]:
    """Keyframes are set long before their target stands there; a landmark near it gives a sighting too."""
    pairs = zip(planned.brief["keyframes"], planned.settings, strict=True)
    for number, (keyframe, setting) in enumerate(pairs, start=1):
        if keyframe["sighting"] or beside_landmark(planned.brief, setting) is not None:
            continue
        if keyframe["aim"] and "target" in keyframe["aim"]:
            yield caution("mind", "no-sighting", {"number": number, "target": keyframe["aim"]["target"]})
        else:
            yield caution("mind", "no-proof", {"number": number})


CHECKS = (_out_of_sight, _no_sky, _sun_in_frame, _no_sighting)
