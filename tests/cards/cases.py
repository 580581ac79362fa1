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
    sheet["rail"] = "rail 120°, home LEFT, incline +12.5°, motor end up the ramp"
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
    many_aborts,
    unbroken,
]
SIDES = {"plain": 3, "bare": 2, "five_keys": 3}
