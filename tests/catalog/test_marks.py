"""The marks on cameras: what they mean, and which figures are none."""

from __future__ import annotations

import json
from decimal import Decimal
from fractions import Fraction
from math import log2
from pathlib import Path
from typing import Any

import pytest

from fieldsheet.catalog.marks import (
    APERTURES,
    ISO_100,
    ISOS,
    ONE_SECOND,
    SHUTTERS,
    aperture,
    iso,
    setting,
    shutter,
    shutter_ms,
)
from fieldsheet.catalog.words import Wrong

PUBLISHED = json.loads((Path(__file__).parents[1] / "published" / "illuminance.json").read_text("utf-8"))


def test_every_mark_lies_where_its_series_says() -> None:
    """Written rounded, by a sixth of a stop at most; two thirds in between would be another mark."""
    off = {
        **{f"f/{mark}": 2 * log2(Fraction(mark)) - n / 3 for n, mark in enumerate(APERTURES)},
        **{f"{mark} s": log2(Fraction(mark)) - (n - ONE_SECOND) / 3 for n, mark in enumerate(SHUTTERS)},
        **{f"ISO {mark}": log2(int(mark) / 100) - (n - ISO_100) / 3 for n, mark in enumerate(ISOS)},
    }
    worst = max(off, key=lambda mark: abs(off[mark]))
    print(f"written farthest from what it means: {worst}, by {off[worst]:.3f} stops")
    assert abs(off[worst]) < 1 / 6


@pytest.mark.parametrize(("f", "time", "sensitivity", "ev"), PUBLISHED["settings"]["rows"])
def test_exposure_values_against_worked_examples(f: str, time: str, sensitivity: int, ev: float) -> None:
    """Within a tenth: the examples take the written figures, a camera the true ones."""
    assert abs(setting(Decimal(f), time, sensitivity).thirds / 3 - ev) < 0.11


@pytest.mark.parametrize(
    ("value", "mark"),
    [
        ("1/1000", "1/1000"),
        (13, "13"),
        ("13 s", "13"),
        (Decimal("0.5"), "0.5"),
        ("1/2", "0.5"),
        ("1/3", "0.3"),
        ("1/16000", "1/16000"),
    ],
)
def test_a_shutter_time_is_written_either_way(value: Any, mark: str) -> None:
    assert shutter(value) == mark


@pytest.mark.parametrize(
    ("check", "value", "right"),
    [
        (shutter, 12, "10 or 13"),
        (shutter, "1/70", "'1/80' or '1/60'"),
        (shutter, "long", "a third-stop shutter time, such as '1/1000', 0.5 or 13"),
        (shutter, True, "a third-stop shutter time, such as '1/1000', 0.5 or 13"),
        (aperture, Decimal("2.7"), "2.5 or 2.8"),
        (iso, 3000, "2500 or 3200"),
        (iso, 120_000, "80000 or 102400"),
        (shutter, 60, "25 or 30"),
    ],
)
def test_a_figure_between_the_marks_is_told_the_nearest(check: Any, value: Any, right: str) -> None:
    with pytest.raises(Wrong) as wrong:
        check(value)
    assert wrong.value.right == right


def test_written_times_keep_open_for_what_they_mean() -> None:
    opened = {SHUTTERS[n]: shutter_ms(n) for n in range(len(SHUTTERS))}
    assert (opened["1/8000"], opened["1/30"], opened["13"], opened["15"], opened["30"]) == (
        1,
        33,
        13000,
        16000,
        32000,
    )
