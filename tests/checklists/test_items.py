"""The checklist writes itself from the rig, the camera and the shot, in the order of the hand."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.press import plan_shot
from fieldsheet.sky.sky import Sky


def _items(plan: dict[str, Any]) -> list[dict[str, Any]]:
    return [item for section in plan["checklist"] for item in section["items"]]


def _rules(brief: dict[str, Any], sky: Sky) -> list[str]:
    return [item["message"].removeprefix("item.") for item in _items(plan_shot(brief, sky, {}))]


def test_at_most_seven_items_stand_at_one_pause(demo_plan: dict[str, Any]) -> None:
    """5 to 9 items at a pause: Gawande, The Checklist Manifesto (2009)."""
    assert all(1 <= len(section["items"]) <= 7 for section in demo_plan["checklist"])


def test_every_item_has_an_id_of_its_own(demo_plan: dict[str, Any]) -> None:
    ids = [item["id"] for item in _items(demo_plan)]
    assert len(set(ids)) == len(ids)


def test_the_hands_order_is_kept(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Common practice, no source: lock after seat; level, focus, then keyframes; then look only."""
    rules = _rules(demo_brief, sky)
    order = [
        *("joint", "lock", "level-rail", "zero", "zero-slide", "cable", "remote-ready", "travel-rail"),
        *("sun", "strap", "focus", "stored", "interval", "test-frames", "cap", "bubble", "first-frame"),
        "remote-off",
    ]
    places = [rules.index(rule) for rule in order]
    assert places == sorted(places)


def test_every_cable_and_joint_of_the_rig_is_named_with_its_key(demo_plan: dict[str, Any]) -> None:
    rig = demo_plan["brief"]["rig"]
    args = [item["args"] for item in _items(demo_plan)]
    for part in [*rig["cables"], *rig["joints"]]:
        assert part["key"]
        assert part in args


def test_program_values_follow_the_rigs_own_menu(demo_plan: dict[str, Any]) -> None:
    named = [
        item["value"]["number"] for item in _items(demo_plan) if item["value"] and "number" in item["value"]
    ]
    assert named == [*demo_plan["brief"]["rig"]["program_order"], "first_frame"]


def test_keyframes_are_stored_in_the_order_of_setting(demo_plan: dict[str, Any]) -> None:
    stored = [item["value"]["keyframe"] for item in _items(demo_plan) if item["message"] == "item.stored"]
    assert stored == demo_plan["move"]["set_order"]


TILTED = {"kind": "wireless", "pair": "", "steers_by_tilt": True}
KEYED = {"kind": "corded", "pair": "plugged in", "steers_by_tilt": False}


@pytest.mark.parametrize(
    ("part", "changes", "rule", "there"),
    [
        pytest.param(None, {"order": "first-to-last"}, "back", True, id="first-to-last drives back to K1"),
        pytest.param(None, {"order": "last-to-first"}, "back", False, id="last-to-first does not"),
        pytest.param("rig", {"remote": None}, "remote-off", False, id="no remote, none to stow"),
        pytest.param("rig", {"remote": TILTED}, "remote-hangs", True, id="steers by tilting: hangs"),
        pytest.param("rig", {"remote": KEYED}, "remote-hangs", False, id="steers by keys"),
        pytest.param("rig", {"remote": KEYED}, "remote-ready", True, id="made ready before it drives"),
        pytest.param("rig", {"motion": "continuous"}, "dwell", False, id="always moving: no dwell"),
        pytest.param(
            "rig", {"trigger": "camera"}, "interval-camera", True, id="the camera keeps the interval"
        ),
        pytest.param("rail", {"incline_deg": 20.0}, "incline", True, id="a carriage that can fall"),
        pytest.param("rail", {"incline_deg": 0.0}, "incline", False, id="a level rail"),
    ],
)
def test_rules_follow_the_rig_and_the_shot(
    demo_brief: dict[str, Any], sky: Sky, part: str | None, changes: dict[str, Any], rule: str, there: bool
) -> None:
    (demo_brief[part] if part else demo_brief).update(changes)
    assert (rule in _rules(demo_brief, sky)) is there


def test_a_head_without_a_rail_reads_nothing_of_rails(demo_brief: dict[str, Any], sky: Sky) -> None:
    del demo_brief["rig"]["axes"]["slide"]
    demo_brief["rig"]["joints"] = demo_brief["rig"]["joints"][:1]
    demo_brief["rail"] = None
    for keyframe in demo_brief["keyframes"]:
        keyframe["axes"] = {}
    planned = plan_shot(demo_brief, sky, {})
    assert planned["checklist"][0]["title"] == "section.head"
    rules = {item["message"] for item in _items(planned)}
    assert {"item.level", "item.travel"} <= rules
    assert not {"item.level-rail", "item.travel-rail", "item.zero-slide"} & rules


def test_every_shot_warns_of_the_sun(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Another night may bring the sun into any frame, so the caution stands on every card."""
    for keyframe in demo_brief["keyframes"]:
        keyframe["aim"] = {"bearing_deg": 100.0, "altitude_deg": 5.0, "x": 0.0, "y": 0.0}
    assert "sun" in _rules(demo_brief, sky)


def test_ids_do_not_depend_on_values(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Another night changes what an item shows, not which item it is: ticks find it again."""
    one, other = (plan_shot(demo_brief, sky, {"night": night}) for night in ("2027-06-05", "2027-06-15"))
    assert [item["id"] for item in _items(one)] == [item["id"] for item in _items(other)]
