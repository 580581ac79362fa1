"""When sun, moon and core are in the picture, over the whole shot.  Twin: app/core/inside.js."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil
from typing import Any

from ..sky.events import HALF_DISC_DEG, Part, Passing, crossing_named, part_deg
from ..sky.moon import moon_light
from ..sky.observe import Site
from .anchors import Night
from .gaze import Bools, Gaze, vectors
from .nightsky import MOON_BY_DAY
from .scene import Scene, moment
from .seen import dark_at, seen_at

RISES = {"sun": "sunrise", "moon": "moonrise", "galactic core": "core rise"}
# From one look to the next neither sky nor head turns by more than a sixteenth of the frame, nor does more
# than a 240th of the shot pass: what stays in for less, in a corner of the frame, nobody will notice.
LOOKS = (240, 4000)
PARTS_OF_FRAME = 16
# Of what lies between two looks: to a few thousandths of a frame.
HALVINGS = 15
# Many looks at once cost numpy little more than one: so many halvings are looked at together.
AT_ONCE = 5
SKY_DEG_PER_MS = 15 / 3_600_000


@dataclass(frozen=True)
class _Stand:
    """A body at a frame: why it is not in the picture ("" if it is), how far [deg] its foot is clear."""

    frame: float
    out: str
    clear_deg: float


@dataclass(frozen=True)
class _Sought:
    """A body, whether it is seen only when the stars are out, and what it rises over, by its upper edge."""

    body: str
    faint: bool
    part: Part

    @property
    def half_deg(self) -> float:
        """Half of its disc."""
        return HALF_DISC_DEG.get(self.body, 0.0)


@dataclass(frozen=True)
class _Looks:
    """Frames at which the camera is looked at."""

    scene: Scene
    frames: Sequence[float]

    @cached_property
    def gaze(self) -> Gaze:
        """The camera at them."""
        return self.scene.gaze(self.frames)

    @cached_property
    def times_s(self) -> list[float]:
        """Their instants [s UTC]."""
        return [self.scene.timing.ms_of(frame) / 1000 for frame in self.frames]

    @cached_property
    def dark(self) -> Bools:
        """Whether the stars are out at them."""
        return dark_at(self.scene.night, self.times_s)

    def stands(self, sought: _Sought) -> list[_Stand]:
        """How a body stands at them."""
        night = self.scene.night
        shown = self.gaze.shows(vectors(*seen_at(night, sought.body, self.times_s)))
        if not shown.any():
            return [_Stand(frame, "edge", 0.0) for frame in self.frames]
        hidden_by = "ridge" if night.site.ridge else "horizon"
        over = part_deg(*_at(night), sought.part, self.times_s)
        seen = self.dark if sought.faint else shown
        rows = zip(self.frames, shown.tolist(), over.tolist(), seen.tolist(), strict=True)
        return [
            _Stand(
                frame,
                "edge" if not is_in else hidden_by if up <= 0 else "light" if not is_seen else "",
                up - 2 * sought.half_deg,
            )
            for frame, is_in, up, is_seen in rows
        ]


def inside(scene: Scene) -> list[dict[str, Any]]:
    """For each body the spans in which it is in the delivered frame and in sight: {body, spans}.

    A span is {from, until, touches}: from and until {frame, time, by}, by "start", "end", "edge" (of the
    frame), "horizon", "ridge" or "light"; touches {frame, time, way} where its lower edge meets
    what hides it.
    """
    count = _count(scene)
    looks = _Looks(scene, [1 + (scene.timing.frames - 1) * look / count for look in range(count + 1)])
    faint = _faint(scene)
    rows = []
    for body in RISES:
        sought = _Sought(body, body in faint, _edge_of(body, scene.night.site))
        rows.append({"body": body, "spans": _spans(scene, sought, looks.stands(sought))})
    return rows


def _edge_of(body: str, site: Site) -> Part:
    """The measured skyline, or the horizon as its events have it."""
    return Passing(body, 1) if site.ridge else crossing_named(RISES[body])


def _faint(scene: Scene) -> set[str]:
    """What is not seen by day: the core, and the moon where it is thin."""
    middle_s = (scene.timing.start_ms + scene.timing.end_ms) / 2000
    thin = moon_light(scene.night.sky, middle_s)[0] < MOON_BY_DAY
    return {"galactic core", "moon"} if thin else {"galactic core"}


def _at(night: Night) -> tuple[Any, Any]:
    return night.sky, night.site


def _count(scene: Scene) -> int:
    turned = SKY_DEG_PER_MS * (scene.timing.end_ms - scene.timing.start_ms)
    for before, after in zip(scene.path.settings, scene.path.settings[1:], strict=False):
        turned += sum(abs(after.axes.get(name, 0) - before.axes.get(name, 0)) for name in ("pan", "tilt"))
    step_deg = min(scene.lens.view_deg()) / PARTS_OF_FRAME
    wanted = min(max(ceil(turned / step_deg), LOOKS[0]), LOOKS[1])
    return min(wanted, scene.timing.frames - 1)


def _spans(scene: Scene, sought: _Sought, stands: list[_Stand]) -> list[dict[str, Any]]:
    """The runs of looks inside the picture, each with what ends it on either side."""
    fine = _with_edges(scene, sought, stands)
    spans: list[dict[str, Any]] = []
    for before, stand, after in zip([None, *fine], fine, [*fine[1:], None], strict=False):
        if stand.out:
            continue
        if before is None or before.out:
            spans.append({"from": _edge(scene, stand, before.out if before else "start"), "touches": []})
        else:
            spans[-1]["touches"] += _touches(scene, sought, before, stand)
        if after is None or after.out:
            spans[-1]["until"] = _edge(scene, stand, after.out if after else "end")
    return spans


def _with_edges(scene: Scene, sought: _Sought, stands: list[_Stand]) -> list[_Stand]:
    """The looks, with the two a hair apart between which a body comes into the picture or goes out."""
    fine = stands[:1]
    for before, after in zip(stands, stands[1:], strict=False):
        if bool(before.out) != bool(after.out):
            fine += _between(scene, sought, before, after, lambda found: bool(found.out))
        fine.append(after)
    return fine


def _between(
    scene: Scene, sought: _Sought, first: _Stand, last: _Stand, asked: Callable[[_Stand], bool]
) -> tuple[_Stand, _Stand]:
    """The two looks, a hair apart, between which the answer to what is asked changes, by halvings."""
    was = asked(first)
    cuts = 2**AT_ONCE
    for _ in range(HALVINGS // AT_ONCE):
        step = (last.frame - first.frame) / cuts
        within = _Looks(scene, [first.frame + step * cut for cut in range(1, cuts)])
        row = [first, *within.stands(sought), last]
        low, high = 0, cuts
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if asked(row[middle]) == was else (low, middle)
        first, last = row[low], row[high]
    return first, last


def _touches(scene: Scene, sought: _Sought, before: _Stand, after: _Stand) -> list[dict[str, Any]]:
    """Where between two looks a disc's lower edge meets what hides it: one moment or none."""
    up = after.clear_deg > 0
    if sought.half_deg == 0 or (before.clear_deg > 0) == up:
        return []
    _, at = _between(scene, sought, before, after, lambda found: found.clear_deg > 0)
    return [{**moment(scene, at.frame), "way": "up" if up else "down"}]


def _edge(scene: Scene, stand: _Stand, by: str) -> dict[str, Any]:
    return {**moment(scene, stand.frame), "by": by}
