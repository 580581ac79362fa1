"""Catalogs of any number of invented shots: the demo's own in turn, each under a title of its own."""

from __future__ import annotations

import re
import shutil
from datetime import date, timedelta
from pathlib import Path

import fieldsheet

DEMO = Path(fieldsheet.__file__).parent / "demo"
SOURCES = ("slipway", "hoist", "pole-circle", "clouds", "stone-saw")
FIRST = date(2027, 5, 20)
EDITED = "shot-0000"


def make_catalog(folder: Path, shots: int) -> None:
    """The demo with so many shots, as many a date as it has kinds, date after date."""
    shutil.copytree(DEMO, folder)
    texts = [(folder / "shots" / f"{name}.toml").read_text("utf-8") for name in SOURCES]
    for path in (folder / "shots").iterdir():
        path.unlink()
    for number in range(shots):
        day = FIRST + timedelta(days=number // len(SOURCES))
        text = edited(texts[number % len(SOURCES)], r"(?m)^(night|day) = \d{4}-\d\d-\d\d", rf"\1 = {day}")
        text = edited(text, r'(?m)^title = "(.*)"', rf'title = "\1, {number}"')
        (folder / "shots" / f"shot-{number:04}.toml").write_text(text, "utf-8")


def edit_one(folder: Path) -> None:
    """Gives one shot another title."""
    path = folder / "shots" / f"{EDITED}.toml"
    path.write_text(edited(path.read_text("utf-8"), r'(?m)^title = "', 'title = "Again: '), "utf-8")


def edited(text: str, found: str, put: str) -> str:
    """With the one place that matches replaced."""
    text, times = re.subn(found, put, text)
    assert times == 1, found
    return text
