"""What rig, camera and heater take and what they live on, as the part of a brief that is computed with."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from . import defaults
from .models.camera import Camera
from .models.head import CatalogFile
from .models.place import Place
from .models.power import RATES, Battery, Heater, Pack, Power
from .models.rig import Rig
from .models.shot import Shot

Pairs = Sequence[tuple[Decimal | int, Decimal]]


def temperature_c(shot: Shot, place: Place) -> float:
    """How cold the packs will be [°C]: as the shot says, else as the air of the place, else the default."""
    if shot.temperature_c is not None:
        return float(shot.temperature_c)
    return float(defaults.TEMPERATURE_C if place.air is None else place.air.temperature_c)


def rig_power(rig: Rig, axes: dict[str, Any]) -> dict[str, Any] | None:
    """What a rig takes, None where it says nothing of watts; axes as the brief has them.

    moving_wh: Wh per unit of each axis; up, down, holding: pairs of incline in degrees and ratio.
    """
    power = rig.power
    if power is None or power.electronics_w is None:
        return None
    up = _pairs(power.incline_factor)
    return {
        "electronics_w": float(power.electronics_w),
        "holding_w": float(power.holding_w or 0),
        "moving_wh": {name: _rate(power, name, axis["unit"]) for name, axis in axes.items()},
        "up": up,
        "down": _pairs(power.incline_factor_down) or up,
        "holding": _pairs(power.holding_factor) or up,
        "peak_w": None if power.peak_w is None else float(power.peak_w),
        "payload_kg": None if power.measured_payload_kg is None else float(power.measured_payload_kg),
        "can_swap": can_swap(rig),
        "packs": [_pack(pack) for pack in power.pack],
    }


def can_swap(rig: Rig) -> bool:
    """Whether the pack can be changed while the rig runs: not where it then forgets where it stands."""
    assert rig.power is not None, "asked of a rig with power"
    forgets = rig.position_after_power_loss == "lost" and not rig.power.isolating_lead
    return len(rig.power.pack) > 1 and not forgets


def battery_of(camera: Camera) -> dict[str, Any] | None:
    """A camera's own battery, as a pack with what takes of it; None where the file has none."""
    battery = camera.battery
    if battery is None:
        return None
    return {
        "frame_wh": float(battery.frame_wh),
        "idle_w": float(battery.idle_w),
        "pack": _held(None, _battery_wh(battery), Decimal(1), battery.reserve, battery.cold),
    }


def heater_of(heater: Heater | None) -> dict[str, Any] | None:
    """The heater of a shot and its pack; None without one."""
    if heater is None:
        return None
    rated_wh = heater.capacity_mah * heater.cell_v / 1000
    return {
        "heater_w": float(heater.heater_w),
        "pack": _held(None, rated_wh, heater.efficiency, heater.reserve, heater.cold),
    }


def charging_of(head: CatalogFile) -> dict[str, Any] | None:
    """When packs are charged between shots, in seconds of the clock, and by what; None where nobody says."""
    charging = head.charging
    if charging is None:
        return None
    return {
        "from_s": charging.from_,
        "until_s": charging.until,
        "charger_w": float(charging.charger_w),
        "efficiency": float(charging.efficiency),
    }


def cards_of(camera: Camera) -> dict[str, Any] | None:
    """MB of a frame and GB of each card; None where the file says nothing of them."""
    if camera.file_mb is None or camera.card_gb is None:
        return None
    return {
        "frame_mb": float(camera.file_mb + (camera.preview_mb or 0)),
        "card_gb": [float(card) for card in camera.card_gb],
    }


def _rate(power: Power, axis: str, unit: str) -> float:
    key, units = RATES[unit]
    rates: dict[str, Decimal] = getattr(power, key)
    return float((rates[axis] if axis in rates else rates[""]) / units)


def _pack(pack: Pack) -> dict[str, Any]:
    assert pack.capacity_mah is not None and pack.cell_v is not None, "a checked pack has a capacity"
    assert pack.efficiency is not None and pack.reserve is not None, "and what comes out of it"
    rated_wh = pack.capacity_mah * pack.cell_v / 1000
    return {
        **_held(pack.name, rated_wh, pack.efficiency, pack.reserve, pack.cold),
        "cell_v": float(pack.cell_v),
        "output_w": None if pack.output_w is None else float(pack.output_w),
    }


def _held(
    name: str | None, rated_wh: Decimal, efficiency: Decimal, reserve: Decimal, cold: Pairs | None
) -> dict[str, Any]:
    return {
        "name": name,
        "rated_wh": float(rated_wh),
        "efficiency": float(efficiency),
        "reserve": float(reserve),
        "cold": _pairs(cold or defaults.COLD),
    }


def _battery_wh(battery: Battery) -> Decimal:
    if battery.capacity_wh is not None:
        return battery.capacity_wh
    assert battery.capacity_mah is not None and battery.nominal_v is not None, "a checked battery has both"
    return battery.capacity_mah * battery.nominal_v / 1000


def _pairs(pairs: Pairs | None) -> list[list[float]]:
    return [[float(part) for part in pair] for pair in pairs or ()]
