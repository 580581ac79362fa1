"""What the rules ask of a shot: short questions about its brief and its plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fieldsheet.plan.schedule import SHARES

STEEP_DEG = 30.0
"""A rail steeper than this wants a tether and the maker's load figure (common practice, no source)."""
UPRIGHT_DEG = 60.0
"""A rail steeper than this has a low and a high end, no left and right (common practice, no source)."""

MAY_NEED = 0.5
"""Of what the packs before it give: so much used, another night may need a change; none is twice as long."""

DEPTHS_DEG = {"civil dusk": 6.0, "nautical dusk": 12.0, "astronomical dusk": 18.0, "core usable": 15.0}
"""How deep the sun stands at least at these events."""
SUNSET_DEG = 0.85
"""How deep the sun's centre stands when its upper edge sets: 16' and 34' of refraction (USNO)."""
LEVEL_SHARE = dict(SHARES)["level"]
"""The share of the set-up that is left when the rig is level; only then is it driven."""


@dataclass(frozen=True)
class Shot:
    """One shot, and parts of its brief by themselves; what is asked here is the same on every night."""

    brief: dict[str, Any]
    plan: dict[str, Any]
    rig: dict[str, Any]
    rail: dict[str, Any] | None
    camera: dict[str, Any]
    words: dict[str, Any]
    power: dict[str, Any] | None
    remote: dict[str, Any] | None

    @property
    def kind(self) -> str:
        """What stands there: a "rail", a "head" that turns, or a "still" stand."""
        if self.has("slide"):
            return "rail"
        return "head" if self.drives else "still"

    @property
    def drives(self) -> bool:
        """Whether the rig has any axis."""
        return bool(self.rig["axes"])

    @property
    def moves(self) -> bool:
        """Whether this shot goes from one keyframe to another."""
        return self.drives and len(self.brief["keyframes"]) > 1

    def has(self, axis: str) -> bool:
        """Whether the rig has this axis, "slide", "pan" or "tilt"."""
        return axis in self.rig["axes"]

    @property
    def tilted(self) -> bool:
        """Whether a hand tilts the lens, once."""
        return self.brief["tilt_deg"] is not None and not self.has("tilt")

    @property
    def spares(self) -> list[dict[str, Any]]:
        """The packs after the one that the run begins with."""
        return self.power["packs"][1:] if self.power else []

    @property
    def swaps(self) -> int:
        """How often the pack is changed while the shot runs: as planned, or as another night may need it."""
        planned = max(len(self.plan["power"]["changes"]), int(self.brief["swap"] is not None))
        if not self.rig["power"] or not self.rig["power"]["can_swap"]:
            return planned
        rig, before_wh, may = self.plan["power"]["supplies"][0], 0.0, 0
        for pack in rig["packs"][:-1]:
            before_wh += pack["usable_wh"]
            may += rig["total_wh"] >= before_wh * MAY_NEED
        return max(planned, may)

    @property
    def tilts(self) -> bool:
        """Whether the remote drives whenever it is tipped."""
        return bool(self.remote and self.remote["steers_by_tilt"])

    @property
    def dark(self) -> bool:
        """Whether the sun is down, on any night, from the moment that the rig can first be driven.

        It sinks by at most 15 degrees an hour: so long before dusk it was still above the dusk's own depth.
        """
        anchor, run_ms = self.brief["start"], 0
        if anchor is None:
            anchor, run_ms = self.brief["end"], self.plan["timing"]["duration_ms"]
        depth_deg = DEPTHS_DEG.get(anchor.get("event"))
        if depth_deg is None:
            return False
        lead_s = (LEVEL_SHARE * self.brief["setup_ms"] + run_ms) / 1000 - anchor["offset_s"]
        return bool(lead_s <= (depth_deg - SUNSET_DEG) / 15.0 * 3600.0)

    @property
    def upright(self) -> bool:
        """Whether the rail stands rather than lies."""
        return self.incline_deg > UPRIGHT_DEG

    @property
    def incline_deg(self) -> float:
        """How far the rail leans from level, 0 to 90."""
        return abs(self.rail["incline_deg"]) if self.rail else 0.0

    @property
    def sideways(self) -> bool:
        """Whether the first axis to be jogged goes right rather than up."""
        return self.has("pan") or (self.has("slide") and not self.upright)


def shot_of(brief: dict[str, Any], plan: dict[str, Any]) -> Shot:
    """The shot of a brief and its plan; a rail counts where the rig rides one."""
    words = brief["words"]
    rail = brief["rail"] if "slide" in brief["rig"]["axes"] else None
    return Shot(brief, plan, brief["rig"], rail, brief["camera"], words, words["power"], words["remote"])


def home_of(rail: dict[str, Any]) -> str:
    """The rail's home end as it is said: LEFT; LEFT, LOW on an incline; LOW."""
    end, incline = rail["home_end"], rail["incline_deg"]
    if incline and end in ("left", "right"):
        end += ", low" if incline > 0 else ", high"
    return str(end).upper()
