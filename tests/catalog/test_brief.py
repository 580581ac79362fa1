"""The brief: everything of one shot as plain numbers, in the order and units that the plan reads."""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.catalog.brief import frame_mm
from fieldsheet.catalog.document import read_document

from .conftest import Folder

SHOT = "shots/slipway.toml"
RIG = "rigs/rail-and-head.toml"


def brief(sample: Folder) -> dict[str, Any]:
    return sample.read().brief("slipway")


def test_a_catalog_says_what_it_is(sample: Folder) -> None:
    catalog = sample.read()
    assert (catalog.id, catalog.title) == ("saltings", "Salt coast, summer nights")
    assert catalog.base_url == "https://example.org/saltings/"
    assert list(catalog.shots) == ["slipway"]
    with pytest.raises(KeyError):
        catalog.brief("quay")


def test_a_brief_holds_what_the_files_say(sample: Folder) -> None:
    found = brief(sample)
    assert json.loads(json.dumps(found)) == found
    assert (found["format"], found["version"]) == ("fieldsheet brief", 1)
    assert found["night"] == {"rule": "night", "date": "2027-06-05"}
    assert found["start"] == {"event": "sunset", "offset_s": -4500}
    assert found["end"] == {"event": "astronomical dusk", "offset_s": 2400}
    assert (found["duration_ms"], found["interval_ms"], found["frames"]) == (None, 18000, None)
    assert (found["fps"], found["hold"], found["ease"]) == ([25, 1], [1, 1], [40, 40])
    assert (found["longest_shutter_ms"], found["zero_bearing_deg"]) == (13000, 225.0)
    assert found["frame_mm"] == [36.0, 20.25]
    keys = list(found)
    assert keys[keys.index("zero_bearing_deg") + 1] == "zero_sighting"
    assert found["rail"] == {
        "bearing_deg": 300.0,
        "incline_deg": 0.0,
        "home_end": "left",
        "motor_end": None,
        "payload_kg": None,
    }
    assert found["order"] == "last-to-first"
    assert found["place"]["zone"]["name"] == "Europe/Lisbon"
    assert found["place"]["zone"]["until_s"] == datetime(2031, 1, 1, tzinfo=UTC).timestamp()
    assert found["rig"]["axes"]["slide"] == {
        "letter": "S",
        "unit": "mm",
        "min": 0.0,
        "max": 1060.0,
        "step": 1.0,
        "speed_max": 14.0,
        "acceleration_max": 18.0,
    }
    assert list(found["rig"]["axes"]) == ["slide", "pan", "tilt"]
    assert found["words"]["cables"][0]["from"] == "slide motor"
    assert [keyframe["axes"] for keyframe in found["keyframes"]] == [
        {"slide": 0.0},
        {"slide": 530.0},
        {"slide": 1060.0},
    ]
    assert found["keyframes"][0]["aim"] == {"target": "sun", "x": 0.0, "y": -0.33}
    assert found["keyframes"][1]["at"] == {"fraction": 0.5}


def test_a_brief_is_a_copy_that_may_be_changed(sample: Folder) -> None:
    catalog = sample.read()
    before = catalog.brief("slipway")
    changed = catalog.brief("slipway")
    changed["start"]["offset_s"] = 1
    changed["place"]["zone"]["spans"].clear()
    changed["keyframes"][1]["at"]["fraction"] = 1
    assert catalog.brief("slipway") == before


# Key, what the sample says, what it says instead, where it is in the brief, what is there.
RESOLVED: list[tuple[str, str, str, list[str | int], Any]] = [
    (SHOT, "longest_shutter_s = 13", "longest_shutter_s = 15", ["longest_shutter_ms"], 16000),
    (SHOT, "longest_shutter_s = 13", "longest_shutter_s = 30.0", ["longest_shutter_ms"], 32000),
    (SHOT, "longest_shutter_s = 13", "longest_shutter_s = 0.5", ["longest_shutter_ms"], 500),
    (SHOT, "fps = 25", "fps = 29.97", ["fps"], [30000, 1001]),
    (SHOT, "fps = 25", "fps = 23.976", ["fps"], [24000, 1001]),
    (SHOT, "fps = 25", "fps = '60000/1001'", ["fps"], [60000, 1001]),
    (SHOT, "fps = 25", "fps = 12.5", ["fps"], [25, 2]),
    (SHOT, "fps = 25", "# fps", ["fps"], [25, 1]),
    (SHOT, "hold_frames = 1 ", "hold_frames = { start = 3, end = 25 } ", ["hold"], [3, 25]),
    (SHOT, "ease_frames = 40 ", "ease_frames = { in = 0, out = 9 } ", ["ease"], [0, 9]),
    (SHOT, "ease_frames = 40 ", "# ", ["ease"], [0, 0]),
    (SHOT, 'order = "last-to-first"', "", ["order"], "last-to-first"),
    (
        RIG,
        '["last-to-first", "first-to-last"]',
        '["first-to-last", "last-to-first"]',
        ["order"],
        "last-to-first",
    ),
    (SHOT, "night = 2027-06-05", "day = 2027-06-05", ["night"], {"rule": "day", "date": "2027-06-05"}),
    (SHOT, 'clip_aspect = "16:9"', "", ["frame_mm"], [36.0, 24.0]),
    (SHOT, 'clip_aspect = "16:9"', 'clip_aspect = "9:16"', ["frame_mm"], [13.5, 24.0]),
    (
        SHOT,
        'clip_aspect = "16:9"',
        'clip_aspect = "9:16"\norientation = "portrait"',
        ["frame_mm"],
        [20.25, 36.0],
    ),
    (SHOT, 'clip_aspect = "16:9"', "crop_margin = 0.05", ["frame_mm"], [34.2, 22.8]),
    (SHOT, "fps = 25", "# fps", ["zero_sighting"], None),
    (RIG, "pair = ", "# pair = ", ["words", "remote", "pair"], None),
    (
        SHOT,
        'order = "last-to-first"',
        'zero_sighting = "beacon, middle of the mole"',
        ["zero_sighting"],
        "beacon, middle of the mole",
    ),
    (
        RIG,
        'program_order = ["frames", "interval", "dwell", "ease", "hold"]',
        "",
        ["rig", "program_order"],
        ["interval", "dwell", "frames", "hold", "ease"],
    ),
    (RIG, "interval_step_s = 0.5 ", "# ", ["rig", "interval_step_ms"], 1000),
    (RIG, "settle_s = 1.0 ", "# ", ["rig", "settle_ms"], 1000),
    (RIG, "acceleration_max = 12.0", "", ["rig", "axes", "pan", "acceleration_max"], 8.0),
    (RIG, "max = 1060 ", "max = 1060.5 ", ["rig", "axes", "slide", "max"], 1060.5),
    ("cameras/full-frame-14.toml", "remote_plug = ", "# ", ["words", "remote_plug"], None),
    (SHOT, 'at = "halfway"', 'at = "frame 300"', ["keyframes", 1, "at"], {"frame": 300}),
    (
        SHOT,
        'at = "halfway"',
        'at = "nautical dusk - 5m"',
        ["keyframes", 1, "at"],
        {"event": "nautical dusk", "offset_s": -300},
    ),
    (
        SHOT,
        "aim = { bearing_deg = 235, altitude_deg = 4 }",
        "pan_deg = 10.5\ntilt_deg = -1",
        ["keyframes", 1, "axes"],
        {"slide": 530.0, "pan": 10.5, "tilt": -1.0},
    ),
    (SHOT, "altitude_deg = 4 }", 'altitude_deg = 4 }\nturn = "ccw"', ["keyframes", 1, "turn"], "ccw"),
]


@pytest.mark.parametrize(("file", "old", "new", "path", "value"), RESOLVED)
def test_a_key_resolves_to_a_plain_value(
    sample: Folder, file: str, old: str, new: str, path: list[str | int], value: Any
) -> None:
    sample.edit(file, old, new)
    found: Any = brief(sample)
    for part in path:
        found = found[part]
    assert found == value


def test_a_head_without_a_rail_has_no_slide(sample: Folder) -> None:
    text = (sample.path / RIG).read_text("utf-8")
    begin, end = text.index("[axis.slide]"), text.index("[axis.pan]")
    sample.write(RIG, text[:begin] + text[end:])
    told = sample.told()
    assert told == [
        f"{SHOT}:24: rail: found a rail, but {RIG} has no [axis.slide]; right: no rail",
        *(
            f"{SHOT}:{line}: keyframe {number} slide_mm: "
            f"found an axis that {RIG} does not have; right: no slide_mm"
            for number, line in ((1, 30), (2, 36), (3, 42))
        ),
    ]


def test_a_rig_without_a_tilt_cannot_aim(sample: Folder) -> None:
    text = (sample.path / RIG).read_text("utf-8")
    begin, end = text.index("[axis.tilt]"), text.index("[[joint]]")
    sample.write(RIG, text[:begin] + text[end:])
    assert sample.told() == [
        f"{SHOT}:{line}: keyframe {number} aim: found an aim, but {RIG} has no [axis.tilt]; "
        "right: positions of the axes it has"
        for number, line in ((1, 31), (2, 37), (3, 43))
    ]


def test_a_rig_with_a_fixed_middle_takes_no_other(sample: Folder) -> None:
    sample.edit(RIG, '{ most = 5, middle = "free" }', '{ most = 3, middle = "halfway" }')
    assert sample.told() == []
    sample.edit(SHOT, 'at = "halfway"', 'at = "civil dusk"')
    assert sample.told() == [
        (
            f"{SHOT}:35: keyframe 2 at: found 'civil dusk', but {RIG} puts the middle keyframe halfway; "
            "right: 'halfway'"
        )
    ]


@pytest.mark.parametrize(
    ("second", "told"),
    [
        ("frame 766", "found 'frame 766' in a shot of 600 frames; right: at most 'frame 600'"),
        ("frame 600", None),
        (
            "frame 1",
            (
                "found 'frame 1', not after keyframe 1 at 'start'; "
                "right: keyframes in the order of time: 'frame 2' or later"
            ),
        ),
    ],
)
def test_frames_are_held_against_each_other_where_their_number_is_known(
    sample: Folder, second: str, told: str | None
) -> None:
    sample.edit(SHOT, 'end = "astronomical dusk + 40m"', "frames = 600")
    sample.edit(SHOT, 'at = "halfway"', f'at = "{second}"')
    if told:
        assert sample.told() == [f"{SHOT}:35: keyframe 2 at: {told}"]
    else:
        assert sample.told() == [
            (
                f"{SHOT}:41: keyframe 3 at: found 'end', not after keyframe 2 at 'frame 600'; "
                "right: keyframes in the order of time"
            )
        ]


def test_hold_and_ease_fit_into_the_frames(sample: Folder) -> None:
    # From frame 1 to frame 81 there are 80 steps: 40 to come up to speed and 40 to slow down.
    sample.edit(SHOT, 'end = "astronomical dusk + 40m"', "frames = 81")
    assert sample.told() == []
    sample.edit(SHOT, "frames = 81", "frames = 80")
    assert sample.told() == [
        (
            f"{SHOT}:20: ease_frames: found 2 frames of hold and 80 of ease in 80 frames; "
            "right: 1 less of hold and ease, or 81 frames"
        )
    ]


@pytest.mark.parametrize(
    ("key", "line"),
    [
        ("start", 11),
        ("end", 12),
        ("interval_s", 13),
        ("night", 10),
        ("ease_frames", 20),
        ("keyframe.0.at", 29),
        ("keyframe.1.at", 35),
        ("keyframe.1.aim", 37),
        ("keyframe.2.aim.target", 43),
        ("keyframe.2.turn", 40),
        ("duration", 1),
    ],
)
def test_a_key_is_located_or_its_nearest_parent(sample: Folder, key: str, line: int) -> None:
    assert sample.read().locate("slipway", key) == (SHOT, line)


@pytest.mark.parametrize(
    ("key", "place"),
    [
        ("place", (SHOT, 4)),
        ("place.zone", ("places/gull-point.toml", 7)),
        ("place.turn_back", ("places/gull-point.toml", 1)),
        ("rig.axis.pan.max", (RIG, 23)),
        ("camera.focal_mm", ("cameras/full-frame-14.toml", 3)),
    ],
)
def test_a_key_of_a_file_that_the_shot_names_is_located_there(
    sample: Folder, key: str, place: tuple[str, int]
) -> None:
    assert sample.read().locate("slipway", key) == place


sides = st.integers(1, 60).map(Decimal)
aspects = st.tuples(st.integers(1, 21), st.integers(1, 21)).map(lambda pair: Fraction(*pair))


@given(sides, sides, st.sampled_from(["landscape", "portrait"]), aspects)
def test_the_delivered_frame_is_the_largest_of_its_aspect(
    width: Decimal, height: Decimal, orientation: str, aspect: Fraction
) -> None:
    held = (width, height) if orientation == "landscape" else (height, width)
    across, down = frame_mm((width, height), orientation, aspect, Decimal(0))
    assert across / down == pytest.approx(float(aspect))
    assert across <= held[0] and down <= held[1]
    assert across == held[0] or down == held[1]


def test_the_share_lost_to_16_9_is_the_one_that_the_trade_knows() -> None:
    # Common practice, no source: a 16:9 clip from a 3:2 sensor loses 15.6 % of the height.
    _, down = frame_mm((Decimal(36), Decimal(24)), "landscape", Fraction(16, 9), Decimal(0))
    assert 1 - down / 24 == pytest.approx(0.156, abs=0.0005)


def test_a_continuous_rig_is_asked_for_no_dwell_by_default(sample: Folder) -> None:
    sample.edit(RIG, '"shoot-move-shoot" ', '"continuous" ')
    sample.edit(RIG, "settle_s = 1.0 ", "# ")
    sample.edit(RIG, 'program_order = ["frames", "interval", "dwell", "ease", "hold"] ', "# ")
    assert brief(sample)["rig"]["program_order"] == ["interval", "frames", "hold", "ease"]
    data = (sample.path / RIG).read_bytes() + b"unknown = 1\n"
    faulty, problems = read_document("rig", "any", RIG, data)
    assert len(problems) == 1
    assert faulty.get("program_order") == ["interval", "frames", "hold", "ease"]


def test_a_misspelt_rail_is_not_told_a_second_time_by_its_rig(sample: Folder) -> None:
    text = (sample.path / RIG).read_text("utf-8")
    begin, end = text.index("[axis.slide]"), text.index("[axis.pan]")
    sample.write(RIG, text[:begin] + text[end:])
    sample.write(SHOT, re.sub("(?m)^slide_mm.*\n", "", (sample.path / SHOT).read_text("utf-8")))
    sample.edit(SHOT, "rail = {", "rial = {")
    assert sample.told() == [
        f"{SHOT}:24: rial: found a key that nothing reads; right: rail (did you mean that?)"
    ]
