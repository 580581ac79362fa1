"""What the labels of the run strip say: which of the sky's moments have one, and which two acts share one."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import ceil, floor, inf
from typing import Any

from fieldsheet.sheet import strip_sides
from fieldsheet.sheet.strip_sides import Mark, Measure

Moment = Mapping[str, Any]

SKY_LABELS = 4
"""Labels on the sky's side (common practice, no source)."""
_WATER = ("exit", "wet")
"""The water that cuts off the way out: whatever the shot hangs on."""
_RANK = ("sunset", "sunrise", "tide", "usable", "astron", "core", "moon", "nautical", "civil")
"""Which of the rest keep a label: first what most shots turn on, last what only names a shade of dusk."""
_FROM, _UNTIL = " from", " until"
"""How the labels of a span's two ends close."""


def named(moments: Sequence[Moment], first: Sequence[int]) -> tuple[list[Moment], list[Moment]]:
    """The sky's moments that keep a label, and its others; both in order of time.

    The water comes first, then the moments at the positions `first`, the weightiest at its head; then the
    rest.
    """
    sky = sorted(
        (n for n, moment in enumerate(moments) if moment["side"] == "sky"), key=lambda n: moments[n]["frame"]
    )

    def rank(n: int) -> tuple[float, float, float]:
        words = f"{moments[n]['kind']} {moments[n]['label']}"
        return _place(_WATER, words), first.index(n) if n in first else inf, _place(_RANK, words)

    kept = set(sorted(sky, key=rank)[:SKY_LABELS])
    return [moments[n] for n in sky if n in kept], [moments[n] for n in sky if n not in kept]


def _place(order: Sequence[str], words: str) -> float:
    """Which of `order` is in `words`, the first one's place; inf where none is."""
    return next((place for place, word in enumerate(order) if word in words), inf)


def sky_marks(moments: Sequence[Moment], x_of: Callable[[float], float], framed: bool) -> list[Mark]:
    """The marks of labelled sky moments; `framed`: with their frames, as those named below have."""
    return [
        Mark({**one, "detail": f"frame {int(one['frame'])}" if framed else ""}, (one,), (x_of(one["frame"]),))
        for one in moments
    ]


def hand_marks(moments: Sequence[Moment], x_of: Callable[[float], float], bare: bool) -> list[Mark]:
    """The marks of keyframes and acts, in order of their ticks; `bare`: keys without their names.

    "x from" and "x until", where each is there once, are one.
    """
    marks = [_hand_mark(one, x_of, bare) for one in moments if one["side"] == "hand"]
    acts = [mark for mark in marks if mark.words["kind"] == "act"]
    joined, spent = [], set()
    for start in acts:
        name = start.words["label"].removesuffix(_FROM)
        ends = [end for end in acts if end.words["label"] == name + _UNTIL]
        starts = [one for one in acts if one.words["label"] == name + _FROM]
        if len(starts) == len(ends) == 1 and starts[0] is start and start.tick <= ends[0].tick:
            joined.append(_span(name, start, ends[0]))
            spent |= {id(start), id(ends[0])}
    return sorted([mark for mark in marks if id(mark) not in spent] + joined, key=lambda mark: mark.tick)


def _hand_mark(moment: Moment, x_of: Callable[[float], float], bare: bool) -> Mark:
    words = {**moment, "detail": ""} if bare and moment["kind"] == "keyframe" else moment
    return Mark(words, (moment,), (x_of(moment["frame"]),))


def _span(name: str, start: Mark, end: Mark) -> Mark:
    clocks = "–".join(filter(None, (start.words["clock"], end.words["clock"])))
    first, last = ceil(start.words["frame"]), floor(end.words["frame"])
    inside = f"frames {first}–{last}" if first <= last else ""
    details = dict.fromkeys(filter(None, (inside, start.words["detail"], end.words["detail"])))
    words = {**start.words, "label": name, "clock": clocks, "detail": " ".join(details)}
    return Mark(words, start.moments + end.moments, start.ticks + end.ticks)


def below(rest: Sequence[Moment], measure: Measure, width: float) -> list[str]:
    """The lines under the strip for moments without a label; a moment's words stay together on a line."""
    if not rest:
        return []
    said = (f"{int(one['frame'])} {one['label']} {one['clock']}" for one in rest)
    words = "frame " + " · ".join(words.replace(" ", "\u00a0") for words in said)
    return strip_sides.wrap(words, False, measure, width)
