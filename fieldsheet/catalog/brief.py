"""One shot with everything that it names, as a brief: plain numbers, nothing to look up."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from .conditions import SETTLES_COLD, deep_cold, dew_of, flicker_of, subject_of
from .defaults import LONGER_SHUTTERS_S, SCENE_EV, SETUPS_MIN, TILT_DEG
from .exposure import exposure_of
from .models.camera import Camera
from .models.head import CatalogFile
from .models.place import Place
from .models.rig import AXES, LEG, UNITS, Axes, Axis, PanAxis, Rig, letters_of
from .models.shot import Aim, Keyframe, Shot
from .needs import needs_of
from .placed import place_of
from .powered import battery_of, cards_of, heater_of, rig_power, temperature_c
from .speech import words
from .timing import clip_frames

FORMAT = "fieldsheet brief"
VERSION = 1


def make_brief(
    shot_id: str,
    shot: Shot,
    place: Place,
    rig: Rig,
    camera: Camera,
    head: CatalogFile,
    other_letters: Sequence[str],
) -> dict[str, Any]:
    """The brief of a shot: JSON values only; times in ms, lengths in mm or m, angles in degrees.

    Nothing computes with what stands under "words". other_letters: of the catalog's other rigs.
    """
    date = shot.night or shot.day
    assert date is not None, "a checked shot has a date"
    degrees_c = temperature_c(shot, place)
    return {
        "format": FORMAT,
        "version": VERSION,
        "shot": {"id": shot_id, "title": shot.title},
        "place": place_of(shot.place, place, date),
        "rig": _rig(shot.rig, rig, degrees_c),
        "camera": _camera(shot.camera, camera, shot.orientation),
        "night": {"rule": "night" if shot.night else "day", "date": date.isoformat()},
        **_timing(shot),
        "longest_shutter_ms": longest_shutter_ms(shot.longest_shutter_s),
        "hold": [shot.hold_frames.start, shot.hold_frames.end],
        "ease": [shot.ease_frames.in_, shot.ease_frames.out],
        "frame_mm": frame_mm(camera.sensor_mm, shot.orientation, shot.clip_aspect, shot.crop_margin),
        "zero_bearing_deg": float(shot.zero_bearing_deg),
        "zero_sighting": shot.zero_sighting,
        "tilt_deg": _tilt_deg(shot, rig),
        "rail": _rail(shot),
        "head_base": shot.head_base,
        "base_pitch_deg": float(shot.base_pitch_deg),
        "base_roll_deg": float(shot.base_roll_deg),
        "lens_height_m": float(shot.lens_height_m),
        "foreground_m": _float(shot.foreground_m),
        "setup_ms": _setup_ms(shot),
        "exposure": exposure_of(shot.exposure, camera, longest_shutter_ms(shot.longest_shutter_s)),
        "swap": {"from": shot.swap.from_, "until": shot.swap.until} if shot.swap else None,
        "temperature_c": degrees_c,
        "deep_cold": deep_cold(degrees_c),
        "dew": dew_of(shot, place),
        "mains_hz": shot.mains_hz,
        "subject": subject_of(shot, longest_shutter_ms(shot.longest_shutter_s)),
        "heater": heater_of(shot.heater),
        "order": shot.order or rig.orders[0],
        "reverse": shot.reverse,
        "keyframes": _keyframes(shot),
        "needs": needs_of(shot.needs),
        "words": words(shot, place, rig, camera, head, other_letters),
    }


def longest_shutter_ms(longest_shutter_s: Decimal) -> int:
    """Milliseconds that the shutter really stays open, which may be longer than what is written on it."""
    return _ms(LONGER_SHUTTERS_S.get(longest_shutter_s, longest_shutter_s))


def _tilt_deg(shot: Shot, rig: Rig) -> float | None:
    """How the lens of a rig without a tilt axis is tilted; None where the axis says it."""
    if rig.axis is not None and rig.axis.tilt is not None:
        return None
    return float(TILT_DEG if shot.tilt_deg is None else shot.tilt_deg)


def frame_mm(
    sensor_mm: Sequence[Decimal], orientation: str, aspect: Fraction | None, crop_margin: Decimal
) -> list[float]:
    """[width, height] in mm of the delivered part of the sensor.

    The largest frame of the clip's aspect in the sensor as it is held, less the crop margin's share of
    both its sides.
    """
    width, height = (Fraction(side) for side in _held(sensor_mm, orientation))
    if aspect is not None:
        width, height = min(width, height * aspect), min(height, width / aspect)
    kept = 1 - Fraction(crop_margin)
    return [float(width * kept), float(height * kept)]


def _held(sensor_mm: Sequence[Decimal], orientation: str) -> list[Decimal]:
    """[width, height] of the sensor as the camera is held."""
    return list(sensor_mm)[::-1] if orientation == "portrait" else list(sensor_mm)


def _setup_ms(shot: Shot) -> int:
    minutes = shot.setup_min if shot.setup is None else SETUPS_MIN[shot.setup]
    assert minutes is not None, "a checked shot has a set-up"
    return int(minutes * 60_000)


def _timing(shot: Shot) -> dict[str, Any]:
    frames = shot.frames if shot.clip_s is None else clip_frames(shot.clip_s, shot.fps)
    return {
        "start": shot.start,
        "end": shot.end,
        "duration_ms": shot.duration,
        "interval_ms": None if shot.interval_s is None else _ms(shot.interval_s),
        "frames": frames,
        "phases": [{"from": phase.from_, "interval_ms": _ms(phase.interval_s)} for phase in shot.phase],
        "fps": [shot.fps.numerator, shot.fps.denominator],
    }


def _rig(stem: str, rig: Rig, degrees_c: float) -> dict[str, Any]:
    """In deep cold what swings settles later, and counts so."""
    settles = SETTLES_COLD if deep_cold(degrees_c) else 1
    return {
        "id": stem,
        "title": rig.title,
        "letter": rig.letter,
        "motion": rig.motion,
        "trigger": rig.trigger,
        "interval_step_ms": _ms(rig.interval_step_s),
        "interval_changes": rig.interval_changes,
        "settle_ms": _ms(rig.settle_s) * settles,
        "program_order": list(rig.program_order),
        "joins": rig.joins,
        "waits_for_camera": rig.waits_for_camera,
        "keyframes": _keyframe_limits(rig),
        "position_after_power_loss": rig.position_after_power_loss,
        "axes": _axes(rig.axis) if rig.axis else {},
        "interval_means": rig.interval_means,
        "power": rig_power(rig, _axes(rig.axis) if rig.axis else {}),
        "lens_over_rail_mm": _float(rig.lens_over_rail_mm),
        "legs": [{key: float(getattr(leg, key)) for key in LEG} for leg in rig.leg],
        "load_kg": [[float(part) for part in pair] for pair in rig.load_kg] if rig.load_kg else None,
    }


def _keyframe_limits(rig: Rig) -> dict[str, Any] | None:
    """How many keyframes the rig takes, and whether the middle one of three is free; None without axes."""
    limits = rig.keyframes
    return None if limits is None else {"most": limits.most, "middle": limits.middle}


def _axes(axes: Axes) -> dict[str, Any]:
    """The axes that the rig has, always in the order slide, pan, tilt, others."""
    letters = letters_of(axes.all())
    return {name: {"letter": letters[name], **_axis(axis)} for name, axis in axes.all().items()}


def _axis(axis: Axis) -> dict[str, Any]:
    keys = ("min", "max", "step", "speed_max", "acceleration_max")
    wrap = {"wrap_deg": _float(axis.wrap_deg)} if isinstance(axis, PanAxis) else {}
    return {"unit": axis.unit, **{key: float(getattr(axis, key)) for key in keys}, **wrap}


def _camera(stem: str, camera: Camera, orientation: str) -> dict[str, Any]:
    return {
        "id": stem,
        "title": camera.title,
        "focal_mm": float(camera.focal_mm),
        "release_lag_ms": _ms(camera.release_lag_s),
        "ready_ms": _ms(camera.ready_s),
        **flicker_of(camera),
        "projection": camera.projection,
        "pixels": _pixels(camera, orientation),
        "battery": battery_of(camera),
        "cards": cards_of(camera),
        "sensor_mm": [float(side) for side in _held(camera.sensor_mm, orientation)],
    }


def _pixels(camera: Camera, orientation: str) -> list[int] | None:
    """[width, height] in pixels as the camera is held."""
    if camera.pixels is None or orientation == "landscape":
        return camera.pixels
    return camera.pixels[::-1]


def _rail(shot: Shot) -> dict[str, Any] | None:
    if shot.rail is None:
        return None
    return {
        "bearing_deg": _float(shot.rail.bearing_deg),
        "incline_deg": float(shot.rail.incline_deg),
        "home_end": shot.rail.home_end,
        "motor_end": shot.rail.motor_end,
        "payload_kg": _float(shot.rail.payload_kg),
    }


def _keyframes(shot: Shot) -> list[dict[str, Any]]:
    """In the order of time; reversed, each moment has the setting of its counterpart from the other end."""
    keyframes = [_keyframe(keyframe) for keyframe in shot.keyframe]
    if not shot.reverse:
        return keyframes
    turns = [_back(keyframe.turn) for keyframe in shot.keyframe]
    backwards = zip(keyframes[::-1], [None, *turns[:0:-1]], strict=True)
    return [
        {**setting, "turn": turn, "at": moment["at"], "meant_for": moment["meant_for"]}
        for moment, (setting, turn) in zip(keyframes, backwards, strict=True)
    ]


def _back(turn: str | None) -> str | None:
    """The other way round."""
    return {"cw": "ccw", "ccw": "cw"}.get(turn or "")


def _keyframe(keyframe: Keyframe) -> dict[str, Any]:
    usual = {name: getattr(keyframe, f"{name}_{UNITS[name]}") for name in AXES}
    positions = {**usual, **keyframe.axes}
    return {
        "at": keyframe.at,
        "meant_for": keyframe.meant_for,
        "axes": {name: float(value) for name, value in positions.items() if value is not None},
        "aim": _aim(keyframe.aim) if keyframe.aim else None,
        "turn": keyframe.turn,
        "sighting": keyframe.sighting,
        "scene_ev": float(SCENE_EV if keyframe.scene_ev is None else keyframe.scene_ev),
    }


def _aim(aim: Aim) -> dict[str, Any]:
    spot = {"x": float(aim.x), "y": float(aim.y)}
    if aim.target is not None:
        return {"target": aim.target, **spot}
    assert aim.bearing_deg is not None and aim.altitude_deg is not None, "a checked aim has both"
    return {"bearing_deg": float(aim.bearing_deg), "altitude_deg": float(aim.altitude_deg), **spot}


def _float(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _ms(seconds: Decimal) -> int:
    return int(seconds * 1000)
