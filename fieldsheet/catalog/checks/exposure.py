"""Whether the two base exposures of a shot can be set, and a night lies between them."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Any

from ...problems import Problem
from ..brief import longest_shutter_ms
from ..document import Document, tables
from ..draft import Draft
from ..exposure import base_setting
from ..marks import SHUTTERS, shutter_ms
from ..models.exposure import Base, Exposure
from ..models.shot import Keyframe, Phase
from ..words import show
from .place import check_known

BASES = ("bright", "dark")


def check_exposure(shot: Document, camera: Document | None, place: Document | None) -> Iterator[Problem]:
    """Problems of a shot's [exposure], by itself and against interval, camera and place."""
    raw = shot.draft.raw.get("exposure") if shot.draft else None
    if raw is None:
        yield from _check_idle(shot)
        return
    draft = Draft(Exposure, raw, shot.lines, []) if isinstance(raw, dict) else None
    bases: dict[str, Base] = {name: base for name in BASES if draft and (base := draft.get(name))}
    yield from _check_order(shot, bases)
    for name, base in bases.items():
        yield from _check_shutter(shot, name, base)
        if base.at is not None and place is not None:
            yield from check_known(shot, ("exposure", name, "at"), base.at, place)
        if draft is not None:
            yield from _check_limits(shot, name, base, draft)
        if camera is not None:
            yield from _check_camera(shot, name, base, camera)
    if draft is not None and camera is not None:
        yield from _check_reach(shot, draft, camera)


def _check_idle(shot: Document) -> Iterator[Problem]:
    for index, keyframe in enumerate(tables(shot, "keyframe", Keyframe)):
        if "scene_ev" in keyframe.raw and not shot.given(("exposure",)):
            right = "a table [exposure], or no scene_ev"
            yield shot.problem(("keyframe", index, "scene_ev"), "scene_ev without an [exposure]", right)


def _check_order(shot: Document, bases: dict[str, Base]) -> Iterator[Problem]:
    if len(bases) < 2:
        return
    bright, dark = (base_setting(bases[name]).thirds for name in BASES)
    if dark >= bright:
        found = f"EV {_ev(dark)} for the dark, EV {_ev(bright)} for the bright moment"
        right = "more exposure by night than by day: a lower EV"
        yield shot.problem(("exposure", "dark"), found, right)


def _ev(thirds: int) -> str:
    return show((Decimal(thirds) / 3).quantize(Decimal("0.1")))


def _check_shutter(shot: Document, name: str, base: Base) -> Iterator[Problem]:
    """A shutter longer than the interval, or than the longest of the night, which the budget counts with."""
    open_ms = shutter_ms(SHUTTERS.index(base.shutter))
    phases = (phase.get("interval_s") for phase in tables(shot, "phase", Phase))
    intervals_s = [each for each in (shot.get("interval_s"), *phases) if each is not None]
    interval_s, longest_s = max(intervals_s, default=None), shot.get("longest_shutter_s")
    loc = ("exposure", name, "shutter")
    if interval_s is not None and open_ms >= interval_s * 1000:
        found = f"{show(Decimal(open_ms) / 1000)} s open in an interval of {show(interval_s)} s"
        yield shot.problem(loc, found, "a shorter shutter with a higher ISO, or a longer interval")
    elif longest_s is not None and open_ms > longest_shutter_ms(longest_s):
        found = f"{show(base.shutter)}, longer than longest_shutter_s = {show(longest_s)}"
        yield shot.problem(loc, found, f"at most {show(longest_s)}, or a longer longest_shutter_s")


def _check_camera(shot: Document, name: str, base: Base, camera: Document) -> Iterator[Problem]:
    limits: tuple[tuple[str, Any, Any], ...] = (
        ("f", base.f, camera.get("apertures")),
        ("shutter", base.shutter, camera.get("shutters")),
        ("iso", base.iso, camera.get("iso")),
    )
    for key, value, pair in limits:
        if pair is not None and not _between(value, pair):
            yield shot.problem(("exposure", name, key), show(value), _of_camera(pair, camera))


def _check_limits(shot: Document, name: str, base: Base, draft: Draft) -> Iterator[Problem]:
    """A base beyond the limits that the shot itself sets to the way from one to the other."""
    iso_max, shutter_max, pair = (draft.get(key) for key in ("iso_max", "shutter_max", "apertures"))
    if iso_max is not None and base.iso > iso_max:
        right = f"at most {iso_max}, the iso_max of this exposure"
        yield shot.problem(("exposure", name, "iso"), show(base.iso), right)
    if shutter_max is not None and SHUTTERS.index(base.shutter) > SHUTTERS.index(shutter_max):
        right = f"at most {show(shutter_max)}, the shutter_max of this exposure"
        yield shot.problem(("exposure", name, "shutter"), show(base.shutter), right)
    if pair is not None and draft.whole is not None and not pair[0] <= base.f <= pair[1]:
        right = f"{show(pair[0])} to {show(pair[1])}, the apertures of this exposure"
        yield shot.problem(("exposure", name, "f"), show(base.f), right)


def _check_reach(shot: Document, draft: Draft, camera: Document) -> Iterator[Problem]:
    """Limits that the camera does not reach, or a shutter that the budget does not count with."""
    for key, limit in (("iso_max", camera.get("iso")), ("shutter_max", camera.get("shutters"))):
        value = draft.get(key)
        if value is not None and limit is not None and not _between(value, limit):
            yield shot.problem(("exposure", key), show(value), _of_camera(limit, camera))
    limit, pair = camera.get("apertures"), draft.get("apertures")
    for index, value in enumerate(pair or ()):
        if limit is not None and not _between(value, limit):
            yield shot.problem(("exposure", "apertures", index), show(value), _of_camera(limit, camera))
    shutter_max, longest_s = draft.get("shutter_max"), shot.get("longest_shutter_s")
    if shutter_max is None or longest_s is None:
        return
    if shutter_ms(SHUTTERS.index(shutter_max)) > longest_shutter_ms(longest_s):
        found = f"{show(shutter_max)}, longer than longest_shutter_s = {show(longest_s)}"
        right = f"at most {show(longest_s)}, or a longer longest_shutter_s"
        yield shot.problem(("exposure", "shutter_max"), found, right)


def _between(value: Any, pair: Any) -> bool:
    return Fraction(pair[0]) <= Fraction(value) <= Fraction(pair[1])


def _of_camera(pair: Any, camera: Document) -> str:
    return f"{show(pair[0])} to {show(pair[1])}, the limits in {camera.file}"
