"""What two shots need at the same time: a rig, a camera, a person.  Python only."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice
from typing import Any

Plan = dict[str, Any]


def clashes(plans: Sequence[Plan]) -> list[dict[str, Any]]:
    """{first, second, kind, what, from_ms, until_ms}: two plans and the overlap [ms UTC] of one need.

    kind is "rig", "camera" or "person" (in two places at once).  Rig and camera are needed from being on site
    to the end of the shot, a person from leaving for it to being back.  In order of time.
    """
    ordered = sorted(plans, key=_from_ms)
    found = [
        {
            "first": first,
            "second": second,
            "kind": kind,
            "what": what,
            "from_ms": from_ms,
            "until_ms": until_ms,
        }
        for first, second in _near(ordered)
        for kind, what in _shared(first, second)
        for from_ms, until_ms in [_overlap(first, second, kind)]
        if from_ms < until_ms
    ]
    return sorted(found, key=lambda clash: (clash["from_ms"], clash["kind"], clash["what"]))


def _near(ordered: Sequence[Plan]) -> Iterator[tuple[Plan, Plan]]:
    """The pairs that might overlap: what begins long after a shot does not, nor does all that follows."""
    lead_ms = max([0, *(_from_ms(plan) - _leaves_ms(plan) for plan in ordered)])
    for at, first in enumerate(ordered):
        for second in islice(ordered, at + 1, None):
            if _from_ms(second) - lead_ms >= _back_ms(first):
                break
            yield first, second


def _shared(first: Plan, second: Plan) -> Iterator[tuple[str, str]]:
    for kind in ("rig", "camera"):
        if first["brief"][kind]["id"] == second["brief"][kind]["id"]:
            yield kind, first["brief"][kind]["title"]
    if first["place"]["id"] != second["place"]["id"]:
        for who in sorted(_people(first) & _people(second)):
            yield "person", who


def _people(plan: Plan) -> set[str]:
    return {one["who"] for one in plan["brief"]["words"]["crew"]}


def _overlap(first: Plan, second: Plan, kind: str) -> tuple[int, int]:
    """From when and until when [ms UTC] both need it; the second begins later."""
    if kind != "person":
        return _from_ms(second), min(_until_ms(first), _until_ms(second))
    return _leaves_ms(second), min(_back_ms(first), _back_ms(second))


def _leaves_ms(plan: Plan) -> int:
    return int(plan["window"]["deadlines"][0]["time"]["utc_ms"])


def _back_ms(plan: Plan) -> int:
    return _until_ms(plan) + int(plan["brief"]["place"]["approach_ms"] or 0)


def _from_ms(plan: Plan) -> int:
    """When somebody is on site with the rig."""
    deadlines = plan["window"]["deadlines"]
    return int(next(row["time"]["utc_ms"] for row in deadlines if row["id"] == "on-site"))


def _until_ms(plan: Plan) -> int:
    return int(plan["window"]["end"]["utc_ms"])
