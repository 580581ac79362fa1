"""Where the lens looks and what the zeros of the axes are, with the caution that comes before aiming."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .row import Row, also, must
from .shot import Shot, home_of


def looks(shot: Shot) -> Iterator[Row]:
    """A lens that no axis turns is turned, and tilted, by hand; on a stand it is locked once it is framed."""
    tilt = {"tilt": shot.brief["tilt_deg"]} if shot.tilted else {}
    if not shot.has("pan"):
        yield from sun(shot)
        yield _towards(_look(shot), **tilt)
    elif tilt:
        yield also("tilt-by-hand", **tilt)


def _look(shot: Shot) -> str:
    if not shot.tilted:
        return "look"
    return "look-locked" if shot.drives else "look-tilted"


def zeros(shot: Shot) -> Iterator[Row]:
    """The zero of every axis that the rig has."""
    if shot.has("pan"):
        yield _towards("zero" if shot.has("tilt") else "zero-pan")
    elif shot.has("tilt"):
        yield also("zero-tilt")
    if shot.rail:
        yield also("zero-slide", home=home_of(shot.rail))


def sun(shot: Shot) -> Iterator[Row]:
    """Before the lens is turned, by hand or by a drive: another night may bring it into any frame."""
    if not shot.dark:
        yield must("sun", note="eyes")


def _towards(rule: str, **args: Any) -> Row:
    """By its sighting, or by a compass, honest to 3 to 5 degrees (common practice, no source)."""
    return also(rule, note="compass", value="zero_looks", **args)
