"""From a catalog to its files: the sky reaches far enough, and every problem comes at once."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from fieldsheet.catalog.read import read_catalog
from fieldsheet.press import (
    NOT_PRINTED,
    Printer,
    clash_texts,
    fit_packs,
    plan_catalog,
    press,
    print_catalog,
    sky_of,
)
from fieldsheet.problems import CatalogProblems

DEMO = Path(__file__).resolve().parents[1] / "fieldsheet" / "demo"


Asked = list[tuple[Mapping[str, Any], str]]


def _pressed(folder: Path, printer: Printer | None = None) -> dict[str, bytes]:
    catalog = read_catalog(folder)
    planned = plan_catalog(catalog)
    return press(catalog, planned, print_catalog(catalog, planned, printer) if printer else NOT_PRINTED)


def _printer(asked: Asked) -> Printer:
    """Notes what is asked of it and prints the revision."""

    def paper(kind: bytes) -> Callable[[Mapping[str, Any], str], bytes]:
        def make(sheet: Mapping[str, Any], link: str) -> bytes:
            asked.append((sheet, link))
            return b"%PDF " + kind + sheet["revision"].encode()

        return make

    def combined(title: str, shots: Sequence[tuple[Mapping[str, Any], str]]) -> bytes:
        return " ".join([title, *(sheet["title"] for sheet, _ in shots)]).encode()

    return Printer(paper(b"card "), paper(b"sheet "), combined)


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


def test_a_shot_whose_texts_fit_on_no_card_is_a_problem_and_not_a_traceback() -> None:
    def too_long(sheet: Mapping[str, Any], link: str) -> bytes:
        if sheet["title"].startswith("Slipway"):
            raise ValueError("does not fit on a card, in one piece: a sighting")
        return b""

    with pytest.raises(CatalogProblems) as raised:
        _pressed(DEMO, _printer([])._replace(card=too_long))
    (problem,) = raised.value.problems
    assert problem.file == "shots/slipway.toml"
    assert "a sighting" in problem.found


def test_paper_and_pages_hold_the_same_plan_and_the_paper_its_address() -> None:
    asked: Asked = []
    files = _pressed(DEMO, _printer(asked))
    sheet, link = next(pair for pair in asked if pair[0]["title"].startswith("Slipway"))
    assert link == f"https://example.org/saltings/shots/slipway/#r={sheet['revision']}"
    assert files["cards/slipway.pdf"] == b"%PDF card " + sheet["revision"].encode()
    assert files["sheets/slipway.pdf"] == b"%PDF sheet " + sheet["revision"].encode()
    assert sheet["revision"] in files["shots/slipway/index.html"].decode()


def test_the_file_of_all_cards_is_in_order_of_night() -> None:
    catalog = read_catalog(DEMO)
    planned = plan_catalog(catalog)
    combined = print_catalog(catalog, planned, _printer([])).combined
    starts = {one["shot"]["title"]: one["window"]["start"]["utc_ms"] for one in planned.plans.values()}
    in_order = sorted(starts, key=lambda title: starts[title])
    assert combined is not None and combined.decode() == " ".join([catalog.title, *in_order])


def test_a_clash_is_told_on_the_night_of_both_shots(tmp_path: Path) -> None:
    catalog = Path(shutil.copytree(DEMO, tmp_path / "catalog"))
    text = (catalog / "shots" / "slipway.toml").read_text("utf-8")
    (catalog / "shots" / "again.toml").write_text(text.replace("Slipway: dusk", "Again: dusk"), "utf-8")
    texts = clash_texts(plan_catalog(read_catalog(catalog)))
    assert any("Again" in line and "Slipway" in line and "rig" in line for line in texts["2027-06-05"])
    assert clash_texts(plan_catalog(read_catalog(DEMO))) == {}, "the demo's own nights work out"


def test_the_same_catalog_gives_the_same_bytes() -> None:
    assert _pressed(DEMO) == _pressed(DEMO)
