"""Cards and packs from night to night, against sums by hand."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.sheet.across.between import between_of, charged, drawn_wh, hours_between
from fieldsheet.sheet.across.shots import Shot

HOUR_MS = 3_600_000
# 20 W of which nine tenths stay in the pack: 18 W, from ten to twelve.
CHARGING = {"from_s": 10 * 3600, "until_s": 12 * 3600, "charger_w": 20.0, "efficiency": 0.9}
SPANS = [[-(10**9), 3600, "ONE"]]


def _entry(title: str, leaves_h: float, end_h: float, packs: int = 1, **changes: Any) -> Shot:
    """A shot by the place's clock, hours from midnight of the first day, half an hour's way off.

    It takes 4 Wh before frame 1 and 32 evenly in its 100 frames, of two packs of which 0.8 comes out; of the
    second one where `packs` is 2, from the middle of frames 41 to 61 on.
    """
    swap = {"from": {"frame": 41}, "until": {"frame": 61}}
    plan = {
        "shot": {"title": title},
        "brief": {
            "rig": {
                "id": "rail",
                "letter": "A",
                "title": "Rail",
                "power": {"packs": [{"name": "A1", "efficiency": 0.8}, {"name": "A2", "efficiency": 0.8}]},
            },
            "camera": {"id": "body", "title": "Body"},
            "place": {"zone": {"spans": SPANS}, "approach_ms": HOUR_MS // 2},
        },
        "timing": {"frames": 100},
        "window": {"deadlines": [{"time": {"utc_ms": (leaves_h - 1) * HOUR_MS}}]},
        "power": {
            "supplies": [
                {"id": "rig", "total_wh": 36.0, "used_wh": [4 + 4 * n for n in range(9)], "packs": [{}, {}]}
            ],
            "changes": [swap] * (packs - 1),
        },
        "storage": {"needed_gb": 30.0, "card_gb": [64.0]},
        **changes,
    }
    sheet = {"night_date": f"1970-01-{1 + int(leaves_h // 24):02d}"}
    start_ms, end_ms = int(leaves_h * HOUR_MS), int((end_h - 1) * HOUR_MS)
    return Shot(title, plan, sheet, start_ms, end_ms)


def test_what_is_drawn_of_each_pack_is_what_went_before_and_after_the_swap() -> None:
    """At frame 51 half of the 32 Wh is gone, and 4 before: 20 and 16 Wh, or 25 and 20 out of the cells."""
    assert drawn_wh(_entry("", 18, 26, packs=2).plan) == pytest.approx([25.0, 20.0])
    assert drawn_wh(_entry("", 18, 26).plan) == pytest.approx([45.0, 0.0])


@pytest.mark.parametrize(
    ("hours", "left"),
    [(0.0, [25.0, 20.0]), (1.0, [7.0, 20.0]), (2.0, [0.0, 9.0]), (2.5, [0.0, 0.0]), (9.0, [0.0, 0.0])],
)
def test_packs_are_charged_one_after_another(hours: float, left: list[float]) -> None:
    assert charged([25.0, 20.0], hours, CHARGING) == pytest.approx(left)


@pytest.mark.parametrize(
    ("end_h", "leaves_h", "window", "hours"),
    [
        pytest.param(26, 41, (10, 12), 2.0, id="the whole window of the next day"),
        pytest.param(34.5, 41, (10, 12), 1.0, id="back at eleven"),
        pytest.param(26, 35.5, (10, 12), 1.5, id="off again at half past eleven"),
        pytest.param(26, 33, (10, 12), 0.0, id="off again before it opens"),
        pytest.param(26, 89, (10, 12), 6.0, id="three days"),
        pytest.param(22, 41, (22, 6), 7.5, id="overnight"),
        pytest.param(26, 26.2, (10, 12), 0.0, id="before one is back"),
    ],
)
def test_the_hours_on_the_charger_by_the_places_clock(
    end_h: float, leaves_h: float, window: tuple[int, int], hours: float
) -> None:
    charging = {**CHARGING, "from_s": window[0] * 3600, "until_s": window[1] * 3600}
    before, after = _entry("", 18, end_h), _entry("", leaves_h, leaves_h + 4)
    assert hours_between(before, after, charging) == pytest.approx(hours)


def _told(*entries: Shot, charging: dict[str, Any] | None = CHARGING) -> list[tuple[str, bool]]:
    return [(line.text, line.short) for line in between_of(entries, charging) if line.name == "A · Rail"]


def test_a_pack_that_is_full_again_is_told_so() -> None:
    """36 Wh are 45 out of the cells of A1, 2 h 30 min on the charger; two windows are 4 h."""
    ((text, short),) = _told(_entry("Slip", 18, 26), _entry("Pier", 65, 70))
    assert not short
    assert text == (
        "after “Slip”: A1 for 2 h 30 min on the charger, 4 h at hand: full again before leaving for “Pier”, "
        "Sat 3 January 17:00"
    )


def test_only_a_pack_that_the_next_shot_needs_is_short() -> None:
    """In two hours 36 of the 45 Wh come back, A1's first: A2 lacks 9."""
    one = _told(_entry("Slip", 18, 26, packs=2), _entry("Pier", 41, 45))
    two = _told(_entry("Slip", 18, 26, packs=2), _entry("Pier", 41, 45, packs=2))
    assert ([short for _, short in one], [short for _, short in two]) == ([False], [True])
    assert "A1, A2 for 2 h 30 min on the charger, 2 h at hand: A2 9.0 Wh short when leaving" in two[0][0]


def test_what_was_not_charged_is_lacking_still_after_the_next_shot() -> None:
    """9 Wh of 45 are lacking after the first day, 18 after the second."""
    told = _told(_entry("1", 18, 26), _entry("2", 41, 50), _entry("3", 65, 70))
    assert ["A1 9.0 Wh short" in told[0][0], "A1 18.0 Wh short" in told[1][0]] == [True, True]


def test_a_pack_used_twice_without_an_hour_to_charge_is_told() -> None:
    ((text, short),) = _told(_entry("Slip", 18, 20), _entry("Pier", 21, 25))
    assert short and text.startswith(
        "A1 on “Slip” and “Pier” without an hour to charge in between: 45.0 Wh short"
    )


def test_where_nobody_says_when_packs_are_charged_they_are_taken_as_full() -> None:
    two = _told(_entry("Slip", 18, 26), _entry("Pier", 41, 45), charging=None)
    assert two == [("2 shots, each with full packs: the catalog does not say when they are charged", False)]
    assert _told(_entry("Slip", 18, 26), charging=None) == _told(_entry("Slip", 18, 26)) == []


def test_cards_are_summed_over_the_nights_and_nobody_empties_them() -> None:
    def told(*entries: Shot) -> list[tuple[str, bool]]:
        return [(line.text, line.short) for line in between_of(entries, CHARGING) if line.name == "Body"]

    shots = [_entry("1", 18, 26), _entry("2", 41, 45), _entry("3", 65, 70)]
    assert told(shots[0]) == []
    assert told(*shots[:2]) == [
        ("60.0 of 64 GB in 2 shots on 2 nights, if no card is emptied: 4.0 GB spare", False)
    ]
    ((text, short),) = told(*shots)
    assert short
    assert text.startswith(
        "90.0 GB in 3 shots on 3 nights, 64 GB of cards, if none is emptied: 26.0 GB short"
    )
    assert "from “3” on" in text
