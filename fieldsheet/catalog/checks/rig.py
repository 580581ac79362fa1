"""What a rig's file says against itself."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from ...problems import Problem
from ..document import Document
from ..models.rig import MOST_LOADS, load_incline
from ..words import one_of, show
from .power import check_power

# What says nothing of a rig that moves nothing.
MOVERS = (
    *("keyframes", "joins", "orders", "settle_s", "waits_for_camera", "load_kg", "lens_over_rail_mm", "leg"),
    "position_after_power_loss",
)
# What every run needs to be told, wherever it is keyed in.
ASKED = ("interval", "frames")


def check_rig(rig: Document) -> Iterator[Problem]:
    """Axes and motion agree, and what the rig is told of interval and shutter fits the way it works."""
    yield from _check_motion(rig)
    yield from _check_idle(rig)
    yield from _check_menu(rig)
    yield from _check_loads(rig)
    yield from _check_twice(rig)
    yield from check_power(rig)
    motion = rig.get("motion")
    if rig.get("interval_means") == "gap" and motion not in (None, "shoot-move-shoot"):
        found = f"'gap' for a rig whose motion is {show(motion)}"
        yield rig.problem(("interval_means",), found, "'start to start', or motion = 'shoot-move-shoot'")
    if rig.get("shutter_by") == "rig" and rig.get("trigger") == "camera":
        yield rig.problem(("shutter_by",), "'rig' where the camera fires", "'camera', or trigger = 'rig'")


def has_slide(rig: Document) -> bool:
    """Whether a rig's file means to give it a slide, good or not."""
    axes = _raw(rig, "axis")
    return isinstance(axes, dict) and "slide" in axes


def _check_motion(rig: Document) -> Iterator[Problem]:
    motion, has_axes = rig.get("motion"), bool(rig.given(("axis",)))
    if motion == "none" and has_axes:
        yield rig.problem(("motion",), "'none' for a rig with an axis", "'shoot-move-shoot' or 'continuous'")
    elif motion not in (None, "none") and not has_axes:
        right = "tables [axis.slide], [axis.pan], [axis.tilt], [axis.NAME] as it has them, or motion = 'none'"
        yield rig.problem(("axis",), f"no axis for a rig that moves {show(motion)}", right)
    if has_axes and motion != "none" and not rig.given(("keyframes",)):
        yield rig.problem(("keyframes",), "nothing", "{ most = 3, middle = 'free' }")


def _check_idle(rig: Document) -> Iterator[Problem]:
    """Keys that nothing reads of a rig that moves like this."""
    motion, has_axes = rig.get("motion"), bool(rig.given(("axis",)))
    if motion == "none" and not has_axes:
        for key in rig.written(MOVERS):
            yield rig.problem((key,), f"{key} for a rig without an axis", f"no {key}")
    if has_axes and not has_slide(rig):
        for key in rig.written(("lens_over_rail_mm", "leg")):
            yield rig.problem((key,), f"{key} for a rig without [axis.slide]", f"no {key}")
    elif has_axes and rig.written(("leg",)) and not rig.written(("lens_over_rail_mm",)):
        right = "lens_over_rail_mm, without which nobody can tell whether they show"
        yield rig.problem(("leg",), "legs without lens_over_rail_mm", right)
    if motion == "continuous":
        for key in rig.written(("settle_s", "waits_for_camera")):
            right = f"no {key}: it never stands still, or motion = 'shoot-move-shoot'"
            yield rig.problem((key,), f"{key} for a continuous rig", right)
    if rig.written(("load_kg",)) and rig.get("axis") is not None and not has_slide(rig):
        yield rig.problem(("load_kg",), "load_kg for a rig without [axis.slide]", "no load_kg")


def _check_menu(rig: Document) -> Iterator[Problem]:
    """Interval and frames are in the list also where the camera fires: it shows what to key in, and when."""
    order = rig.get("program_order")
    lacking = [show(name) for name in ASKED if order is not None and name not in order]
    if not lacking:
        return
    missed = one_of(lacking, "and")
    right = f"the list with {missed} where the menu asks for {'them' if len(lacking) > 1 else 'it'}"
    if rig.get("trigger") == "camera":
        right = f"the list with {missed}, though keyed into the camera"
    yield rig.problem(("program_order",), f"a menu without {missed}", right)


def _check_loads(rig: Document) -> Iterator[Problem]:
    for index, here, before in unordered_loads(rig):
        found = f"{show(here)}° after {show(before)}°"
        yield rig.problem(("load_kg", index), found, "inclines that rise")


def unordered_loads(rig: Document) -> list[tuple[int, Decimal, Decimal]]:
    """(place in load_kg, incline, the one before it) where inclines fall, as far as they can be read."""
    loads, before = _raw(rig, "load_kg"), None
    fallen = []
    for index, pair in enumerate(loads[:MOST_LOADS] if isinstance(loads, list) else []):
        here = load_incline(pair)
        if here is None:
            continue
        if before is not None and here <= before:
            fallen.append((index, here, before))
        before = here
    return fallen


def _check_twice(rig: Document) -> Iterator[Problem]:
    """Parts that a hand must tell apart in the dark do not share a name."""
    for path in (("joint",), ("cable",), ("power", "pack")):
        names: list[Any] = []
        for index, name in _names(rig, path):
            if name in names:
                yield rig.problem((*path, index, "name"), f"{show(name)} twice", "each name once")
            names.append(name)


def _names(rig: Document, path: tuple[str, ...]) -> Iterator[tuple[int, str]]:
    """The names in a list of tables, as far as they can be read, each with its place in the list."""
    tables: Any = rig.draft.raw if rig.draft else None
    for key in path:
        tables = tables.get(key) if isinstance(tables, dict) else None
    for index, table in enumerate(tables if isinstance(tables, list) else []):
        name = table.get("name") if isinstance(table, dict) else None
        if isinstance(name, str):
            yield index, name


def _raw(rig: Document, key: str) -> Any:
    return rig.draft.raw.get(key) if rig.draft else None
