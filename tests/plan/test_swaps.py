"""When the pack is changed, and what is told of packs, batteries and cards that do not last."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.plan.plan import plan
from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.sky import Sky

TOLD = ("pack", "swap", "camera", "heater", "peak", "payload", "cards")
COLD = [[-20.0, 0.5], [20.0, 1.0]]


def _pack(name: str | None, wh: float) -> dict[str, Any]:
    """A pack of which so many Wh can be used."""
    held = {"name": name, "rated_wh": wh, "efficiency": 1.0, "reserve": 0.0, "cold": COLD}
    return {**held, "cell_v": 3.7, "output_w": 30.0}


@pytest.fixture
def brief(demo_brief: dict[str, Any]) -> dict[str, Any]:
    """The demo's dusk shot, 753 frames of 18 s at 10 W: 37.65 Wh, and 9 before frame 1."""
    axes = demo_brief["rig"]["axes"]
    power = {
        **dict.fromkeys(("up", "down", "holding"), []),
        "electronics_w": 10.0,
        "holding_w": 0.0,
        "moving_wh": dict.fromkeys(axes, 0.0),
        "peak_w": 20.0,
        "payload_kg": None,
        "can_swap": True,
        "packs": [_pack("A1", 40.0), _pack("A2", 40.0)],
    }
    demo_brief["rig"]["power"] = power
    demo_brief["camera"] |= {"battery": None, "cards": None}
    return {**demo_brief, "needs": [], "swap": None, "heater": None, "temperature_c": 20.0}


def _planned(brief: dict[str, Any], sky: Sky) -> dict[str, Any]:
    return plan(brief, sky, {})


def _told(brief: dict[str, Any], sky: Sky) -> dict[str, list[str]]:
    """Head, sum and fix of each warning of power and storage, by its id."""
    planned = _planned(brief, sky)
    sheet = changing({**planned, "revision": "0"})
    pairs = zip(planned["warnings"], sheet["warnings"], strict=True)
    return {
        warning["id"].removeprefix("warning."): [text["level"], text["head"], text["sum"], text["fix"]]
        for warning, text in pairs
        if warning["id"].removeprefix("warning.").startswith(TOLD)
    }


def _range(brief: dict[str, Any], sky: Sky) -> tuple[float, float] | None:
    swap = _planned(brief, sky)["power"]["swap"]
    return swap and (swap["from"]["frame"], swap["until"]["frame"])


def test_no_swap_is_advised_where_one_pack_lasts(brief: dict[str, Any], sky: Sky) -> None:
    brief["rig"]["power"]["packs"][0] = _pack("A1", 47.0)
    assert _range(brief, sky) is None
    sheet = changing({**_planned(brief, sky), "revision": "0"})
    assert sheet["numbers"]["swap"] == "not needed"
    assert sheet["numbers"]["pack_lasts"] == "to the end"


def test_a_swap_is_advised_in_light_and_ends_by_civil_dusk(brief: dict[str, Any], sky: Sky) -> None:
    """By capacity alone it could last to frame 461: 9 Wh go before frame 1, and four fifths of 40 are 32."""
    planned = _planned(brief, sky)
    dusk = next(row["frame"] for row in planned["sky"]["events"] if row["event"] == "civil dusk")
    first, last = _range(brief, sky) or (0, 0)
    assert dusk - 1 <= last <= dusk < 460
    assert first == 5  # not within three frames of the first keyframe
    assert [row["id"] for row in planned["moments"] if "swap" in row["id"]] == [
        "moment.swap-from",
        "moment.swap-until",
    ]


def test_it_keeps_clear_of_keyframes(brief: dict[str, Any], sky: Sky) -> None:
    brief["keyframes"][1]["at"] = {"frame": 200}
    assert _range(brief, sky) == (5, 196)


def test_it_begins_when_the_second_pack_lasts_to_the_end(brief: dict[str, Any], sky: Sky) -> None:
    """Of 37.65 Wh of 753 frames 27.65 are left when 200 are over; and so it is in the dark."""
    brief["rig"]["power"]["packs"] = [_pack("A1", 40.0), _pack("A2", 18.0)]
    assert _range(brief, sky) == (394, 461)


def test_where_no_range_lets_both_last_the_pack_is_told_empty(brief: dict[str, Any], sky: Sky) -> None:
    brief["rig"]["power"]["packs"] = [_pack("A1", 30.0), _pack("A2", 18.0)]
    assert _range(brief, sky) is None
    level, head, total, fix = _told(brief, sky)["pack-empty"]
    assert level == "no-go"
    assert head.startswith("Pack A1 is at its reserve at frame 421, ")
    assert "46.7 Wh" in total and "30.0 Wh" in total
    assert fix.startswith("A pack of 12700 mAh (may ride in the cabin)")


def test_a_rig_that_forgets_where_it_stands_is_advised_no_swap(brief: dict[str, Any], sky: Sky) -> None:
    brief["rig"]["power"]["can_swap"] = False
    assert "pack-empty" in _told(brief, sky)


@pytest.mark.parametrize(
    ("swap", "sizes", "id", "level", "words"),
    [
        ((100, 640), (40, 40), "swap-late", "no-go", "reserve at frame 621"),
        ((100, 500), (40, 40), "swap-tight", "mind", "by frame 461"),
        ((100, 300), (40, 20), "swap-short", "no-go", "at frame 300"),
        ((100, 440), (40, 20), "swap-early", "mind", "begin at frame 354"),
    ],
)
def test_a_range_of_ones_own_wins_and_is_held_against_the_packs(
    brief: dict[str, Any],
    sky: Sky,
    swap: tuple[int, int],
    sizes: tuple[float, float],
    id: str,
    level: str,
    words: str,
) -> None:
    brief["swap"] = {"from": {"frame": swap[0]}, "until": {"frame": swap[1]}}
    brief["rig"]["power"]["packs"] = [_pack("A1", sizes[0]), _pack("A2", sizes[1])]
    assert _range(brief, sky) == swap
    told = _told(brief, sky)
    assert list(told) == [id]
    assert told[id][0] == level
    assert words in " ".join(told[id][1:])


def test_a_good_range_of_ones_own_is_left_in_peace(brief: dict[str, Any], sky: Sky) -> None:
    brief["swap"] = {"from": {"frame": 100}, "until": {"frame": 300}}
    assert not _told(brief, sky)


def test_a_pack_that_cannot_give_the_peak_stops_the_shot(brief: dict[str, Any], sky: Sky) -> None:
    ratios = [[0.0, 1.0], [90.0, 2.0]]
    brief["rig"]["power"] |= {"peak_w": 25.0, "up": ratios, "down": ratios, "holding": ratios}
    assert "peak-over" not in _told(brief, sky)
    brief["rail"] |= {"incline_deg": 30.0, "home_end": "left"}
    level, head, total, _ = _told(brief, sky)["peak-over"]
    assert (level, head) == ("no-go", "Pack A1 cannot give what the rig draws at its peak")
    assert total == "33.3 W at this incline; the pack gives 30 W, and may switch itself off."


def test_below_the_measured_cold_nobody_knows(brief: dict[str, Any], sky: Sky) -> None:
    brief["temperature_c"] = -24.0
    level, head, total, _ = _told(brief, sky)["packs-cold"]
    assert (level, head) == ("no-go", "Colder than was measured: the rig's packs")
    assert total == "−24 °C; what is left of the capacity is known down to −20 °C."


def test_more_on_the_carriage_than_was_measured_is_minded(brief: dict[str, Any], sky: Sky) -> None:
    brief["rig"]["power"]["payload_kg"] = 2.5
    brief["rail"]["payload_kg"] = 2.5
    assert "payload-measured" not in _told(brief, sky)
    brief["rail"]["payload_kg"] = 2.6
    assert _told(brief, sky)["payload-measured"][0] == "mind"


def test_battery_and_heater_that_do_not_last_are_told(brief: dict[str, Any], sky: Sky) -> None:
    brief["camera"]["battery"] = {"frame_wh": 0.01, "idle_w": 1.0, "pack": _pack(None, 10.0)}
    brief["heater"] = {"heater_w": 5.0, "pack": _pack(None, 10.0)}
    told = _told(brief, sky)
    assert (told["camera-empty"][0], told["heater-empty"][0]) == ("no-go", "mind")
    assert "at frame 667" in told["camera-empty"][1]
    assert "at frame 401" in told["heater-empty"][1]


def test_cards_that_fill_stop_the_shot(brief: dict[str, Any], sky: Sky) -> None:
    """30 MB a frame: 533 whole files on 16 GB and 133 on 4, though 20 GB would hold 666."""
    brief["camera"]["cards"] = {"frame_mb": 30.0, "card_gb": [16.0, 4.0]}
    level, head, total, fix = _told(brief, sky)["cards-full"]
    assert level == "no-go"
    assert head.startswith("The cards are full before frame 667, ")
    assert total == "753 frames at 30 MB are 22.6 GB; there is room for 666."
    assert fix == "Another 2.6 GB of cards, or 666 frames."
    brief["camera"]["cards"] = {"frame_mb": 30.0, "card_gb": [32.0]}
    assert "cards-full" not in _told(brief, sky)


def test_power_and_storage_are_told_in_lines(brief: dict[str, Any], sky: Sky) -> None:
    brief["camera"]["cards"] = {"frame_mb": 30.0, "card_gb": [32.0]}
    sheet = changing({**_planned(brief, sky), "revision": "0"})
    lines = {line["name"]: line["text"] for line in sheet["power"]}
    assert lines["rig"] == "46.7 Wh: set-up 9.0, way back 0.0, shooting 37.7"
    assert lines["pack A1"].startswith("40.0 of 40.0 Wh at 20 °C, 1.0 runs; reserve frame 621, ")
    assert lines["cards"].startswith("22.6 of 32 GB, 9.4 GB spare; full after 1066 frames, 5 h 19 min")
    assert lines["to fly with"] == "A1, A2: up to 100 Wh: in the cabin; check the airline"


def test_a_shot_that_says_nothing_of_power_is_told_nothing(brief: dict[str, Any], sky: Sky) -> None:
    brief["rig"]["power"] = None
    planned = _planned(brief, sky)
    assert (planned["power"]["supplies"], planned["power"]["swap"], planned["storage"]) == ([], None, None)
    assert changing({**planned, "revision": "0"})["power"] == []
