"""Which keys nothing reads in a shot, though its files may give them."""

from __future__ import annotations

from .models.camera import Camera
from .models.rig import Rig
from .models.shot import Shot

# Where nothing moves.
STILL = ("shot.hold_frames", "shot.ease_frames", "shot.order", "shot.reverse", "rig.orders", "rig.joins")
EXPOSED = ("camera.shutters", "camera.iso")
INCLINED = ("rig.power.incline_factor", "rig.power.incline_factor_down", "rig.power.holding_factor")


def idle_keys(shot: Shot, rig: Rig, camera: Camera) -> tuple[str, ...]:
    """Dotted keys, each behind the kind of its file."""
    idle: list[str] = []
    if len(shot.keyframe) < 2:
        idle += STILL
    if rig.motion != "shoot-move-shoot":
        idle += ("rig.settle_s", "rig.waits_for_camera")
    if all(cable.fits != "camera" for cable in rig.cable):
        idle.append("camera.remote_plug")
    if shot.exposure is None:
        idle += EXPOSED
        if not camera.aperture_closes:
            idle.append("camera.apertures")
    if shot.rail is None or not shot.rail.incline_deg:
        idle += INCLINED
        if shot.rail is None or shot.rail.payload_kg is None:
            idle.append("rig.power.measured_payload_kg")
    return tuple(idle)
