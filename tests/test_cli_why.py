"""What is behind a warning: told for every id there is, with the figures of the user's own files."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pydantic import BaseModel

from fieldsheet.catalog.draft import keys_of
from fieldsheet.catalog.models.camera import Camera
from fieldsheet.catalog.models.place import Place
from fieldsheet.catalog.models.rig import Rig
from fieldsheet.catalog.models.shot import Shot
from fieldsheet.catalog.models.table import table_in
from fieldsheet.sheet.why import WHY
from fieldsheet.sheet.words import WORDS
from fieldsheet.site.build import MAKERS, TABLES
from tests.commands import SHOT, Run, edit

IDS = sorted({key.rsplit(".", 1)[0] for key in WORDS if key.startswith(("warning.", "problem."))})
FILES: dict[str, type[BaseModel]] = {"place": Place, "rig": Rig, "camera": Camera}


def test_every_warning_and_every_problem_is_explained_and_nothing_else() -> None:
    assert sorted(WHY) == IDS


@pytest.mark.parametrize("id", IDS)
def test_an_explanation_names_keys_that_there_are_and_says_all_three(id: str) -> None:
    why = WHY[id]
    assert why.worked and why.quiet and why.keys
    for key in why.keys:
        first, *rest = key.replace(".N", "").split(".")
        table: type[BaseModel] | None = FILES.get(first, Shot) if rest else Shot
        for part in rest if table is not Shot else (first, *rest):
            assert table is not None and part in keys_of(table), key
            field = next(f for name, f in table.model_fields.items() if (f.alias or name) == part)
            table = table_in(field.annotation)


def test_no_explanation_is_in_the_tables_that_a_phone_gets() -> None:
    tables = "".join(MAKERS[path](*table) for path, table in TABLES.items())
    assert "frames will be missed" in tables
    assert not [id for id in IDS if WHY[id].worked in tables]


def test_check_tells_what_a_warning_comes_from_by_file_and_line(run: Run, catalog: Path) -> None:
    shot = catalog / "shots" / f"{SHOT}.toml"
    line = edit(shot, "longest_shutter_s = 13", "longest_shutter_s = 15")
    status, out, err = run("check", catalog, "--why")
    assert (status, err) == (1, "")
    assert out.splitlines()[1].startswith("  Needed 18.576 s:") and "--why" not in out
    assert out.endswith("\n1 shot planned: 1 no-go\n")
    assert re.search(rf"^ +shots/{SHOT}.toml:{line} +longest_shutter_s = 15$", out, re.MULTILINE)
    told = " ".join(out.split())
    assert "waits_for_camera: not given, taken as false" in told
    assert "worked out The longer of two sums" in told and "its name interval-short" in told


def test_check_explains_a_problem_of_planning_too(run: Run, catalog: Path) -> None:
    line = edit(catalog / "shots" / f"{SHOT}.toml", 'at = "halfway"', 'at = "frame 5000"')
    status, _, err = run("check", catalog, "--why")
    assert status == 1 and err.endswith("1 problem\n")
    assert err.startswith(f"shots/{SHOT}.toml:{line}: keyframe 2 at: found")
    assert "worked out  The keyframe's moment" in err


def test_a_keyframes_warning_points_into_it_in_a_reversed_shot_too(run: Run, catalog: Path) -> None:
    """Reversed, the shot's first keyframe has the settings of the file's last."""
    shot, place = catalog / "shots" / f"{SHOT}.toml", catalog / "places" / "gull-point.toml"
    edit(shot, 'sighting = "post on the left edge"\n', "")
    edit(shot, 'zero_sighting = "harbour light"', "reverse = true")
    marks = re.compile(r"\[\[landmark\]\].*?(?=\n\[\[tide|\Z)", re.DOTALL)
    place.write_text(marks.sub("", place.read_text("utf-8")), "utf-8")
    out = " ".join(run("check", catalog, "--why")[1].split())
    assert "K1 has no sighting" in out
    assert re.search(rf"shots/{SHOT}.toml:\d+ \[keyframe 3\]|keyframe 3 sighting: not given", out)


@pytest.mark.parametrize("id", IDS)
def test_any_id_is_explained_alone_within_eighty_columns(run: Run, id: str) -> None:
    name = id.partition(".")[2]
    status, out, err = run("why", name)
    assert (status, err) == (0, "")
    assert out.startswith(f"{name}\n  says ")
    assert "quiet when" in out and "{" not in out
    assert max(map(len, out.splitlines())) <= 80
    assert run("why", id)[1].rstrip("\n") in out


def test_a_part_of_a_name_shows_all_that_hold_it_none_lists_all_and_a_wrong_one_is_refused(run: Run) -> None:
    heads = [line for line in run("why", "swap")[1].splitlines() if line and not line.startswith(" ")]
    assert heads == [id.partition(".")[2] for id in WHY if "swap" in id]
    names = [line.split()[0] for line in run("why")[1].splitlines() if not line.startswith(" ")]
    assert names == [id.partition(".")[2] for id in WHY]
    status, out, err = run("why", "nonesuch")
    assert (status, out) == (2, "") and "fieldsheet why lists all" in err
