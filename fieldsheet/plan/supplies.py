"""Watt-hours of rig, camera and heater by phase, and what their packs give.  Twin: app/core/supplies.js.

Three draws (common practice, no source): the electronics whatever happens, the motors' holding whether
they turn or not, and moving, in Wh for each mm or degree of way.  On an inclined rail holding and moving
take the ratios that were measured on that rig; what lifting alone would take, m*g*h, is told beside it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import ceil, floor, radians, sin
from typing import Any

from .anchors import Night
from .civil import stamp
from .curve import Pairs, curve_at
from .drives import drive_s, way_back
from .move import Path
from .schedule import SHARES
from .timing import Timing

HOUR_MS = 3_600_000
GRAVITY = 9.80665
# What may ride in the cabin, in Wh: freely, and if the airline is asked (transport guide of 2024).
CABIN_WH, ASKED_WH = 100.0, 160.0
# A pack is offered in steps of so many mAh.
STEP_MAH = 100
# How many points of its falling line a supply carries.
LINE = 8


@dataclass(frozen=True)
class Before:
    """What was shot before frame 1 of this programme, where the shot stopped and goes on; else nothing.

    used_wh: of each supply, by id, what was taken of the pack that is in; packs: how many of the rig's are
    done with; stands_ms: how long it stands until frame 1.
    """

    frames: int = 0
    stands_ms: int = 0
    used_wh: Mapping[str, float] = field(default_factory=dict)
    packs: int = 0


@dataclass(frozen=True)
class Draw:
    """What a rig takes at this incline: W that never cease, and Wh of a way by axis and direction."""

    electronics_w: float
    holding_w: float
    rises: float
    moving_wh: dict[str, float]
    up: float
    down: float

    def moved_wh(self, before: dict[str, float], after: dict[str, float]) -> float:
        """Wh of going from one setting of the axes to another."""
        return added(self._way_wh(name, after[name] - value) for name, value in before.items())

    def _way_wh(self, name: str, way: float) -> float:
        ratio = (self.up if way * self.rises > 0 else self.down) if name == "slide" else 1.0
        return abs(way) * self.moving_wh[name] * ratio

    def phase(self, lasts_ms: float, moving_wh: float) -> dict[str, float]:
        """The three draws [Wh] over a time."""
        return {
            "electronics_wh": self.electronics_w * lasts_ms / HOUR_MS,
            "holding_wh": self.holding_w * lasts_ms / HOUR_MS,
            "moving_wh": moving_wh,
        }


def draw_of(brief: dict[str, Any]) -> Draw:
    """The draws of a rig that says what it takes, at the incline of the shot's rail."""
    power, rail = brief["rig"]["power"], brief["rail"]
    rises = rail["incline_deg"] if rail else 0.0

    def ratio(pairs: Pairs) -> float:
        return curve_at(pairs, abs(rises)) if rises else 1.0

    holding_w = power["holding_w"] * ratio(power["holding"])
    up, down = ratio(power["up"]), ratio(power["down"])
    return Draw(power["electronics_w"], holding_w, rises, power["moving_wh"], up, down)


def rig_supply(
    brief: dict[str, Any], night: Night, timing: Timing, path: Path, before: Before
) -> dict[str, Any] | None:
    """What the rig takes from the first drive to the end, and its packs; None where it says nothing of it.

    used_wh: what is used when so many frames are over, none to all.  Of a shot that goes on after a stop, the
    set-up is the standing and keying in, and before_wh what the pack that is in had given until then.
    """
    power = brief["rig"]["power"]
    if power is None:
        return None
    draw = draw_of(brief)
    used_wh, moving_wh = _shooting(draw, timing, path)
    setup = _again(brief, draw, path, before.stands_ms) if before.frames else _setup(brief, draw, path)
    back, before_wh = _back(brief, draw, path), before.used_wh.get("rig", 0.0)
    shooting = draw.phase(timing.elapsed_ms(timing.frames), moving_wh)
    ready_wh = before_wh + added(setup.values()) + added(back.values())
    used_wh = [ready_wh + used for used in used_wh]
    run_wh = added(back.values()) + added(shooting.values())
    left = power["packs"][min(before.packs, len(power["packs"]) - 1) :]
    packs = [held_pack(pack, brief["temperature_c"]) for pack in left]
    reserve = reserve_frame(used_wh, packs[0]["usable_wh"])
    return {
        "id": "rig",
        "phases": {"setup": setup, "back": back, "shooting": shooting},
        "before_wh": before_wh,
        "total_wh": used_wh[-1],
        "run_wh": run_wh,
        "lift_wh": _lift_wh(brief, draw, timing, path),
        "peak_w": None if power["peak_w"] is None else power["peak_w"] * max(draw.up, draw.down),
        "packs": [{**pack, "runs": pack["usable_wh"] / run_wh} for pack in packs],
        "reserve": _at(night, timing, reserve),
        "enough_mah": reserve and enough_mah(left[0], packs[0], used_wh[-1]),
        "used_wh": used_wh,
    }


def own_supply(
    id: str,
    brief: dict[str, Any],
    night: Night,
    timing: Timing,
    needs: dict[str, float],
    pack: dict[str, Any],
    before_wh: float,
) -> dict[str, Any]:
    """What lives on a pack of its own, that had given so much: `frames_wh` by the frame, the rest by time."""
    total_wh, lasts_ms = added(needs.values()), timing.elapsed_ms(timing.frames)
    held, by_frame_wh = held_pack(pack, brief["temperature_c"]), needs.get("frames_wh", 0.0)
    used_wh = [
        before_wh
        + by_frame_wh * frame / timing.frames
        + (total_wh - by_frame_wh) * timing.elapsed_ms(frame) / lasts_ms
        for frame in range(timing.frames + 1)
    ]
    reserve = reserve_frame(used_wh, held["usable_wh"])
    return {
        "id": id,
        "phases": {"shooting": needs},
        "before_wh": before_wh,
        "total_wh": before_wh + total_wh,
        "packs": [held],
        "reserve": _at(night, timing, reserve),
        "used_wh": used_wh,
    }


def camera_supply(
    brief: dict[str, Any], night: Night, timing: Timing, before: Before
) -> dict[str, Any] | None:
    """The camera's own battery, fresh before the first frame of all; it idles while the shot stands."""
    battery = brief["camera"]["battery"]
    if battery is None:
        return None
    needs = {
        "frames_wh": timing.frames * battery["frame_wh"],
        "idle_wh": battery["idle_w"] * timing.elapsed_ms(timing.frames) / HOUR_MS,
    }
    before_wh = before.used_wh.get("camera", 0.0) + battery["idle_w"] * before.stands_ms / HOUR_MS
    return own_supply("camera", brief, night, timing, needs, battery["pack"], before_wh)


def heater_supply(
    brief: dict[str, Any], night: Night, timing: Timing, before: Before
) -> dict[str, Any] | None:
    """The dew heater, on from the first frame of all."""
    heater = brief["heater"]
    if heater is None:
        return None
    needs = {"heating_wh": heater["heater_w"] * timing.elapsed_ms(timing.frames) / HOUR_MS}
    before_wh = before.used_wh.get("heater", 0.0) + heater["heater_w"] * before.stands_ms / HOUR_MS
    return own_supply("heater", brief, night, timing, needs, heater["pack"], before_wh)


def reserve_frame(used_wh: list[float], usable_wh: float, from_wh: float = 0.0) -> int | None:
    """The frame in which more than usable_wh was taken since from_wh was; None where it never is."""
    return next((frame or 1 for frame, used in enumerate(used_wh) if used - from_wh > usable_wh), None)


def thinned(supply: dict[str, Any]) -> dict[str, Any]:
    """A supply with the points of its line only, evenly from frame 1 to the end, to 0.001 Wh."""
    used = supply["used_wh"]
    points = (used[floor(n * (len(used) - 1) / LINE + 0.5)] for n in range(LINE + 1))
    return {**supply, "used_wh": [floor(point * 1000 + 0.5) / 1000 for point in points]}


def enough_mah(pack: dict[str, Any], held: dict[str, Any], needed_wh: float) -> int:
    """mAh of the same cells that would hold needed_wh above the reserve, in whole steps."""
    mah: float = needed_wh / held["usable_wh"] * pack["rated_wh"] / pack["cell_v"] * 1000
    return ceil(mah / STEP_MAH - 1e-9) * STEP_MAH


def _shooting(draw: Draw, timing: Timing, path: Path) -> tuple[list[float], float]:
    """(Wh used when so many frames are over, none to all; Wh of the moving among them)."""
    still_w = draw.electronics_w + draw.holding_w
    moving_wh, used, here = 0.0, [0.0], path.at(1)
    for frame in range(1, timing.frames + 1):
        if frame < timing.frames and path.warp is not None:
            after = path.at(frame + 1)
            moving_wh += draw.moved_wh(here, after)
            here = after
        used.append(still_w * timing.elapsed_ms(frame) / HOUR_MS + moving_wh)
    return used, moving_wh


def _setup(brief: dict[str, Any], draw: Draw, path: Path) -> dict[str, float]:
    """From the first drive: every axis once through its full way and back, then from keyframe to keyframe."""
    axes = brief["rig"]["axes"]
    low = {name: axis["min"] for name, axis in axes.items()}
    high = {name: axis["max"] for name, axis in axes.items()}
    moving_wh = draw.moved_wh(low, high) + draw.moved_wh(high, low)
    lasts_ms = dict(SHARES)["level"] * brief["setup_ms"]
    return draw.phase(lasts_ms, _keyed_wh(brief, draw, path, moving_wh))


def _again(brief: dict[str, Any], draw: Draw, path: Path, stands_ms: int) -> dict[str, float]:
    """From a stop until it rolls: it stands, and is driven from keyframe to keyframe."""
    return draw.phase(stands_ms, _keyed_wh(brief, draw, path, 0.0))


def _keyed_wh(brief: dict[str, Any], draw: Draw, path: Path, from_wh: float) -> float:
    """from_wh, and the Wh of going from keyframe to keyframe in the order in which they are set."""
    stops = [setting.axes for setting in path.settings]
    if brief["order"] == "last-to-first":
        stops.reverse()
    for before, after in zip(stops, stops[1:], strict=False):
        from_wh += draw.moved_wh(before, after)
    return from_wh


def _back(brief: dict[str, Any], draw: Draw, path: Path) -> dict[str, float]:
    """The way from the last keyframe to the first, where they are set first-to-last."""
    if brief["order"] == "last-to-first" or len(path.settings) < 2:
        return draw.phase(0, 0.0)
    axes = brief["rig"]["axes"]
    stops, moving_wh = way_back(axes, path.settings), 0.0
    for before, after in zip(stops, stops[1:], strict=False):
        moving_wh += draw.moved_wh(before, after)
    return draw.phase(drive_s(axes, stops) * 1000, moving_wh)


def _lift_wh(brief: dict[str, Any], draw: Draw, timing: Timing, path: Path) -> float | None:
    """m*g*h of the climbing in the shot; None where nothing climbs, or where the payload is not known."""
    payload_kg: float | None = (brief["rail"] or {}).get("payload_kg") or brief["rig"]["power"]["payload_kg"]
    if not draw.rises or payload_kg is None or path.warp is None:
        return None
    climbed_mm = 0.0
    for frame in range(1, timing.frames):
        way = path.at(frame + 1)["slide"] - path.at(frame)["slide"]
        climbed_mm += abs(way) if way * draw.rises > 0 else 0.0
    height_m = climbed_mm / 1000 * sin(radians(abs(draw.rises)))
    return payload_kg * GRAVITY * height_m / 3600


def held_pack(pack: dict[str, Any], temperature_c: float) -> dict[str, Any]:
    """What a pack gives above its reserve at this temperature, and how it may fly."""
    left = curve_at(pack["cold"], temperature_c)
    usable_wh = pack["rated_wh"] * pack["efficiency"] * left * (1 - pack["reserve"])
    ways = (("cabin.free", CABIN_WH), ("cabin.asked", ASKED_WH))
    return {
        "name": pack["name"],
        "rated_wh": pack["rated_wh"],
        "usable_wh": usable_wh,
        "coldest_c": pack["cold"][0][0],
        "output_w": pack.get("output_w"),
        "cabin": next((id for id, most in ways if pack["rated_wh"] <= most), "cabin.never"),
    }


def _at(night: Night, timing: Timing, frame: int | None) -> dict[str, Any] | None:
    return None if frame is None else {"frame": frame, "time": stamp(night.spans, timing.ms_of(frame))}


def added(parts: Iterable[float]) -> float:
    """Their sum, added in their order: `sum` would add floats otherwise than the phone does."""
    total = 0.0
    for part in parts:
        total += part
    return total
