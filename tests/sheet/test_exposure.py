"""The exposure in words: what a hand turns, and what stands there for the eye."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.plan.plan import plan
from fieldsheet.sheet.exposure import exposure_text
from fieldsheet.sky.sky import Sky
from tests.plan.test_exposure import exposing


def said(brief: dict[str, Any], sky: Sky, **keys: Any) -> dict[str, Any]:
    text = exposure_text(plan(exposing(brief, **keys), sky, {}), lambda utc_ms: "12:34")
    assert text is not None
    return text


def test_a_band_is_read_by_a_hand(demo_brief: dict[str, Any], sky: Sky) -> None:
    bands = said(demo_brief, sky)["bands"]
    assert bands[0]["does"] == "stay" and bands[0]["total"] == "0"
    row = next(band for band in bands if "clicks" in band["does"])
    assert row["does"].startswith("one click slower every ") and row["does"].endswith(" clicks")
    assert " s, " in row["does"] and row["total"].startswith("+")
    assert bands[-1]["reads"] == "f/4 · 13 s · ISO 6400"
    assert any(band["does"].startswith("one click of ISO up every") for band in bands)


def test_with_automatic_the_rows_are_what_it_should_read(demo_brief: dict[str, Any], sky: Sky) -> None:
    text = said(demo_brief, sky, turned_by="automatic")
    lines = {line["name"]: line["text"] for line in text["lines"]}
    assert "a stop off" in lines["turned"]
    assert not any("click" in band["does"] for band in text["bands"])


def test_an_aperture_that_moves_is_told_as_one(demo_brief: dict[str, Any], sky: Sky) -> None:
    bright = {"f": 8, "shutter": "1/250", "iso": 100}
    bands = said(demo_brief, sky, bright=bright, aperture="moves")["bands"]
    assert any("wider" in band["does"] and "f/8 to f/" in band["does"] for band in bands)


@pytest.mark.parametrize("pixels", [None, [6000, 4000]])
def test_trails_are_told_as_far_as_they_are_known(
    demo_brief: dict[str, Any], sky: Sky, pixels: list[int] | None
) -> None:
    brief = {**demo_brief, "camera": {**demo_brief["camera"], "pixels": pixels}}
    lines = {line["name"]: line["text"] for line in said(brief, sky)["lines"]}
    assert "1.2 px in a clip of 3840" in lines["star trails"] and "the core" in lines["star trails"]
    assert (
        ("on the sensor" in lines["star trails"])
        == ("aperture and pixel" in lines["by rule"])
        == (pixels is not None)
    )
