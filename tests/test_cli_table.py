"""fieldsheet table: shots out as CSV and in again, all or none, and never over what somebody wrote."""

from __future__ import annotations

import csv
import io
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from fieldsheet.catalog.read import Catalog, read_catalog
from fieldsheet.starts.landing import land_beside
from fieldsheet.tabled import landed
from fieldsheet.tabled.landed import land
from fieldsheet.tabled.merged import merge
from fieldsheet.tabled.rows import read_rows
from fieldsheet.tabled.shotfile import changed_text
from tests.commands import SHOT, Run, edit
from tests.conftest import DEMO

Rows = list[dict[str, str]]


@pytest.fixture
def whole(tmp_path: Path) -> Path:
    """A copy of the demo."""
    return Path(shutil.copytree(DEMO, tmp_path / "whole"))


def table(run: Run, folder: Path) -> Rows:
    status, out, err = run("table", folder)
    assert (status, err) == (0, "")
    return list(csv.DictReader(io.StringIO(out, newline=""), strict=True))


def saved(folder: Path, rows: Rows, keys: list[str] | None = None) -> Path:
    """The rows as a file beside a catalog; of these columns alone, where they are given."""
    path = folder.parent / "shots.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, keys or list(rows[0]), extrasaction="ignore")
        writer.writeheader()
        writer.writerows(rows)
    return path


def files(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def briefs(folder: Path) -> dict[str, dict[str, object]]:
    catalog = read_catalog(folder)
    return {shot_id: catalog.brief(shot_id) for shot_id in catalog.shots}


def test_the_demo_comes_back_from_its_table_brief_for_brief(run: Run, whole: Path, demo: Catalog) -> None:
    rows = table(run, whole)
    assert [row["id"] for row in rows] == list(demo.shots)
    shutil.rmtree(whole / "shots")
    status, out, err = run("table", whole, "--read", saved(whole, rows))
    assert (status, err) == (0, "")
    assert out.endswith(f"\n{len(rows)} new shots, 0 changed, 0 as they were\n")
    assert briefs(whole) == briefs(DEMO)


def test_a_table_that_says_what_the_files_say_changes_nothing(run: Run, whole: Path) -> None:
    rows, before = table(run, whole), files(whole)
    for row in rows:  # as a spreadsheet may write the same
        row["interval_s"] += ".00"
        row |= {key: f" {cell} " for key, cell in row.items()} | {"reverse": row["reverse"].upper()}
    for columns in (None, ["id", "title"], ["interval_s", "id"]):
        status, out, _ = run("table", whole, "--read", saved(whole, rows, columns), "--change")
        assert (status, out) == (0, f"0 new shots, 0 changed, {len(rows)} as they were\n")
    assert files(whole) == before


def test_a_row_that_says_otherwise_is_refused_until_lines_may_be_changed(run: Run, whole: Path) -> None:
    row = next(row for row in table(run, whole) if row["id"] == SHOT)
    changes = {
        "interval_s": "20",
        "title": "=New",
        "humidity_pct": "70",
        "dew_point_c": "",
        "keyframe.2.slide_mm": "530.5",
    }
    path = saved(whole, [row | changes])
    before = files(whole)
    status, out, err = run("table", whole, "--read", path)
    assert (status, out) == (1, "") and "which says otherwise in title, interval_s, " in err
    assert files(whole) == before
    assert run("table", whole, "--read", path, "--change")[1].startswith(f"changed: shots/{SHOT}.toml\n")
    after = files(whole)
    name = f"shots/{SHOT}.toml"
    old, new = (data[name].decode().splitlines() for data in (before, after))
    assert {key for key in before if before[key] != after[key]} == {name}
    assert [line for line in old if line not in new] == [
        'title = "Slipway: dusk to the core"',
        "interval_s = 18",
        next(line for line in old if line.startswith("dew_point_c")),
        "slide_mm = 530",
    ]
    assert [line for line in new if line not in old] == [
        'title = "=New"', "interval_s = 20", "humidity_pct = 70", "slide_mm = 530.5",
    ]  # fmt: skip
    assert table(run, whole)[[*read_catalog(whole).shots].index(SHOT)]["title"] == "'=New"


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"interval_s": "18,5"}, "column K interval_s: found '18,5'; right: 18.5: a point"),
        ({"interval_s": "soon"}, "column K interval_s: found the text 'soon'; right: seconds above 0"),
        ({"place": "gul-point"}, "column C place: found 'gul-point'"),
        ({"night": "05.06.2027"}, "column F night: found the text '05.06.2027'; right: a date"),
        ({"keyframe.2.at": "sunsat"}, " keyframe 2 at: found "),
        ({"longest_shutter_s": ""}, "longest_shutter_s: found nothing; right: the longest shutter"),
        ({"rig": "no-such"}, "column D rig: found 'no-such'"),
        ({"title": "a\u202eb"}, "found an invisible character (U+202E)"),
        ({"id": "index"}, "found the name 'index'"),
        ({"id": "con"}, "found the name 'con'"),
    ],
)
def test_nothing_is_written_unless_every_row_is_sound_and_each_wrong_cell_is_named(
    run: Run, whole: Path, change: dict[str, str], expected: str
) -> None:
    rows = table(run, whole)
    row = next(row for row in rows if row["id"] == SHOT)
    other = row | {"id": "other", "frames": "1,5"}  # told beside it
    path = saved(whole, [row | {"id": "good"}, row | {"id": "bad"} | change, other])
    before = files(whole)
    status, out, err = run("table", whole, "--read", path)
    assert (status, out) == (1, "") and f"{path}:4: column L frames: found '1,5'" in err
    assert any(line.startswith(f"{path}:3: ") and expected in line for line in err.splitlines()), err
    assert files(whole) == before


def test_a_shot_that_cannot_be_read_is_left_alone_and_others_do_not_stand_in_the_way(
    run: Run, whole: Path
) -> None:
    row = next(row for row in table(run, whole) if row["id"] == SHOT)
    edit(whole / "shots" / "hoist.toml", "interval_s = 14", "interval_s =")
    before = files(whole)
    status, _, err = run("table", whole, "--read", saved(whole, [row | {"id": "hoist"}]), "--change")
    assert status == 1 and "found shots/hoist.toml, which cannot be read" in err and files(whole) == before
    assert run("table", whole, "--read", saved(whole, [row | {"id": "another"}]))[0] == 0
    (whole / "shots" / "lost.toml").symlink_to("nowhere.toml")
    status, _, err = run("table", whole, "--read", saved(whole, [row | {"id": "lost"}]))
    assert status == 1 and "found shots/lost.toml, which cannot be read" in err


def test_a_number_that_a_file_has_in_quotes_is_the_same_in_a_table(run: Run, whole: Path) -> None:
    edit(whole / "shots" / f"{SHOT}.toml", "shutter = 13,", 'shutter = "13",')
    status, out, _ = run("table", whole, "--read", saved(whole, table(run, whole)))
    assert (status, out.startswith("0 new shots, 0 changed, ")) == (0, True)


def test_rows_that_would_make_another_shot_unreadable_are_refused(run: Run, whole: Path) -> None:
    row = next(row for row in table(run, whole) if row["id"] == SHOT)
    rows = [row | {"id": f"late-{number}", "night": "2045-06-05"} for number in range(40)]
    before = files(whole)
    status, _, err = run("table", whole, "--read", saved(whole, rows))
    assert status == 1 and f"shots/{SHOT}.toml:" in err and ", with the rows of " in err
    assert files(whole) == before


def test_no_line_is_named_of_a_file_that_was_never_written(run: Run, whole: Path) -> None:
    row = next(row for row in table(run, whole) if row["id"] == SHOT)
    wrong = row | {"id": "other", "interval_s": ""}
    _, _, err = run("table", whole, "--read", saved(whole, [wrong]))
    assert "found only start and end; right: one more: " in err


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (("--change",), 2, "--change without --read"),
        (("--read", "nowhere.csv"), 1, "No such file or directory: nowhere.csv"),
    ],
)
def test_wrong_use_is_said_in_a_line(
    run: Run, whole: Path, words: tuple[str, ...], status: int, said: str
) -> None:
    found = run("table", whole, *words)
    assert found[:2] == (status, "") and said in found[2]


def test_a_folder_that_is_no_catalog_stays_as_it_is(run: Run, whole: Path, tmp_path: Path) -> None:
    path = saved(whole, table(run, whole))
    status, _, err = run("table", tmp_path / "nowhere", "--read", path)
    assert status == 1 and "no such folder" in err and not (tmp_path / "nowhere").exists()
    (whole / "catalog.toml").unlink()
    (whole / "shots" / f"{SHOT}.toml").unlink()
    before = files(whole)
    status, _, err = run("table", whole, "--read", path)
    assert status == 1 and "catalog.toml: found no such file" in err and files(whole) == before


def test_nothing_is_written_through_a_link_that_leads_out(run: Run, whole: Path, tmp_path: Path) -> None:
    path = saved(whole, table(run, whole))
    shutil.rmtree(whole / "shots")
    (tmp_path / "elsewhere").mkdir()
    (whole / "shots").symlink_to(tmp_path / "elsewhere")
    status, _, err = run("table", whole, "--read", path)
    assert (status, list((tmp_path / "elsewhere").iterdir())) == (1, [])
    assert "shots: found a link that leads out of the catalog's folder" in err


# --- lines of a file that a person wrote -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "changes", "after"),
    [
        ("a = 1  # why\nb = 2\n", {("a",): 3}, "a = 3  # why\nb = 2\n"),
        ("a = 1\r\nb = 2\r\n", {("b",): 3, ("c",): "x"}, 'a = 1\r\nb = 3\r\nc = "x"\r\n'),
        ("\ufeffa = 1\n", {("a",): 2}, "\ufeffa = 2\n"),
        ("a = 1\n\n# rail\n[rail]\nb = 1\n", {("c",): True}, "a = 1\nc = true\n\n# rail\n[rail]\nb = 1\n"),
        ("a = 1\n# [t] said\nb = '#2' # it\n", {("a",): None, ("b",): "3"}, '# [t] said\nb = "3" # it\n'),
        ("[[k]]\nat = 'x'\n[[k]]\nat = 'y'\n", {("k", 1, "at"): "z"}, "[[k]]\nat = 'x'\n[[k]]\nat = \"z\"\n"),
        ('"a" = 1\n  rail.b = 2\n', {("a",): 4, ("rail", "b"): 5}, '"a" = 4\n  rail.b = 5\n'),
        ("", {("a",): 1}, "a = 1\n"),
    ],
)  # fmt: skip
def test_only_the_lines_of_changed_keys_change(
    text: str, changes: dict[tuple[str | int, ...], Any], after: str
) -> None:
    assert changed_text(text, changes) == after


@pytest.mark.parametrize(
    "change",
    [
        {"exposure.dark.shutter": "15"},
        {"keyframe.1.aim.y": "0.2"},
        {"notes.1": "Other words"},
        {"rail.payload_kg": "2"},
        {"crew.operator": "Osk"},
    ],
)
def test_what_shares_its_line_or_is_not_there_yet_is_left_to_the_hand(
    run: Run, whole: Path, change: dict[str, str]
) -> None:
    row = next(row for row in table(run, whole) if row["id"] == SHOT)
    before = files(whole)
    status, _, err = run("table", whole, "--read", saved(whole, [row | change]), "--change")
    assert status == 1 and "by hand" in err and next(iter(change)) in err
    assert files(whole) == before


# --- onto the disk ---------------------------------------------------------------------------------------


@pytest.fixture
def both(run: Run, whole: Path) -> Callable[[], None]:
    """A change of one shot and two new ones, ready to be written."""
    row = next(row for row in table(run, whole) if row["id"] == SHOT)
    data = saved(whole, [row | {"interval_s": "20"}, row | {"id": "a"}, row | {"id": "b"}]).read_bytes()
    merged = merge(whole, read_rows("t.csv", data).rows, "t.csv", True)
    assert not merged.problems and (len(merged.new), len(merged.changed)) == (2, 1)
    return lambda: land(whole, merged)


def test_a_file_that_is_marked_read_only_is_refused_and_none_is_written(run: Run, whole: Path) -> None:
    row = next(row for row in table(run, whole) if row["id"] == SHOT)
    rows = saved(whole, [row | {"id": "a"}, row | {"interval_s": "20"}])
    path = whole / "shots" / f"{SHOT}.toml"
    path.chmod(0o444)
    before = files(whole)
    status, out, err = run("table", whole, "--read", rows, "--change")
    assert (status, out) == (1, "") and "read-only, so nothing is written" in err and str(path) in err
    assert files(whole) == before
    path.chmod(0o644)
    assert run("table", whole, "--read", rows, "--change")[0] == 0


@pytest.mark.parametrize("refused", [1, 2])
def test_where_the_disk_refuses_one_file_none_is_written(
    both: Callable[[], None], whole: Path, monkeypatch: pytest.MonkeyPatch, refused: int
) -> None:
    before = files(whole)
    written: list[Path] = []

    def once_too_often(path: Path, data: bytes) -> None:
        written.append(path)
        if len(written) == refused:
            raise OSError(28, "No space left on device", str(path))
        land_beside(path, data)

    monkeypatch.setattr(landed, "land_beside", once_too_often)
    with pytest.raises(OSError, match="No space"):
        both()
    assert files(whole) == before


@pytest.mark.parametrize("name", [SHOT, "b"])
def test_what_came_in_between_is_not_written_over(both: Callable[[], None], whole: Path, name: str) -> None:
    path = whole / "shots" / f"{name}.toml"
    path.write_text("# mine\n", "utf-8")
    before = files(whole)
    with pytest.raises(OSError):
        both()
    assert files(whole) == before
