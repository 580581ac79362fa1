"""One fault in the sample, one message; many faults, as many messages; and never anything but messages."""

from __future__ import annotations

import json
import random
import shutil
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldsheet.catalog.document import read_document
from fieldsheet.catalog.read import read_catalog
from fieldsheet.problems import CatalogProblems, Problem, spoken_key
from tests.long import tries

from .conftest import SAMPLE, Folder

SHOT = "shots/slipway.toml"


def table(name: str) -> list[Any]:
    """The rows of a table of faults beside this file."""
    rows = tomllib.loads(Path(__file__).with_name(name).read_text("utf-8"))["fault"]
    return [pytest.param(row, id=f"{row['file']} {row['new']}"[:60]) for row in rows]


# Faults that neither touch the same line nor bear on one another: any of them may stand beside any other.
INDEPENDENT = [
    ("catalog.toml", 'id = "saltings"', 'id = "Salt Ings"', 7, "id"),
    ("catalog.toml", "https://", "http://", 8, "base_url"),
    ("places/gull-point.toml", "latitude_deg = 37.08", "latitude_deg = 370.8", 4, "latitude_deg"),
    ("places/gull-point.toml", "elevation_m", "elevatoin_m", 6, "elevatoin_m"),
    ("places/gull-point.toml", "Europe/Lisbon", "Europe/Lisboa", 7, "zone"),
    ("rigs/rail-and-head.toml", 'trigger = "rig"', 'trigger = "hand"', 6, "trigger"),
    ("rigs/rail-and-head.toml", "settle_s = 1.0", "settle_s = -1.0", 8, "settle_s"),
    ("rigs/rail-and-head.toml", 'lock = "half turn', 'locks = "half turn', 40, "joint.0.locks"),
    (
        "rigs/rail-and-head.toml",
        "steers_by_tilt = true",
        'steers_by_tilt = "no"',
        63,
        "remote.steers_by_tilt",
    ),
    ("cameras/full-frame-14.toml", "focal_mm = 14", "focal_mm = 0", 3, "focal_mm"),
    (SHOT, '"gull-point"', '"gul-point"', 4, "place"),
    (SHOT, '"full-frame-14"', '"full-frame"', 6, "camera"),
    (SHOT, "night = 2027-06-05", "night = 2327-06-05", 10, "night"),
    (SHOT, '"sunset - 1h15m"', '"sunset - 1:15"', 11, "start"),
    (SHOT, "interval_s = 18", "intervall_s = 18", 13, "intervall_s"),
    (SHOT, "fps = 25", "fps = 250", 17, "fps"),
    (SHOT, 'clip_aspect = "16:9"', "clip_aspect = 1.78", 18, "clip_aspect"),
    (SHOT, "ease_frames = 40", "ease_frames = 40.5", 20, "ease_frames"),
    (SHOT, 'home_end = "left"', 'home_end = "top"', 24, "rail.home_end"),
    (SHOT, 'order = "last-to-first"', 'order = "last"', 25, "order"),
    (SHOT, "slide_mm = 0\n", "slide_mm = -1\n", 30, "keyframe.0.slide_mm"),
    (SHOT, "y = -0.33", "y = -33", 31, "keyframe.0.aim.y"),
    (SHOT, 'at = "halfway"', 'at = "half past"', 35, "keyframe.1.at"),
    (SHOT, "altitude_deg = 4 }", "altitude_deg = 94 }", 37, "keyframe.1.aim.altitude_deg"),
    (SHOT, "slide_mm = 1060", "slide_mm = 1061", 42, "keyframe.2.slide_mm"),
    (SHOT, '"galactic core", y = 0.2', '"galactic cor", y = 0.2', 43, "keyframe.2.aim.target"),
]

HEAD, PLACE, WINCH, FISH = "catalog.toml", "places/cove.toml", "rigs/winch.toml", "cameras/fish.toml"
WALL, CIRCLE, YARD = "shots/wall.toml", "shots/circle.toml", "shots/yard.toml"
POST, TIMER = "rigs/post.toml", "rigs/timer.toml"
INDEPENDENT_HARBOUR = [
    (HEAD, '["rig", "power"]', '["rig", "powr"]', 7, "roles.rigger.1"),
    (HEAD, 'section = "pack"', 'section = "pakc"', 10, "house.0.section"),
    (HEAD, "must = true", "must = 1", 17, "house.1.must"),
    (HEAD, 'rig = "winch"\nplace', 'rig = "wench"\nplace', 18, "house.1.rig"),
    (PLACE, "access = [", "acces = [", 6, "acces"),
    (PLACE, '"exit closes - 45m"', '"exit shuts - 45m"', 8, "turn_back"),
    (PLACE, 'with = "the store"', 'with = ""', 10, "check_in.with"),
    (PLACE, "approach_min = 12.5", "approach_h = 0.2", 11, "approach_h"),
    (PLACE, "bearing_deg = 210", "bearing_deg = -150", 15, "landmark.0.bearing_deg"),
    (PLACE, 'name = "crane"', 'name = "beacon"', 19, "landmark.1.name"),
    (PLACE, '"15:40"]', '"03:10"]', 24, "tide.0.high.1"),
    (PLACE, "date = 2027-06-06", "date = 2027-06-05", 28, "tide.1.date"),
    (WINCH, 'interval_means = "gap"', 'interval_means = "gaps"', 4, "interval_means"),
    (WINCH, "[45, 4.8]", "[45, -4.8]", 10, "load_kg.1"),
    (WINCH, 'release = "falls"', "release = 3", 24, "joint.0.release"),
    (WINCH, "sleeps = true", 'sleep = "true"', 36, "power.sleep"),
    (WINCH, 'name = "W1"', 'nam = "W1"', 39, "power.pack.0.nam"),
    (WINCH, 'letter = "W"', 'letter = "P"', 2, "letter"),
    (WINCH, 'name = "W2"', 'name = "\u2060"', 43, "power.pack.1.name"),
    (POST, 'motion = "continuous"', 'motion = "continuous"\nsettle_s = 1', 4, "settle_s"),
    (TIMER, '["frames", "interval"]', '["interval"]', 4, "program_order"),
    (CIRCLE, "night = 2027-06-05", "night = 1907-06-05", 5, "night"),
    (FISH, "sensor_mm = [23.5, 15.7]", "sensor_mm = [15.7, 23.5]", 2, "sensor_mm"),
    (WALL, "setup_min = 75", "setup_h = 1", 10, "setup_h"),
    (WALL, 'until = "low tide"', 'until = "20%"', 11, "swap.until"),
    (WALL, 'operator = "Runa"', 'operater = "Runa"', 12, "crew.operater"),
    (WALL, 'home_end = "low"', 'home_end = "left"', 22, "rail.home_end"),
    (WALL, "payload_kg = 2.3", "payload = 2.3", 24, "rail.payload"),
    (CIRCLE, '"Antares rise + 1h"', '"Antares rises + 1h"', 6, "start"),
    (CIRCLE, '"South Pole"', '"Suoth Pole"', 15, "keyframe.0.aim.target"),
    (YARD, "day = 2027-06-05", "dya = 2027-06-05", 5, "dya"),
    (YARD, "zero_bearing_deg = 20", "zero_bearing_deg = 20\nhold_frames = 3", 11, "hold_frames"),
]


@pytest.mark.parametrize("fault", table("faults.toml"))
def test_one_fault_is_one_message(sample: Folder, fault: dict[str, str]) -> None:
    sample.edit(fault["file"], fault["old"], fault["new"])
    assert sample.told() == [fault["told"]]


@pytest.mark.parametrize("fault", table("faults-harbour.toml"))
def test_one_fault_in_the_harbour_is_one_message(harbour: Folder, fault: dict[str, str]) -> None:
    harbour.edit(fault["file"], fault["old"], fault["new"])
    assert harbour.told() == [fault["told"]]


def test_the_samples_have_no_problem(sample: Folder, harbour: Folder) -> None:
    assert sample.told() == harbour.told() == []


@pytest.mark.parametrize("seed", range(tries(40)))
def test_k_faults_are_exactly_those_k_problems_in_order(sample: Folder, seed: int) -> None:
    chance = random.Random(seed)
    chosen = chance.sample(INDEPENDENT, chance.randint(2, len(INDEPENDENT)))
    for file, old, new, _, _ in chosen:
        sample.edit(file, old, new)
    found = [(problem.file, problem.line, problem.key) for problem in sample.problems()]
    assert found == sorted((file, line, key) for file, _, _, line, key in chosen)


@pytest.mark.parametrize("seed", range(tries(40)))
def test_k_faults_of_the_harbour_are_exactly_those_k_problems(harbour: Folder, seed: int) -> None:
    chance = random.Random(seed)
    chosen = chance.sample(INDEPENDENT_HARBOUR, chance.randint(2, len(INDEPENDENT_HARBOUR)))
    for file, old, new, _, _ in chosen:
        harbour.edit(file, old, new)
    found = [(problem.file, problem.line, problem.key) for problem in harbour.problems()]
    assert found == sorted((file, line, key) for file, _, _, line, key in chosen)


def test_loads_out_of_order_are_told_with_loads_that_cannot_be_read(harbour: Folder) -> None:
    harbour.edit(
        WINCH, "[[0, 6.5], [45, 4.8], [75, 3.2]]", '[[90, 3], [0, 4], [45, "x"], [1], [1, 2], [1, 3]]'
    )
    right = "right: a pair such as [45, 4.0]: incline in degrees, load in kg"
    assert harbour.told() == [
        f"{WINCH}:10: load_kg 2: found 0° after 90°; right: inclines that rise",
        f"{WINCH}:10: load_kg 3: found [45, 'x']; {right}",
        f"{WINCH}:10: load_kg 4: found [1]; {right}",
        f"{WINCH}:10: load_kg 6: found 1° after 1°; right: inclines that rise",
    ]


def test_a_number_that_is_refused_is_not_told_again_by_what_holds_it(harbour: Folder) -> None:
    harbour.edit(WINCH, "[45, 4.8]", "[45, inf]")
    harbour.edit(CIRCLE, '"South Pole"', '"\\u0007"')
    assert [(problem.file, problem.line, problem.key) for problem in harbour.problems()] == [
        (WINCH, 10, "load_kg.1.1"),
        (CIRCLE, 15, "keyframe.0.aim.target"),
    ]


def test_a_swap_is_told_of_all_that_its_rig_lacks(harbour: Folder) -> None:
    harbour.edit(WINCH, "isolating_lead = true\n", "")
    harbour.edit(WINCH, '\n[[power.pack]]\nname = "W2"\nseat = "second case, lid latched"\n', "")
    lacking = f"found a swap, but {WINCH}"
    assert [line.split("; ")[0] for line in harbour.told()] == [
        f"{WALL}:11: swap: {lacking} has one [[power.pack]]",
        f"{WALL}:11: swap: {lacking} loses its position without power, and has no isolating lead",
    ]


@pytest.mark.parametrize(
    ("menu", "told"),
    [
        (["frames", "interval", "dwell", "hold"], [f"{SHOT}:20: ease_frames: found ease_frames"]),
        (
            ["dwell", "frames", "interval"],
            [
                f"{SHOT}:{line}: {key}: found {key}"
                for line, key in ((19, "hold_frames"), (20, "ease_frames"))
            ],
        ),
    ],
)
def test_hold_and_ease_are_asked_for_by_the_menu(sample: Folder, menu: list[str], told: list[str]) -> None:
    """Else nobody is told to key them in, and the rig runs another move than the one that is planned."""
    sample.edit(
        "rigs/rail-and-head.toml", '["frames", "interval", "dwell", "ease", "hold"]', json.dumps(menu)
    )
    assert [line.split(", but the menu of")[0] for line in sample.told()] == told
    sample.edit(SHOT, "ease_frames = 40", "ease_frames = 0")
    sample.edit(SHOT, "hold_frames = 1", "hold_frames = 0")
    assert not sample.told()


def test_a_rig_that_keeps_its_position_may_swap_without_a_lead(harbour: Folder) -> None:
    harbour.edit(WINCH, "isolating_lead = true\n", "")
    harbour.edit(WINCH, '"lost"', '"kept"')
    assert harbour.told() == []


# Zero width space, word joiner, soft hyphen, tag letters, a no-break space among them, an accent, fillers.
@pytest.mark.parametrize(
    "text",
    ["\u200b", "\u2060", "\u00ad", "\U000e0041\U000e007f", "\u200b\u00a0 \u200d", "\u0301", "\u3164\u2800"],
)
def test_a_text_in_which_nothing_is_seen_is_blank(sample: Folder, text: str) -> None:
    sample.edit(SHOT, '"Slipway: dusk to the core"', f'"{text}"')
    sample.edit(SHOT, '"breakwater end, middle"', f'"{text}"')
    sample.edit("places/gull-point.toml", '"gusts above 10 m/s"', f'"{text}"')
    wrong = "found a text of blanks; right: some words"
    assert sample.told() == [
        f"places/gull-point.toml:17: abort 2: {wrong}",
        f"{SHOT}:3: title: {wrong}",
        f"{SHOT}:38: keyframe 2 sighting: {wrong}",
    ]


@pytest.mark.parametrize("text", ["e\u0301", "\u0915\u094d\u200d\u0937", "\u2600\ufe0f", "\u4e00", "."])
def test_unseen_signs_beside_seen_ones_are_text(sample: Folder, text: str) -> None:
    sample.edit(SHOT, '"Slipway: dusk to the core"', f'"{text}"')
    assert sample.read().brief("slipway")["shot"]["title"] == text


@pytest.mark.parametrize(
    ("file", "old", "new", "line"),
    [
        ("places/gull-point.toml", "latitude_deg = 37.08", "latitude_deg = 370.8", 4),
        ("places/gull-point.toml", "latitude_deg = 37.08", "latitude_deg =", 4),
        ("rigs/rail-and-head.toml", "settle_s = 1.0", "settle_s = -1.0", 8),
        ("rigs/rail-and-head.toml", "settle_s = 1.0", "settle_s = 1,0", 8),
        ("cameras/full-frame-14.toml", "focal_mm = 14", "focal_mm = 0", 3),
        ("cameras/full-frame-14.toml", "focal_mm = 14", "focal_mm = 14mm", 3),
    ],
)
def test_a_faulty_place_rig_or_camera_hides_no_fault_of_a_shot_itself(
    sample: Folder, file: str, old: str, new: str, line: int
) -> None:
    sample.edit(file, old, new)
    sample.edit(SHOT, "longest_shutter_s = 13", "longest_shutter_s = 0")
    sample.edit(SHOT, "fps = 25", "fps = 250")
    sample.edit(SHOT, 'at = "halfway"', 'at = "0%"')
    found = [(problem.file, problem.line) for problem in sample.problems()]
    assert found == [(file, line), (SHOT, 14), (SHOT, 17), (SHOT, 35)]


def test_a_faulty_rig_is_told_once_and_not_again_by_its_shots(sample: Folder) -> None:
    sample.write("rigs/rail-and-head.toml", b"\xff")
    assert sample.told() == [
        "rigs/rail-and-head.toml:1: found a byte that is not UTF-8 (0xff); right: the file saved as UTF-8"
    ]


def test_faults_beyond_those_that_are_told_are_still_faults(sample: Folder) -> None:
    rig = "rigs/rail-and-head.toml"
    sample.edit(rig, 'orders = ["last-to-first", "first-to-last"]', f"orders = {[1] * 60}")
    sample.edit(rig, "max = 1060 ", 'max = "all" ')
    told = sample.told()
    assert len(told) == 41
    assert told[-1] == f"{rig}: found 21 more problems in this file; right: first mend the ones above"


def test_markup_in_a_text_is_harmless_text(sample: Folder) -> None:
    title = '</script><script>alert(1)</script> & "quotes"'
    sample.edit(SHOT, '"Slipway: dusk to the core"', f"'{title}'")
    assert sample.read().brief("slipway")["shot"]["title"] == title


def test_a_file_full_of_faults_is_told_in_a_page(sample: Folder) -> None:
    sample.write(SHOT, "".join(f"key{number} = 1\n" for number in range(10_000)))
    told = sample.told()
    assert 40 <= len(told) <= 50
    assert f"{SHOT}: found 9966 more problems in this file; right: first mend the ones above" in told


LINES = (SAMPLE / SHOT).read_text("utf-8").split("\n")
VALUES = [
    "0",
    "-1",
    "1e9",
    "nan",
    '""',
    '"sunset"',
    "[]",
    "{}",
    "[[]]",
    "true",
    "2027-06-05",
    "'x",
    "16:20",
    '"\\u0000"',
]


def spoilt(numbers: list[tuple[int, str, str]]) -> bytes:
    """The sample's shot with lines dropped, doubled, given another value, or cut anywhere."""
    lines = list(LINES)
    for number, value, text in numbers:
        at = number % len(lines)
        key = lines[at].partition("=")[0]
        lines[at] = {"drop": "", "twice": lines[at] + "\n" + lines[at]}.get(text, f"{key}= {value}{text}")
    return "\n".join(lines).encode("utf-8", "replace")


shots = (
    st.binary(max_size=300)
    | st.text(max_size=200).map(lambda text: text.encode("utf-8", "replace"))
    | st.lists(
        st.tuples(
            st.integers(0, 60),
            st.sampled_from(VALUES),
            st.sampled_from(["", "", "drop", "twice"]) | st.text(max_size=4),
        ),
        min_size=1,
        max_size=6,
    ).map(spoilt)
)


@pytest.fixture(scope="module")
def spoilable(tmp_path_factory: pytest.TempPathFactory) -> Folder:
    return Folder(Path(shutil.copytree(SAMPLE, tmp_path_factory.mktemp("spoilt") / "catalog")))


@settings(max_examples=tries(120))
@given(data=shots)
def test_any_bytes_in_a_shot_are_a_catalog_or_problems(spoilable: Folder, data: bytes) -> None:
    spoilable.write(SHOT, data)
    try:
        read_catalog(spoilable.path).brief("slipway")
    except CatalogProblems as caught:
        assert caught.problems
        assert all(is_clear(problem, data) for problem in caught.problems)


def is_clear(problem: Problem, data: bytes) -> bool:
    """One printable line, at a line that the file has."""
    lines = data.count(b"\n") + data.count(b"\r") + 1  # at most: a lone return ends one too
    return (
        str(problem).isprintable()
        and bool(problem.right)
        and (problem.line is None or 1 <= problem.line <= lines)
    )


@pytest.mark.parametrize("kind", ["catalog", "place", "rig", "camera"])
@given(data=st.binary(max_size=200) | shots)
def test_any_bytes_in_another_file_are_read_or_told(kind: str, data: bytes) -> None:
    document, problems = read_document(kind, "any", f"{kind}.toml", data)
    assert problems or (document.draft is not None and document.draft.whole is not None)
    assert all(is_clear(problem, data) for problem in problems)


@pytest.mark.parametrize(
    ("key", "spoken"),
    [
        ("start", "start"),
        ("keyframe.0", "keyframe 1"),
        ("keyframe.0.at", "keyframe 1 at"),
        ("keyframe.2.aim.x", "keyframe 3 aim.x"),
        ("axis.pan.min", "axis.pan.min"),
    ],
)
def test_people_count_from_one(key: str, spoken: str) -> None:
    assert spoken_key(key) == spoken
