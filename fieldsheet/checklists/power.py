"""What feeds the rig, and the change of packs while it runs.

Common practice, no source, and never more than the makers allow: two supplies are joined only through an
isolating lead made for it, same type; nothing else plugs into the rig's pack.
"""

from __future__ import annotations

from collections.abc import Iterator

from .row import Row, also, must, tied
from .shot import Shot
from .words import WORDS


def power(shot: Shot) -> Iterator[Row]:
    """The pack that the run begins with, plugged in and held; nothing is switched on yet.

    How two packs are changed is said once: in the swap where one is planned, else here.
    """
    if not shot.power:
        return
    supply, packs = shot.power["supply"], shot.power["packs"][:1]
    for one in packs:
        full, lasts = ("plug-full", "numbers.pack_lasts") if shot.rig["power"] else ("plug-pack", None)
        yield must(full, note="off", value=lasts, supply=supply, name=one["name"])
        yield also("pack-held", one["name"], one["seat"], note="seat", name=one["name"], seat=one["seat"])
    if not packs:
        yield must("plug", note="off", supply=supply)
    if shot.spares and not shot.swaps:
        yield must("join" if shot.power["isolating_lead"] else "never-join", note="makers")


def swap(shot: Shot) -> Iterator[Row]:
    """The change of packs, in the frames that the plan names for it, and every later one.

    Through an isolating lead the rig never loses its power, unless something slips; without one it does.
    """
    if not shot.swaps:
        return
    yield _within(shot)
    if shot.incline_deg:
        yield must("hand-under", note="falls")
    isolating = bool(shot.power and shot.power["isolating_lead"])
    yield must("swap-joined" if isolating else "swap-apart", note="makers")
    if shot.drives:
        yield _after_loss(shot, WORDS["when.slipped" if isolating else "when.off"])
    yield also("swapped", blank="frame")
    for number, pack in enumerate(shot.spares[1 : shot.swaps], start=1):
        name, letter = pack["name"], shot.rig["letter"]
        yield also("swap-to", name, note="fresh", value=f"swaps.{number}", name=name, letter=letter)
        yield tied(also("swapped-to", name, blank="frame", name=name))


def _after_loss(shot: Shot, when: str) -> Row:
    """A rig that forgot where it stands may run into its end, by a tilted remote too."""
    kept = shot.rig["position_after_power_loss"] or "unknown"
    if kept == "kept":
        return also("position-kept", when=when)
    return must("position-" + kept, note="hung" if shot.tilts else None, when=when)


def _within(shot: Shot) -> Row:
    """Which pack goes in, where the rig has a second one by name."""
    letter = shot.rig["letter"]
    if shot.spares:
        name = shot.spares[0]["name"]
        return also("swap-to", note="fresh", value="swaps.0", name=name, letter=letter)
    return also("swap-within", note="fresh", value="swaps.0", letter=letter)
