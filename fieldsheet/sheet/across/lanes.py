"""Who is where when: what each person does through a date, shot by shot.  Python only."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from .shots import Shot

WAY, SETUP, FRAMES, STAYS = "way", "set-up", "frames", "stays"


@dataclass(frozen=True)
class Part:
    """Something that lasts [ms UTC]: on the way, setting up, while frames are fired, waiting on site."""

    kind: str
    from_ms: int
    until_ms: int


@dataclass(frozen=True)
class Stint:
    """One shot in somebody's night, in parts that follow on each other; roles: theirs there, or ""."""

    shot: Shot
    roles: str
    parts: tuple[Part, ...]

    @property
    def from_ms(self) -> int:
        """When they set out, or are on site where the way is not known."""
        return self.parts[0].from_ms

    @property
    def until_ms(self) -> int:
        """When they are back, or the shot ends."""
        return self.parts[-1].until_ms


@dataclass(frozen=True)
class Lane:
    """Somebody's stints in order of time; who is "" for shots that name nobody."""

    who: str
    stints: tuple[Stint, ...]


def lanes_of(shots: Sequence[Shot]) -> list[Lane]:
    """A lane for each person, in the order in which they set out; shots without names share the last one."""
    named: dict[str, list[Stint]] = {}
    for shot in shots:
        for who, roles in _people(shot).items():
            named.setdefault(who, []).append(Stint(shot, roles, _parts(shot)))
    lanes = [Lane(who, _joined(sorted(stints, key=_begins))) for who, stints in named.items()]
    return sorted(lanes, key=lambda lane: (not lane.who, _begins(lane.stints[0]), lane.who))


def approach_ms(plan: dict[str, Any]) -> int | None:
    """How long the way to the place takes; None where nobody says."""
    known: int | None = plan["brief"]["place"]["approach_ms"]
    return known


def _begins(stint: Stint) -> int:
    return stint.from_ms


def _people(shot: Shot) -> dict[str, str]:
    """Who is there, with all that each of them is; "" for a shot that names nobody."""
    people: dict[str, list[str]] = {}
    for one in shot.sheet["crew"]:
        people.setdefault(one["who"], []).append(one["role"])
    return {who: ", ".join(roles) for who, roles in people.items()} or {"": ""}


def _parts(shot: Shot) -> tuple[Part, ...]:
    due = {row["id"]: row["time"]["utc_ms"] for row in shot.plan["window"]["deadlines"]}
    there_ms, back_ms = due["on-site"], shot.end_ms + (approach_ms(shot.plan) or 0)
    parts = (
        Part(WAY, due.get("leave", there_ms), there_ms),
        Part(SETUP, there_ms, shot.start_ms),
        Part(FRAMES, shot.start_ms, shot.end_ms),
        Part(WAY, shot.end_ms, back_ms),
    )
    return tuple(part for part in parts if part.from_ms < part.until_ms)


def _joined(stints: list[Stint]) -> tuple[Stint, ...]:
    """The same; who would not be back before leaving for the same place again stays there in between."""
    for n, (before, after) in enumerate(zip(stints, stints[1:], strict=False)):
        moves = before.shot.plan["place"]["id"] != after.shot.plan["place"]["id"]
        if moves or after.from_ms > before.until_ms:
            continue
        here = tuple(part for part in before.parts if part.until_ms <= before.shot.end_ms)
        on_site = tuple(part for part in after.parts if part.kind != WAY or part.from_ms >= after.shot.end_ms)
        wait = Part(STAYS, before.shot.end_ms, on_site[0].from_ms)
        waits = (wait,) if wait.from_ms < wait.until_ms else ()
        stints[n] = Stint(before.shot, before.roles, (*here, *waits))
        stints[n + 1] = Stint(after.shot, after.roles, on_site)
    return tuple(stints)
