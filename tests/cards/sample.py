"""A sheet written by hand, all invented, in the shape that the sheet room makes."""

from __future__ import annotations

from typing import Any

from tests.cards.sample_list import item, section, whole_checklist

LINK = "https://sheets.example.org/slipway/shots/slipway-dusk-to-core/#r=K3F7Q2"


def moment(side: str, kind: str, frame: float, label: str, clock: str, detail: str = "") -> dict[str, Any]:
    """One moment of the strip."""
    return {"side": side, "kind": kind, "frame": frame, "label": label, "clock": clock, "detail": detail}


def sample() -> dict[str, Any]:
    """Three keyframes, set last to first, from sunset into the night."""
    return {
        "letter": "A",
        "title": "Slipway: dusk to the core",
        "place": "Gull Point",
        "rig": "Rail with pan and tilt",
        "camera": "Full frame, 14 mm",
        "night": "Sat 5 June 2027",
        "night_date": "2027-06-05",
        "when": "Sat 5 June 2027",
        "span": "19:30–23:20 WEST",
        "zone": "WEST",
        "revision": "K3F7Q2",
        "changed": False,
        "exposure": None,
        "pan_zero": "225°",
        "zero_magnetic": "226° mag",
        "zero_label": "pan zero, true",
        "zero_sighting": "harbour light",
        "rail": "rail 300° true, 301° magnetic, home LEFT, level",
        "rail_short": "rail 300° (301° mag), home LEFT, level",
        "numbers": {
            "interval": "18 s",
            "dwell": "14 s",
            "frames": "766",
            "hold": "1 fr",
            "ease": "40 fr",
            "first_frame": "19:30",
            "last_closes": "23:20",
            "duration": "3 h 50 min",
            "clip": "30.6 s at 25 fps",
            "largest_step": "S 1.5 mm · P 0.27° · T 0.06°",
            "top_speed": "",
            "joins": "",
            "pace": "15.7 s at frame 712: 0.064 widths a second",
            "change": "",
            "blur": "",
            "shutter": "13 s",
            "slack": "2.4 s",
            "latest_start": "19:42",
            "lost": "3.3 frames a minute",
            "gap": "",
            "swap": "",
            "view": "104° × 66° of landscape 16:9",
            "aim_error": "0.5° is 0.5 % of the width",
        },
        "program": ["interval", "dwell", "frames", "hold", "ease"],
        "labels": {
            "interval": "interval",
            "dwell": "dwell",
            "frames": "frames",
            "hold": "hold",
            "ease": "ease",
            "first_frame": "first frame",
            "last_closes": "last shutter",
            "clip": "clip",
            "largest_step": "most per frame",
            "top_speed": "top speed",
            "joins": "between keyframes",
            "pace": "a frame's width in",
            "change": "most change of speed",
            "blur": "motion blur",
            "shutter": "longest shutter",
            "slack": "spare per interval",
            "duration": "shooting for",
            "latest_start": "latest start",
            "lost": "lost after it",
            "gap": "gap",
            "swap": "swap",
            "view": "view",
            "aim_error": "aim off by",
        },
        "axes": [
            {"name": "slide", "letter": "S", "unit": "mm"},
            {"name": "pan", "letter": "P", "unit": "°"},
            {"name": "tilt", "letter": "T", "unit": "°"},
        ],
        "keyframes": [
            {
                "key": "K1",
                "name": "START",
                "on_rig": "3",
                "frame": "1",
                "clock": "19:30",
                "axes": {"slide": "0", "pan": "+72.1", "tilt": "+6.4"},
                "sighting": "sun over the end of the wall",
                "approach": "by way of S 5 mm",
                "waits": "at 18:10, when it is set: sun 13° left, 16° above its place",
                "meant": "",
                "there": "",
                "also": "",
                "aim": "sun at 294°, +10.2°, in frame x 0.00, y −0.40",
            },
            {
                "key": "K2",
                "name": "MIDDLE",
                "on_rig": "2",
                "frame": "383",
                "clock": "21:25",
                "axes": {"slide": "530", "pan": "0.0", "tilt": "+3.0"},
                "sighting": "breakwater end on the lower third",
                "approach": "",
                "waits": "",
                "meant": "",
                "there": "",
                "also": "in the frame: Venus",
                "aim": "bearing 300°, +2.0°, in frame x 0.00, y 0.00",
            },
            {
                "key": "K3",
                "name": "END",
                "on_rig": "1",
                "frame": "766",
                "clock": "23:20",
                "axes": {"slide": "1060", "pan": "−81.2", "tilt": "+18.1"},
                "sighting": "core right of the light, 3 fists up",
                "approach": "",
                "waits": "",
                "meant": "",
                "there": "",
                "also": "in the frame: Antares, Jupiter",
                "aim": "core at 140°, +11.2°, in frame x 0.00, y +0.20",
            },
        ],
        "set_order": [2, 1, 0],
        "set_note": "Set K3 first, K1 last: the rig then stands where the shot begins.",
        "sky": [
            {"name": "sun behind the ridge", "clock": "19:12", "frame": "before frame 1"},
            {"name": "sunset", "clock": "20:45", "frame": "frame 251"},
            {"name": "core highest", "clock": "02:31", "frame": "after the end"},
        ],
        "deadlines": [
            {"label": "leave", "clock": "16:40"},
            {"label": "on site", "clock": "17:30"},
            {"label": "level", "clock": "18:00"},
            {"label": "stored", "clock": "18:50"},
            {"label": "focus", "clock": "19:05"},
            {"label": "go", "clock": "19:20"},
        ],
        "limits": [
            {"label": "turn back", "clock": "00:30"},
            {"label": "gate closes", "clock": "01:00"},
            {"label": "check in with M.", "clock": "23:45"},
        ],
        "picture": [
            {"name": "sun in the frame", "text": "frames 1–241, there at the start, sets 20:49"},
            {"name": "keep clear", "text": "the lens sees 087° (088° mag) to 355° (355° mag), clockwise"},
        ],
        "views": [
            {
                "caption": "K1 START, 19:30, frame 1",
                "aspect": 16 / 9,
                "horizon": [[(-1.0, -0.55), (1.0, -0.55)]],
                "skyline": [],
                "plane": [],
                "band": [],
                "path": [],
                "meant": [0.0, -0.4],
                "bodies": [
                    {"body": "sun", "name": "sun", "x": 0.0, "y": -0.4, "radius": 0.002}
                    | {"side": 1, "aimed": True},
                ],
                "moon": None,
            }
        ],
        "sky_lines": [
            {"name": "moon", "text": "new, 1 % lit; sets 21:20"},
            {"name": "core", "text": "usable 22:41 until the end; highest 02:31, 24° up"},
            {"name": "planets", "text": "Venus sets 23:02 · Jupiter sets 00:48"},
        ],
        "dew": [{"name": "dew", "text": "not before the air is down to 7 °C"}],
        "arch_lines": [{"name": "Milky Way", "text": "end: arch from 345° to 165°, top 25° up at 075°"}],
        "needs": [
            {
                "name": "moon down at the end",
                "verdict": "met: down by 11.6°",
                "text": "moon down at the end · met: down by 11.6°",
                "met": True,
            },
            {
                "name": "dark for at least 3 h",
                "verdict": "not met: 2 h 10 min",
                "text": "dark for at least 3 h · not met: 2 h 10 min",
                "met": False,
            },
            {
                "name": "low tide 3 h before the end",
                "verdict": "not known: no tide typed for this night",
                "text": "low tide 3 h before the end: not known: no tide typed for this night",
                "met": None,
            },
        ],
        "power": [
            {"name": "rig", "text": "33.1 Wh: set-up 11.6, way back 0.0, shooting 21.5", "brief": False},
            {"name": "pack A", "text": "32.2 of 47.4 Wh at 13 °C, 1.5 runs; lasts to the end", "brief": True},
            {"name": "cards", "text": "26.4 of 64 GB, 37.6 GB spare", "brief": True},
        ],
        "hangs_on": [],
        "rolling": [
            {
                "clock": f"{20 + n // 2}:{'30' if n % 2 else '00'}",
                "frame": f"{101 + 100 * n}",
                "file": f"+{100 + 100 * n}",
            }
            for n in range(7)
        ],
        "strip": {
            "frames": 766,
            "ruler": [100, 200, 300, 400, 500, 600, 700],
            "tones": [min(1.0, max(0.0, (n - 12) / 26)) for n in range(48)],
            "moments": [
                moment("sky", "event", 251.3, "sunset", "20:45"),
                moment("sky", "event", 353.0, "civil", "21:16"),
                moment("sky", "event", 390.0, "core rise", "21:27"),
                moment("sky", "event", 485.7, "nautical", "21:55"),
                moment("sky", "event", 633.3, "astron.", "22:40"),
                moment("hand", "keyframe", 1, "K1", "19:30", "START"),
                moment("hand", "keyframe", 383.5, "K2", "21:25", "MIDDLE"),
                moment("hand", "keyframe", 766, "K3", "23:20", "END"),
            ],
        },
        "warnings": [
            {
                "level": "mind",
                "word": "Mind",
                "head": "The last 40 frames pan faster than they look",
                "sum": "0.34°/frame at frame 690, footage crosses a frame width in 9 s",
                "fix": "an ease of 60 frames brings it under 0.25°",
            }
        ],
        "curves": [
            {
                "letter": "S",
                "text": "slide 0 mm to 1060 mm; at most 1.5 mm a frame, after frame 41",
                "frames": 766,
                "stands": [(1.0, 0.0), (766.0, 1.0)],
                "goes": [(1.0, 0.0), (41.0, 1.0), (726.0, 1.0), (765.0, 0.0)],
                "keys": [(1.0, 0.0), (383.0, 0.5), (766.0, 1.0)],
            }
        ],
        "better": [{"name": "moon, K2 to K3", "text": "yours: 1.2 % of the width at frame 448, 21:35"}],
        "checklist": [
            section(
                "cables",
                "Cables",
                "assistant",
                item("Slide motor seated, flat to the notch, lock turned"),
                item("Tilt lead in port T, rib to the top", note="push home, tug gently"),
                item("Full travel, full pan: nothing snags", note="watch both ends"),
            ),
            section(
                "camera",
                "Camera",
                "operator",
                item("Focus manual, on the far light, taped"),
                item("Noise reduction and stabiliser off"),
                item("Camera minus phone", must=False, blank="s"),
                item("First file number", must=False, blank="file number"),
            ),
            section(
                "ready",
                "Ready to roll",
                "",
                item("Interval", value="18 s"),
                item("Dwell", value="14 s"),
                item("Frames", value="766"),
                item("Bubble unchanged: look, do not touch", role="assistant"),
                item("Cap off, strap off, hood tight"),
                done=True,
            ),
        ],
        "abort": ["gusts above 10 m/s", "thunder heard", "water at the third step"],
        "position": "37.0021° N, 8.9391° W",
        "hazards": [],
        "access": [],
        "permit": "",
        "stays": "",
        "notes": [],
        "crew": [],
    }


def crowded() -> dict[str, Any]:
    """The same shot with everything that a sheet can hold: a crew, a swap, tides, a whole checklist."""
    sheet = sample()
    sheet["checklist"] = whole_checklist()
    sheet |= {
        "rail": "rail 300° true, 301° magnetic, home LEFT, motor RIGHT, 12.5°, home end LOW",
        "rail_short": "rail 300° (301° mag), home LEFT, motor RIGHT, 12.5°, home end LOW",
        "hazards": ["the slipway is green and slick below the iron ring"],
        "access": ["By the lifeboat house, barrier code from M.", "Park above the wall, never on the slip"],
        "permit": "harbour office no. 114",
        "stays": "Ida",
        "notes": ["The carriage leaves the wall side: bags stay left of the ramp"],
        "crew": [{"role": "operator", "who": "Ida"}, {"role": "assistant", "who": "Jon"}],
    }
    sheet["numbers"]["swap"] = "frames 121–301, 20:06–21:00"
    sheet["strip"]["moments"] += [
        moment("hand", "act", 121, "swap from", "20:06"),
        moment("hand", "act", 301, "swap until", "21:00"),
        moment("hand", "act", 560, "turn back", "22:18"),
        moment("sky", "tide", 410, "wet line", "21:33"),
        moment("sky", "tide", 600, "high tide", "22:30"),
    ]
    return sheet
