"""What feeds the rig, and the change of packs while it runs.

Common practice, no source, and never more than the makers allow: two supplies are joined only through an
isolating lead made for it, same type; nothing else plugs into the rig's pack.
"""

from __future__ import annotations

from collections.abc import Iterator

from .row import Row, also, must
from .shot import Shot


def power(shot: Shot) -> Iterator[Row]:
    """Packs in and held; nothing is switched on yet."""
    if not shot.power:
        return
    yield also("supply", note="alone", supply=shot.power["supply"])
    for one in shot.power["packs"]:
        yield must("pack-held", one["name"], one["seat"], note="seat", name=one["name"], seat=one["seat"])
    yield must("join" if shot.power["isolating_lead"] else "never-join", note="makers")


def swap(shot: Shot) -> Iterator[Row]:
    """The change of packs, in the frames that the plan names for it."""
    if not shot.brief["swap"]:
        return
    yield must("swap-within", note="fresh", value="numbers.swap", letter=shot.rig["letter"])
    if shot.incline_deg:
        yield must("hand-under", note="falls")
    isolating = shot.power and shot.power["isolating_lead"]
    yield must("swap-joined" if isolating else "swap-apart", note="makers")
    if shot.drives:
        yield must("position-" + (shot.words["position_after_power_loss"] or "unknown"))
    yield must("swapped", blank="frame")
