"""What feeds the rig, and the change of packs while it runs.

Common practice, no source, and never more than the makers allow: two supplies are joined only through an
isolating lead made for it, same type; nothing else plugs into the rig's pack.
"""

from __future__ import annotations

from collections.abc import Iterator

from .row import Row, also, must
from .shot import Shot
from .words import WORDS


def power(shot: Shot) -> Iterator[Row]:
    """The pack that the run begins with in and held; nothing is switched on yet.

    How two packs are changed is said once: in the swap where one is planned, else here.
    """
    if not shot.power:
        return
    yield also("supply", note="alone", supply=shot.power["supply"])
    for one in shot.power["packs"][:1]:
        yield must("pack-held", one["name"], one["seat"], note="seat", name=one["name"], seat=one["seat"])
    if shot.spares and not shot.brief["swap"]:
        yield must("join" if shot.power["isolating_lead"] else "never-join", note="makers")


def swap(shot: Shot) -> Iterator[Row]:
    """The change of packs, in the frames that the plan names for it.

    Through an isolating lead the rig never loses its power, unless something slips; without one it does.
    """
    if not shot.brief["swap"]:
        return
    yield _within(shot)
    if shot.incline_deg:
        yield must("hand-under", note="falls")
    isolating = bool(shot.power and shot.power["isolating_lead"])
    yield must("swap-joined" if isolating else "swap-apart", note="makers")
    if shot.drives:
        kept = shot.words["position_after_power_loss"] or "unknown"
        yield must("position-" + kept, when=WORDS["when.slipped" if isolating else "when.off"])
    yield must("swapped", blank="frame")


def _within(shot: Shot) -> Row:
    """Which pack goes in, where the rig has a second one by name."""
    letter = shot.rig["letter"]
    if shot.spares:
        name = shot.spares[0]["name"]
        return must("swap-to", note="fresh", value="numbers.swap", name=name, letter=letter)
    return must("swap-within", note="fresh", value="numbers.swap", letter=letter)
