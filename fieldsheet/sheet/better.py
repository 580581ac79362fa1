"""Better keyframes in words, beside one's own.  Python only: they are the printed night's."""

from __future__ import annotations

from typing import Any

from .figures import axes_of, figure, with_unit
from .times import Clock
from .words import WORDS, say

AIMED = ("pan", "tilt")


def better_lines(plan: dict[str, Any], at: Clock) -> list[dict[str, str]]:
    """For each stretch that follows a target: how far one's own stray, and what strays less; {name, text}."""
    axes = axes_of(plan["brief"])
    return [line for row in plan["better"] or [] for line in _stretch(row, axes, at)]


def _stretch(row: dict[str, Any], axes: list[dict[str, Any]], at: Clock) -> list[dict[str, str]]:
    args = {"body": row["target"], "first": row["first"], "last": row["last"]}
    id = "better.own" if row["offers"] else "better.as-good"
    own = {"name": say("better.name", args, ()), "text": say(id, {"worst": _worst(row["own"], at)}, ())}
    return [own, *(_offer(row, offer, axes, at) for offer in row["offers"])]


def _offer(
    row: dict[str, Any], offer: dict[str, Any], axes: list[dict[str, Any]], at: Clock
) -> dict[str, str]:
    keyframes, own = offer["keyframes"], row["last"] - row["first"] + 1
    if len(keyframes) == own:
        # All else stays as one's own keyframes have it.
        aimed = [axis for axis in axes if axis["name"] in AIMED]
        name, numbers = WORDS["better.as-many"], range(row["first"], row["last"] + 1)
        each = [_own(*pair, aimed) for pair in zip(numbers, keyframes, strict=True)]
    else:
        name = say("better.more", {"count": len(keyframes)}, ())
        each = [_new(keyframe, axes, at) for keyframe in keyframes]
    args = {"worst": _worst(offer["worst"], at), "each": "; ".join(each)}
    return {"name": name, "text": say("better.offer", args, ())}


def _own(number: int, keyframe: dict[str, Any], axes: list[dict[str, Any]]) -> str:
    return say("better.key", {"number": number, "axes": _figures(keyframe, axes)}, ())


def _new(keyframe: dict[str, Any], axes: list[dict[str, Any]], at: Clock) -> str:
    args = {"frame": keyframe["frame"], "clock": at(keyframe["time"]["utc_ms"])}
    return say("better.keyframe", {**args, "axes": _figures(keyframe, axes)}, ())


def _figures(keyframe: dict[str, Any], axes: list[dict[str, Any]]) -> str:
    return " · ".join(with_unit(figure(keyframe["axes"][axis["name"]], axis), axis) for axis in axes)


def _worst(worst: dict[str, Any], at: Clock) -> str:
    args = {"frame": worst["frame"], "clock": at(worst["time"]["utc_ms"])}
    if worst["share"] is None:
        return say("picture.kept-lost", args, ())
    px = "" if worst["px"] is None else say("picture.px", {"px": worst["px"]}, ())
    return say("better.worst", {**args, "share": worst["share"] * 100, "px": px}, ())
