"""From a catalog to its files: the sky reaches far enough, and every problem comes at once."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from fieldsheet.catalog.read import read_catalog
from fieldsheet.press import CardMaker, fit_packs, make_cards, plan_catalog, press, sky_of
from fieldsheet.problems import CatalogProblems

DEMO = Path(__file__).resolve().parents[1] / "fieldsheet" / "demo"


def _pressed(folder: Path, card_of: CardMaker | None = None) -> dict[str, bytes]:
    catalog = read_catalog(folder)
    planned = plan_catalog(catalog)
    return press(catalog, planned, make_cards(catalog, planned, card_of) if card_of else {})


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


def test_a_shot_whose_texts_fit_on_no_card_is_a_problem_and_not_a_traceback() -> None:
    def card_of(sheet: dict[str, Any], link: str) -> bytes:
        raise ValueError("does not fit on a card, in one piece: a sighting")

    with pytest.raises(CatalogProblems) as raised:
        _pressed(DEMO, card_of)
    (problem,) = raised.value.problems
    assert problem.file == "shots/slipway.toml"
    assert "a sighting" in problem.found


def test_cards_and_pages_hold_the_same_plan_and_the_card_its_address() -> None:
    asked: list[tuple[dict[str, Any], str]] = []

    def card_of(sheet: dict[str, Any], link: str) -> bytes:
        asked.append((sheet, link))
        return b"%PDF of " + sheet["revision"].encode()

    files = _pressed(DEMO, card_of)
    ((sheet, link),) = asked
    assert link == f"https://example.org/saltings/shots/slipway/#r={sheet['revision']}"
    assert files["cards/slipway.pdf"] == b"%PDF of " + sheet["revision"].encode()
    assert sheet["revision"] in files["shots/slipway/index.html"].decode()


def test_the_same_catalog_gives_the_same_bytes() -> None:
    assert _pressed(DEMO) == _pressed(DEMO)
