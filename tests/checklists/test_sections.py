"""Sections in working order, cut into even parts, with the crew's roles and the house's own items."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.checklists.checklist import MOST_ITEMS, checklist
from tests.checklists.shots import SHOTS, SWAP, items, rules, shot

SECTIONS = [
    *("pack", "rig", "power", "cables", "level", "remote", "camera", "keyframes", "program", "ready"),
    *("rolling", "swap", "wrap"),
]


def _house(section: str, text: str = "Call the ferry", **changes: Any) -> dict[str, Any]:
    return {"section": section, "text": text, "note": None, "must": False, "role": None, **changes}


def _names(brief: dict[str, Any], plan: dict[str, Any]) -> list[str]:
    return list(dict.fromkeys(part["name"] for part in checklist(brief, plan)))


def test_a_shot_with_everything_has_every_section_in_working_order() -> None:
    assert _names(*shot(**SWAP)) == SECTIONS


@pytest.mark.parametrize(
    ("name", "left_out"),
    [
        ("rail, pan and tilt", {"swap"}),
        ("still, bare", {"power", "cables", "remote", "swap"}),
        ("still, wired", {"swap"}),
    ],
)
def test_a_section_without_items_is_left_out(name: str, left_out: set[str]) -> None:
    assert set(SECTIONS) - set(_names(*SHOTS[name])) == left_out


@pytest.mark.parametrize("name", SHOTS)
def test_at_most_seven_items_stand_at_one_pause(name: str) -> None:
    """5 to 9 at a pause, 5 to 7 where each is vital: Gawande, The Checklist Manifesto (2009)."""
    assert all(1 <= len(part["items"]) <= 7 for part in checklist(*SHOTS[name]))


@given(st.integers(0, 40))
def test_parts_are_even_and_as_few_as_can_be(extra: int) -> None:
    brief = shot(words={"house": [_house("rolling", str(number)) for number in range(extra)]})
    parts = [part for part in checklist(*brief) if part["name"] == "rolling"]
    sizes = [len(part["items"]) for part in parts]
    assert max(sizes) - min(sizes) <= 1
    assert len(parts) == -(-sum(sizes) // MOST_ITEMS)
    assert [part["part"] for part in parts] == list(range(1, len(parts) + 1))
    assert {part["parts"] for part in parts} == {len(parts)}


TIED = {"carriage", "end-stop", "holds", "power-off", "release"}
"""Rows in one breath with the one before: seated and locked, powered and held, camera off and arm let go."""


@pytest.mark.parametrize("name", SHOTS)
def test_no_pause_comes_between_seat_and_lock(name: str) -> None:
    firsts = {part["items"][0]["message"].removeprefix("item.") for part in checklist(*SHOTS[name])}
    seatless = {"carriage"} if "joint" not in rules(*SHOTS[name]) else set()
    assert not (TIED - seatless) & firsts


@pytest.mark.parametrize("hazards", range(7))
def test_no_number_of_rows_before_it_cuts_a_carriage_from_its_seat(hazards: int) -> None:
    words = {"hazards": [str(number) for number in range(hazards)]}
    parts = [
        part for part in checklist(*shot(rail={"incline_deg": 45.0}, words=words)) if part["name"] == "rig"
    ]
    messages = [[item["message"].removeprefix("item.") for item in part["items"]] for part in parts]
    (together,) = [part for part in messages if "carriage" in part]
    assert together[together.index("carriage") - 1] == "joint"
    assert "end-stop" in together
    assert all(1 <= len(part) <= MOST_ITEMS for part in messages)


def test_more_than_seven_that_belong_together_are_parted_all_the_same() -> None:
    joints = [
        {"name": str(number), "seat": "plate", "key": "arrow", "lock": "pin", "release": "it drops"}
        for number in range(9)
    ]
    parts = [part for part in checklist(*shot(words={"joints": joints})) if part["name"] == "wrap"]
    assert all(1 <= len(part["items"]) <= MOST_ITEMS for part in parts)


@pytest.mark.parametrize("name", SHOTS)
def test_ready_to_roll_is_one_part_of_at_most_seven(name: str) -> None:
    (part,) = [part for part in checklist(*SHOTS[name]) if part["name"] == "ready"]
    assert (part["part"], part["parts"]) == (1, 1)
    assert len(part["items"]) <= MOST_ITEMS


def test_a_rail_with_pan_and_tilt_is_neither_padded_nor_thin() -> None:
    """Common practice, no source: what a practised crew ticks in gloves before it loses patience."""
    assert 55 <= len(items(*SHOTS["rail, pan and tilt"])) <= 75


@pytest.mark.parametrize(
    ("name", "titles"),
    [
        ("rail, pan and tilt", {"rig": "section.rig", "remote": "section.remote"}),
        ("head that runs on", {"rig": "section.rig.head", "remote": "section.remote"}),
        ("still, wired", {"rig": "section.rig.still", "keyframes": "section.keyframes.still"}),
    ],
)
def test_a_section_is_called_after_what_stands_there(name: str, titles: dict[str, str]) -> None:
    found = {part["name"]: part["title"] for part in checklist(*SHOTS[name])}
    assert titles.items() <= found.items()


def test_only_ready_to_roll_is_done_from_memory_and_confirmed() -> None:
    """Which of the two must be stated: Gawande, The Checklist Manifesto (2009)."""
    confirmed = {part["name"] for part in checklist(*shot(**SWAP)) if part["manner"] == "manner.do-confirm"}
    assert confirmed == {"ready"}


def test_a_section_carries_the_role_that_the_crew_gave_it() -> None:
    roles = {"camera": "operator", "cables": "assistant"}
    found = {part["name"]: part["role"] for part in checklist(*shot(words={"roles": roles}))}
    assert {name: role for name, role in found.items() if role} == roles


@pytest.mark.parametrize("section", SECTIONS)
def test_a_house_item_stands_in_its_section_before_the_completion_call(section: str) -> None:
    brief = shot(words={"house": [_house(section)]}, **SWAP)
    found = rules(*brief, section)
    assert found.count("house") == 1
    assert found[-1] != "house" or section not in ("rig", "ready", "swap", "wrap")
    own = rules(*shot(**SWAP), section)
    assert [rule for rule in found if rule != "house"] == own


def test_a_house_item_keeps_its_words_weight_and_role() -> None:
    written = _house("cables", "Rain sock on", note="over the plugs", must=True, role="assistant")
    (item,) = [each for each in items(*shot(words={"house": [written]})) if each["message"] == "item.house"]
    assert item["args"] == {"text": "Rain sock on", "note": "over the plugs"}
    assert (item["must"], item["role"], item["note"]) == (True, "assistant", "item.house.note")


def test_a_house_item_makes_a_section_but_no_swap() -> None:
    house = [_house("power"), _house("swap")]
    names = _names(*shot(words={"power": None, "house": house}))
    assert "power" in names
    assert "swap" not in names


def test_the_same_house_item_twice_is_one_item() -> None:
    assert rules(*shot(words={"house": [_house("wrap"), _house("wrap")]}), "wrap").count("house") == 1
