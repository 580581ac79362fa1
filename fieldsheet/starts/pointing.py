"""Where a first shot points: the bearing of pan zero, and a keyframe at either end, by what it follows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

# Below that height a body is set on the lower third, for the ground to be in the picture (common practice).
LOW_DEG = 12
THIRD = Decimal("-0.33")
# How a lens that nothing tilts is clamped at the least: a little up, for more sky than ground.
LEAST_CLAMP_DEG = 5
# How far a head turns over a view.
SWEEP_DEG = 20
# How near to its limit a tilt is planned.
MARGIN_DEG = 10
STEEPEST_CLAMP_DEG = 60


@dataclass(frozen=True)
class Stand:
    """A body of the sky at the start or the end: true azimuth and apparent altitude in degrees."""

    azimuth_deg: float
    altitude_deg: float


@dataclass(frozen=True)
class Rigged:
    """The axes of a rig by name, each with min, max, step and unit; upright: its slide goes up and down."""

    axes: Mapping[str, Mapping[str, Any]]
    upright: bool = False

    @property
    def aims(self) -> bool:
        """Whether it can point anywhere by itself."""
        return "pan" in self.axes and "tilt" in self.axes


@dataclass
class Pointed:
    """zero_bearing_deg, whole; tilt_deg of a lens without an axis for it; keyframes as a file has them."""

    zero_bearing_deg: int
    tilt_deg: int | None
    keyframes: list[dict[str, Any]] = field(default_factory=list)


def point(rig: Rigged, target: str | None, stands: Sequence[Stand], bearing_deg: float) -> Pointed:
    """stands: of the target at start and end, () of a view, which lies at the bearing."""
    middle_deg = _middle(stands) if stands else bearing_deg
    zero_deg = round(middle_deg) % 360
    pointed = Pointed(zero_deg, None if "tilt" in rig.axes else _clamped(stands))
    ends = [_at_end(rig, target, stands, zero_deg, end) for end in (0, 1)] if rig.axes else []
    if len(ends) == 2 and ends[0] == ends[1]:
        ends = ends[:1]  # nothing would move
    for at, lines in zip(("start", "end"), ends, strict=False):
        pointed.keyframes.append({"at": at, "lines": lines})
    return pointed


Line = tuple[str, Any, str]


def _at_end(rig: Rigged, target: str | None, stands: Sequence[Stand], zero_deg: int, end: int) -> list[Line]:
    """Key, value and comment of each line of a keyframe; end is 0 at the start, 1 at the end."""
    lines: list[Line] = []
    if "slide" in rig.axes:
        slide = rig.axes["slide"]
        lines.append(("slide_mm", slide["max" if end else "min"], "mm from the home end"))
    if rig.aims:
        lines.append(_aim(rig.axes["tilt"], target, stands, zero_deg, end))
    elif "pan" in rig.axes:
        lines.append(
            ("pan_deg", _pan(rig.axes["pan"], stands, zero_deg, end), "degrees from pan 0, + clockwise")
        )
    elif "tilt" in rig.axes:
        lines.append(("tilt_deg", Decimal(LEAST_CLAMP_DEG), "degrees, 0 is level, + up"))
    named = {name: axis["min"] for name, axis in rig.axes.items() if name not in ("slide", "pan", "tilt")}
    if named:
        lines.append(("axes", named, "where the rig's other axes stand: yours to say"))
    return lines


def _aim(
    tilt: Mapping[str, Any], target: str | None, stands: Sequence[Stand], zero_deg: int, end: int
) -> Line:
    if not stands:
        bearing_deg = zero_deg + (SWEEP_DEG // 2 if end else -SWEEP_DEG // 2)
        return "aim", _horizon(bearing_deg), "the horizon on the lower third"
    stand = stands[end]
    highest_deg = int(tilt["max"]) - MARGIN_DEG
    if stand.altitude_deg <= 0:
        return "aim", _horizon(stand.azimuth_deg), f"the {target} is down: the horizon over it"
    height = f"the {target}, {stand.altitude_deg:.0f} degrees up"
    if stand.altitude_deg > highest_deg:
        return "aim", _bearing(stand.azimuth_deg, highest_deg), f"below {height}"
    if stand.altitude_deg < LOW_DEG:
        return "aim", {"target": target, "y": THIRD}, f"{height}, on the lower third"
    return "aim", {"target": target, "x": 0, "y": 0}, f"{height}; x, y: -1 to 1, right and up"


def _horizon(azimuth_deg: float) -> dict[str, Any]:
    return {**_bearing(azimuth_deg, 0), "y": THIRD}


def _bearing(azimuth_deg: float, altitude_deg: int) -> dict[str, Any]:
    return {"bearing_deg": round(azimuth_deg) % 360, "altitude_deg": altitude_deg}


def _pan(pan: Mapping[str, Any], stands: Sequence[Stand], zero_deg: int, end: int) -> Decimal:
    """Whole degrees within the limits; over a view, its sweep."""
    if stands:
        wanted = Decimal(round((stands[end].azimuth_deg - zero_deg + 180) % 360 - 180))
    else:
        wanted = Decimal(SWEEP_DEG // 2 if end else -SWEEP_DEG // 2)
    return Decimal(max(pan["min"], min(pan["max"], wanted)))


def _middle(stands: Sequence[Stand]) -> float:
    """The bearing halfway between two, the shorter way round."""
    first, last = stands[0].azimuth_deg, stands[-1].azimuth_deg
    return (first + ((last - first + 180) % 360 - 180) / 2) % 360


def _clamped(stands: Sequence[Stand]) -> int:
    """How a lens that nothing tilts is clamped: at what it follows, as it stands in between."""
    if not stands:
        return LEAST_CLAMP_DEG
    middle_deg = sum(stand.altitude_deg for stand in stands) / len(stands)
    return round(max(LEAST_CLAMP_DEG, min(STEEPEST_CLAMP_DEG, middle_deg)))
