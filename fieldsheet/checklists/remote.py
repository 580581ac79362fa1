"""The first drive: the remote made ready, then every axis from end to end before anything depends on it.

Common practice, no source: snags kill more runs than plugs, so full travel comes before camera and keyframes.
"""

from __future__ import annotations

from collections.abc import Iterator

from .row import Row, must
from .shot import Shot
from .words import WORDS


def remote(shot: Shot) -> Iterator[Row]:
    """Pair, hang, jog, then full travel."""
    if shot.remote:
        yield _ready(shot, shot.remote["pair"])
        if shot.remote["steers_by_tilt"]:
            yield must("remote-hangs", note="tilts")
    if not shot.drives:
        return
    yield must("jog-right" if shot.sideways else "jog-up", note="behind")
    axes = ", ".join(WORDS["range." + axis] for axis in shot.rig["axes"])
    yield must("travel-" + shot.kind, note="cold", axes=axes)


def _ready(shot: Shot, pair: str) -> Row:
    """Paired one remote at a time, with every other rig off."""
    others = shot.words["other_letters"]
    if others:
        names = {"letter": shot.rig["letter"], "others": ", ".join(others)}
        return must("remote-alone", note="pair", pair=pair, **names)
    return must("remote", note="pair", pair=pair)
