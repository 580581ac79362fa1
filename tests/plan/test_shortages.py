"""What is told of packs, batteries and cards that do not last."""

from __future__ import annotations

from typing import Any

import astropy.units as u
import pytest

from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.sky import Sky
from tests.plan.packs import fed, pack, plan_of, told_of


@pytest.fixture
def brief(demo_brief: dict[str, Any]) -> dict[str, Any]:
    return fed(demo_brief)


def test_a_pack_that_cannot_give_the_peak_stops_the_shot(brief: dict[str, Any], sky: Sky) -> None:
    ratios = [[0.0, 1.0], [90.0, 2.0]]
    brief["rig"]["power"] |= {"peak_w": 25.0, "up": ratios, "down": ratios, "holding": ratios}
    assert "peak-over" not in told_of(brief, sky)
    brief["rail"] |= {"incline_deg": 30.0, "home_end": "left"}
    level, head, total, _ = told_of(brief, sky)["peak-over"]
    assert (level, head) == ("no-go", "Pack A1 cannot give what the rig draws at its peak")
    assert total == "33.3 W at this incline; the pack gives 30 W, and may switch itself off."


def test_below_the_measured_cold_nobody_knows(brief: dict[str, Any], sky: Sky) -> None:
    brief["temperature_c"] = -24.0
    level, head, total, _ = told_of(brief, sky)["packs-cold"]
    assert (level, head) == ("no-go", "Colder than was measured: the rig's packs")
    assert total == "−24 °C; what is left of the capacity is known down to −20 °C."


def test_more_on_the_carriage_than_was_measured_is_minded(brief: dict[str, Any], sky: Sky) -> None:
    brief["rig"]["power"]["payload_kg"] = 2.5
    brief["rail"]["payload_kg"] = 2.5
    assert "payload-measured" not in told_of(brief, sky)
    brief["rail"]["payload_kg"] = 2.6
    assert told_of(brief, sky)["payload-measured"][0] == "mind"


def test_battery_and_heater_that_do_not_last_aretold(brief: dict[str, Any], sky: Sky) -> None:
    brief["camera"]["battery"] = {"frame_wh": 0.01, "idle_w": 1.0, "pack": pack(None, 10.0)}
    brief["heater"] = {"heater_w": 5.0, "pack": pack(None, 10.0)}
    told = told_of(brief, sky)
    assert (told["camera-empty"][0], told["heater-empty"][0]) == ("no-go", "mind")
    assert "at frame 667" in told["camera-empty"][1]
    assert "at frame 401" in told["heater-empty"][1]


def test_cards_that_fill_stop_the_shot(brief: dict[str, Any], sky: Sky) -> None:
    """30 MB a frame: 533 whole files on 16 GB and 133 on 4, though 20 GB would hold 666.  Prefixes by tens
    (SI; ISO/IEC 80000-13), as astropy has them.
    """
    assert [int((gb * u.Gbyte / (30 * u.Mbyte)).decompose()) for gb in (16, 4)] == [533, 133]
    brief["camera"]["cards"] = {"frame_mb": 30.0, "card_gb": [16.0, 4.0]}
    level, head, total, fix = told_of(brief, sky)["cards-full"]
    assert level == "no-go"
    assert head.startswith("The cards are full before frame 667, ")
    assert total == "753 frames at 30 MB are 22.6 GB; there is room for 666."
    assert fix == "Another 2.6 GB of cards, or 666 frames."
    brief["camera"]["cards"] = {"frame_mb": 30.0, "card_gb": [32.0]}
    assert "cards-full" not in told_of(brief, sky)


def test_power_and_storage_are_told_in_lines(brief: dict[str, Any], sky: Sky) -> None:
    brief["camera"]["cards"] = {"frame_mb": 30.0, "card_gb": [32.0]}
    sheet = changing({**plan_of(brief, sky), "revision": "0"})
    lines = {line["name"]: line["text"] for line in sheet["power"]}
    assert lines["rig"] == "46.7 Wh: set-up 9.0, way back 0.0, shooting 37.7"
    assert lines["pack A1"].startswith("40.0 of 40.0 Wh at 20 °C, 1.0 runs; reserve frame 621, ")
    assert lines["cards"].startswith("22.6 of 32 GB, 9.4 GB spare; full after 1066 frames, 5 h 19 min")
    assert lines["to fly with"] == "A1, A2: up to 100 Wh: in the cabin; check the airline"


def test_a_little_lifting_is_told_as_a_little(brief: dict[str, Any], sky: Sky) -> None:
    """2.7 kg up 1060 mm of a slope of 28 degrees: 2.7 x 9.80665 x 0.498 J, which is no nought."""
    ratios = [[0.0, 1.0], [90.0, 2.0]]
    brief["rig"]["power"] |= {"payload_kg": 2.7, "up": ratios, "down": ratios, "holding": ratios}
    brief["rail"]["incline_deg"] = 28.0
    lines = {
        line["name"]: line["text"] for line in changing({**plan_of(brief, sky), "revision": "0"})["power"]
    }
    assert lines["lifting alone"] == "0.004 Wh (m·g·h)"


def test_what_the_way_back_takes_stands_with_the_order_of_setting(brief: dict[str, Any], sky: Sky) -> None:
    """1060 mm at 14 a second, 18 a second each second, are 76.5 s: 0.21 Wh at 10 W, and 0.848 to move."""
    brief |= {"order": "first-to-last", "keyframes": [brief["keyframes"][n] for n in (0, 2)]}
    for keyframe in brief["keyframes"]:
        keyframe["aim"] = None
        keyframe["axes"] |= {"pan": 0.0, "tilt": 0.0}
    brief["rig"]["power"]["moving_wh"]["slide"] = 0.0008
    there = plan_of(brief, sky)
    assert there["move"]["travel_back_s"] == pytest.approx(1060 / 14 + 14 / 18)
    back = there["power"]["supplies"][0]["phases"]["back"]
    assert back["moving_wh"] == pytest.approx(0.848)
    assert back["electronics_wh"] == pytest.approx(10 * (1060 / 14 + 14 / 18) / 3600)
    note = changing({**there, "revision": "0"})["set_note"]
    assert note.startswith("Set K1 first, K2 last, then drive back to K1: about 1 min 17 s and 1.1 Wh.")
    home = plan_of({**brief, "order": "last-to-first"}, sky)
    assert home["move"]["travel_back_s"] == 0
    assert set(home["power"]["supplies"][0]["phases"]["back"].values()) == {0}
    assert "back" not in changing({**home, "revision": "0"})["set_note"]


def test_no_plan_dies_on_the_way_without_a_no_go(brief: dict[str, Any], sky: Sky) -> None:
    """Whatever the packs are: each lasts to the end, or to the swap for it, or the shot is not to be made."""
    brief["exposure"] = None
    for can_swap, sizes in (
        (False, [40.0]),
        (False, [60.0, 60.0]),
        (True, [6.0, 60.0]),
        (True, [40.0, 12.0]),
        (True, [24.0, 12.0, 24.0]),
        (True, [12.0, 12.0, 12.0, 12.0, 12.0, 12.0]),
    ):
        packs = [pack(str(n), wh) for n, wh in enumerate(sizes)]
        brief["rig"]["power"] |= {"packs": packs, "can_swap": can_swap}
        planned = plan_of(brief, sky)
        rig, changes = planned["power"]["supplies"][0], planned["power"]["changes"]
        ends = [rig["reserve"], *(swap["reserve"] for swap in changes)]
        lasts = [
            end is None or (n < len(changes) and changes[n]["until"]["frame"] < end["frame"])
            for n, end in enumerate(ends)
        ]
        levels = {warning["level"] for warning in planned["warnings"] if "pack" in warning["id"]}
        assert all(lasts) or levels == {"no-go"}, (sizes, ends, changes)


def test_a_shot_that_says_nothing_of_power_is_told_nothing(brief: dict[str, Any], sky: Sky) -> None:
    brief["rig"]["power"] = None
    planned = plan_of(brief, sky)
    assert (planned["power"]["supplies"], planned["power"]["changes"], planned["storage"]) == ([], [], None)
    assert changing({**planned, "revision": "0"})["power"] == []
