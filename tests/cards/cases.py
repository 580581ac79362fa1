"""Sheets that strain a card: each changes the hand-written one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tests.cards.sample import crowded, moment
from tests.cards.sample_list import item, section

Sheet = dict[str, Any]


def plain(sheet: Sheet) -> None:
    """Three keyframes, one warning, twelve items."""


def bare(sheet: Sheet) -> None:
    emptied = (
        "warnings",
        "checklist",
        "abort",
        "notes",
        "deadlines",
        "limits",
        "sky",
        "sky_lines",
        "arch_lines",
        "dew",
        "needs",
        "power",
        "rolling",
    )
    sheet |= dict.fromkeys(("rail", "rail_short", "zero_magnetic", "position"), "")
    sheet |= {name: [] for name in emptied}
    sheet["numbers"] |= dict.fromkeys(("latest_start", "lost", "largest_step", "view", "aim_error"), "")
    sheet["strip"]["moments"] = []


def long_words(sheet: Sheet) -> None:
    sheet["title"] = (
        "From the old slipway over the breakwater to the core above the far headland and its two lights"
    )
    sheet["place"] = "Gull Point, the old slipway below the lifeboat house, north side of the wall"
    sheet["span"] = "Sat 5 June 2027 21:30 WEST – Sun 6 June 2027 02:10 WEST"
    run = "home LEFT, 12.5°, home end LOW, motor end up the ramp"
    sheet["rail"] = "rail 300° true, 287° magnetic, " + run
    sheet["rail_short"] = "rail 300° (287° mag), " + run
    for key in sheet["keyframes"]:
        key["sighting"] = "End of the breakwater in the middle, waterline on the lower third, " * 2
    sheet["abort"] = [line + ", " + "and carry everything up to the wall at once" for line in sheet["abort"]]


def five_keys(sheet: Sheet) -> None:
    middle = sheet["keyframes"][1]
    names = ["START", "BETWEEN", "BETWEEN", "BETWEEN", "END"]
    sheet["keyframes"] = [
        middle
        | {
            "key": f"K{n + 1}",
            "name": name,
            "on_rig": str(5 - n),
            "axes": {"slide": str(n * 250), "pan": f"−1{n}4.5", "tilt": f"+1{n}.5"},
        }
        for n, name in enumerate(names)
    ]
    sheet["set_order"] = [4, 3, 2, 1, 0]
    sky = [one for one in sheet["strip"]["moments"] if one["side"] == "sky"]
    sheet["strip"]["moments"] = sky + [
        moment("hand", "keyframe", 1 + 95.6 * n**1.5, f"K{n + 1}", "21:25", name)
        for n, name in enumerate(names)
    ]


def five_long_keys(sheet: Sheet) -> None:
    five_keys(sheet)
    for key in sheet["keyframes"]:
        key["sighting"] = "End of the breakwater in the middle, waterline on the lower third, " * 3


def five_axes(sheet: Sheet) -> None:
    sheet["axes"] += [
        {"name": "roll", "letter": "R", "unit": "°"},
        {"name": "lift", "letter": "L", "unit": "mm"},
    ]
    for key in sheet["keyframes"]:
        key["axes"] |= {"roll": "−0.5", "lift": "1250"}


def many_items(sheet: Sheet) -> None:
    sheet["checklist"] = [
        section(
            f"part{part}",
            f"Part {part} of the rigging",
            "rigger" if part % 2 else "",
            *(
                item(
                    f"Job {part}.{n}: seated, locked and tugged",
                    bool(n % 3),
                    "from the drive end, " * (n % 4),
                    ("", "18 s", "frames 121–301, 20:06–21:00")[n % 3],
                    ("", "", "", "file number")[n % 4],
                )
                for n in range(8)
            ),
        )
        for part in range(5)
    ]
    sheet["warnings"] *= 3
    sheet["notes"] = ["The carriage leaves the wall side: bags stay left of the ramp"] * 4


def slope(sheet: Sheet) -> None:
    """A rail on a slope, a shot past midnight, a note and sky moments that all need their room."""
    sheet |= {
        "rail": "rail 270° true, 271° magnetic, home LEFT, 5.0°, home end LOW",
        "rail_short": "rail 270° (271° mag), home LEFT, 5.0°, home end LOW",
        "span": "19:00 – Fri 9 April, 04:00 UTC+3",
        "set_note": "Set K1 first, K3 last, then drive back to K1: about 41 s.",
        "set_order": [0, 1, 2],
        "program": ["interval", "frames", "hold", "ease"],
        "warnings": [],
    }
    sheet["labels"]["last_closes"] = "last shutter, Fri 9 April"
    for key in sheet["keyframes"]:
        key["sighting"] = key["waits"] = ""
    hand = [one for one in sheet["strip"]["moments"] if one["side"] == "hand"]
    sheet["strip"]["moments"] = hand + [
        moment("sky", "event", 1 + 30 * n, name, f"19:{10 + n}")
        for n, name in enumerate(("sunset", "civil", "nautical", "astron.", "moonset", "core rise"))
    ]


def days_on_both_clocks(sheet: Sheet) -> None:
    sheet["labels"] |= {"first_frame": "first frame, Mon 28 June", "last_closes": "last shutter, Mon 28 June"}


def stopped(sheet: Sheet) -> None:
    """Two open warnings that stop the shot, and between them one that does not."""
    stops = [
        {
            "level": "no-go",
            "word": "No go",
            "head": head,
            "sum": "Needed 13.5 s: dwell 14 s + move 0 s + settle 0 s. Interval 13 s.",
            "fix": "Set the interval to 14 s.",
        }
        for head in ("The interval is 0.5 s too short: frames will be missed", "K3 is outside the limits")
    ]
    sheet["warnings"] = [stops[0], *sheet["warnings"], stops[1]]


def many_aborts(sheet: Sheet) -> None:
    sheet["abort"] = [
        f"line {n}: water at the iron ring, carry the rig up first, then the bags" for n in range(24)
    ]


def unbroken(sheet: Sheet) -> None:
    sheet["title"] = "Breakwaterslipwaylighthouse" * 4
    sheet["checklist"][0]["items"][0]["text"] = "someverylongunbrokenword" * 5
    sheet["abort"] = ["x" * 200]


def everything(sheet: Sheet) -> None:
    """A crew, a swap, tides, 66 items."""
    sheet |= crowded()


def still(sheet: Sheet) -> None:
    """A stand without axes: no keyframe at all."""
    sheet |= {
        "axes": [],
        "keyframes": [],
        "set_order": [],
        "rail": "",
        "rail_short": "",
        "set_note": "Nothing moves: set once.",
    }
    sheet["program"] = ["interval", "frames"]
    hand = [one for one in sheet["strip"]["moments"] if one["kind"] == "keyframe"]
    sheet["strip"]["moments"] = [one for one in sheet["strip"]["moments"] if one not in hand]


def one_key(sheet: Sheet) -> None:
    """A single keyframe: the rig stands all night."""
    sheet |= {"keyframes": sheet["keyframes"][:1], "set_order": [0], "set_note": "Nothing moves: set once."}
    hand = [one for one in sheet["strip"]["moments"] if one["kind"] == "keyframe"]
    sheet["strip"]["moments"] = [one for one in sheet["strip"]["moments"] if one not in hand[1:]]


def zones(sheet: Sheet) -> None:
    """The clocks change on the way: each time carries its zone, and the deadlines take two lines."""
    for one in (*sheet["deadlines"], *sheet["limits"], *sheet["rolling"]):
        one["clock"] += " CEST"


def many_times(sheet: Sheet) -> None:
    """A strip so high that it has a side of the card's front to itself."""
    sheet["strip"]["moments"] += [
        moment("hand", "act", 300 + 4 * n, f"a long name for act {n}", "21:00", "with a detail")
        for n in range(14)
    ]


def ramped(sheet: Sheet) -> None:
    """Sixteen bands of exposure, more than a dusk takes."""
    does = "one click slower every 12 frames, 1/2000 to 1/500 s, 6 clicks"
    sheet["exposure"] = {
        "start": "f/2.8 · 1/2000 s · ISO 100",
        "lines": [
            {"name": "at frame 1", "text": "f/2.8 · 1/2000 s · ISO 100"},
            {"name": "turned", "text": "by hand; the first click comes after the frame before has closed"},
            {"name": "bases", "text": "EV 14.0 at 19:36, EV −5.7 at 23:22"},
            {"name": "star trails", "text": "1.9 px on the sensor, 1.2 px in a clip of 3840; in 13 s"},
        ],
        "bands": [
            {
                "frames": f"{47 * n + 1}–{47 * n + 47}",
                "clock": f"2{n // 6}:{n % 6}5",
                "does": does,
                "reads": "f/2.8 · 1/500 s · ISO 100",
                "total": f"+{6 * n}",
                "spare": "17.9 s",
            }
            for n in range(16)
        ],
    }


CASES: list[Callable[[Sheet], None]] = [
    plain,
    bare,
    long_words,
    five_keys,
    five_long_keys,
    five_axes,
    many_items,
    slope,
    days_on_both_clocks,
    stopped,
    many_aborts,
    unbroken,
    everything,
    still,
    one_key,
    zones,
    many_times,
    ramped,
]
# Sides of A6. With lines as far apart as rule 9 of Degani 1992 asks, what is plain goes on to a fourth: the
# back of its second card, so that it takes no more paper.
SIDES = {"plain": 4, "bare": 2, "everything": 8, "still": 3}
