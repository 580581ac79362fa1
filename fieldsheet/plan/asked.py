"""What a search of nights asks of the sky: which events, and what else at which moments.  Python only."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .anchors import TIDES
from .needs import DARK, middle_ms
from .nightsky import USABLE
from .trial import Trial

MOON = ("moonrise", "moonset")
OF_EVERY_NIGHT = (*DARK, *USABLE, *MOON)
# What is asked of the sky beside places of bodies, and by which needs; () asks for the place of its target.
MOON_UP, LIGHT, CORE = "is the moon up", "how much of her is lit", "is the core usable"
OF_NEEDS: dict[str, tuple[str, ...]] = {
    "altitude": (),
    "azimuth": (),
    "moon-up": (MOON_UP, "moon"),
    "moon-down": (MOON_UP, "moon"),
    "moon-lit": (LIGHT,),
}


def events_asked(brief: dict[str, Any]) -> list[str]:
    """The events of the sky that nights of the shot hang on, sorted."""
    anchors = [brief["start"], brief["end"], *(keyframe["at"] for keyframe in brief["keyframes"])]
    anchors += [phase["from"] for phase in brief["phases"]]
    anchors += [need.get("at") for need in brief["needs"]]
    if brief["exposure"] is not None:
        anchors += [brief["exposure"][name]["at"] for name in ("bright", "dark")]
    names = [anchor["event"] for anchor in anchors if anchor is not None and "event" in anchor]
    names += [need["event"] for need in brief["needs"] if "event" in need]
    return sorted({*OF_EVERY_NIGHT, *names} - {*TIDES})


def questions(brief: dict[str, Any], trial: Trial) -> Iterator[tuple[str, int]]:
    """What a night within reach asks of a Sight, and when [ms UTC]: one of the three, or a body's place."""
    assert trial.night is not None, "only a night within reach asks"
    yield CORE, middle_ms(trial.night)
    yield LIGHT, trial.middle_ms
    if trial.timing is not None and trial.frames is not None:
        for keyframe, frame in zip(brief["keyframes"], trial.frames, strict=True):
            if keyframe["aim"] is not None and "target" in keyframe["aim"]:
                yield keyframe["aim"]["target"], trial.timing.ms_of(frame)
    for need, at_ms in zip(brief["needs"], trial.moments, strict=True):
        if at_ms is not None and need["kind"] in OF_NEEDS:
            yield from ((what, at_ms) for what in OF_NEEDS[need["kind"]] or (need["target"],))
