"""Whether positions in a shot follow one another, as far as the file alone can tell."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import floor
from typing import Any

from ...problems import Problem
from ..document import Document
from ..timing import frames_known
from ..words import Loc, show


@dataclass(frozen=True)
class Stop:
    """A position with its path in the file, how a person calls it, and how it is written."""

    loc: Loc
    name: str
    at: dict[str, Any]
    text: Any


def check_order(shot: Document, stops: Sequence[Stop], right: str) -> Iterator[Problem]:
    """Frames and fractions must ascend, and lie in the shot where the number of its frames is known."""
    frames = frames_known(shot)
    placed: list[tuple[Stop, dict[str, float]]] = []
    for stop in stops:
        here, text = _scales(stop.at, frames), show(stop.text)
        before, there = next((row for row in placed if _is_behind(here, row[1])), (None, {}))
        if frames and stop.at.get("frame", 0) > frames:
            found = f"{text} in a shot of {frames} frames"
            yield shot.problem(stop.loc, found, f"at most 'frame {frames}'")
        elif before is not None:
            found = f"{text}, not after {before.name} {show(before.text)}"
            yield shot.problem(stop.loc, found, f"{right}{_first_after(there, frames)}")
        else:
            placed.append((stop, here))


def _scales(at: dict[str, Any], frames: int | None) -> dict[str, float]:
    """A position on each scale on which it can be compared with others; none for a moment of the night."""
    if "fraction" in at and frames is not None:
        return {"fraction": at["fraction"], "frame": 1 + at["fraction"] * (frames - 1)}
    return {scale: at[scale] for scale in ("frame", "fraction") if scale in at}


def _first_after(there: dict[str, float], frames: int | None) -> str:
    """Which positions come after another one, where there are some in the shot and it can be told."""
    if "frame" in there and (frames is None or there["frame"] < frames):
        return f": 'frame {floor(there['frame']) + 1}' or later"
    if there.get("fraction", 1) < 1:
        return f": more than '{there['fraction'] * 100:g}%'"
    return ""


def _is_behind(here: dict[str, float], there: dict[str, float]) -> bool:
    return any(here[scale] <= there[scale] for scale in here.keys() & there.keys())
