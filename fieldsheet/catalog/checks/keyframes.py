"""What the keyframes of a shot say, by themselves and against the rig."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Any

from ...problems import Problem
from ..anchors import position
from ..document import Document, tables
from ..draft import Draft
from ..models.rig import AXES, UNITS, Axes, PanAxis
from ..models.shot import Keyframe
from ..values import MOST_KEYFRAMES
from ..words import near, one_of, show
from .order import Stop, check_order


def check_keyframes(shot: Document, rig: Document | None) -> Iterator[Problem]:
    """Problems of a shot's [[keyframe]] tables, by themselves and against the rig."""
    if rig is not None and is_without_axes(rig):
        if shot.written(("keyframe",)):
            right = "no keyframe: zero_bearing_deg and tilt_deg say where the lens looks"
            yield shot.problem(("keyframe",), f"a keyframe, but {rig.file} has no axis", right)
        return
    raw = shot.draft.raw.get("keyframe") if shot.draft else None
    if rig is not None and rig.given(("axis",)) and (not shot.given(("keyframe",)) or raw == []):
        yield shot.problem(("keyframe",), "no keyframe", "one that holds still, or two and more that move")
    keyframes = tables(shot, "keyframe", Keyframe)
    if not 1 <= len(keyframes) <= MOST_KEYFRAMES:
        return
    misplaced = _misplaced_ends(keyframes)
    for index, right in misplaced.items():
        name = "last" if index else "first"
        found = f"{show(keyframes[index].raw['at'])} at the {name} keyframe"
        yield shot.problem(("keyframe", index, "at"), found, right)
    yield from _check_sequence(shot, keyframes, misplaced)
    for index, keyframe in enumerate(keyframes):
        yield from _check_turn(shot, keyframe, index)
    if rig is not None:
        yield from _check_limits(shot, keyframes, rig)
        axes = rig.get("axis")
        for index, keyframe in enumerate(keyframes if axes is not None else []):
            yield from _check_axes(shot, keyframe, index, axes, rig.file)


def is_without_axes(rig: Document) -> bool:
    """Whether a rig moves nothing; one whose motion is at fault may yet."""
    return rig.get("motion") == "none" and not rig.given(("axis",))


def _misplaced_ends(keyframes: list[Draft]) -> dict[int, str]:
    """Which of the first and the last of several keyframes stand elsewhere, and what they should say."""
    ends = {0: "start", len(keyframes) - 1: "end"} if len(keyframes) > 1 else {}
    ats = {index: keyframes[index].get("at") for index in ends}
    return {i: f"'{end}'" for i, end in ends.items() if ats[i] is not None and ats[i] != position(end)}


def _check_sequence(shot: Document, keyframes: list[Draft], misplaced: Collection[int]) -> Iterator[Problem]:
    """The order of the keyframes, those left out of which it is already said that they stand elsewhere."""
    stops = [
        Stop(("keyframe", index, "at"), f"keyframe {index + 1} at", keyframe.get("at"), keyframe.raw["at"])
        for index, keyframe in enumerate(keyframes)
        if keyframe.get("at") is not None and index not in misplaced
    ]
    yield from check_order(shot, stops, "keyframes in the order of time")


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
    yield from _check_named(shot, (*here, "axes"), keyframe, axes, file)


def _check_named(
    shot: Document, here: tuple[str, int, str], keyframe: Draft, axes: Axes, file: str
) -> Iterator[Problem]:
    """The positions under `axes`: of the rig's own axes, of each one, within its limits."""
    raw, values = keyframe.raw.get("axes", {}), keyframe.get("axes")
    if not isinstance(raw, dict) or values is None:
        return
    for name in raw:
        if name in AXES:
            key = f"{name}_{UNITS[name]}"
            yield shot.problem((*here, name), f"{name} under axes", f"{key} = {show(values[name])}")
        elif name not in axes.named:
            meant = near(name, axes.named)
            offer = f"'{meant}' (did you mean that?)" if meant else one_of([f"'{own}'" for own in axes.named])
            yield shot.problem((*here, name), f"an axis that {file} does not have", offer or f"no {name}")
    for name, axis in axes.named.items():
        span = f"{show(axis.min)} to {show(axis.max)}"
        if name not in raw:
            yield shot.problem(here, f"no {name}", f"{{ {name} = ... }}, from {span} {axis.unit}")
        elif not axis.min <= values[name] <= axis.max:
            yield shot.problem((*here, name), show(values[name]), f"{span}, the limits in {file}")


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
    elif value is not None:
        low, high = axis.reach() if isinstance(axis, PanAxis) else (axis.min, axis.max)
        if not axis.min <= value <= axis.max:
            right = f"{show(axis.min)} to {show(axis.max)}, the limits in {file}"
            yield shot.problem(loc, show(value), right)
        elif not low <= value <= high:
            yield shot.problem(loc, show(value), f"{show(low)} to {show(high)}, the wrap_deg of {file}")
