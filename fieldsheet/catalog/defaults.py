"""What holds where a file says nothing.  Every default of the catalog is here, and nowhere else."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

FPS = 25

# Of [print]. A sealed edge takes 3 mm, the hand that trims two more (common practice, no source).
PRINT_CARD = "A6"
PRINT_SHEET = "A4"
PRINT_SIDES = 2
PRINT_CLOCK_H = 24
PRINT_SEAL_MM = Decimal(5)
PRINT_HOLE = "none"
# A code on a card in the hand, or on the rig in front of one.
PRINT_READ_AT_CM = Decimal(30)

HOLD_FRAMES = 0
EASE_FRAMES = 0
CROP_MARGIN = Decimal(0)
ORIENTATION = "landscape"
AIM_X = Decimal(0)
AIM_Y = Decimal(0)
INCLINE_DEG = Decimal(0)
HEAD_BASE = "levelled"
BASE_OFF_DEG = Decimal(0)
LENS_HEIGHT_M = Decimal("1.2")
LEG_SPREAD_MM = Decimal(0)
# A lens without a tilt axis is taken to stand level, and a landmark on the level horizon.
TILT_DEG = Decimal(0)
LANDMARK_ALTITUDE_DEG = Decimal(0)
# Of a landmark by its position: what is sighted is its foot.
LANDMARK_HEIGHT_M = Decimal(0)
HOUSE_MUST = False

# From being on site to frame 1. Common practice, no source: 45 to 60 min for who has done it often, 90 alone
# in the dark, 120 with a class.
SETUPS_MIN = {"practised": 60, "alone in the dark": 90, "class": 120}
SETUP = "alone in the dark"

RIG_LETTER = "A"
TRIGGER = "rig"
SHUTTER_BY = "camera"
INTERVAL_MEANS = "start to start"
ISOLATING_LEAD = False
# The nominal voltage of a lithium cell, in which its mAh are counted (3.6 or 3.7, by definition).
CELL_V = Decimal("3.7")
# Budget for what conversion takes, 80 to 90 % come out (from memory); and what is not to be touched.
PACK_EFFICIENCY = Decimal("0.85")
PACK_RESERVE = Decimal("0.2")
# What stays in a pack of what its charger gives (from memory: nine tenths or more of it).
CHARGE_EFFICIENCY = Decimal("0.9")
# What is left of a pack's capacity by temperature [°C]. Two points are published (all at 27, half at -18 to
# -20: Battery University BU-502); what lies between them here is our own estimate.
COLD = [(-20, Decimal("0.5")), (-10, Decimal("0.7")), (0, Decimal("0.85")), (20, Decimal(1))]
# Where neither shot nor place says how cold it will be.
TEMPERATURE_C = Decimal(20)
# Of the file beside the raw one: cameras write none unless asked to.
PREVIEW_MB = Decimal(0)
PACK_SLEEPS = False
MIDDLE = "free"
JOINS = "straight"
WAITS_FOR_CAMERA = False
ORDERS = ["first-to-last"]
PROGRAM_ORDER = ["interval", "dwell", "frames", "hold", "ease"]
# What a menu cannot ask for, by how the rig moves.
UNASKED = {"continuous": ("dwell",), "none": ("dwell", "hold", "ease")}
INTERVAL_CHANGES = False
# A whole second is a figure that every rig can be given.
INTERVAL_STEP_S = Decimal(1)
# Common practice, no source: 0.5 to 1 s after a move with a wide lens.
SETTLE_S = Decimal(1)
# What a hand can set: a millimetre on a rail, a tenth of a degree on a head.
SLIDE_STEP_MM = Decimal(1)
TURN_STEP_DEG = Decimal("0.1")
NAMED_STEPS = {"mm": SLIDE_STEP_MM, "deg": TURN_STEP_DEG, "turns": Decimal("0.01"), "percent": Decimal(1)}
REVERSE = False

# Common practice, no source: cameras fire within 0.1 s and are ready again within 0.5 s.
RELEASE_LAG_S = Decimal("0.1")
READY_S = Decimal("0.5")

# Switched off in every checklist; and a lens at its widest does not close.
NOISE_REDUCTION = False
APERTURE_CLOSES = False

PROJECTION = "rectilinear"
VIEWFINDER = "optical"
# Four digits, as file names of the common standard for cameras have them (DCF, from memory).
FILE_ROLL = 9999

# An exposure is turned by hand, under a clear sky, at the night's aperture from frame 1 on.
TURNED_BY = "hand"
SKY = "clear"
APERTURE = "fixed"
# Common practice, no source: what nearly every camera can be set to.
ISO_RANGE = [100, 12800]
SHUTTER_RANGE = ["1/4000", "30"]
SCENE_EV = Decimal(0)
# Of the published formula for the bending of light (sky/observe.py has the figures).
NOMINAL_AIR = "1010 hPa and 10 °C, for the bending of light"

# Nominal shutter times that many cameras keep open for longer: doublings of 1 s, written rounded.
LONGER_SHUTTERS_S = {Decimal(15): Decimal(16), Decimal(30): Decimal(32)}
# Frame rates written rounded, by the video trade's fractions.
FRACTION_RATES = {
    Decimal("23.976"): (24000, 1001),
    Decimal("23.98"): (24000, 1001),
    Decimal("29.97"): (30000, 1001),
    Decimal("47.952"): (48000, 1001),
    Decimal("59.94"): (60000, 1001),
    Decimal("119.88"): (120000, 1001),
}


def program_order(rig: dict[str, Any]) -> list[str]:
    """Of a rig whose menu nobody wrote down: all that can be asked of one that moves like this."""
    motion = rig.get("motion")
    unasked = UNASKED.get(motion, ()) if isinstance(motion, str) else ()
    return [name for name in PROGRAM_ORDER if name not in unasked]


def acceleration_max(axis: dict[str, Any]) -> Any:
    """Of an axis whose acceleration nobody measured: it reaches its top speed in one second."""
    return axis.get("speed_max")


def named_step(axis: dict[str, Any]) -> Any:
    """Of an axis of the user's own whose scale nobody described: what a hand can set in its unit."""
    return NAMED_STEPS.get(axis.get("unit", ""))


def in_turn(exposure: dict[str, Any]) -> list[str]:
    """Of what moves towards the night: the shutter to its ceiling, an aperture that moves, then the ISO."""
    opens = ["aperture"] if exposure.get("aperture") == "moves" else []
    return ["shutter", *opens, "iso"]


def cell_v(pack: dict[str, Any]) -> Decimal | None:
    """Of a pack of known capacity; one that gives none says nothing of watt-hours."""
    return None if pack.get("capacity_mah") is None else CELL_V


def pack_efficiency(pack: dict[str, Any]) -> Decimal | None:
    """Of a pack of known capacity."""
    return None if pack.get("capacity_mah") is None else PACK_EFFICIENCY


def pack_reserve(pack: dict[str, Any]) -> Decimal | None:
    """Of a pack of known capacity."""
    return None if pack.get("capacity_mah") is None else PACK_RESERVE


def preview_mb(camera: dict[str, Any]) -> Decimal | None:
    """Of a camera whose raw files are known."""
    return None if camera.get("file_mb") is None else PREVIEW_MB


def setup(shot: dict[str, Any]) -> str | None:
    """Of a shot that says nothing of its set-up; none where it gives the minutes."""
    return SETUP if shot.get("setup_min") is None else None


def landmark_altitude(landmark: dict[str, Any]) -> Decimal | None:
    """Of a landmark that was measured by its bearing alone; one given by its position needs none."""
    return LANDMARK_ALTITUDE_DEG if landmark.get("latitude_deg") is None else None


def landmark_height(landmark: dict[str, Any]) -> Decimal | None:
    """Of a landmark given by its position; one that was measured needs none."""
    return None if landmark.get("latitude_deg") is None else LANDMARK_HEIGHT_M
