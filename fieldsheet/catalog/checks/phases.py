"""What a shot's changes of interval say against each other, the shot, its rig and its place."""

from __future__ import annotations

from collections.abc import Iterator

from ...problems import Problem
from ..document import Document, tables
from ..draft import Draft
from ..models.shot import Phase
from ..values import MOST_PHASES
from ..words import show
from .order import Stop, check_order
from .place import check_known


def check_phases(shot: Document, rig: Document | None, place: Document | None) -> Iterator[Problem]:
    """Problems of a shot's [[phase]] tables."""
    phases = tables(shot, "phase", Phase)
    if not 1 <= len(phases) <= MOST_PHASES:
        return
    if rig is not None and rig.get("interval_changes") is False:
        found = f"a phase, but the interval of {rig.file} cannot be changed while it runs"
        right = "interval_changes = true there if it can, or no phase"
        yield shot.problem(("phase",), found, right)
    yield from _check_window(shot)
    yield from _check_sequence(shot, phases)
    yield from _check_intervals(shot, phases)
    for index, phase in enumerate(phases):
        if place is not None:
            yield from check_known(shot, ("phase", index, "from"), phase.get("from_"), place)


def _check_window(shot: Document) -> Iterator[Problem]:
    """The opening interval is given, and the start does not hang on how long the phases make the shot."""
    if not shot.given(("interval_s",)):
        right = "interval_s, the interval that the shot begins with"
        yield shot.problem(("phase",), "a phase in a shot without interval_s", right)
    counted = shot.written(("frames", "clip_s"))
    if counted and shot.given(("end",)) and not shot.given(("start",)):
        found = f"a phase in a shot of end and {counted[0]}, whose start then hangs on its phases"
        right = f"a start in place of end, or a duration in place of {counted[0]}"
        yield shot.problem(("phase",), found, right)


def _check_sequence(shot: Document, phases: list[Draft]) -> Iterator[Problem]:
    stops = [
        Stop(("phase", index, "from"), f"phase {index + 1} from", phase.get("from_"), phase.raw["from"])
        for index, phase in enumerate(phases)
        if phase.get("from_") is not None
    ]
    yield from check_order(shot, stops, "phases in the order of time")
    for before, after in zip(stops, stops[1:], strict=False):
        same = "event" in after.at and before.at.get("event") == after.at["event"]
        if same and after.at["offset_s"] <= before.at["offset_s"]:
            found = f"{show(after.text)}, not after {before.name} {show(before.text)}"
            yield shot.problem(after.loc, found, "phases in the order of time")


def _check_intervals(shot: Document, phases: list[Draft]) -> Iterator[Problem]:
    """Each is another one than before it."""
    before = shot.get("interval_s")
    for index, phase in enumerate(phases):
        interval_s = phase.get("interval_s")
        if interval_s is not None and interval_s == before:
            found = f"{show(interval_s)}, the interval before it"
            yield shot.problem(("phase", index, "interval_s"), found, "another interval, or no such phase")
        before = interval_s
