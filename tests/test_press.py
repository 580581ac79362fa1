"""From a catalog to its files: the sky reaches far enough, and every problem comes at once."""

from __future__ import annotations

import re
import shutil
from datetime import date
from pathlib import Path

import pytest

from fieldsheet.catalog.read import read_catalog
from fieldsheet.press import clash_texts, fit_packs, plan_catalog, press, sky_of
from fieldsheet.problems import CatalogProblems
from tests.in_memory import in_memory

DEMO = Path(__file__).resolve().parents[1] / "fieldsheet" / "demo"


def _pressed(folder: Path) -> dict[str, bytes]:
    catalog = read_catalog(folder)
    return in_memory(press(catalog, plan_catalog(catalog)))


@pytest.mark.parametrize(
    ("nights", "years"),
    [
        (["2027-06-05"], [2027, 2028]),
        (["2027-01-15"], [2026, 2027, 2028]),
        (["2027-01-16"], [2027, 2028]),
        (["2027-11-28"], [2027, 2028, 2029]),
        (["2027-11-27"], [2027, 2028]),
        (["2029-03-01", "2027-06-05"], [2027, 2028, 2029, 2030]),
        (["1900-01-01"], [1900, 1901]),
        (["2052-12-31"], [2052]),
        (["2052-12-31", "9999-12-31"], [2052]),
        (["0001-01-01"], [2052]),
    ],
)
def test_the_sky_reaches_15_days_back_and_400_on_within_the_ephemeris(
    nights: list[str], years: list[int]
) -> None:
    packs = fit_packs([date.fromisoformat(night) for night in nights])
    assert list(packs) == years
    from_s, to_s = sky_of(packs).span_s
    assert (to_s - from_s) / 86400 > 365 * len(years)


def test_the_problems_of_all_shots_come_at_once(tmp_path: Path) -> None:
    catalog = Path(shutil.copytree(DEMO, tmp_path / "catalog"))
    text = (catalog / "shots" / "slipway.toml").read_text("utf-8")
    for name, night in (("too-early", "1850-06-05"), ("too-late", "2950-06-05")):
        (catalog / "shots" / f"{name}.toml").write_text(text.replace("2027-06-05", night), "utf-8")
    with pytest.raises(CatalogProblems) as raised:
        _pressed(catalog)
    found = [(problem.file, problem.key) for problem in raised.value.problems]
    assert found == [("shots/too-early.toml", "night"), ("shots/too-late.toml", "night")]


def test_the_problems_of_several_keyframes_come_at_once(tmp_path: Path) -> None:
    catalog = Path(shutil.copytree(DEMO, tmp_path / "catalog"))
    shot = catalog / "shots" / "slipway.toml"
    text = shot.read_text("utf-8")
    spoilt, aims = re.subn("aim = {.*}", "aim = { bearing_deg = 10, altitude_deg = 88, x = 0.9 }", text)
    assert aims == 3
    shot.write_text(spoilt, "utf-8")
    with pytest.raises(CatalogProblems) as raised:
        _pressed(catalog)
    assert [problem.key for problem in raised.value.problems] == [
        f"keyframe.{index}.aim" for index in range(3)
    ]


def test_a_clash_is_told_on_the_night_of_both_shots(tmp_path: Path) -> None:
    catalog = Path(shutil.copytree(DEMO, tmp_path / "catalog"))
    text = (catalog / "shots" / "slipway.toml").read_text("utf-8")
    (catalog / "shots" / "again.toml").write_text(text.replace("Slipway: dusk", "Again: dusk"), "utf-8")
    texts = clash_texts(plan_catalog(read_catalog(catalog)))
    assert any("Again" in line and "Slipway" in line and "rig" in line for line in texts["2027-06-05"])
    assert clash_texts(plan_catalog(read_catalog(DEMO))) == {}, "the demo's own nights work out"
