"""The library of kinds and the files that are first written: sound, commented, true to what was answered."""

from __future__ import annotations

import re
import tomllib
from decimal import Decimal
from math import asin, degrees
from pathlib import Path
from string import ascii_uppercase
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from fieldsheet.catalog.document import read_document
from fieldsheet.catalog.files import FOLDERS
from fieldsheet.catalog.literal import literal
from fieldsheet.catalog.read import read_catalog
from fieldsheet.catalog.values import STEM, TAKEN_STEMS
from fieldsheet.catalog.words import Wrong
from fieldsheet.problems import CatalogProblems
from fieldsheet.sky.sky import Sky
from fieldsheet.starts.asks import ASKED, Ask
from fieldsheet.starts.files import camera_file, longest_mark, place_file, rig_file
from fieldsheet.starts.landing import land, land_beside, write_files
from fieldsheet.starts.library import lenses, rigs, sensors, star_shutter_s, subjects
from fieldsheet.starts.made import first_catalog
from fieldsheet.starts.nearby import nearest_zones
from fieldsheet.starts.pointing import Rigged, Stand, point
from fieldsheet.starts.question import Given
from fieldsheet.starts.questions import QUESTIONS
from fieldsheet.starts.stem import stem
from tests.answered import HILL, NIGHT, answered

LONGEST_LINE = 116


def lines_of(data: bytes) -> list[str]:
    assert b"\r" not in data and b"\t" not in data and data.endswith(b"\n")
    return data.decode().splitlines()


# --- what is in the library ------------------------------------------------------------------------------


@pytest.mark.parametrize("name", rigs())
def test_a_kind_of_rig_is_a_sound_file_as_it_stands(name: str) -> None:
    document, problems = read_document("rig", name, name, rigs()[name].text.encode())
    assert (problems, document.kind) == ([], "rig")


def test_every_kind_behind_every_other_makes_one_sound_catalog(sky: Sky, tmp_path: Path) -> None:
    """All rigs, and every sensor with every lens: together with one shot, without a problem."""
    files, _ = first_catalog(answered(sky, {**HILL, "rig_kind": "static"}), "all")
    for letter, (name, start) in zip(ascii_uppercase[1:], rigs().items(), strict=False):
        files[f"rigs/{name}.toml"] = rig_file(start, start.title, letter, Decimal(3))
    for sensor_name, sensor in sensors().items():
        for lens_name, lens in lenses().items():
            data = camera_file(sensor.title, sensor, lens, lens.focal_mm(sensor))
            files[f"cameras/{sensor_name}-{lens_name}.toml"] = data
    write_files(tmp_path / "all", files)
    assert len(read_catalog(tmp_path / "all").shots) == 1
    assert max(len(line) for data in files.values() for line in lines_of(data)) <= LONGEST_LINE


@pytest.mark.parametrize(
    ("section", "name", "known"),
    [
        ("rig", "rig_kind", rigs),
        ("camera", "sensor", sensors),
        ("camera", "lens", lenses),
        ("shot", "subject", subjects),
    ],
)
def test_the_help_of_an_option_lists_what_there_is(section: str, name: str, known: Any) -> None:
    (ask,) = [ask for ask in ASKED[section] if ask.name == name]
    assert re.sub(r" \(default\)", "", ask.help).removeprefix(": ").split(", ") == list(known())


def test_every_ask_has_its_question_and_every_option_is_one() -> None:
    asks: list[Ask] = [ask for section in ASKED.values() for ask in section]
    assert {ask.name for ask in asks} == set(QUESTIONS)
    of_new = [ask.option for name in ("place", "rig", "camera", "shot") for ask in ASKED[name]]
    assert len(set(of_new)) == len(of_new)


# What nobody but the rig's and the camera's owner can know.
MEASURED = {
    *("settle_s", "max", "speed_max", "acceleration_max", "position_after_power_loss", "electronics_w"),
    *("holding_w", "moving_wh_per_m", "moving_wh_per_deg", "incline_factor", "measured_payload_kg"),
    *(
        "capacity_mah",
        "efficiency",
        "release_lag_s",
        "ready_s",
        "capacity_wh",
        "frame_wh",
        "idle_w",
        "file_mb",
    ),
}


def test_what_must_be_measured_is_marked_as_assumed() -> None:
    sensor, lens = sensors()["full-frame"], lenses()["wide"]
    texts = [*(start.text for start in rigs().values())]
    texts.append(camera_file("x", sensor, lens, Decimal(14)).decode())
    rows = [re.match(r"(\w+) = .*?  +# (.*)", line) for text in texts for line in text.splitlines()]
    said = [(row[1], row[2]) for row in rows if row and row[1] in MEASURED]
    assert {key for key, _ in said} == MEASURED
    assert [key for key, comment in said if not comment.startswith("assumed")] == []


def test_a_proposed_fisheye_sees_half_of_everything_from_corner_to_corner() -> None:
    """Equisolid: r = 2 f sin(theta / 2), half the diagonal at theta = 90 degrees; rounded to half a mm."""
    for sensor in sensors().values():
        focal_mm = float(lenses()["fisheye"].focal_mm(sensor))
        half = sensor.diagonal_mm / 2 / (2 * focal_mm)
        assert 4 * degrees(asin(half)) == pytest.approx(180, abs=12)


def test_the_longest_shutter_of_stars_is_a_mark_below_its_trail() -> None:
    """A star of the equator goes 15.041 arc seconds in a second (a turn in 86164 s)."""
    pixel_deg = degrees(36 / 3840 / 14)
    assert star_shutter_s(Decimal(36), Decimal(14)) == pytest.approx(
        1.5 * pixel_deg / (15.041 / 3600), rel=1e-4
    )
    assert longest_mark(13.8) == "13" and longest_mark(0.01) == "0.3" and longest_mark(99) == "30"


# --- shots ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rig", "subject", "sensor", "lens", "latitude", "night"),
    [
        ("rail-and-head", "core", "full-frame", "wide", "37.08", "2027-06-21"),
        ("rail-and-head", "core", "full-frame", "wide", "-41.35", "2027-07-04"),  # usable for ten hours
        ("head", "sun", "micro-four-thirds", "normal", "69.6", "2027-06-21"),  # which does not set then
        ("lift", "view", "aps-c", "fisheye", "-33.4", "2027-06-21"),
        ("turntable", "moon", "one-inch", "tele", "37.08", "2027-06-21"),
        ("static", "pole", "medium-44x33", "wide", "-33.4", "2027-06-21"),
    ],
)
def test_a_first_shot_plans_without_a_no_go(
    sky: Sky, rig: str, subject: str, sensor: str, lens: str, latitude: str, night: str
) -> None:
    typed = {**HILL, "latitude_deg": latitude, "night": night, "load_kg": "3", "payload_kg": "2"}
    kinds = {"rig_kind": rig, "subject": subject, "sensor": sensor, "lens": lens}
    files, planned = first_catalog(answered(sky, {**typed, **kinds}), "nights")
    assert [warning["id"] for warning in planned["warnings"] if warning["level"] == "no-go"] == []
    assert {path.partition("/")[0] for path in files} == {"catalog.toml", *FOLDERS}
    assert max(len(line) for data in files.values() for line in lines_of(data)) <= LONGEST_LINE


def test_a_target_is_aimed_at_while_it_is_up_and_its_horizon_when_it_is_down() -> None:
    axes = {"pan": {"min": -170, "max": 170}, "tilt": {"min": -45, "max": 75}}
    stands = (Stand(250.4, 30.0), Stand(291.2, -3.0))
    pointed = point(Rigged(axes), "sun", stands, 0)
    aims = [{key: value for key, value, _ in each["lines"]}["aim"] for each in pointed.keyframes]
    assert (pointed.zero_bearing_deg, pointed.tilt_deg) == (271, None)
    assert aims == [
        {"target": "sun", "x": 0, "y": 0},
        {"bearing_deg": 291, "altitude_deg": 0, "y": Decimal("-0.33")},
    ]


def test_what_would_not_move_has_one_keyframe() -> None:
    stands = (Stand(0.1, 50), Stand(359.9, 50))
    axes = {"pan": {"min": -170, "max": 170}, "tilt": {"min": -45, "max": 75}}
    assert len(point(Rigged(axes), "north pole", stands, 0).keyframes) == 1
    assert point(Rigged({}), "north pole", stands, 0).keyframes == []


azimuths = st.floats(0, 359.99)
altitudes = st.floats(-90, 90)


@given(st.tuples(azimuths, altitudes, azimuths, altitudes), st.sampled_from(["aims", "pans", "slides"]))
def test_keyframes_lie_within_the_limits_of_the_rig(stood: tuple[float, ...], kind: str) -> None:
    pan, tilt = {"min": -170, "max": 170}, {"min": -45, "max": 75}
    axes = {
        "aims": {"pan": pan, "tilt": tilt},
        "pans": {"pan": pan},
        "slides": {"slide": {"min": 0, "max": 9}},
    }
    stands = (Stand(*stood[:2]), Stand(*stood[2:]))
    pointed = point(Rigged(axes[kind]), "moon", stands, 0)
    assert 0 <= pointed.zero_bearing_deg < 360
    assert pointed.tilt_deg is None if kind == "aims" else 5 <= (pointed.tilt_deg or 0) <= 60
    for keyframe in pointed.keyframes:
        values = {key: value for key, value, _ in keyframe["lines"]}
        assert -170 <= values.get("pan_deg", 0) <= 170
        assert values.get("aim", {}).get("altitude_deg", 0) <= 65


# --- what was answered comes back -------------------------------------------------------------------------

texts = st.text(st.characters(codec="utf-8"), min_size=1, max_size=120)
places = st.tuples(
    st.decimals(-90, 90, places=6), st.decimals(-180, 180, places=6), st.decimals(-500, 9000, places=2)
)


@given(texts, places)
@example('"Müller\'s" \\ Höhe # "', (Decimal("-0.000001"), Decimal("-180"), Decimal("-0")))
@example("\x7f\x00", (Decimal(0), Decimal(0), Decimal(0)))
@example("tab\there", (Decimal(0), Decimal(0), Decimal(0)))
def test_a_name_and_a_position_come_back_or_are_refused(title: str, position: tuple[Decimal, ...]) -> None:
    known = Given(NIGHT, lambda day: pytest.fail("no sky is asked for"))
    keys = ("latitude_deg", "longitude_deg", "elevation_m")
    numbers = {
        key: QUESTIONS[key].read(format(value, "f"), known) for key, value in zip(keys, position, strict=True)
    }
    try:
        named = QUESTIONS["place_title"].read(title, known)
    except Wrong:
        named = None
    data = place_file({"title": title, "zone": "Europe/Lisbon", **numbers})
    document, problems = read_document("place", "x", "x", data)
    assert (named is None) == bool(problems)
    if named is not None and document.draft is not None:
        assert document.draft.get("title") == title.strip()
        assert tuple(document.draft.get(key) for key in keys) == position


@given(st.recursive(texts | st.integers(-99, 99) | st.booleans(), lambda inner: st.lists(inner, max_size=3)))
def test_a_value_is_written_as_toml_reads_it(value: Any) -> None:
    assert tomllib.loads(f"key = {literal(value)}\n")["key"] == value


def test_no_other_value_is_written() -> None:
    with pytest.raises(TypeError):
        literal(object())


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Crow Hill, north", "crow-hill-north"),
        ("  Müllers Höhe / Süd ", "mullers-hohe-sud"),
        ("Straße 7", "strasse-7"),
        ("日の出", "my-shot"),
        ("Everything", "everything-1"),
        ("Aux", "aux-1"),  # which some systems keep for a device
        ("x" * 60, "x" * 41),
    ],
)
def test_a_file_is_called_after_its_title(title: str, name: str) -> None:
    assert stem(title, "shot") == name


@given(texts)
def test_a_title_always_gives_a_name_that_a_file_may_have(title: str) -> None:
    name = stem(title, "shot")
    assert STEM.fullmatch(name) and name not in TAKEN_STEMS


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "zone"),
    [
        (38.7, -9.1, "Europe/Lisbon"),
        (-33.9, 151.2, "Australia/Sydney"),
        (-23.5, -46.6, "America/Sao_Paulo"),
        (-18.1, -179.9, "Pacific/Fiji"),  # across the date line
    ],
)
def test_the_proposed_zone_is_that_of_the_nearest_city(
    latitude_deg: float, longitude_deg: float, zone: str
) -> None:
    assert nearest_zones(latitude_deg, longitude_deg)[0][0] == zone


# --- onto the disk ----------------------------------------------------------------------------------------

FILES = {"catalog.toml": b"a", "places/x.toml": b"b"}


def held(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


@pytest.mark.parametrize("there", [False, True])
def test_files_land_whole_or_not_at_all(there: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "deep" / "nights"
    if there:
        folder.mkdir(parents=True)
    renamed = Path.rename
    refusals = iter([False, True]) if there else iter([True])

    def rename(self: Path, target: Path) -> Path:
        if next(refusals):
            raise OSError(28, "No space left on device")
        return renamed(self, target)

    with monkeypatch.context() as patched:
        patched.setattr(Path, "rename", rename)
        with pytest.raises(OSError, match="No space"):
            land(folder, FILES)
    assert (folder.exists(), held(tmp_path)) == (there, {})
    land(folder, FILES)
    assert held(folder) == FILES
    assert [path.name for path in (tmp_path / "deep").iterdir()] == ["nights"]


@pytest.mark.parametrize("links", [True, False])
def test_one_more_file_never_lands_on_another(
    links: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(made: Path, path: Path) -> None:
        raise OSError(1, "Operation not permitted")

    if not links:
        monkeypatch.setattr("os.link", no_links)
    path = tmp_path / "rigs" / "x.toml"
    land_beside(path, b"first")
    with pytest.raises(FileExistsError) as refused:
        land_beside(path, b"second")
    assert refused.value.filename == str(path)
    assert held(tmp_path) == {"rigs/x.toml": b"first"}


def test_a_shot_that_cannot_be_planned_is_told_and_not_made(sky: Sky) -> None:
    known = answered(sky, HILL)
    known.answers["interval_s"] = Decimal(20_000)
    with pytest.raises(CatalogProblems, match="interval"):
        first_catalog(known, "nights")
