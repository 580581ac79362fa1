"""The moments that a shot may begin and end at, with what each means, for who asks while `new` asks."""

from __future__ import annotations

More = tuple[tuple[str, str], ...]
"""(what may be answered, what it means)."""

EVENTS: More = (
    ("sunrise, sunset", "upper edge of the sun on the horizon"),
    ("civil dawn, civil dusk", "sun at −6°: hands seen without a lamp"),
    ("nautical dawn, nautical dusk", "sun at −12°: the horizon goes"),
    ("astronomical dawn", "sun at −18°: full night is over"),
    ("astronomical dusk", "sun at −18°: full night begins"),
    ("moonrise, moonset", "upper edge of the moon on the horizon"),
    ("core rise, core highest, core set", "of the core of the Milky Way"),
    ("core usable", "core above 10°, sun below −15°, moon down"),
    ("core unusable", "that is over"),
    ("sun highest, moon highest", "on the meridian"),
    ("antares set, jupiter highest", "rise, set, highest of planet, bright star"),
    ("sun behind ridge, moon over ridge", "core too; where the place has a horizon"),
    ("high tide, low tide", "where the place has tides"),
    ("wet line, exit closes", "where the place has tides"),
)
OFFSETS: More = (
    ("sunset - 1h15m, moonrise + 10m", "so long before or after an event"),
    ("20:15", "by the clock of the place"),
)
LENGTHS: More = (("2h30m, 90m", "how long it runs"),)
