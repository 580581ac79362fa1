"""The demo's shots, read from its files, get the checklists that fit them."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.catalog.read import Catalog
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky
from tests.checklists.shots import items, plan_of


@pytest.fixture(scope="module")
def packed(demo: Catalog) -> dict[str, dict[str, Any]]:
    """Shot id -> its packing list as id -> item."""
    briefs = {name: demo.brief(name) for name in demo.shots}
    return {
        name: {item["id"]: item for item in items(brief, plan_of(brief), "pack")}
        for name, brief in briefs.items()
    }


def test_no_demo_checklist_tires_a_hand(demo: Catalog) -> None:
    """A crew has patience for some 80 rows, its own too, on a stand fewer (common practice, no source)."""
    counts: dict[str, list[int]] = {"rail": [], "head": [], "still": []}
    for name in demo.shots:
        brief = demo.brief(name)
        axes = brief["rig"]["axes"]
        kind = "rail" if "slide" in axes else "head" if axes else "still"
        counts[kind].append(len(items(brief, plan_of(brief))))
    assert 35 <= min(counts["still"]) <= max(counts["still"]) < min(counts["head"])
    assert max(counts["head"]) < min(counts["rail"]) <= max(counts["rail"]) <= 82


def test_weight_is_for_that_without_which_the_night_the_rig_or_a_person_is_lost(demo: Catalog) -> None:
    """Where everything weighs, nothing does: 25 to 33 on a full rig (common practice, no source)."""
    for name in demo.shots:
        brief = demo.brief(name)
        weighty = sum(item["must"] for item in items(brief, plan_of(brief)))
        assert (25 if brief["rig"]["axes"] else 20) <= weighty <= 33, name


def test_what_the_hoist_could_drop_is_held_before_it_can_fall(demo: Catalog, sky: Sky) -> None:
    said = _said(demo, sky, "hoist")
    order = [
        *("Lower foot seated", "Wall bracket seated", "Carriage seated", "Pawl or pin IN", "End stop"),
        *("Tether on", "Tether clipped to the eye bolt", "Camera on", "Remote HANGS", "Power on"),
        *("THEN pawl or pin off", "Full travel", "Carriage from its last", "camera off", "\nPower off"),
        "Hold the carriage",
    ]
    places = [said.index(text) for text in order]
    assert places == sorted(places)
    assert "LOCKED | remote hung again, nobody below; pawl or pin, else a hand | S 1360 mm" in said


def test_the_clamp_over_the_saw_is_wired_before_the_camera_is_on_it(demo: Catalog, sky: Sky) -> None:
    said = _said(demo, sky, "stone-saw")
    places = [said.index(text) for text in ("Clamp seated", "Safety wire seated", "WIRED", "Camera on")]
    assert places == sorted(places)


def test_nobody_is_warned_of_the_sun_where_it_has_set_before_the_rig_is_driven(
    demo: Catalog, sky: Sky
) -> None:
    warned = {name for name in demo.shots if "Sun up" in _said(demo, sky, name)}
    assert warned == set(demo.shots) - {"pole-circle"}


def _said(demo: Catalog, sky: Sky, name: str) -> str:
    """Every text, note and value of a shot's checklist, a row a line."""
    sheet = make_sheet(plan_shot(demo.brief(name), sky, {}))
    shown = [item for section in sheet["checklist"] for item in section["items"]]
    return "\n".join(f"{item['text']} | {item['note']} | {item['value']}" for item in shown)


def test_a_rig_whose_camera_fires_itself_hears_of_no_camera_lead_and_no_count_of_its_own(
    demo: Catalog, sky: Sky
) -> None:
    for name in ("clouds", "moonrise", "pole-circle"):
        said = _said(demo, sky, name)
        assert "camera count = frame due" in said
        assert demo.brief(name)["words"]["remote_plug"] not in said
        assert "rig = camera count" not in said


def test_what_stands_still_is_not_driven_off_its_framing(demo: Catalog, sky: Sky) -> None:
    assert "RETURN" not in _said(demo, sky, "pole-circle")
    assert "RETURN" in _said(demo, sky, "clouds")


def test_sightings_stand_in_the_keyframes_alone(demo: Catalog, sky: Sky) -> None:
    for name in demo.shots:
        said = _said(demo, sky, name)
        sightings = [keyframe["sighting"] for keyframe in demo.brief(name)["keyframes"]]
        assert not [sighting for sighting in sightings if sighting and sighting in said]


def test_every_cable_joint_and_pack_of_the_rig_is_named(demo: Catalog) -> None:
    for name in demo.shots:
        brief = demo.brief(name)
        args = [item["args"] for item in items(brief, plan_of(brief))]
        named = [name for each in args for key in ("name", "names") for name in each.get(key, "").split(", ")]
        parts = [*brief["words"]["joints"], *brief["words"]["cables"]]
        parts += brief["words"]["power"]["packs"] if brief["words"]["power"] else []
        assert {part["name"] for part in parts} <= set(named)


def test_one_thing_is_one_row_of_the_kit(packed: dict[str, dict[str, Any]]) -> None:
    together: dict[str, dict[str, Any]] = {}
    for things in packed.values():
        for id, item in things.items():
            assert together.setdefault(id, item)["args"] == item["args"]
    assert len(together) < sum(len(things) for things in packed.values())
    said = [(item["message"], sorted(item["args"].items())) for item in together.values()]
    assert len({repr(one) for one in said}) == len(said)


def test_every_value_is_a_text_of_the_shots_own_sheet(demo: Catalog, sky: Sky) -> None:
    for name in demo.shots:
        sheet = make_sheet(plan_shot(demo.brief(name), sky, {}))
        shown = [item for section in sheet["checklist"] for item in section["items"]]
        # How much of a card is taken is known where its size is.
        assert all(item["value"] for item in shown if item["path"] and item["path"] != "numbers.storage")
        assert sum(bool(item["path"]) for item in shown) >= 4


def test_the_checklist_stays_the_same_on_another_night(demo: Catalog, sky: Sky) -> None:
    """Another night changes what an item shows, not which item it is: ticks find it again."""
    nights: list[dict[str, Any]] = [{}, {"night": "2027-06-15"}]
    one, other = (plan_shot(demo.brief("hoist"), sky, night)["checklist"] for night in nights)
    assert one == other
