"""What a shot says against the place, rig and camera that it names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from math import radians, sin
from typing import Any

from ..problems import Problem
from .anchors import position
from .document import Document
from .draft import Draft
from .models import AXES, UNITS, Axes, Keyframe
from .timing import check_timing, frames_known
from .values import MOST_KEYFRAMES
from .words import near, one_of, show

Listed = Mapping[str, list[str]]
Documents = Mapping[tuple[str, str], Document]

# The sine of the least angle between rail and view, 11.5°, at which there is a left and a right.
_ACROSS = 0.2


def check_shot(shot: Document, documents: Documents, listed: Listed) -> Iterator[Problem]:
    """Every problem of a shot that its file alone does not show."""
    yield from _check_names(shot, listed)
    yield from check_timing(shot)
    yield from _check_ease(shot)
    yield from _check_rail(shot)
    rig = documents.get(("rig", shot.get("rig") or ""))
    yield from _check_keyframes(shot, rig)
    if rig is not None:
        yield from _check_rig(shot, rig)


def _check_names(shot: Document, listed: Listed) -> Iterator[Problem]:
    for kind in ("place", "rig", "camera"):
        name = shot.get(kind)
        if name is None or name in listed[kind]:
            continue
        meant = near(name, listed[kind])
        names = one_of([f"'{other}'" for other in listed[kind][:8]])
        right = f"'{meant}' (did you mean that?)" if meant else names or f"a file {kind}s/{name}.toml"
        yield shot.problem((kind,), f"{show(name)}, but there is no {kind}s/{name}.toml", right)


def _check_ease(shot: Document) -> Iterator[Problem]:
    frames, hold, ease = frames_known(shot), shot.get("hold_frames"), shot.get("ease_frames")
    if frames is None or hold is None or ease is None:
        return
    # A hold of 0 and of 1 are the same: the first and the last frame are always met at rest.
    moving = frames + 1 - max(1, hold.start) - max(1, hold.end)
    if moving < 1 or ease.in_ + ease.out > moving:
        key = shot.written(("ease_frames", "hold_frames"))
        found = f"{hold.start + hold.end} frames of hold and {ease.in_ + ease.out} of ease in {frames} frames"
        yield shot.problem((key[0] if key else "frames",), found, "shorter hold and ease, or more frames")


def _check_rail(shot: Document) -> Iterator[Problem]:
    """Bearings tell on which side the home end is, unless the rail runs nearly along the view."""
    rail, zero_deg = shot.get("rail"), shot.get("zero_bearing_deg")
    if rail is None or zero_deg is None:
        return
    to_the_right = sin(radians(rail.bearing_deg - zero_deg))
    home, far = ("left", "right") if to_the_right > 0 else ("right", "left")
    if abs(to_the_right) > _ACROSS and rail.home_end != home:
        found = f"'{rail.home_end}', but from home towards {show(rail.bearing_deg)}° the rail runs"
        back_deg = (rail.bearing_deg + 180) % 360
        right = f"'{home}', or bearing_deg = {show(back_deg)} if the home end is {rail.home_end}"
        yield shot.problem(
            ("rail", "home_end"), f"{found} to the {far} of the view at {show(zero_deg)}°", right
        )


def _check_rig(shot: Document, rig: Document) -> Iterator[Problem]:
    order, orders = shot.get("order"), rig.get("orders")
    if order is not None and orders is not None and order not in orders:
        right = one_of([f"'{each}'" for each in orders])
        yield shot.problem(("order",), f"{show(order)}, which {rig.file} does not offer", right)
    interval_s, step_s = shot.get("interval_s"), rig.get("interval_step_s")
    if interval_s is not None and step_s is not None and interval_s % step_s:
        yield shot.problem(("interval_s",), show(interval_s), _stepped(interval_s, step_s, rig.file))
    axes = rig.get("axis")
    if axes is not None and axes.slide is None and shot.written(("rail",)):
        yield shot.problem(("rail",), f"a rail, but {rig.file} has no [axis.slide]", "no rail")


def _stepped(interval_s: Decimal, step_s: Decimal, file: str) -> str:
    below = interval_s // step_s * step_s
    near_by = [show(value) for value in (below, below + step_s) if value > 0]
    return f"{one_of(near_by)}: {file} takes steps of {show(step_s)} s (interval_step_s)"


def _check_keyframes(shot: Document, rig: Document | None) -> Iterator[Problem]:
    raw = shot.draft.raw.get("keyframe") if shot.draft else None
    if not isinstance(raw, list) or not all(isinstance(table, dict) for table in raw):
        return
    if len(raw) > MOST_KEYFRAMES:
        return
    keyframes = [Draft(Keyframe, table, shot.lines, []) for table in raw]
    if len(keyframes) < 2:
        found = "one keyframe" if keyframes else "no keyframe"
        yield shot.problem(("keyframe",), found, "at least two: at the start and at the end")
        return
    yield from _check_ends(shot, keyframes)
    yield from _check_sequence(shot, keyframes)
    for index, keyframe in enumerate(keyframes):
        yield from _check_turn(shot, keyframe, index)
    if rig is not None:
        yield from _check_limits(shot, keyframes, rig)
        axes = rig.get("axis")
        for index, keyframe in enumerate(keyframes if axes is not None else []):
            yield from _check_axes(shot, keyframe, index, axes, rig.file)


def _check_ends(shot: Document, keyframes: list[Draft]) -> Iterator[Problem]:
    for index, name, word in ((0, "first", "start"), (len(keyframes) - 1, "last", "end")):
        at = keyframes[index].get("at")
        if at is not None and at != position(word):
            found = f"{show(keyframes[index].raw['at'])} at the {name} keyframe"
            yield shot.problem(("keyframe", index, "at"), found, f"'{word}'")


def _check_sequence(shot: Document, keyframes: list[Draft]) -> Iterator[Problem]:
    """Frames and fractions must ascend, as far as the file alone can tell."""
    frames = frames_known(shot)
    placed: list[tuple[int, dict[str, float]]] = []
    for index, keyframe in enumerate(keyframes):
        at = keyframe.get("at")
        if at is None:
            continue
        here, text, loc = _scales(at, frames), show(keyframe.raw["at"]), ("keyframe", index, "at")
        before = next((earlier for earlier, there in placed if _is_behind(here, there)), None)
        if frames and at.get("frame", 0) > frames:
            yield shot.problem(loc, f"{text} in a shot of {frames} frames", f"at most 'frame {frames}'")
        elif before is not None:
            found = f"{text}, not after keyframe {before + 1} at {show(keyframes[before].raw['at'])}"
            yield shot.problem(loc, found, "keyframes in the order of time")
        else:
            placed.append((index, here))


def _scales(at: dict[str, Any], frames: int | None) -> dict[str, float]:
    """A position on each scale on which it can be compared with others; none for a moment of the night."""
    if "fraction" in at and frames is not None:
        return {"fraction": at["fraction"], "frame": 1 + at["fraction"] * (frames - 1)}
    return {scale: at[scale] for scale in ("frame", "fraction") if scale in at}


def _is_behind(here: dict[str, float], there: dict[str, float]) -> bool:
    return any(here[scale] <= there[scale] for scale in here.keys() & there.keys())


def _check_turn(shot: Document, keyframe: Draft, index: int) -> Iterator[Problem]:
    if keyframe.get("turn") is None:
        return
    if index == 0:
        yield shot.problem(
            ("keyframe", 0, "turn"), "a turn to the first keyframe", "none: nothing lies before it"
        )
    elif "aim" not in keyframe.given:
        yield shot.problem(("keyframe", index, "turn"), "a turn without an aim", "an aim, or no turn")


def _check_limits(shot: Document, keyframes: list[Draft], rig: Document) -> Iterator[Problem]:
    limits = rig.get("keyframes")
    if limits is None:
        return
    if len(keyframes) > limits.most:
        found = f"{len(keyframes)} keyframes, but {rig.file} takes {limits.most}"
        yield shot.problem(("keyframe", limits.most), found, f"at most {limits.most}")
    elif limits.middle == "halfway" and len(keyframes) == 3:
        at = keyframes[1].get("at")
        if at and at.get("fraction") != 0.5:
            found = f"{show(keyframes[1].raw['at'])}, but {rig.file} puts the middle keyframe halfway"
            yield shot.problem(("keyframe", 1, "at"), found, "'halfway'")


def _check_axes(shot: Document, keyframe: Draft, index: int, axes: Axes, file: str) -> Iterator[Problem]:
    here = ("keyframe", index)
    aimed = "aim" in keyframe.given
    if aimed and (axes.pan is None or axes.tilt is None):
        lacking = one_of([f"[axis.{name}]" for name in ("pan", "tilt") if getattr(axes, name) is None], "and")
        yield shot.problem(
            (*here, "aim"), f"an aim, but {file} has no {lacking}", "positions of the axes it has"
        )
        aimed = False
    for name in AXES:
        key = f"{name}_{UNITS[name]}"
        yield from _check_axis(
            shot, (*here, key), keyframe, getattr(axes, name), file, aimed and name != "slide"
        )


def _check_axis(
    shot: Document, loc: tuple[str, int, str], keyframe: Draft, axis: Any, file: str, aimed: bool
) -> Iterator[Problem]:
    key = loc[-1]
    written, value = key in keyframe.raw, keyframe.get(key)
    if axis is None:
        if written:
            yield shot.problem(loc, f"an axis that {file} does not have", f"no {key}")
    elif aimed:
        if written:
            yield shot.problem(loc, f"{key} beside an aim", "only one of them: the aim sets pan and tilt")
    elif key not in keyframe.given:
        if not (key != "slide_mm" and "aim" in keyframe.given):
            span = f"{key} from {show(axis.min)} to {show(axis.max)}"
            instead = span if key == "slide_mm" else f"{span}, or an aim"
            yield shot.problem(loc, f"no {key}", instead)
    elif value is not None and not axis.min <= value <= axis.max:
        right = f"{show(axis.min)} to {show(axis.max)}, the limits in {file}"
        yield shot.problem(loc, show(value), right)
