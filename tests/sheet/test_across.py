"""The kit and the nights, gathered from the sheets."""

from __future__ import annotations

import copy
from datetime import datetime
from typing import Any

import pytest

from fieldsheet.sheet.across.kit import kit_of
from fieldsheet.sheet.across.night import NightView, night_view
from fieldsheet.sheet.across.shots import Shot, nights_of, shots_of
from fieldsheet.sheet.across.totals import totals_of
from fieldsheet.site.entries import SiteShot
from fieldsheet.sky.pack import read_pack
from fieldsheet.sky.sky import Sky
from tests.site.sample import sample_packs, sample_shot

HOUR_MS = 3_600_000


def _packing(letter: str, title: str, *items: dict[str, Any]) -> SiteShot:
    """A shot whose sheet packs these things, and these alone."""
    shot = copy.deepcopy(sample_shot(title.lower(), title))
    whole = [{"id": "", "text": "", "note": "", "must": False, "value": ""} | item for item in items]
    sections = [{"name": "pack", "items": whole}, {"name": "rig", "items": [{"id": "rig-only"}]}]
    shot["sheet"] |= {"letter": letter, "title": title, "checklist": sections}
    return shot


def _entries(*shots: SiteShot) -> tuple[Shot, ...]:
    ids = [shot["plan"]["shot"]["id"] for shot in shots]
    plans, sheets = ([shot[part] for shot in shots] for part in ("plan", "sheet"))
    return shots_of(dict(zip(ids, plans, strict=True)), dict(zip(ids, sheets, strict=True)))


def test_each_thing_is_packed_once_and_says_for_whom() -> None:
    lamp, rail = {"id": "1", "text": "Red lamp"}, {"id": "2", "text": "Rail", "must": True}
    wedge, heater = {"id": "3", "text": "Wedge"}, {"id": "4", "text": "Heater"}
    rows = kit_of(
        _entries(
            _packing("A", "Alder", lamp, rail),
            _packing("A", "Birch", lamp, rail, wedge),
            _packing("B", "Cedar", lamp, heater, wedge),
            _packing("B", "Damson", lamp, wedge),
        )
    )
    assert [(row.text, row.must, row.needed_by, row.shots) for row in rows] == [
        ("Red lamp", False, "every shot", "0-3"),
        ("Rail", True, "A · Alder, Birch", "0-1"),
        ("Wedge", False, "A B · 3 shots", "1-3"),
        ("Heater", False, "B · Cedar", "2"),
    ]


def test_a_thing_that_one_shot_must_have_is_a_must_and_differing_values_are_all_named() -> None:
    rows = kit_of(
        _entries(
            _packing("A", "Alder", {"id": "1", "text": "Packs", "value": "2"}),
            _packing("A", "Birch"),
            _packing("A", "Cedar", {"id": "1", "text": "Packs", "value": "3", "must": True}),
            _packing("A", "Damson", {"id": "1", "text": "Packs", "value": "2"}),
        )
    )
    assert [(row.value, row.must, row.shots) for row in rows] == [("2 / 3", True, "0 2-3")]


def test_shots_are_gathered_by_night_in_order_of_their_first_frames() -> None:
    later = sample_shot("later", "Later", "2027-06-06")
    second = copy.deepcopy(sample_shot("second", "Second"))
    second["plan"]["window"]["start"]["utc_ms"] += 60_000
    nights = nights_of(_entries(later, second, sample_shot("first", "First")))
    assert [(night.date, [entry.id for entry in night.entries]) for night in nights] == [
        ("2027-06-05", ["first", "second"]),
        ("2027-06-06", ["later"]),
    ]
    assert nights[0].end_ms == second["plan"]["window"]["end"]["utc_ms"]


@pytest.fixture(scope="module")
def sky() -> Sky:
    return Sky([read_pack(data) for data in sample_packs().values()])


def _view(sky: Sky, *shots: SiteShot) -> NightView:
    return night_view(nights_of(_entries(*shots))[0], {}, sky)


@pytest.fixture
def one() -> SiteShot:
    return copy.deepcopy(sample_shot("slipway", "Slipway"))


def test_a_night_lists_all_that_falls_due_in_order_of_time(one: SiteShot, sky: Sky) -> None:
    clashes = {"2027-06-05": ["a clash"], "2027-06-06": ["another"]}
    view = night_view(nights_of(_entries(one))[0], clashes, sky)
    times = [moment.utc_ms for moment in view.moments]
    assert times == sorted(times)
    said = {(moment.what, moment.clock) for moment in view.moments}
    sheet = one["sheet"]
    due = {(line["label"], line["clock"]) for line in [*sheet["deadlines"], *sheet["limits"]]}
    assert len(due) >= 7 and due <= said
    assert {("frame 1", sheet["numbers"]["first_frame"]), ("low tide", "21:40")} <= said
    swap = [(moment.what, moment.weight) for moment in view.moments if moment.what.startswith("swap")]
    assert swap == [("swap from", "act"), ("swap until", "act")]
    assert [line["name"] for line in view.sky[sheet["place"]]] == ["moon", "core"]
    assert view.clashes == ["a clash"]


def test_the_sky_of_a_night_is_said_once_for_two_shots_at_a_place_as_their_sheets_say_it(
    one: SiteShot, sky: Sky
) -> None:
    other = copy.deepcopy(one)
    other["plan"]["shot"]["id"], other["sheet"]["title"], other["sheet"]["letter"] = "mole", "Mole", "B"
    view = _view(sky, one, other)
    rows = [moment for moment in view.moments if moment.weight == "sky"]
    place = one["sheet"]["place"]
    assert {(moment.letter, moment.shot) for moment in rows} == {("", place)}
    names = [moment.what for moment in rows]
    tides = {"high tide", "low tide", "wet line reached", "exit closes"}
    assert [name for name in names if name not in tides] == [
        *("sunset", "civil dusk", "nautical dusk", "moonset", "astronomical dusk"),
        *("core usable", "core no longer usable"),
    ]
    said = {(moment.what, moment.clock) for moment in rows}
    of_the_shot = {(row["name"], row["clock"]) for row in one["sheet"]["sky"] if row["name"] != "core rise"}
    assert len(of_the_shot) >= 7 and of_the_shot <= said


def test_dawn_is_said_to_those_who_are_out_then_and_water_and_moon_a_while_longer(
    one: SiteShot, sky: Sky
) -> None:
    """Limits at dawn: the sun's events end with them, tides and moon six hours after the last frame."""
    assert not any("dawn" in moment.what for moment in _view(sky, one).moments)
    until_ms = one["plan"]["window"]["end"]["utc_ms"] + 6 * HOUR_MS
    at_dawn = datetime.fromisoformat("2027-06-06T05:55:00+01:00")  # civil dawn 05:43, sunrise 06:13
    home_ms = int(at_dawn.timestamp()) * 1000
    one["plan"]["place"]["limits"][-1]["time"]["utc_ms"] = home_ms
    moments = _view(sky, one).moments
    dawns = [moment.utc_ms for moment in moments if "dawn" in moment.what]
    assert len(dawns) == 3 and max(dawns) <= home_ms
    assert "sunrise" not in {moment.what for moment in moments}
    assert max(moment.utc_ms for moment in moments if moment.weight == "sky") <= max(until_ms, home_ms)


def test_tides_far_from_the_shot_are_left_out(one: SiteShot, sky: Sky) -> None:
    first_ms = one["plan"]["window"]["deadlines"][0]["time"]["utc_ms"]
    end_ms = one["plan"]["window"]["end"]["utc_ms"]
    tides = [moment.utc_ms for moment in _view(sky, one).moments if "tide" in moment.what]
    assert 0 < len(tides) < len(one["plan"]["brief"]["place"]["tides"])
    assert all(first_ms - 3 * HOUR_MS <= tide <= end_ms + 6 * HOUR_MS for tide in tides)


def test_what_falls_due_at_once_for_two_shots_is_one_line(one: SiteShot, sky: Sky) -> None:
    other = copy.deepcopy(one)
    other["plan"]["shot"]["id"], other["sheet"]["title"], other["sheet"]["letter"] = "mole", "Mole", "B"
    leave = [moment for moment in _view(sky, one, other).moments if moment.what == "leave"]
    assert [(moment.letter, moment.shot) for moment in leave] == [("B A", "Mole, Slipway")]  # by id


def test_clocks_of_two_zones_are_told_apart(one: SiteShot, sky: Sky) -> None:
    other = copy.deepcopy(one)
    other["plan"]["shot"]["id"] = "mole"
    other["plan"]["place"]["id"] = "mole"
    zone = other["plan"]["brief"]["place"]["zone"]
    other["plan"]["brief"]["place"]["zone"] = {**zone, "spans": [[zone["spans"][0][0], 7200, "EAST"]]}
    first = [moment.clock for moment in _view(sky, one, other).moments if moment.what == "frame 1"]
    assert first == ["19:36 WEST", "20:36 EAST"]


def _taking(shot_id: str, needed_gb: float, cards_gb: float, total_wh: float, usable_wh: float) -> SiteShot:
    shot = sample_shot(shot_id, shot_id.capitalize())
    shot["plan"]["storage"] |= {"needed_gb": needed_gb, "card_gb": [cards_gb]}
    rig = shot["plan"]["power"]["supplies"][0]
    rig |= {"total_wh": total_wh, "packs": [{**rig["packs"][0], "usable_wh": usable_wh}]}
    return shot


def test_a_nights_shots_are_added_up_against_cards_and_packs() -> None:
    entries = _entries(_taking("alder", 30.0, 64.0, 20.0, 50.0), _taking("birch", 40.0, 64.0, 25.0, 45.5))
    ((night, totals),) = totals_of(nights_of(entries))
    assert night.date == "2027-06-05"
    assert [total.name for total in totals] == ["Full frame, 14 mm", "A · Rail and two-axis head"]
    assert totals[0].text.startswith("70.0 GB in 2 shots, 64 GB of cards: 6.0 GB short; ")
    assert totals[1].text == "45.0 of 45.5 Wh in 2 shots, 0.5 Wh spare"


def test_a_night_of_whose_packs_and_cards_nothing_is_known_has_no_total() -> None:
    shot = sample_shot("alder", "Alder")
    shot["plan"] |= {"storage": None, "power": {**shot["plan"]["power"], "supplies": []}}
    assert totals_of(nights_of(_entries(shot))) == []
