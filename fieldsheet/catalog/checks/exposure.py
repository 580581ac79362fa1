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
from ..models.shot import Keyframe
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
        if camera is not None:
            yield from _check_camera(shot, name, base, camera)


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
    interval_s, longest_s = shot.get("interval_s"), shot.get("longest_shutter_s")
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
        if pair is not None and not Fraction(pair[0]) <= Fraction(value) <= Fraction(pair[1]):
            right = f"{show(pair[0])} to {show(pair[1])}, the limits in {camera.file}"
            yield shot.problem(("exposure", name, key), show(value), right)
