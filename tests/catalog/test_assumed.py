"""What is marked as assumed: found behind its value in every way of writing one, told until the mark goes."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from pathlib import Path

import pytest

from fieldsheet.catalog.assumed import MOST_NAMED, assumed_in, briefly
from fieldsheet.catalog.document import read_document
from fieldsheet.catalog.keylines import key_lines
from fieldsheet.catalog.read import Catalog, read_catalog, read_sound
from fieldsheet.catalog.taken import assumed_by_line
from fieldsheet.catalog.words import Loc
from fieldsheet.starts.files import camera_file, head_file, place_file, rig_file
from fieldsheet.starts.library import lenses, rigs, sensors
from tests.commands import edit

DEMO = Path(__file__).resolve().parents[2] / "fieldsheet" / "demo"
SHOT = """title = "View"
place = "hill"
rig = "rig"
camera = "camera"
night = 2027-06-05
start = "21:00"
duration = "1h"
interval_s = 10
longest_shutter_s = 2.5  # assumed
zero_bearing_deg = 180
rail = { bearing_deg = 270, home_end = "left" }
[[keyframe]]
at = "start"
slide_mm = 0
pan_deg = -10  # Assumed: by eye
tilt_deg = 0
[[keyframe]]
at = "end"
slide_mm = 900
pan_deg = 10
tilt_deg = 0
"""

MARKED: list[tuple[str, set[Loc]]] = [
    ("a = 1  # assumed: s (guide: measure, 2)", {("a",)}),
    ("a = 1 #assumed", {("a",)}),
    ("a = 1\t# ASSUMED, by eye", {("a",)}),
    ("a = 1  # measured; assumed before", set()),
    ("a = 1  # assumedly", set()),
    ("# assumed: nobody's\na = 1\n# assumed", set()),
    ("# a = 1  # assumed", set()),
    ('a = "1 # assumed"', set()),
    ("a = '# assumed'  # assumed", {("a",)}),
    ('a = """\n# assumed\n"""\nb = """x\n# assumed"""  # assumed', {("b",)}),
    ("a = '''\n'' # assumed\n'''", set()),
    ("a = [[0, 1.0], [30, 1.5]]  # assumed", {("a",)}),
    ("a = [\n  [0, 1.0],\n  [30, # assumed: at a guess\n   1.5],\n]", {("a",)}),
    ("a = [  # assumed\n  1,\n]", {("a",)}),
    ("a = [\n  1,  # one\n  # assumed\n  2\n]\nb = 3", {("a",)}),
    ("a = [\n  1\n]  # assumed\n", {("a",)}),
    ("a = [\n  { b = [1, 2] },  # assumed\n]", {("a",)}),
    ("a = { b = 1, c = 2 }  # assumed", {("a",)}),
    ("a.b = 1  # assumed\n'c d'.e = 1  # assumed", {("a", "b"), ("c d", "e")}),
    ("[a]  # assumed\nb = 1", {("a",)}),
    ("[a]\nb = 1  # assumed\n[[c.d]]\n[[c.d]]\ne = 2  # assumed", {("a", "b"), ("c", "d", 1, "e")}),
]


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize(("text", "marked"), MARKED)
def test_a_mark_is_seen_behind_its_value_and_nowhere_else(text: str, marked: set[Loc], ends: str) -> None:
    assert tomllib.loads(text) is not None
    assert key_lines(text).assumed == marked
    document, _ = read_document("shot", "x", "shots/x.toml", text.replace("\n", ends).encode())
    assert document.lines.assumed == marked


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A catalog of kinds as they come out of the library."""
    rig, sensor, lens = rigs()["rail-and-head"], sensors()["full-frame"], lenses()["wide"]
    place = {"latitude_deg": 37, "longitude_deg": -8, "elevation_m": 0, "zone": "Europe/Lisbon"}
    files = {
        "catalog.toml": head_file("Hills", "hills"),
        "places/hill.toml": place_file({"title": "Hill", **place}),
        "rigs/rig.toml": rig_file(rig, "Rig", "A", None),
        "cameras/camera.toml": camera_file("Camera", sensor, lens, Decimal(17)),
        "shots/view.toml": SHOT.encode(),
    }
    for name, data in files.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(data)
    return tmp_path


def keys(catalog: Catalog) -> list[str]:
    return [one.key for one in catalog.assumed("view")]


def test_what_can_cost_a_night_comes_first_and_all_of_it_is_told_by_line(folder: Path) -> None:
    catalog = read_catalog(folder)
    found = catalog.assumed("view")
    assert [one.said for one in found[: MOST_NAMED - 1]] == [
        "settle 1.0 s",
        "camera ready 0.5 s",
        "camera release lag 0.1 s",
    ]
    first = "settle 1.0 s, camera ready 0.5 s, camera release lag 0.1 s, slide speed 15 mm a second"
    assert catalog.brief("view")["assumed"] == {"count": len(found), "first": first}
    said = {one.said for one in found}
    assert {
        "pan min −170°",
        "pack 1 capacity 20000 mAh",
        "moving 0.2 Wh per metre",
        "keyframe 1 pan −10°",
    } <= said
    told = dict(assumed_by_line(catalog, "view"))
    assert len(told) == len(found)
    assert told["shots/view.toml:9"] == "longest_shutter_s = 2.5"
    assert told["shots/view.toml:15"] == "keyframe 1 pan_deg = -10"
    for at, text in told.items():
        file, line = at.split(":")
        key = text.partition(" = ")[0].replace(" ", ".").rpartition(".")[2]
        assert (folder / file).read_text("utf-8").splitlines()[int(line) - 1].startswith(f"{key} = ")


SAID = [
    ("rig", "load_kg = [[0, 6.0], [90, 2.5]]  # assumed", "load"),
    ("rig", "[power.moving_wh_per_deg]  # assumed\npan = 0.1", "moving"),
    ("rig", '[axis.slide]\nunit = "mm"  # assumed', "slide unit 'mm'"),
    ("rig", "[axis.slide]\nmin = -5  # assumed", "slide min −5"),
    ("camera", "card_gb = [64, 128]  # assumed", "camera card [64, 128] GB"),
    ("place", 'access = ["\u05d0 1"]  # assumed', "\u2068access ['\u05d0 1']\u2069"),
]


@pytest.mark.parametrize(("kind", "text", "said"), SAID)
def test_a_few_words_tell_a_value_with_its_unit_where_they_can_hold_it(
    kind: str, text: str, said: str, folder: Path
) -> None:
    catalog = read_catalog(folder)
    shot, _, rig, camera = catalog.files("view")
    document, _ = read_document(kind, "x", "x.toml", text.encode())
    marked = assumed_in({kind: document}, shot, rig, camera, catalog.head)
    assert briefly(marked) == {"count": 1, "first": said}


def test_every_mark_that_is_left_in_the_files_is_read_by_the_shot_or_told_to_be_idle(folder: Path) -> None:
    catalog = read_catalog(folder)
    by_file = {
        path.relative_to(folder).as_posix(): path.read_text("utf-8").splitlines()
        for path in folder.rglob("*.toml")
    }
    marked = {
        file: [n for n, line in enumerate(lines, 1) if "  # assumed" in line.lower() and line[:1] != "#"]
        for file, lines in by_file.items()
    }
    found = catalog.marks()
    told = {file: sorted(marks.read + marks.unread) for file, marks in found.items()}
    told["catalog.toml"] = [one.line for one in catalog.assumed_of_all()]
    assert told == {file: lines for file, lines in marked.items() if lines}
    read = {(one.file, one.line) for one in catalog.assumed("view")}
    assert read == {(file, n) for file, marks in found.items() for n in marks.read}
    assert [marks.stray for marks in found.values() if marks.stray] == []


# What the shot of these tests leaves unread, and what makes it read.
IDLE = [
    ("camera.iso", "shots/view.toml", "[[keyframe]]", "[exposure]\n{}[[keyframe]]"),
    ("camera.apertures", "shots/view.toml", "[[keyframe]]", "[exposure]\n{}[[keyframe]]"),
    ("camera.apertures", "cameras/camera.toml", "# aperture_closes", "aperture_closes"),
    (
        "rig.power.incline_factor",
        "shots/view.toml",
        "bearing_deg = 270,",
        "bearing_deg = 270, incline_deg = 10,",
    ),
    (
        "rig.power.measured_payload_kg",
        "shots/view.toml",
        "bearing_deg = 270,",
        "bearing_deg = 270, payload_kg = 2,",
    ),
]
BASES = 'bright = { f = 4, shutter = "1/500", iso = 100 }\ndark = { f = 4, shutter = 2, iso = 1600 }\n'


@pytest.mark.parametrize(("key", "file", "old", "new"), IDLE)
def test_what_a_shot_does_not_read_is_none_of_its_guesses(
    folder: Path, key: str, file: str, old: str, new: str
) -> None:
    assert key not in keys(read_catalog(folder))
    edit(folder / file, old, new.format(BASES))
    assert key in keys(read_catalog(folder))


def test_a_mark_that_is_taken_away_is_told_no_more_and_gives_another_brief(folder: Path) -> None:
    before = read_catalog(folder)
    edit(folder / "rigs/rig.toml", "# assumed: seconds to stand still", "# measured in May:")
    after = read_catalog(folder)
    assert keys(after) == [key for key in keys(before) if key != "rig.settle_s"]
    brief, was = after.brief("view"), before.brief("view")
    assert brief["assumed"]["count"] == was["assumed"]["count"] - 1
    assert {**brief, "assumed": None} == {**was, "assumed": None}


def test_without_a_mark_a_brief_does_not_speak_of_it() -> None:
    demo = read_catalog(DEMO)
    assert (demo.marks(), demo.assumed_of_all()) == ({}, [])
    assert [shot_id for shot_id in demo.shots if "assumed" in demo.brief(shot_id)] == []


def test_a_catalog_whose_own_file_is_at_fault_still_has_the_guesses_of_its_shots(folder: Path) -> None:
    assert read_catalog(folder).assumed_of_all()
    (folder / "catalog.toml").write_text("title = 3\n", "utf-8")
    catalog, problems = read_sound(folder)
    assert catalog is not None and problems
    assert "rig.settle_s" in keys(catalog) and catalog.assumed_of_all() == []


HOUSE = '\n[[house]]\nsection = "pack"\ntext = "rope"  # assumed\n'
# What catalog.toml marks; whose it is then: the shot's, the whole catalog's, nobody's.
OWN = [
    ('title = "Hills"  # assumed\n', [], ["title"], []),
    ("[charging]  # assumed\nfrom = '09:00'\nuntil = '18:00'\ncharger_w = 60  # assumed\n",)
    + ([], ["charging", "charging.charger_w"], []),
    ('[print]\ncard = "A5"  # assumed\n', [], ["print.card"], []),
    ('[roles]\nrigger = ["rig"]  # assumed\n', ["catalog.roles.rigger"], [], []),
    (HOUSE, ["catalog.house.0.text"], [], []),
    (HOUSE + 'place = "hill"\n', ["catalog.house.0.text"], [], []),
    (HOUSE + 'rig = "other"\n', [], [], [7]),
]


@pytest.mark.parametrize(("text", "of_shot", "of_all", "of_nobody"), OWN)
def test_what_the_catalog_itself_assumes_is_the_shots_whose_plan_stands_on_it(
    folder: Path, text: str, of_shot: list[str], of_all: list[str], of_nobody: list[int]
) -> None:
    (folder / "rigs/other.toml").write_bytes(rig_file(rigs()["head"], "Other", "B", None))
    head = {"title": 'title = "Hills"\n', "id": 'id = "hills"\n'}
    head |= {"base_url": 'base_url = "https://example.org/"\n'}
    given = "".join(line for key, line in head.items() if not text.startswith(f"{key} ="))
    (folder / "catalog.toml").write_text(given + text, "utf-8")
    catalog = read_catalog(folder)
    assert [key for key in keys(catalog) if key.startswith("catalog.")] == of_shot
    assert [one.own_key for one in catalog.assumed_of_all()] == of_all
    marks = catalog.marks().get("catalog.toml")
    assert (marks.unread if marks else []) == of_nobody


# Marks that stand behind no value, by line.
STRAY = [
    ("# assumed: whose?\na = 1\n# Assumed\n", [1, 3]),
    ("a = 1  # assumed\n\n  #assumed: both of these\nb = 2\n[c]  # assumed\n# assumed\n", [3, 6]),
    ("# a = 1  # assumed\n# what is assumed\n# assumedly\n", []),
    ('a = [\n  # assumed\n  1,\n]\nb = """\n# assumed\n"""\n', []),
]


@pytest.mark.parametrize(("text", "lines"), STRAY)
def test_a_mark_on_a_line_of_its_own_is_found_and_marks_nothing(text: str, lines: list[int]) -> None:
    assert key_lines(text).stray == lines
