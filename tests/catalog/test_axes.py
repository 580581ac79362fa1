"""Axes besides slide, pan and tilt; pan's cables; how keyframes are joined; a shot reversed in one word."""

from __future__ import annotations

import pytest

from .conftest import Folder

RIG, SHOT = "rigs/rail-and-head.toml", "shots/slipway.toml"
LIFT = '[axis.lift]\nunit = "mm"\nmin = -50\nmax = 400\nspeed_max = 30\n\n'
PAN = "[axis.pan]"


def _with_axis(sample: Folder, table: str = LIFT) -> None:
    sample.edit(RIG, PAN, table + PAN)


def _with_lift(sample: Folder, first: str = "axes = { lift = 120 }") -> None:
    """The rig has a lift, and every keyframe says where it stands."""
    _with_axis(sample)
    for slide, line in ((0, first), (530, "axes = { lift = 200 }"), (1060, "axes = { lift = 300.5 }")):
        sample.edit(SHOT, f"slide_mm = {slide}\n", f"slide_mm = {slide}\n{line}\n")


def test_a_named_axis_comes_after_the_usual_ones_with_what_it_is_not_told_by_default(sample: Folder) -> None:
    _with_lift(sample)
    brief = sample.read().brief("slipway")
    axes = brief["rig"]["axes"]
    assert list(axes) == ["slide", "pan", "tilt", "lift"]
    limits = {"min": -50.0, "max": 400.0, "step": 1.0, "speed_max": 30.0, "acceleration_max": 30.0}
    assert axes["lift"] == {"letter": "L", "unit": "mm", **limits}
    assert [keyframe["axes"]["lift"] for keyframe in brief["keyframes"]] == [120.0, 200.0, 300.5]


def test_each_axis_has_a_letter_of_its_own(sample: Folder) -> None:
    tables = [LIFT.replace("lift", name) for name in ("level", "lift", "pedestal")]
    _with_axis(sample, "".join(tables))
    rows = "axes = { level = 1, lift = 2, pedestal = 3 }\n"
    for slide in (0, 530, 1060):
        sample.edit(SHOT, f"slide_mm = {slide}\n", f"slide_mm = {slide}\n{rows}")
    axes = sample.read().brief("slipway")["rig"]["axes"]
    assert {name: axis["letter"] for name, axis in axes.items()} == {
        "slide": "S",
        "pan": "P",
        "tilt": "T",
        "level": "L",
        "lift": "I",
        "pedestal": "E",
    }


@pytest.mark.parametrize(
    ("table", "told", "right"),
    [
        (
            LIFT.replace('"mm"', '"cm"'),
            "21: axis.lift.unit: found 'cm'",
            "'mm', 'deg', 'turns' or 'percent'",
        ),
        (
            LIFT.replace("speed_max", "sped_max"),
            "24: axis.lift.sped_max: found a key that nothing reads",
            "speed_max (did you mean that?)",
        ),
        (
            LIFT.replace("speed_max = 30\n", ""),
            "20: axis.lift.speed_max: found nothing",
            "the top speed in units a second, above 0",
        ),
        (
            LIFT.replace("max = 400", "max = -60"),
            "23: axis.lift.max: found -60",
            "more than min, which is -50",
        ),
        (
            LIFT.replace("lift", "Lift"),
            "20: axis.Lift: found an axis named 'Lift'",
            "a name of small letters, digits and _, at most 16, such as 'lift'",
        ),
        (
            LIFT.replace("lift", "slid"),
            "20: axis.slid: found an axis named 'slid'",
            "[axis.slide] (did you mean that?)",
        ),
        (
            LIFT.replace("lift", "stp"),
            "20: axis.stp: found an axis named 'stp'",
            "a name with a letter besides P, S, T: it is told by it",
        ),
        (
            "".join(LIFT.replace("lift", name) for name in ("lift", "focus", "zoom", "roll")),
            "38: axis.roll: found 7 axes",
            "at most 6",
        ),
    ],
)
def test_a_named_axis_at_fault_is_told_in_one_line(sample: Folder, table: str, told: str, right: str) -> None:
    _with_axis(sample, table)
    assert sample.told() == [f"{RIG}:{told}; right: {right}"]


@pytest.mark.parametrize(
    ("first", "told", "right"),
    [
        ("", "28: keyframe 1 axes: found no lift", "{ lift = ... }, from -50 to 400 mm"),
        (
            "axes = { lift = 401 }",
            "31: keyframe 1 axes.lift: found 401",
            "-50 to 400, the limits in rigs/rail-and-head.toml",
        ),
        (
            "axes = { lift = 4, focus = 1 }",
            "31: keyframe 1 axes.focus: found an axis that rigs/rail-and-head.toml does not have",
            "'lift'",
        ),
        (
            "axes = { lift = 4, pan = 1 }",
            "31: keyframe 1 axes.pan: found pan under axes",
            "pan_deg = 1",
        ),
        (
            "axes = { lift = '4' }",
            "31: keyframe 1 axes.lift: found the text '4'",
            "positions of the rig's other axes, such as { lift = 120 }",
        ),
    ],
)
def test_what_a_keyframe_says_of_a_named_axis_is_held_against_the_rig(
    sample: Folder, first: str, told: str, right: str
) -> None:
    _with_lift(sample, first)
    assert sample.told() == [f"{SHOT}:{told}; right: {right}"]


def test_a_rig_without_named_axes_takes_none(sample: Folder) -> None:
    sample.edit(SHOT, "slide_mm = 530\n", "slide_mm = 530\naxes = { lift = 1 }\n")
    assert sample.told() == [
        f"{SHOT}:37: keyframe 2 axes.lift: found an axis that {RIG} does not have; right: no lift"
    ]


def test_cables_hold_pan_before_its_limits_do(sample: Folder) -> None:
    sample.edit(RIG, "min = -170\nmax = 170\n", "min = -170\nmax = 170\nwrap_deg = 120\n")
    assert sample.read().brief("slipway")["rig"]["axes"]["pan"]["wrap_deg"] == 120.0
    aim = "aim = { bearing_deg = 235, altitude_deg = 4 }"
    sample.edit(SHOT, aim, "pan_deg = -121\ntilt_deg = 0")
    assert sample.told() == [
        f"{SHOT}:37: keyframe 2 pan_deg: found -121; right: -120 to 120, the wrap_deg of {RIG}"
    ]


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (
            "min = -170\nmax = 170\n",
            "min = 30\nmax = 170\nwrap_deg = 30\n",
            "24: axis.pan.wrap_deg: found 30; right: more, or limits nearer 0 than 30 to 170",
        ),
        (
            "settle_s = 1.0 ",
            'joins = "curved"\nsettle_s = 1.0 ',
            "8: joins: found 'curved'; right: 'straight' or 'smooth'",
        ),
    ],
)
def test_what_the_rig_says_of_its_way_is_held_against_itself(
    sample: Folder, old: str, new: str, told: str
) -> None:
    sample.edit(RIG, old, new)
    assert sample.told() == [f"{RIG}:{told}"]


def test_a_rig_that_moves_all_the_time_waits_for_nothing(sample: Folder) -> None:
    sample.edit(RIG, '"shoot-move-shoot"', '"continuous"')
    sample.edit(RIG, "settle_s = 1.0 ", "waits_for_camera = true #")
    sample.edit(RIG, '"dwell", ', "")
    right = "no waits_for_camera: it never stands still, or motion = 'shoot-move-shoot'"
    assert sample.told() == [
        f"{RIG}:8: waits_for_camera: found waits_for_camera for a continuous rig; right: {right}"
    ]


def test_a_gap_begins_when_a_rig_that_waits_has_waited(harbour: Folder) -> None:
    """8 s, 0.1 s of lag and 0.5 s until the camera is ready: a dwell of 9 s either way; with 1 s, of 10."""
    rig, camera = "rigs/winch.toml", "cameras/fish.toml"
    harbour.edit("shots/wall.toml", "interval_s = 14.5", "interval_s = 10")
    harbour.write(camera, (harbour.path / camera).read_text("utf-8") + "ready_s = 1\n")
    assert harbour.told() == []
    harbour.edit(rig, 'motion = "shoot-move-shoot"', 'motion = "shoot-move-shoot"\nwaits_for_camera = true')
    found = "found 10, which leaves no gap after a dwell of 10 s"
    assert harbour.told() == [f"shots/wall.toml:8: interval_s: {found}; right: at least 10.5"]


def test_a_reversed_shot_has_the_settings_of_the_other_end_at_each_moment(sample: Folder) -> None:
    sample.edit(SHOT, "slide_mm = 1060\n", 'slide_mm = 1060\nturn = "cw"\nmeant_for = "core highest - 5m"\n')
    forwards = sample.read().brief("slipway")["keyframes"]
    sample.edit(SHOT, 'order = "last-to-first"', 'order = "last-to-first"\nreverse = true')
    catalog = sample.read()
    backwards = catalog.brief("slipway")["keyframes"]
    assert forwards[2]["meant_for"] == {"event": "core highest", "offset_s": -300}
    for of_moment in ("at", "meant_for"):
        assert [row[of_moment] for row in backwards] == [row[of_moment] for row in forwards]
    bare = {"at": None, "turn": None, "meant_for": None}
    assert [keyframe | bare for keyframe in backwards] == [keyframe | bare for keyframe in forwards[::-1]]
    assert [keyframe["turn"] for keyframe in backwards] == [None, "ccw", None]
    assert catalog.as_written("slipway", "keyframe.0.aim") == "keyframe.2.aim"
    assert catalog.as_written("slipway", "keyframe.0.at") == "keyframe.0.at"
