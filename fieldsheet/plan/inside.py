"""When sun, moon and core are in the picture, over the whole shot.  Twin: app/core/inside.js."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil
from typing import Any

from ..sky.events import Part, Passing, crossing_named, part_deg
from ..sky.moon import moon_light
from ..sky.observe import Site, apparent_altitude_deg, horizontal
from .aim import inside_frame
from .anchors import Night
from .nightsky import MOON_BY_DAY
from .scene import Scene, moment
from .seen import STARS_OUT_DEG

RISES = {"sun": "sunrise", "moon": "moonrise", "galactic core": "core rise"}
# Mean half of a disc [deg]: 16.0' the sun's, 15.5' the moon's (from memory).
DISC_DEG = {"sun": 0.267, "moon": 0.259}
# From one look to the next neither sky nor head turns by more than a sixteenth of the frame, nor does more
# than a 240th of the shot pass: what stays in for less, in a corner of the frame, nobody will notice.
LOOKS = (240, 4000)
PARTS_OF_FRAME = 16
BISECTIONS = 20
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
        return DISC_DEG.get(self.body, 0.0)


def inside(scene: Scene) -> list[dict[str, Any]]:
    """For each body the spans in which it is in the delivered frame and in sight: {body, spans}.

    A span is {from, until, touches}: from and until {frame, time, by}, by "start", "end", "edge" (of the
    frame), "horizon", "ridge" or "light"; touches {frame, time, way} where its lower edge meets
    what hides it.
    """
    count = _looks(scene)
    frames = [1 + (scene.timing.frames - 1) * look / count for look in range(count + 1)]
    t_s = [scene.timing.ms_of(frame) / 1000 for frame in frames]
    dark = [bool(altitude < STARS_OUT_DEG) for altitude in horizontal(*_at(scene.night), "sun", t_s)[0]]
    faint = _faint(scene)
    rows = []
    for body in RISES:
        altitudes, azimuths, _ = horizontal(*_at(scene.night), body, t_s)
        apparent = apparent_altitude_deg(altitudes, scene.night.site.air)
        sought = _Sought(body, body in faint, _edge_of(body, scene.night.site))
        over = part_deg(*_at(scene.night), sought.part, t_s)
        looks = zip(frames, zip(azimuths, apparent, strict=True), over, dark, strict=True)
        stands = [
            _stand(scene, sought, at, (float(place[0]), float(place[1])), float(limb), late)
            for at, place, limb, late in looks
        ]
        rows.append({"body": body, "spans": _spans(scene, sought, stands)})
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


def _looks(scene: Scene) -> int:
    turned = SKY_DEG_PER_MS * (scene.timing.end_ms - scene.timing.start_ms)
    for before, after in zip(scene.path.settings, scene.path.settings[1:], strict=False):
        turned += sum(abs(after.axes.get(name, 0) - before.axes.get(name, 0)) for name in ("pan", "tilt"))
    step_deg = min(scene.lens.view_deg()) / PARTS_OF_FRAME
    wanted = min(max(ceil(turned / step_deg), LOOKS[0]), LOOKS[1])
    return min(wanted, scene.timing.frames - 1)


def _stand(
    scene: Scene, sought: _Sought, frame: float, place: tuple[float, float], over: float, dark: bool
) -> _Stand:
    out = ""
    if inside_frame(*place, *scene.axis(frame), scene.lens) is None:
        out = "edge"
    elif over <= 0:
        out = "ridge" if scene.night.site.ridge else "horizon"
    elif sought.faint and not dark:
        out = "light"
    return _Stand(frame, out, over - 2 * sought.half_deg)


def _look(scene: Scene, sought: _Sought, frame: float) -> _Stand:
    t_s = scene.timing.ms_of(frame) / 1000
    altitude, azimuth, _ = horizontal(*_at(scene.night), sought.body, t_s)
    sun, _, _ = horizontal(*_at(scene.night), "sun", t_s)
    apparent = float(apparent_altitude_deg(float(altitude), scene.night.site.air))
    over = float(part_deg(*_at(scene.night), sought.part, t_s))
    return _stand(scene, sought, frame, (float(azimuth), apparent), over, bool(sun < STARS_OUT_DEG))


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
    """The two looks, a hair apart, between which the answer to what is asked changes."""
    was = asked(first)
    for _ in range(BISECTIONS):
        middle = _look(scene, sought, (first.frame + last.frame) / 2)
        first, last = (middle, last) if asked(middle) == was else (first, middle)
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
