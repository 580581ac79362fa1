"""One shot with everything that it names, as a brief: plain numbers, nothing to look up."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from . import zones
from .defaults import LONGER_SHUTTERS_S
from .models import AXES, UNITS, Aim, Axes, Camera, Keyframe, Place, Rig, Shot, Table
from .timing import clip_frames

FORMAT = "fieldsheet brief"
VERSION = 1


def make_brief(shot_id: str, shot: Shot, place: Place, rig: Rig, camera: Camera) -> dict[str, Any]:
    """The brief of a shot: JSON values only; times in ms, lengths in mm or m, angles in degrees."""
    date = shot.night or shot.day
    assert date is not None, "a checked shot has a date"
    return {
        "format": FORMAT,
        "version": VERSION,
        "shot": {"id": shot_id, "title": shot.title, "notes": list(shot.notes)},
        "place": _place(shot.place, place, date.year),
        "rig": _rig(shot.rig, rig),
        "camera": _camera(shot.camera, camera),
        "night": {"rule": "night" if shot.night else "day", "date": date.isoformat()},
        **_timing(shot),
        "longest_shutter_ms": _ms(LONGER_SHUTTERS_S.get(shot.longest_shutter_s, shot.longest_shutter_s)),
        "hold": [shot.hold_frames.start, shot.hold_frames.end],
        "ease": [shot.ease_frames.in_, shot.ease_frames.out],
        "frame_mm": frame_mm(camera.sensor_mm, shot.orientation, shot.clip_aspect, shot.crop_margin),
        "zero_bearing_deg": float(shot.zero_bearing_deg),
        "zero_sighting": shot.zero_sighting,
        "rail": _rail(shot),
        "order": shot.order or rig.orders[0],
        "keyframes": [_keyframe(keyframe) for keyframe in shot.keyframe],
    }


def frame_mm(
    sensor_mm: Sequence[Decimal], orientation: str, aspect: Fraction | None, crop_margin: Decimal
) -> list[float]:
    """[width, height] in mm of the delivered part of the sensor.

    The largest frame of the clip's aspect in the sensor as it is held, less the crop margin's share of
    both its sides.
    """
    width, height = (Fraction(side) for side in sensor_mm)
    if orientation == "portrait":
        width, height = height, width
    if aspect is not None:
        width, height = min(width, height * aspect), min(height, width / aspect)
    kept = 1 - Fraction(crop_margin)
    return [float(width * kept), float(height * kept)]


def _timing(shot: Shot) -> dict[str, Any]:
    frames = shot.frames if shot.clip_s is None else clip_frames(shot.clip_s, shot.fps)
    return {
        "start": shot.start,
        "end": shot.end,
        "duration_ms": shot.duration,
        "interval_ms": None if shot.interval_s is None else _ms(shot.interval_s),
        "frames": frames,
        "fps": [shot.fps.numerator, shot.fps.denominator],
    }


def _place(stem: str, place: Place, year: int) -> dict[str, Any]:
    spans = [list(span) for span in zones.spans(place.zone, year)]
    return {
        "id": stem,
        "title": place.title,
        "latitude_deg": float(place.latitude_deg),
        "longitude_deg": float(place.longitude_deg),
        "elevation_m": float(place.elevation_m),
        "zone": {"name": place.zone, "spans": spans, "until_s": zones.until_s(year)},
        "hazards": list(place.hazards),
        "abort": list(place.abort),
    }


def _rig(stem: str, rig: Rig) -> dict[str, Any]:
    return {
        "id": stem,
        "title": rig.title,
        "letter": rig.letter,
        "motion": rig.motion,
        "trigger": rig.trigger,
        "interval_step_ms": _ms(rig.interval_step_s),
        "settle_ms": _ms(rig.settle_s),
        "program_order": list(rig.program_order),
        "axes": _axes(rig.axis),
        "joints": [_written(joint) for joint in rig.joint],
        "cables": [_written(cable) for cable in rig.cable],
        "remote": _written(rig.remote) if rig.remote else None,
    }


def _axes(axes: Axes) -> dict[str, Any]:
    """The axes that the rig has, always in the order slide, pan, tilt."""
    return {
        name: {
            "unit": UNITS[name],
            "min": float(axis.min),
            "max": float(axis.max),
            "step": float(axis.step),
            "speed_max": float(axis.speed_max),
            "acceleration_max": float(axis.acceleration_max),
        }
        for name, axis in ((name, getattr(axes, name)) for name in AXES)
        if axis is not None
    }


def _camera(stem: str, camera: Camera) -> dict[str, Any]:
    return {
        "id": stem,
        "title": camera.title,
        "focal_mm": float(camera.focal_mm),
        "release_lag_ms": _ms(camera.release_lag_s),
        "ready_ms": _ms(camera.ready_s),
        "remote_plug": camera.remote_plug,
        "switch_off": list(camera.switch_off),
    }


def _rail(shot: Shot) -> dict[str, Any] | None:
    if shot.rail is None:
        return None
    return {
        "bearing_deg": float(shot.rail.bearing_deg),
        "incline_deg": float(shot.rail.incline_deg),
        "home_end": shot.rail.home_end,
    }


def _keyframe(keyframe: Keyframe) -> dict[str, Any]:
    positions = {name: getattr(keyframe, f"{name}_{UNITS[name]}") for name in AXES}
    return {
        "at": keyframe.at,
        "axes": {name: float(value) for name, value in positions.items() if value is not None},
        "aim": _aim(keyframe.aim) if keyframe.aim else None,
        "turn": keyframe.turn,
        "sighting": keyframe.sighting,
    }


def _aim(aim: Aim) -> dict[str, Any]:
    spot = {"x": float(aim.x), "y": float(aim.y)}
    if aim.target is not None:
        return {"target": aim.target, **spot}
    assert aim.bearing_deg is not None and aim.altitude_deg is not None, "a checked aim has both"
    return {"bearing_deg": float(aim.bearing_deg), "altitude_deg": float(aim.altitude_deg), **spot}


def _written(table: Table) -> dict[str, Any]:
    """A table of words under its TOML keys."""
    return table.model_dump(by_alias=True)


def _ms(seconds: Decimal) -> int:
    return int(seconds * 1000)
