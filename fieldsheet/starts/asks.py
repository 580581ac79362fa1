"""What `new` and `add` ask, each with the option that says it instead. Every help shows it: no imports."""

from __future__ import annotations

from dataclasses import dataclass

FIRST = "the first of several"
SENSORS = "full-frame (default), aps-c, micro-four-thirds, one-inch, medium-44x33"


@dataclass(frozen=True)
class Ask:
    """name: of the answer; option: without hyphens; words: what is asked, with its unit; help: more of it.

    guess: how what is proposed was come by, where it is to be looked at. silent: an option only, which nobody
    is asked for.
    """

    name: str
    option: str
    metavar: str
    words: str
    help: str = ""
    guess: str = ""
    silent: bool = False

    @property
    def told(self) -> str:
        """What the help says of the option, in small letters as help is."""
        return f"{self.words[:1].lower()}{self.words[1:]}{self.help}"


PLACE = (
    Ask("place_title", "place", "NAME", "Name of the place"),
    Ask(
        "latitude_deg",
        "lat",
        "DEG",
        "Latitude, degrees north, or latitude and longitude",
        ", south is negative: 61.52, '61.52 N', '61.52, 25.31', 'geo:61.52,25.31'",
    ),
    Ask("longitude_deg", "lon", "DEG", "Longitude, degrees east", ", west is negative"),
    Ask("elevation_m", "elevation", "M", "Elevation, metres above the sea", " (default: 0)"),
    Ask("zone", "zone", "ZONE", "Time zone, named by a city", " (default: by the nearest city)"),
)
RIG = (
    Ask("rig_kind", "rig", "KIND", "Kind of rig", ": rail-and-head (default), head, lift, turntable, static"),
    Ask(
        "load_kg", "load-kg", "KG", "What the maker lets it carry upright, kg", "; of a lift, from the manual"
    ),
    Ask(
        "travel",
        "travel",
        "LENGTH",
        "How far the carriage goes on its rail, mm, cm or m",
        ": '800 mm', '80 cm' (default: a guess)",
    ),
    Ask("rig_title", "rig-title", "NAME", "Name of the rig", silent=True),
)
CAMERA = (
    Ask("sensor", "sensor", "FORMAT", "Sensor", f": {SENSORS}"),
    Ask("lens", "lens", "KIND", "Kind of lens", ": wide (default), normal, tele, fisheye"),
    Ask("focal_mm", "focal", "MM", "Focal length, mm as engraved", " (default: usual for sensor and lens)"),
    Ask("camera_title", "camera-title", "NAME", "Name of the camera", silent=True),
)
# Of a catalog that has some.
MADE_WITH = (
    Ask(
        "place",
        "place",
        "FILE",
        "Place",
        help=": name of its file, without .toml (default: the first)",
        guess=FIRST,
    ),
    Ask("rig", "rig", "FILE", "Rig", help=", likewise", guess=FIRST),
    Ask("camera", "camera", "FILE", "Camera", help=", likewise", guess=FIRST),
)
SHOT = (
    Ask("subject", "follow", "SUBJECT", "What it follows", ": sun (default), moon, core, pole, view"),
    Ask("bearing_deg", "bearing", "DEG", "Where it looks, degrees clockwise from true north", "; of a view"),
    Ask(
        "incline_deg",
        "incline",
        "DEG",
        "Slope of the rail, degrees up from home end to far end",
        ", down is negative (default: 0)",
    ),
    Ask("payload_kg", "payload-kg", "KG", "What the carriage will carry, kg on a scale", "; of a lift"),
    Ask("title", "title", "TEXT", "Title of the shot"),
    Ask("night", "night", "DATE", "Night, the date of its evening", " (default: today)"),
    Ask("start", "start", "WHEN", "First frame, an event or a clock time", ": 'sunset - 1h', '20:15'"),
    Ask("until", "until", "WHEN", "How long, or when it ends", ": '2h30m', 'nautical dusk', '23:15'"),
    Ask("interval_s", "interval", "S", "Interval, seconds from frame to frame"),
    Ask("longest_shutter_s", "shutter", "S", "Longest shutter of the night, seconds"),
)
# What is asked together, under its heading.
ASKED = {"place": PLACE, "rig": RIG, "camera": CAMERA, "made with": MADE_WITH, "shot": SHOT}
