"""Sheets that strain a card: each changes the hand-written one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tests.cards.sample import item, moment

Sheet = dict[str, Any]


def plain(sheet: Sheet) -> None:
    """Three keyframes, one warning, twelve items."""


def bare(sheet: Sheet) -> None:
    sheet |= {"rail": "", "warnings": [], "checklist": [], "abort": [], "notes": []}
    sheet["strip"]["moments"] = []


def long_words(sheet: Sheet) -> None:
    sheet["title"] = (
        "From the old slipway over the breakwater to the core above the far headland and its two lights"
    )
    sheet["place"] = "Gull Point, the old slipway below the lifeboat house, north side of the wall"
    sheet["span"] = "Sat 5 June 2027 21:30 WEST – Sun 6 June 2027 02:10 WEST"
    sheet["rail"] = "rail runs 300°, home LEFT, 12.5°, home end LOW, motor end up the ramp"
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
        {
            "title": f"Part {part} of the rigging",
            "manner": "read, then do",
            "items": [
                item(
                    f"Job {part}.{n}: seated, locked and tugged",
                    bool(n % 3),
                    "from the drive end, " * (n % 4),
                    ("", "18 s", "S 1060 mm · P −84.9° · T +2.9°")[n % 3],
                )
                for n in range(8)
            ],
        }
        for part in range(5)
    ]
    sheet["warnings"] *= 3
    sheet["notes"] = ["The carriage leaves the wall side: bags stay left of the ramp"] * 4


def slope(sheet: Sheet) -> None:
    """A rail on a slope, a shot past midnight, a note and sky moments that all need their room."""
    sheet |= {
        "rail": "rail runs 270°, home LEFT, 5.0°, home end LOW",
        "span": "19:00 – Fri 9 April, 04:00 UTC+3",
        "set_note": "Set K1 first, K3 last, then drive back to K1: about 41 s.",
        "set_order": [0, 1, 2],
        "program": ["interval", "frames", "hold", "ease"],
        "warnings": [],
    }
    sheet["labels"]["last_closes"] = "last shutter, Fri 9 April"
    for key in sheet["keyframes"]:
        key["sighting"] = ""
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
]
SIDES = {"plain": 3, "bare": 2, "five_keys": 3, "slope": 2}
