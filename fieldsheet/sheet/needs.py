"""What a night must have, said: asked, found, met or not, or not known.  Twin: app/core/sheet-needs.js."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..plan.civil import Spans
from .words import WORDS, anchor_word, say, time_of_day

# By the beginning of a need's id: how what was found is written, if the need does not say; else an altitude.
FOUND = {
    "need.weekday": "found.day",
    "need.darkness": "found.span",
    "need.core-usable": "found.span",
    "need.moon-lit": "found.percent",
    "need.azimuth": "found.bearing",
    "need.event": "found.event",
}
VERDICTS = {True: "need.met", False: "need.unmet", None: "need.unknown"}


def need_text(need: dict[str, Any], spans: Spans) -> dict[str, Any]:
    """{name: what is asked, verdict: whether it is met and what was found, text: both, met}.

    met: True, False, or None where nobody can tell.
    """
    args = need["args"]
    name = need_name(need, spans)
    usual = next(
        (found for begins, found in FOUND.items() if need["id"].startswith(begins)), "found.altitude"
    )
    verdict = say(VERDICTS[need["met"]], {"found": say(args.get("found", usual), args, spans)}, spans)
    return {"name": name, "verdict": verdict, "text": f"{name} · {verdict}", "met": need["met"]}


def need_name(need: dict[str, Any], spans: Spans) -> str:
    """What is asked, such as "core at least 15° high at the end"."""
    args = dict(need["args"])
    if "days" in args:
        args["days"] = _days(args["days"], spans)
    if "at" in args:
        args["at"] = _moment(args["at"], spans)
    if "first" in args:
        args |= {key: time_of_day(args[key], spans) for key in ("first", "last")}
    return say(need["id"], args, spans)


def _days(days: Sequence[str], spans: Spans) -> str:
    """One day of the week after the other: "Fri", "Thu, Fri or Sat"."""
    *others, last = days
    return say("need.days", {"days": ", ".join(others), "last": last}, spans) if others else last


def _moment(at: dict[str, Any], spans: Spans) -> str:
    """A position in the shot or an anchor, in words."""
    if "clock_s" in at:
        return time_of_day(at["clock_s"], spans)
    if "event" in at:
        return anchor_word(at)
    if "frame" in at:
        return say("at.frame", at, spans)
    named = {0: "at.0", 0.5: "at.0.5", 1: "at.1"}
    if at["fraction"] in named:
        return WORDS[named[at["fraction"]]]
    return say("at.part", {"part": at["fraction"] * 100}, spans)
