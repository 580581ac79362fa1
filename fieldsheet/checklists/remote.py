"""The first drive: everything that needs the power on, before camera, focus and keyframes depend on it.

Common practice, no source: snags kill more runs than plugs, so full travel comes first; then the level is
looked at where only a drive gets to, and put right while nothing depends on it yet; then the zeros.
"""

from __future__ import annotations

from collections.abc import Iterator

from .aimed import sun, zeros
from .row import Row, also, must, tied
from .shot import Shot
from .words import WORDS


def remote(shot: Shot) -> Iterator[Row]:
    """Hang, cap, hands off, power on, jog, full travel, level, zeros, and how marks are come to."""
    if shot.tilts:
        yield must("remote-hangs", note="tilts")
    if shot.has("pan"):
        yield from sun(shot)
    if shot.drives:
        yield must("clear-" + shot.kind, note="stop")
    yield from _power_on(shot)
    if not shot.drives:
        return
    yield also("jog-right" if shot.sideways else "jog-up", note="behind" if shot.has("slide") else "camera")
    axes = ", ".join(WORDS.get("range." + axis, axis) for axis in shot.rig["axes"])
    yield must("travel-" + shot.kind, note="cold", axes=axes)
    yield from _level(shot)
    yield from zeros(shot)
    if shot.moves:
        yield also("approach", note="backlash")
    if shot.brief["deep_cold"]:
        yield must("travel-again", note="cold", axes=axes)


def _power_on(shot: Shot) -> Iterator[Row]:
    """Remote and power in one row: which of them comes first, the remote's own words say."""
    pairing = _pairing(shot)
    if shot.power:
        yield must("power-on" + pairing[0], note=pairing[1], **pairing[2])
        if shot.incline_deg:
            yield tied(must("holds", note="sinks"))
        if shot.power["sleeps"]:
            yield also("stays-on")
    elif pairing[0]:
        yield must("joined" + pairing[0], note=pairing[1], **pairing[2])


def _pairing(shot: Shot) -> tuple[str, str | None, dict[str, str]]:
    """End of the rule, note, arguments: one remote at a time, with every other rig off."""
    pair = shot.remote["pair"] if shot.remote else None
    if pair is None:
        return "", None, {}
    if shot.words["other_letters"]:
        return "-alone", "pair", {"pair": pair, "letter": shot.rig["letter"]}
    return "-remote", "pair", {"pair": pair}


def _level(shot: Shot) -> Iterator[Row]:
    """Carriage to the middle and to both ends, and two pans, as far as the rig has them."""
    if shot.has("slide"):
        yield also("holds-level-turned" if shot.has("pan") else "holds-level", note="first")
    elif shot.has("pan"):
        yield also("holds-level-head", note="first")
