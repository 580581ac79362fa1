"""How the rail of a shot lies: which end is home, and what a steep one may carry."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from math import radians, sin

from ...problems import Problem
from ..document import Document
from ..draft import Draft
from ..models.shot import RAIL_BEARING, Rail
from ..words import show
from .rig import has_slide, unordered_loads

# The sine of the least angle between rail and view, 11.5°, at which there is a left and a right.
_ACROSS = 0.2
# Steeper than this, the ends of a rail are its low and its high one.
_UPRIGHT_DEG = 60
# Steeper than this, a rail carries less than on the level, and only its maker knows how much (common
# practice, no source).
STEEP_DEG = 30


def check_rail(shot: Document, rig: Document | None) -> Iterator[Problem]:
    """Problems of a shot's [rail], by itself, against the view and against the rig."""
    if rig is not None and has_slide(rig) and not shot.given(("rail",)):
        found = f"no rail, but {rig.file} has an [axis.slide]"
        yield shot.problem(
            ("rail",), found, "[rail] with home_end, and with bearing_deg unless it is upright"
        )
    yield from _check_without(shot, rig)
    raw = shot.draft.raw.get("rail") if shot.draft else None
    if not isinstance(raw, dict):
        return
    rail = Draft(Rail, raw, shot.lines, [])
    incline_deg = rail.get("incline_deg")
    if incline_deg is None:
        return
    if abs(incline_deg) != 90 and "bearing_deg" not in rail.given:
        yield shot.problem(
            ("rail", "bearing_deg"), "nothing", f"{RAIL_BEARING}; only an upright rail has none"
        )
    if abs(incline_deg) > _UPRIGHT_DEG:
        yield from _check_upright(shot, rail, incline_deg)
    else:
        yield from _check_level(shot, rail)
    if shot.get("head_base") == "follows rail" and abs(incline_deg) > _UPRIGHT_DEG:
        found = f"'follows rail' on a rail that rises {show(incline_deg)}°"
        yield shot.problem(("head_base",), found, f"'levelled', or a rail of at most {_UPRIGHT_DEG}°")
    if abs(incline_deg) > STEEP_DEG:
        yield from _check_load(shot, rail, incline_deg, rig)


def _check_without(shot: Document, rig: Document | None) -> Iterator[Problem]:
    """What is said of a rail, or of what it moves past, where there is none."""
    if shot.get("head_base") == "follows rail" and not shot.given(("rail",)):
        yield shot.problem(("head_base",), "'follows rail' without a rail", "'levelled', or a [rail]")
    if rig is not None and not has_slide(rig) and shot.written(("foreground_m",)):
        found = f"foreground_m, but {rig.file} has no [axis.slide]"
        yield shot.problem(("foreground_m",), found, "no foreground_m: nothing moves past it")


def _check_upright(shot: Document, rail: Draft, incline_deg: Decimal) -> Iterator[Problem]:
    for key in ("home_end", "motor_end"):
        if rail.get(key) in ("left", "right"):
            found = f"'{rail.get(key)}' on a rail that rises {show(incline_deg)}°"
            yield shot.problem(("rail", key), found, f"'low' or 'high', beyond {_UPRIGHT_DEG}°")
    home = "low" if incline_deg > 0 else "high"
    if rail.get("home_end") in ("low", "high") and rail.get("home_end") != home:
        found = f"'{rail.get('home_end')}', but from home the rail rises {show(incline_deg)}°"
        right = f"'{home}', or incline_deg = {show(-incline_deg)} if the home end is {rail.get('home_end')}"
        yield shot.problem(("rail", "home_end"), found, right)


def _check_level(shot: Document, rail: Draft) -> Iterator[Problem]:
    """Bearings tell on which side the home end is, unless the rail runs nearly along the view."""
    for key in ("home_end", "motor_end"):
        if rail.get(key) in ("low", "high"):
            found = f"'{rail.get(key)}' on a rail that rises {show(rail.get('incline_deg'))}°"
            yield shot.problem(("rail", key), found, f"'left' or 'right', up to {_UPRIGHT_DEG}°")
    bearing_deg, zero_deg, end = rail.get("bearing_deg"), shot.get("zero_bearing_deg"), rail.get("home_end")
    if bearing_deg is None or zero_deg is None or end not in ("left", "right"):
        return
    to_the_right = sin(radians(bearing_deg - zero_deg))
    home, far = ("left", "right") if to_the_right > 0 else ("right", "left")
    if abs(to_the_right) > _ACROSS and end != home:
        found = f"'{end}', but from home towards {show(bearing_deg)}° the rail runs"
        back_deg = (bearing_deg + 180) % 360
        right = f"'{home}', or bearing_deg = {show(back_deg)} if the home end is {end}"
        yield shot.problem(
            ("rail", "home_end"), f"{found} to the {far} of the view at {show(zero_deg)}°", right
        )


def _check_load(shot: Document, rail: Draft, incline_deg: Decimal, rig: Document | None) -> Iterator[Problem]:
    """A steep rail is refused without the maker's load at its incline and what the carriage carries."""
    if "payload_kg" not in rail.given:
        right = (
            f"kg on the carriage with head and camera: beyond {STEEP_DEG}° the rail must be known to hold it"
        )
        yield shot.problem(("rail", "payload_kg"), f"no payload_kg at {show(incline_deg)}°", right)
    if rig is None:
        return
    loads = rig.get("load_kg")
    instead = f"the maker's loads there, or a rail of at most {STEEP_DEG}°"
    if loads is None:
        if "load_kg" not in rig.given(("load_kg",)):
            yield shot.problem(
                ("rail", "incline_deg"), f"{show(incline_deg)}°, but {rig.file} has no load_kg", instead
            )
    elif not unordered_loads(rig) and not min(loads)[0] <= abs(incline_deg) <= max(loads)[0]:
        span = f"{show(min(loads)[0])}° to {show(max(loads)[0])}°"
        found = f"{show(incline_deg)}°, but load_kg of {rig.file} covers {span}"
        yield shot.problem(("rail", "incline_deg"), found, instead)
