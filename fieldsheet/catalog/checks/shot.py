"""What a shot says against itself and against the files that it names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from math import ceil
from typing import Any

from ...problems import Problem
from ..brief import longest_shutter_ms
from ..document import Document, tables
from ..models.place import Place
from ..models.shot import Keyframe, Phase
from ..placed import landmark_stand
from ..timing import check_timing, frames_known
from ..words import Loc, one_of, show
from .air import check_air
from .exposure import check_exposure
from .head import known_roles, unknown_file, unknown_role
from .keyframes import check_keyframes, is_without_axes
from .needs import check_needs
from .phases import check_phases
from .place import check_known
from .power import check_incline
from .rail import check_rail
from .rig import ASKED
from .swap import check_swap

# Nearer than this, a hand sets no pan (common practice, no source).
ZERO_OFF_DEG = Decimal("0.5")

Listed = Mapping[str, list[str]]
Documents = Mapping[tuple[str, str], Document]


def check_shot(shot: Document, documents: Documents, listed: Listed) -> Iterator[Problem]:
    """Every problem of a shot that its file alone does not show."""
    place, rig, camera = (documents.get((kind, shot.get(kind) or "")) for kind in ("place", "rig", "camera"))
    yield from _check_names(shot, listed)
    yield from check_timing(shot)
    yield from _check_ease(shot)
    yield from _check_setup(shot)
    yield from check_phases(shot, rig, place)
    yield from check_swap(shot, rig)
    yield from _check_crew(shot, documents.get(("catalog", "catalog")))
    yield from check_rail(shot, rig)
    yield from check_incline(shot, rig)
    yield from check_keyframes(shot, rig)
    yield from check_needs(shot, place)
    yield from check_exposure(shot, camera, place)
    yield from check_air(shot, place)
    if rig is not None:
        yield from _check_rig(shot, rig)
        yield from _check_interval(shot, rig, camera)
        yield from _check_stillness(shot, rig)
        yield from _check_menu(shot, rig)
        yield from _check_plug(shot, rig, camera)
    if place is not None:
        yield from _check_zero(shot, place)
        yield from _check_known(shot, place)


def _check_names(shot: Document, listed: Listed) -> Iterator[Problem]:
    for kind in ("place", "rig", "camera"):
        name = shot.get(kind)
        if name is not None and name not in listed[kind]:
            yield unknown_file(shot, (kind,), kind, name, listed[kind])


def _check_ease(shot: Document) -> Iterator[Problem]:
    frames, hold, ease = frames_known(shot), shot.get("hold_frames"), shot.get("ease_frames")
    if frames is None or hold is None or ease is None:
        return
    # A hold of 0 and of 1 are the same: the first and the last frame are always met at rest.
    moving = frames + 1 - max(1, hold.start) - max(1, hold.end)
    if moving < 1 or ease.in_ + ease.out > moving:
        key = shot.written(("ease_frames", "hold_frames"))
        found = f"{hold.start + hold.end} frames of hold and {ease.in_ + ease.out} of ease in {frames} frames"
        over = max(1, ease.in_ + ease.out) - moving
        right = f"{over} less of hold and ease, or {frames + over} frames"
        yield shot.problem((key[0] if key else "frames",), found, right)


def _check_setup(shot: Document) -> Iterator[Problem]:
    if len(shot.written(("setup", "setup_min"))) == 2:
        yield shot.problem(("setup",), "both setup and setup_min", "only one of them")


def _check_crew(shot: Document, head: Document | None) -> Iterator[Problem]:
    raw, roles = shot.draft.raw.get("crew") if shot.draft else None, known_roles(head)
    if head is None or roles is None or not isinstance(raw, dict):
        return
    for role in raw:
        if role not in roles:
            yield unknown_role(shot, ("crew", role), role, roles, head.file)


def _check_rig(shot: Document, rig: Document) -> Iterator[Problem]:
    order, orders = shot.get("order"), rig.get("orders")
    if order is not None and orders is not None and order not in orders and not is_without_axes(rig):
        right = one_of([f"'{each}'" for each in orders])
        yield shot.problem(("order",), f"{show(order)}, which {rig.file} does not offer", right)
    axes = rig.get("axis")
    if shot.written(("rail",)) and (is_without_axes(rig) or (axes is not None and axes.slide is None)):
        yield shot.problem(("rail",), f"a rail, but {rig.file} has no [axis.slide]", "no rail")
    if shot.written(("tilt_deg",)) and axes is not None and axes.tilt is not None:
        found = f"tilt_deg, but {rig.file} has an [axis.tilt]"
        yield shot.problem(("tilt_deg",), found, "no tilt_deg: the keyframes say it")


def _check_stillness(shot: Document, rig: Document) -> Iterator[Problem]:
    """Nothing moves between the keyframes of a rig without axes, nor where there is but one."""
    raw = shot.draft.raw.get("keyframe") if shot.draft else None
    if not is_without_axes(rig) and not (isinstance(raw, list) and len(raw) == 1):
        return
    for key in shot.written(("hold_frames", "ease_frames", "order")):
        yield shot.problem((key,), f"{key} in a shot in which nothing moves", f"no {key}")


def _check_menu(shot: Document, rig: Document) -> Iterator[Problem]:
    """Holds and eases are reckoned with only where somebody is told to key them in."""
    menu = rig.get("program_order")
    # A menu at fault may lack more than it should.
    if menu is None or not set(ASKED) <= set(menu) or rig.get("motion") == "none":
        return
    for name in ("hold", "ease"):
        key = f"{name}_frames"
        frames = shot.get(key) if shot.written((key,)) and name not in menu else None
        if frames is not None and any(count for _, count in frames):
            right = f"no {key}, or '{name}' in program_order there if the rig has it"
            yield shot.problem((key,), f"{key}, but the menu of {rig.file} has no '{name}'", right)


def _check_plug(shot: Document, rig: Document, camera: Document | None) -> Iterator[Problem]:
    """The lead that fits this camera is packed and plugged by the name of the camera's socket."""
    leads = [cable.name for cable in rig.get("cable") or [] if cable.fits == "camera"]
    if leads and camera is not None and not camera.given(("remote_plug",)):
        found = f"{camera.file} without remote_plug, but the {leads[0]} lead of {rig.file} must fit it"
        yield shot.problem(("camera",), found, f"remote_plug in {camera.file}, as the plug looks")


def _check_zero(shot: Document, place: Document) -> Iterator[Problem]:
    """Pan zero looks at a landmark of that name only if the place has it in that direction."""
    bearing, name = shot.get("zero_bearing_deg"), shot.get("zero_sighting")
    whole = place.draft.whole if place.draft else None
    if bearing is None or name is None or not isinstance(whole, Place):
        return
    for mark in whole.landmark:
        placed = landmark_stand(whole, mark)
        stands = mark.bearing_deg if placed is None else Decimal(placed.bearing_deg).quantize(Decimal("0.1"))
        off = None if stands is None else ((bearing - stands) % 360 + 540) % 360 - 180
        if mark.name == name and off is not None and abs(off) > ZERO_OFF_DEG:
            found = f"{show(bearing)}, but {place.file} has '{name}' at {show(stands)}"
            yield shot.problem(("zero_bearing_deg",), found, f"{show(stands)}, or another zero_sighting")


def _check_interval(shot: Document, rig: Document, camera: Document | None) -> Iterator[Problem]:
    """Each interval, or the gap that it leaves after the dwell, can be keyed into the rig."""
    given: dict[Loc, Decimal | None] = {("interval_s",): shot.get("interval_s")}
    for index, phase in enumerate(tables(shot, "phase", Phase)):
        given["phase", index, "interval_s"] = phase.get("interval_s")
    step_s = rig.get("interval_step_s")
    if step_s is not None:
        for loc, interval_s in given.items():
            if interval_s is not None:
                yield from _check_keyed(shot, rig, camera, loc, interval_s, step_s)


def _check_keyed(
    shot: Document, rig: Document, camera: Document | None, loc: Loc, interval_s: Decimal, step_s: Decimal
) -> Iterator[Problem]:
    if rig.get("interval_means") != "gap":
        if interval_s % step_s:
            yield shot.problem(loc, show(interval_s), _stepped(interval_s, Decimal(0), step_s, rig))
        return
    lag_s, shutter_s = camera.get("release_lag_s") if camera else None, shot.get("longest_shutter_s")
    if lag_s is None or shutter_s is None or rig.get("motion") != "shoot-move-shoot":
        return
    ready_s = camera.get("ready_s") if camera and rig.get("waits_for_camera") else Decimal(0)
    if ready_s is None:
        return
    open_s = Decimal(longest_shutter_ms(shutter_s)) / 1000
    again_s = open_s if camera and rig.get("waits_for_camera") and camera.get("noise_reduction") else 0
    dwell_s = Decimal(ceil(lag_s + open_s + ready_s + again_s))
    if interval_s <= dwell_s:
        found = f"{show(interval_s)}, which leaves no gap after a dwell of {show(dwell_s)} s"
        yield shot.problem(loc, found, f"at least {show(dwell_s + step_s)}")
    elif (interval_s - dwell_s) % step_s:
        found = (
            f"{show(interval_s)}, a gap of {show(interval_s - dwell_s)} s after a dwell of {show(dwell_s)} s"
        )
        yield shot.problem(loc, found, _stepped(interval_s, dwell_s, step_s, rig))


def _stepped(interval_s: Decimal, dwell_s: Decimal, step_s: Decimal, rig: Document) -> str:
    below = dwell_s + (interval_s - dwell_s) // step_s * step_s
    near_by = [show(value) for value in (below, below + step_s) if value > dwell_s]
    return f"{one_of(near_by)}: {rig.file} takes steps of {show(step_s)} s (interval_step_s)"


def _check_known(shot: Document, place: Document) -> Iterator[Problem]:
    swap = shot.get("swap")
    moments: dict[Any, Any] = {(key,): shot.get(key) for key in ("start", "end")}
    for index, keyframe in enumerate(tables(shot, "keyframe", Keyframe)):
        for key in ("at", "meant_for"):
            moments["keyframe", index, key] = keyframe.get(key)
    if swap is not None:
        moments |= {("swap", "from"): swap.from_, ("swap", "until"): swap.until}
    for loc, moment in moments.items():
        yield from check_known(shot, loc, moment, place)
