"""Properties of the checklist over rigs, cameras and places of any shape."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.checklists.checklist import checklist
from fieldsheet.checklists.words import WORDS
from tests.checklists.shots import POWER, REMOTE, items, shot, slots

TEXT = st.sampled_from(["head", "carriage plate", "rib up", "{text}", "<b>&", "item.house"])
SECTIONS = st.sampled_from(["pack", "rig", "power", "remote", "keyframes", "ready", "swap", "wrap"])
NUMBERS = {
    *("interval", "gap", "dwell", "frames", "hold", "ease", "first_frame", "last_closes", "storage", "swap"),
}


def _some(kind: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | kind


def _table(**fields: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries(fields)


JOINT = _table(name=TEXT, seat=TEXT, key=TEXT, lock=TEXT, release=_some(TEXT))
CABLE = st.fixed_dictionaries(
    {"name": TEXT, "from": TEXT, "to": TEXT, "key": TEXT, "fits": st.sampled_from([None, "camera"])}
)
HOUSE = _table(section=SECTIONS, text=TEXT, note=_some(TEXT), must=st.booleans(), role=_some(TEXT))
PACK = _table(name=TEXT, seat=TEXT)
POWERED = _table(
    supply=TEXT, isolating_lead=st.booleans(), sleeps=st.booleans(), packs=st.lists(PACK, max_size=3)
)
DRIVEN = _table(kind=TEXT, pair=_some(TEXT), steers_by_tilt=st.booleans())
WORDED = _table(
    hazards=st.lists(TEXT, max_size=9),
    permit=_some(TEXT),
    joints=st.lists(JOINT, max_size=9),
    cables=st.lists(CABLE, max_size=9),
    remote=_some(DRIVEN) | st.just(REMOTE),
    power=_some(POWERED) | st.just(POWER),
    shutter_by=st.sampled_from(["camera", "rig"]),
    back_to_start=_some(TEXT),
    remote_plug=_some(TEXT),
    switch_off=st.lists(TEXT, max_size=4),
    viewfinder=st.sampled_from(["optical", "electronic", "none"]),
    pack=st.lists(TEXT, max_size=9),
    house=st.lists(HOUSE, max_size=9),
    other_letters=st.lists(st.sampled_from("BCD"), max_size=3, unique=True),
)
RAIL = _table(
    bearing_deg=_some(st.just(120.0)),
    incline_deg=st.sampled_from([0.0, 12.5, -45.0, 90.0]),
    home_end=st.sampled_from(["left", "right", "low", "high"]),
    motor_end=st.sampled_from([None, "left", "high"]),
    payload_kg=_some(st.just(3.2)),
)
RIG = _table(
    motion=st.sampled_from(["shoot-move-shoot", "continuous", "none"]),
    trigger=st.sampled_from(["rig", "camera"]),
    interval_means=st.sampled_from(["start to start", "gap"]),
    position_after_power_loss=st.sampled_from(["kept", "lost", None]),
    program_order=st.permutations(["interval", "dwell", "frames", "hold", "ease"]),
)
KEYFRAME = _table(aim=_some(st.just({"target": "sun"})), sighting=_some(TEXT))
AXES = [("pan",), ("tilt",), ("slide",), ("pan", "tilt"), ("slide", "pan", "tilt")]
ANY = {
    "order": st.sampled_from(["first-to-last", "last-to-first"]),
    "rail": RAIL,
    "rig": RIG,
    "words": WORDED,
    "place": _table(check_in=_some(st.just({"with": "M."}))),
    "night": _table(rule=st.sampled_from(["night", "day"])),
    "start": st.just({"clock_s": 75600})
    | st.builds(
        lambda event, offset_s: {"event": event, "offset_s": offset_s},
        st.sampled_from(["sunset", "moonrise", "nautical dusk", "core usable"]),
        st.sampled_from([-4500, 0, 3600]),
    ),
    "tilt_deg": _some(st.just(-4.0)),
    "swap": _some(st.just({"from": {"frame": 1}, "until": {"frame": 9}})),
    "zero_sighting": _some(TEXT),
}
SHOT = st.builds(
    shot, axes=st.sampled_from(AXES), keyframes=st.lists(KEYFRAME, min_size=1, max_size=9), **ANY
) | st.builds(shot, axes=st.just(()), keyframes=st.lists(KEYFRAME, max_size=1), **ANY)
Shot = tuple[dict[str, Any], dict[str, Any]]


@given(SHOT)
def test_never_more_than_seven_at_one_pause_and_never_none(any_shot: Shot) -> None:
    assert all(1 <= len(part["items"]) <= 7 for part in checklist(*any_shot))


@given(SHOT)
def test_every_item_has_an_id_of_its_own(any_shot: Shot) -> None:
    ids = [item["id"] for item in items(*any_shot)]
    assert len(set(ids)) == len(ids)
    assert all(re.fullmatch(r"[0-9a-f]{12}", name) for name in ids)


@given(SHOT)
def test_every_message_has_its_words_with_exactly_its_arguments(any_shot: Shot) -> None:
    for part in checklist(*any_shot):
        assert {part["title"], part["manner"]} <= WORDS.keys()
        for item in part["items"]:
            assert item["args"].keys() == slots(item["message"], item["note"])
            assert item["blank"] is None or item["blank"] in WORDS


@given(SHOT)
def test_every_value_is_a_path_into_the_sheet(any_shot: Shot) -> None:
    brief, plan = any_shot
    paths = {item["value"] for item in items(brief, plan) if item["value"]}
    numbers = {"numbers." + name for name in NUMBERS}
    keyframes = {f"keyframes.{n}.{what}" for n in range(len(plan["keyframes"])) for what in ("line", "aim")}
    keyframes |= {f"keyframes.{n}.sighting" for n in range(len(plan["keyframes"]))}
    assert paths <= numbers | keyframes | {"ends_at", "zero_looks", "rail_runs", "keep_out", "swaps.0"}
    assert brief["swap"] or "swaps.0" not in paths


@given(SHOT)
def test_a_checklist_is_json_and_the_same_each_time(any_shot: Shot) -> None:
    found = checklist(*any_shot)
    assert json.loads(json.dumps(found)) == found == checklist(*any_shot)


OCCASION = st.fixed_dictionaries(
    {},
    optional={
        "keyframes": st.integers(1, 5),
        "order": st.sampled_from(["first-to-last", "last-to-first"]),
        "rail": RAIL,
        "words": _table(hazards=st.lists(TEXT), house=st.lists(HOUSE, max_size=3), pack=st.lists(TEXT)),
        "night": _table(rule=st.sampled_from(["night", "day"])),
    },
)


@given(OCCASION, OCCASION)
def test_the_same_thing_for_two_shots_is_packed_under_one_id(
    one: dict[str, Any], other: dict[str, Any]
) -> None:
    """The kit page packs the whole catalog once; a house item is known by its text alone."""
    said = [
        {item["id"]: (item["message"], item["args"]) for item in items(*shot(**each), "pack")}
        for each in (one, other)
    ]
    both = said[0].keys() & said[1].keys()
    assert {said[0][id][0] for id in both} >= {"item.pack-rig", "item.pack-camera", "item.pack-lead"}
    for id in both:
        (rule, first), (same_rule, second) = said[0][id], said[1][id]
        assert rule == same_rule
        assert first == second or first["text"] == second["text"]


@pytest.mark.parametrize("what", ["rig", "camera"])
def test_the_things_of_another_rig_or_camera_are_other_things(what: str) -> None:
    brief, plan = shot()
    ids = {item["id"]: item["message"] for item in items(brief, plan, "pack")}
    brief[what] = {**brief[what], "id": "another"}
    kept = {ids[item["id"]] for item in items(brief, plan, "pack") if item["id"] in ids}
    belongs = {
        "rig": {"item.pack-rig", "item.pack-lead", "item.pack-pack", "item.pack-remote"},
        "camera": {"item.pack-camera"},
    }
    assert kept == set(ids.values()) - belongs[what] - {"item.pack-camera-lead"}
