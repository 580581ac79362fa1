"""What is drawn of a keyframe's frame, in the frame's own coordinates.  Twin: app/core/view.js.

From the plan alone: no sky is asked.  The drawers (view_ink.py for paper, app/view.js) only draw.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import atan2, cos, degrees, radians, sin, sqrt
from typing import Any

from ..plan.aim import Lens, Ray, axis_of, direction_at, lens_of, place_in_frame
from ..plan.anchors import site_of
from ..plan.seen import is_seen, over_deg
from ..sky.events import HALF_DISC_DEG
from ..sky.ridge import skyline_deg
from .words import body_word

STEP_DEG = 3.0
# Half the width of the band along the galaxy's plane that the eye sees (common practice, no source).
BAND_DEG = 8.0
# Sizes in frame widths: the height of the type, a letter's mean width, what keeps a name from its mark,
# and from the square where a target is meant to be.
EM, LETTER, APART, AIMED_APART = 1 / 24, 0.55 / 24, 0.7 / 24, 1.2 / 24
FIRST = ("sun", "moon", "galactic core", "mercury", "venus", "mars", "jupiter", "saturn")
"""Named before the stars, where names would stand on each other."""

STILL: dict[str, Any] = {"axes": {}, "aim": None, "x": None, "y": None}

Spot = tuple[float, float]
Lines = list[list[Spot]]
Taken = tuple[float, float, float]
"""From where to where a name lies with its mark, and how high."""


def view_of(plan: dict[str, Any], index: int) -> dict[str, Any]:
    """The marks of a keyframe's frame, or of an end of a shot without any, x and y in -1 to 1, y up.

    {aspect (width over height), horizon, skyline, plane, band: lists of lines; bodies: {body, x, y, radius
    (in frame widths), name, side, aimed}, side 1 right or -1 left, 0 and name "" where it has no room,
    aimed where it is the keyframe's target; moon: {lit, limb_deg}, the bright limb counter-clockwise from the
    right, or None; path: lines; meant: [x, y] or None}.
    """
    brief, keyframe = plan["brief"], _setting(plan, index)
    lens = lens_of(brief)
    axis = axis_of(brief, keyframe["axes"])
    assert axis is not None, "what is drawn has a tilt"

    def spot(azimuth_deg: float, altitude_deg: float) -> Spot | None:
        return place_in_frame(azimuth_deg, altitude_deg, *axis, lens)

    sky, ridge = plan["picture"]["views"][index], site_of(brief["place"]).ridge
    bodies = _bodies(plan, index)
    aim = keyframe["aim"]
    return {
        "aspect": lens.half_width / lens.half_height,
        "horizon": _clipped([spot(azimuth, 0.0) for azimuth in _round(axis[0], ())]),
        "skyline": _clipped([spot(*at) for at in _skyline(axis[0], ridge)]),
        "plane": _galactic(plan, sky["pole"], 0.0, spot),
        "band": [line for side in (-1, 1) for line in _galactic(plan, sky["pole"], side * BAND_DEG, spot)],
        "bodies": _named(bodies, (aim or {}).get("target"), lens),
        "moon": _moon(sky["moon"], bodies, axis, lens),
        "path": [
            line
            for row in plan["picture"]["tracked"]
            if row["number"] == index + 1
            for line in _clipped([at and (at[0], at[1]) for at in row["path"]])
        ],
        "meant": None if aim is None else [aim["x"], aim["y"]],
    }


def _setting(plan: dict[str, Any], index: int) -> dict[str, Any]:
    """A keyframe; of a shot without any, what stands in for it."""
    return plan["keyframes"][index] if plan["keyframes"] else {**STILL, **plan["picture"]["views"][index]}


def _round(axis_deg: float, more: Sequence[float]) -> list[float]:
    """Azimuths all round, those behind the lens first and last, and some more between them."""
    even = [STEP_DEG * step - 180.0 for step in range(int(360 / STEP_DEG) + 1)]
    aside = [(azimuth - axis_deg + 180.0) % 360.0 - 180.0 for azimuth in more]
    return [axis_deg + each for each in sorted([*even, *aside])]


def _skyline(axis_deg: float, ridge: Sequence[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """The measured skyline all round, with every sight of it; nothing where none was measured."""
    if ridge:
        for azimuth in _round(axis_deg, [sight[0] for sight in ridge]):
            yield azimuth, float(skyline_deg(ridge, azimuth))


def _galactic(
    plan: dict[str, Any], pole: Sequence[float] | None, latitude_deg: float, spot: Callable[..., Spot | None]
) -> Lines:
    """A parallel of the galaxy as far as it is over what hides the sky; refraction is left out."""
    if pole is None:
        return []
    site = site_of(plan["brief"]["place"])
    up = _vector(pole[0], pole[1])
    aside = _vector(pole[0] + 90.0, 0.0)
    ahead = _cross(up, aside)
    latitude = radians(latitude_deg)
    spots: list[Spot | None] = []
    for step in range(int(360 / STEP_DEG) + 1):
        turn = radians(STEP_DEG * step)
        flat = [cos(turn) * aside[n] + sin(turn) * ahead[n] for n in range(3)]
        azimuth, altitude = _direction(*(cos(latitude) * flat[n] + sin(latitude) * up[n] for n in range(3)))
        spots.append(spot(azimuth, altitude) if over_deg(site, azimuth, altitude) > 0 else None)
    return _clipped(spots)


def _bodies(plan: dict[str, Any], index: int) -> list[dict[str, Any]]:
    """What shows in the frame, the keyframe's own target too where it is to be seen there."""
    keyframe = _setting(plan, index)
    rows = list(keyframe["in_frame"])
    target = (keyframe["aim"] or {}).get("target")
    x, y = keyframe["x"], keyframe["y"]
    if target is None or x is None or max(abs(x), abs(y)) > 1:
        return rows
    site, dark = site_of(plan["brief"]["place"]), plan["picture"]["views"][index]["pole"] is not None
    over = over_deg(site, keyframe["azimuth_deg"], keyframe["altitude_deg"]) + HALF_DISC_DEG.get(target, 0.0)
    return [{"body": target, "x": x, "y": y}, *rows] if is_seen(target, over, dark) else rows


def _named(bodies: list[dict[str, Any]], target: str | None, lens: Lens) -> list[dict[str, Any]]:
    """With their sizes, and with names as far as there is room for them, on one side or the other."""
    aspect = lens.half_width / lens.half_height
    spots = [(body["x"] / 2, body["y"] / 2 / aspect) for body in bodies]
    taken: list[Taken] = []
    rows = []
    for row in sorted(bodies, key=lambda one: one["body"] not in FIRST):
        name = body_word(row["body"])
        aimed = row["body"] == target
        apart = AIMED_APART if aimed else APART
        wide = len(name) * LETTER + apart
        x, y = row["x"] / 2, row["y"] / 2 / aspect
        high = abs(y) + EM / 2 > 0.5 / aspect
        side = 0 if high else _side((x, y), wide, apart, spots, taken)
        if side:
            taken.append((*_beside(x, wide, apart, side), y))
        radius = radians(HALF_DISC_DEG.get(row["body"], 0.0)) / lens.half_width / 2
        rows.append({**row, "radius": radius, "name": name if side else "", "side": side, "aimed": aimed})
    return rows


def _side(at: Spot, wide: float, apart: float, spots: list[Spot], taken: list[Taken]) -> int:
    """On which side of a mark a name in the frame hides no mark and meets no other; 0 where on neither."""
    for side in (1, -1):
        left, right = _beside(at[0], wide, apart, side)
        hides = any(0 < (x - at[0]) * side < wide and abs(y - at[1]) < APART for x, y in spots)
        meets = any(left < end and start < right and abs(y - at[1]) < EM for start, end, y in taken)
        if abs(at[0] + side * wide) <= 0.5 and not hides and not meets:
            return side
    return 0


def _beside(x: float, wide: float, apart: float, side: int) -> tuple[float, float]:
    """From where to where a mark and its name lie."""
    return (x - apart, x + wide) if side > 0 else (x - wide, x + apart)


def _moon(
    moon: dict[str, Any] | None, bodies: list[dict[str, Any]], axis: tuple[float, float], lens: Lens
) -> dict[str, float] | None:
    """How the moon is lit, and where in the frame her bright limb points: a hair along the way to the sun."""
    row = next((one for one in bodies if one["body"] == "moon"), None)
    if row is None or moon is None:
        return None
    stands = direction_at(row["x"], row["y"], *axis, lens)
    assert stands is not None, "it is in the frame"
    here, sun = _vector(*stands), _vector(*moon["sun"])
    dot = sum(here[n] * sun[n] for n in range(3))
    there = [here[n] + 0.001 * (sun[n] - dot * here[n]) for n in range(3)]
    spot = place_in_frame(*_direction(*there), *axis, lens) or (row["x"], row["y"])
    limb = atan2((spot[1] - row["y"]) * lens.half_height, (spot[0] - row["x"]) * lens.half_width)
    return {"lit": moon["lit"], "limb_deg": degrees(limb)}


def _vector(azimuth_deg: float, altitude_deg: float) -> Ray:
    """East, north and up of a direction."""
    azimuth, altitude = radians(azimuth_deg), radians(altitude_deg)
    return cos(altitude) * sin(azimuth), cos(altitude) * cos(azimuth), sin(altitude)


def _direction(east: float, north: float, up: float) -> tuple[float, float]:
    """Azimuth, [0, 360), and altitude [deg] of a vector."""
    return degrees(atan2(east, north)) % 360.0, degrees(atan2(up, sqrt(east * east + north * north)))


def _cross(a: Ray, b: Ray) -> Ray:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def _clipped(spots: Sequence[Spot | None]) -> Lines:
    """A line through places, as the lines of it that lie in the frame; it breaks where the lens is blind."""
    lines: Lines = []
    for a, b in zip(spots, spots[1:], strict=False):
        part = None if a is None or b is None else _part(a, b)
        if part is None:
            continue
        if lines and lines[-1][-1] == part[0]:
            lines[-1].append(part[1])
        else:
            lines.append(list(part))
    return lines


def _part(a: Spot, b: Spot) -> tuple[Spot, Spot] | None:
    """The part of a way from a to b that lies in the frame (Liang and Barsky, from memory)."""
    enters, leaves = 0.0, 1.0
    for n in range(2):
        way = b[n] - a[n]
        if way == 0:
            if abs(a[n]) > 1:
                return None
            continue
        one, other = sorted(((-1 - a[n]) / way, (1 - a[n]) / way))
        enters, leaves = max(enters, one), min(leaves, other)
    if enters >= leaves:
        return None

    def at(share: float) -> Spot:
        return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share

    return (a if enters == 0 else at(enters)), (b if leaves == 1 else at(leaves))
