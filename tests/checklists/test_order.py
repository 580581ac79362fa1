"""The order of the hand.  Common practice, no source, where nothing else is named."""

from __future__ import annotations

import pytest

from tests.checklists.shots import JOINTS, POWER, REMOTE, SHOTS, SWAP, items, rules, shot

TILTED = {**REMOTE, "steers_by_tilt": True}
SLOPE = shot(
    rail={"incline_deg": 45.0},
    words={"remote": TILTED, "other_letters": ["B"], "power": {**POWER, "sleeps": True}},
    **SWAP,
)


@pytest.mark.parametrize(
    "order",
    [
        pytest.param(("rail-incline", "feet", "joint", "payload-rail", "cable"), id="camera before its lead"),
        pytest.param(("payload-rail", "level-head", "power-on-alone"), id="load, level by hand, then power"),
        pytest.param(
            ("level-head", "travel-rail", "holds-level-turned", "focus", "stored", "bubble", "focus-again"),
            id="level, look at both ends once they can be driven to, focus, keyframes, LOOK",
        ),
        pytest.param(("holds-level-turned", "zero", "zero-slide", "stored"), id="zero before keyframes"),
        pytest.param(("hazard", "way", "joint"), id="what may hurt comes first: Degani & Wiener, rule 10"),
        pytest.param(("end-stop", "tether", "joint"), id="held before it is loose"),
        pytest.param(
            ("carriage", "payload-rail", "power-on-alone", "holds"), id="a hand under it until power holds it"
        ),
        pytest.param(("pack-held", "cable", "strain-rail", "power-on-alone"), id="power after the last plug"),
        pytest.param(
            ("clear-rail", "power-on-alone", "stays-on", "jog-right"), id="hands off before it can move"
        ),
        pytest.param(
            ("remote-hangs", "power-on-alone", "jog-right", "travel-rail"), id="hang, pair, jog, travel"
        ),
        pytest.param(("remote-hangs", "first-frame", "remote-off"), id="hung before roll, off after frame 1"),
        pytest.param(("travel-rail", "approach", "stored", "frames"), id="snags found before keyframes"),
        pytest.param(
            ("payload-rail", "sun", "zero", "cap", "test-shoot-move-shoot"), id="cap on to aim, off to test"
        ),
        pytest.param(("pack-cards", "card", "cards-out"), id="formatted after the backup, not at the end"),
        pytest.param(("dwell", "bubble", "test-shoot-move-shoot", "back", "file"), id="file no. after tests"),
        pytest.param(("swap-within", "hand-under", "swap-apart", "position-lost", "swapped"), id="swap"),
        pytest.param(("last-frame", "cap-power-off", "cards-out", "pieces", "out-with"), id="wrap"),
    ],
)
def test_the_hands_order_is_kept(order: tuple[str, ...]) -> None:
    found = rules(*SLOPE)
    places = [found.index(rule) for rule in order]
    assert places == sorted(places)


def test_a_hand_is_under_the_carriage_before_power_goes_off_in_swap_and_in_wrap() -> None:
    for section, off in (("swap", "swap-apart"), ("wrap", "cap-power-off")):
        found = rules(*SLOPE, section)
        assert found.index("hand-under") < found.index(off)


DRIVEN = {
    "holds-level-turned",
    "holds-level",
    "holds-level-head",
    "zero",
    "zero-pan",
    "zero-tilt",
    "zero-slide",
}


@pytest.mark.parametrize("name", SHOTS)
def test_nothing_that_needs_a_drive_comes_before_the_first_drive(name: str) -> None:
    found = rules(*SHOTS[name])
    travel = next((found.index(rule) for rule in found if rule.startswith("travel")), len(found))
    assert not DRIVEN & set(found[:travel])
    on = [found.index(rule) for rule in found if rule.startswith("power-on")]
    plugged = [n for n, rule in enumerate(found) if rule.startswith(("cable", "strain", "pack-held"))]
    assert all(last < first for first in on for last in plugged)
    assert all(first < travel for first in on)


def test_a_joint_is_seated_and_locked_in_one_row() -> None:
    found = [item["args"] for item in items(*shot(), "rig") if item["message"] == "item.joint"]
    assert found == [{key: joint[key] for key in ("name", "seat", "key", "lock")} for joint in JOINTS]


def test_joints_come_off_in_the_opposite_order() -> None:
    joints = [
        {"name": name, "seat": "plate", "key": "arrow", "lock": "pin", "release": "it drops"}
        for name in ("one", "two", "three")
    ]
    found = [item for item in items(*shot(words={"joints": joints})) if item["message"] == "item.release"]
    assert [item["args"]["name"] for item in found] == ["three", "two", "one"]


@pytest.mark.parametrize(
    ("order", "stored"),
    [
        ("last-to-first", [(3, 1), (2, 2), (1, 3)]),
        ("first-to-last", [(1, 1), (2, 2), (3, 3)]),
    ],
)
def test_keyframes_stand_in_the_order_of_setting_with_what_the_rig_calls_them(
    order: str, stored: list[tuple[int, int]]
) -> None:
    found = [item for item in items(*shot(order=order)) if item["message"] == "item.stored"]
    assert [(item["args"]["number"], item["args"]["on_rig"]) for item in found] == stored
    assert [item["value"] for item in found] == [f"keyframes.{number - 1}.line" for number, _ in stored]
    assert {item["blank"] for item in found} == {"blank.as-set"}


@pytest.mark.parametrize("menu", [["frames", "interval", "dwell"], ["ease", "hold", "dwell", "interval"]])
def test_the_program_follows_the_rigs_own_menu(menu: list[str]) -> None:
    found = items(*shot(rig={"program_order": menu}), "program")
    assert [item["value"] for item in found] == ["numbers." + name for name in menu]


@pytest.mark.parametrize("name", SHOTS)
@pytest.mark.parametrize(("section", "last"), [("ready", {"first-frame"}), ("wrap", {"out", "out-with"})])
def test_the_completion_call_is_the_last_item(name: str, section: str, last: set[str]) -> None:
    """Degani & Wiener 1990, NASA CR-177549, appendix A, rule 6."""
    assert rules(*SHOTS[name], section)[-1] in last
