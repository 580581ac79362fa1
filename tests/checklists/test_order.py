"""The order of the hand.  Common practice, no source, where nothing else is named."""

from __future__ import annotations

import pytest

from tests.checklists.shots import JOINTS, POWER, SHOTS, SWAP, TILTED, item_of, items, rules, shot

SLOPE = shot(
    rail={"incline_deg": 45.0},
    words={"remote": TILTED, "other_letters": ["B"], "power": {**POWER, "sleeps": True}},
    **SWAP,
)


@pytest.mark.parametrize(
    "order",
    [
        pytest.param(
            ("rail-incline", "feet", "joint", "payload-incline", "cable"), id="camera before its lead"
        ),
        pytest.param(
            ("payload-incline", "level-head", "power-on-alone"), id="load, level by hand, then power"
        ),
        pytest.param(
            ("level-head", "travel-rail", "holds-level-turned", "focus", "stored", "look-again"),
            id="level, look at both ends once they can be driven to, focus, keyframes, LOOK",
        ),
        pytest.param(("holds-level-turned", "zero", "zero-slide", "stored"), id="zero before keyframes"),
        pytest.param(
            ("hazard", "way", "keep-out", "joint"), id="what may hurt comes first: Degani & Wiener, rule 10"
        ),
        pytest.param(
            ("joint", "carriage", "end-stop", "tether", "payload-incline"), id="held before it is loaded"
        ),
        pytest.param(
            ("carriage", "power-on-alone", "holds", "jog-right"), id="pawl in until power holds, off to drive"
        ),
        pytest.param(("pack-held", "cable", "strain-rail", "power-on-alone"), id="power after the last plug"),
        pytest.param(
            ("clear-rail", "power-on-alone", "stays-on", "jog-right"), id="hands off before it can move"
        ),
        pytest.param(
            ("pack-held", "remote-hangs", "power-on-alone", "jog-right", "travel-rail"),
            id="hang, then power on, jog, travel",
        ),
        pytest.param(("remote-hangs", "first-frame", "remote-off"), id="hung before roll, off after frame 1"),
        pytest.param(("travel-rail", "approach", "card", "stored", "frames"), id="snags before keyframes"),
        pytest.param(
            ("payload-incline", "sun", "power-on-alone", "zero"), id="cap on before it can turn into the sun"
        ),
        pytest.param(("pack-camera", "card", "cards-out"), id="formatted after the backup, not at the end"),
        pytest.param(
            ("dwell", "look-again", "battery", "test-shoot-move-shoot", "back", "file"),
            id="file no. after tests",
        ),
        pytest.param(
            ("strap", "focus", "stored", "test-shoot-move-shoot", "covered-optical", "first-frame"),
            id="lens and screen free until the last test frame",
        ),
        pytest.param(("swap-within", "hand-under", "swap-apart", "position-lost", "swapped"), id="swap"),
        pytest.param(("last-frame", "down", "camera-off", "power-off", "cards-out", "out-with"), id="wrap"),
    ],
)
def test_the_hands_order_is_kept(order: tuple[str, ...]) -> None:
    found = rules(*SLOPE)
    places = [found.index(rule) for rule in order]
    assert places == sorted(places)


def test_a_carriage_is_held_before_power_goes_off_in_swap_and_in_wrap() -> None:
    for section, held, off in (("swap", "hand-under", "swap-apart"), ("wrap", "down", "power-off")):
        found = rules(*SLOPE, section)
        assert found.index(held) < found.index(off)


@pytest.mark.parametrize("name", SHOTS)
def test_the_camera_is_off_before_power_is_and_before_anything_is_let_go(name: str) -> None:
    found = rules(*SHOTS[name], "wrap")
    loose = [found.index(rule) for rule in found if rule in ("release", "power-off")]
    assert all(found.index("camera-off") < place for place in loose)


def test_a_carriage_is_driven_down_from_where_the_run_left_it() -> None:
    for keyframes in (1, 3):
        item = item_of(*shot(rail={"incline_deg": 20.0}, keyframes=keyframes), "down")
        assert (item["args"], item["value"]) == ({}, "ends_at")


def test_an_upright_rail_is_pushed_once_it_is_held_and_loaded_last() -> None:
    found = rules(*SHOTS["upright rail without pan"], "rig")
    assert [rule for rule in found if rule not in ("hazard", "way", "keep-out", "rail-upright")] == [
        *("joint", "carriage", "end-stop", "fixed", "tether", "payload-incline"),
    ]


def test_what_is_clamped_is_wired_before_the_camera_is_on_it() -> None:
    assert rules(*SHOTS["clamped"], "rig")[-3:] == ["joint", "stand-still", "payload-still"]


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


def test_where_the_camera_fires_every_line_of_the_program_names_its_device() -> None:
    menu = {"trigger": "camera", "motion": "continuous", "program_order": ["interval", "hold", "frames"]}
    camera = ["interval-camera", "frames-camera"]
    assert rules(*shot(rig=menu), "program") == ["interval-rig", "hold-rig", "frames-rig", *camera]
    assert rules(*shot(rig=menu, keyframes=1), "program") == camera


@pytest.mark.parametrize("name", SHOTS)
@pytest.mark.parametrize(
    ("section", "last"), [("ready", {"first-frame", "both-started"}), ("wrap", {"out", "out-with"})]
)
def test_the_completion_call_is_the_last_item(name: str, section: str, last: set[str]) -> None:
    """Degani & Wiener 1990, NASA CR-177549, appendix A, rule 6."""
    assert rules(*SHOTS[name], section)[-1] in last
