"""Names that a catalog shares with the rooms that compute with them: bodies, events, sections of a checklist.

The catalog imports none of those rooms; tests hold the names equal to theirs.
"""

from __future__ import annotations

from typing import Any

from .words import Wrong, near, show

PRINT_CARDS = ("A6", "A5", "A4", "letter", "4x6 in")
CUT_CARDS = ("A6", "A5", "4x6 in")
PRINT_SHEETS = ("A4", "letter")
PRINT_HOLES = ("none", "left", "right")

PLANETS = ("mercury", "venus", "mars", "jupiter", "saturn")
POLES = ("north pole", "south pole")
STARS = (
    "sirius",
    "canopus",
    "arcturus",
    "rigil kentaurus",
    "vega",
    "capella",
    "rigel",
    "procyon",
    "achernar",
    "betelgeuse",
    "hadar",
    "altair",
    "acrux",
    "aldebaran",
    "spica",
    "antares",
    "pollux",
    "fomalhaut",
    "deneb",
    "mimosa",
    "regulus",
    "adhara",
    "castor",
    "gacrux",
    "alnilam",
    "polaris",
    "alcyone",
)
BODIES = ("sun", "moon", "galactic core", *PLANETS, *POLES, *STARS)
MOVING_RIGHT = "'sun', 'moon', 'galactic core', a planet such as 'jupiter' or a bright star such as 'antares'"
BODY_RIGHT = (
    "'sun', 'moon', 'galactic core', a planet such as 'jupiter', 'north pole', 'south pole' "
    "or a bright star such as 'antares'"
)

BASE_EVENTS = (
    "sunrise",
    "sunset",
    "civil dawn",
    "civil dusk",
    "nautical dawn",
    "nautical dusk",
    "astronomical dawn",
    "astronomical dusk",
    "moonrise",
    "moonset",
    "core rise",
    "core set",
    "core highest",
    "core usable",
    "core unusable",
)
BODY_EVENTS = (
    "sun highest",
    "moon highest",
    *(f"{body} {doing}" for body in (*PLANETS, *STARS) for doing in ("rise", "set", "highest")),
)
# Only where the place has a measured horizon.
RIDGE_EVENTS = tuple(f"{body} {how} ridge" for body in ("sun", "moon", "core") for how in ("behind", "over"))
# Kind of tide -> the key of a place's [[tide]] under which its times stand.
TIDES = {
    "high tide": "high",
    "low tide": "low",
    "wet line": "wet_line",
    "exit closes": "exit_closes",
}
EVENTS = (*BASE_EVENTS, *RIDGE_EVENTS, *BODY_EVENTS, *TIDES)
EVENTS_RIGHT = (
    "sunrise, sunset, civil, nautical and astronomical dawn and dusk, moonrise, moonset, core rise, "
    "core set, core highest, core usable, core unusable, high tide, low tide, wet line, exit closes, "
    "and such as 'antares rise', 'jupiter set', 'moon highest', 'sun behind ridge', 'core over ridge'"
)

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")

PROJECTIONS = ("rectilinear", "equidistant", "equisolid")

# In the order in which they are worked through.
SECTIONS = (
    "pack",
    "rig",
    "power",
    "cables",
    "level",
    "remote",
    "camera",
    "keyframes",
    "program",
    "ready",
    "rolling",
    "swap",
    "wrap",
)


def body(value: Any) -> Any:
    """The body that a text names, however its letters are written; raises Wrong."""
    plain = " ".join(value.casefold().split()) if isinstance(value, str) else value
    if plain in BODIES:
        return plain
    meant = near(plain, BODIES) if isinstance(plain, str) else None
    raise Wrong(show(value), f"'{meant}' (did you mean that?)" if meant else BODY_RIGHT)
