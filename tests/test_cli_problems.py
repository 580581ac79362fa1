"""What the commands say of a catalog at fault: every problem on its line, and the limits of what is sound."""

from __future__ import annotations

import os
import re
import shutil
import sys
from pathlib import Path

import pytest

from fieldsheet.terminal.fold import cells
from tests.commands import SHOT, Run, edit
from tests.conftest import DEMO


def test_every_problem_is_listed_on_its_line_and_counted(run: Run, catalog: Path) -> None:
    shot = catalog / "shots" / f"{SHOT}.toml"
    lines = [
        edit(shot, "interval_s = 18", "interval_s = -3"),
        edit(shot, 'rig = "rail-and-head"', 'rig = "rale"'),
    ]
    status, out, err = run("check", catalog)
    assert (status, out) == (1, "")
    *problems, count = err.splitlines()
    assert count == f"{len(problems)} problems"
    for line in lines:
        assert any(problem.startswith(f"shots/{SHOT}.toml:{line}: ") for problem in problems)


def test_check_tells_once_by_kind_of_paper_how_much_nearer_codes_are_read_than_is_asked(
    run: Run, catalog: Path
) -> None:
    """As the paper tells (tests/cards/test_reading.py); what is reached is not mentioned."""
    assert "codes" not in run("check", catalog)[1]
    head = catalog / "catalog.toml"
    shutil.copy(catalog / "shots" / f"{SHOT}.toml", catalog / "shots" / "again.toml")
    edit(head, 'card = "A6"', 'card = "letter"')
    line = edit(head, "read_at_cm = 30", "read_at_cm = 55")
    status, out, err = run("check", catalog)
    assert (status, err) == (0, "")
    (told,) = (told for told in out.splitlines() if "codes" in told)
    assert told.startswith(f"catalog.toml:{line}: codes are to be read from 55 cm, ")
    assert re.findall(r"([A-Z]\w+(?: \w+)?) (\d+) cm", told) == [("Sheet", "36")]


def test_a_problem_of_planning_names_file_and_line(run: Run, catalog: Path) -> None:
    line = edit(catalog / "shots" / f"{SHOT}.toml", "night = 2027-06-05", "night = 1850-06-05")
    status, _, err = run("check", catalog)
    assert status == 1
    assert err.startswith(f"shots/{SHOT}.toml:{line}: night: found ") and err.endswith("\n1 problem\n")


def test_faults_of_one_file_do_not_hide_those_of_another(run: Run, catalog: Path) -> None:
    """A typo in one shot, an event that does not come in a second, a keyframe out of place in a third."""
    shots = catalog / "shots"
    for name, old, new in (
        ("typo", "interval_s", "intervall_s"),
        ("no-event", 'start = "sunset - 1h15m"', 'start = "moonrise"'),
        ("outside", 'at = "halfway"', 'at = "frame 5000"'),
    ):
        shutil.copy(shots / f"{SHOT}.toml", shots / f"{name}.toml")
        edit(shots / f"{name}.toml", old, new)
    edit(shots / "no-event.toml", "night = 2027-06-05", "day = 2027-06-24")
    status, _, err = run("check", catalog)
    told = {line.split(":")[0] for line in err.splitlines() if ".toml" in line}
    assert status == 1
    assert told == {"shots/typo.toml", "shots/no-event.toml", "shots/outside.toml"}


def test_the_limits_of_sound_shots_are_told_beside_the_problems_of_others(run: Run, catalog: Path) -> None:
    shutil.copy(catalog / "shots" / f"{SHOT}.toml", catalog / "shots" / "typo.toml")
    edit(catalog / "shots" / "typo.toml", "interval_s", "intervall_s")
    edit(catalog / "shots" / f"{SHOT}.toml", "longest_shutter_s = 13", "longest_shutter_s = 15")
    status, _, err = run("check", catalog)
    assert status == 1
    assert "No go: The interval is" in err and err.endswith("1 problem\n")


def test_a_fault_of_the_catalog_file_hides_none_of_the_planning(run: Run, catalog: Path) -> None:
    edit(catalog / "catalog.toml", "base_url = ", "base_ulr = ")
    edit(catalog / "shots" / f"{SHOT}.toml", 'start = "sunset - 1h15m"', 'start = "moonrise"')
    edit(catalog / "shots" / f"{SHOT}.toml", "night = 2027-06-05", "day = 2027-06-24")
    status, _, err = run("check", catalog)
    assert status == 1
    assert {line.split(":")[0] for line in err.splitlines()[:-1]} == {"catalog.toml", f"shots/{SHOT}.toml"}
    status, out, err = run("plan", catalog, SHOT)
    assert (status, out) == (1, "") and err.startswith("catalog.toml:"), "not without its roles"


def test_characters_that_the_typeface_lacks_are_told(run: Run, catalog: Path) -> None:
    edit(catalog / "shots" / f"{SHOT}.toml", "Slipway: dusk", "\u661f Slipway: dusk")
    edit(catalog / "places" / "gull-point.toml", "Gull Point", "Gull \u041f Point")
    edit(catalog / "catalog.toml", 'title = "', 'title = "\u2713 ')
    lacks = "the typeface of the sheets has no"
    told = [
        f"catalog.toml: mind: {lacks} \u2713; on paper a box may stand for \u2713",
        f"shots/{SHOT}.toml: {SHOT}: mind: {lacks} \u661f; on paper a box may stand for \u661f",
        f"places/gull-point.toml: {SHOT}: mind: {lacks} \u041f",
    ]
    status, out, _ = run("check", catalog)
    assert status == 0 and set(told) <= set(out.splitlines())
    status, _, err = run("build", catalog, "-o", catalog.parent / "out", "--no-cards")
    assert status == 0 and set(told) <= set(err.splitlines())


def test_check_says_that_all_is_well(run: Run, one_shot: Path) -> None:
    assert run("check", one_shot) == (0, "1 shot, no problems\n", "")


def test_check_warns_of_limits_with_the_sum_and_the_mend(run: Run, catalog: Path) -> None:
    edit(catalog / "shots" / f"{SHOT}.toml", "longest_shutter_s = 13", "longest_shutter_s = 15")
    line = edit(catalog / "shots" / f"{SHOT}.toml", "interval_s = 18", "interval_s = 18")
    status, out, err = run("check", catalog)
    assert (status, err) == (1, ""), "a night that cannot go as it is written is no success"
    assert f"shots/{SHOT}.toml:{line}: No go: The interval is" in out and "Set the interval to" in out
    last, hint = out.splitlines()[-2:]
    assert last == "1 shot planned: 1 no-go" and "--why" in hint
    edit(catalog / "shots" / f"{SHOT}.toml", "core_usable_h_min = 1.5", "core_usable_h_min = 9")
    assert "\n1 shot planned: 1 no-go, 1 to mind\n" in run("check", catalog)[1]


@pytest.mark.parametrize("command", [["check"], ["plan", SHOT], ["build", "-o", "unused"]])
def test_a_missing_or_empty_folder_is_a_problem_without_a_traceback(
    run: Run, tmp_path: Path, command: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "empty").mkdir()
    for folder in ("empty", "missing"):
        status, out, err = run(command[0], folder, *command[1:])
        assert (status, out) == (1, "")
        assert err.strip()
    assert [path.name for path in tmp_path.iterdir()] == ["empty"]


def test_escapes_in_a_catalog_or_in_what_was_typed_never_reach_the_terminal(run: Run, catalog: Path) -> None:
    edit(catalog / "shots" / f"{SHOT}.toml", "title = ", 'title = "\\u001b]0;x\\u0007\\u202ecalm" # ')
    for words in (
        ("check", catalog),
        ("plan", catalog, SHOT),
        ("plan", DEMO, "\x1b[31mred"),
        ("plan", DEMO, SHOT, "--night", "\x1b[31m"),
        ("serve", "\x1b[2J"),
        ("\x1b[31m",),
    ):
        status, out, err = run(*words)
        assert status in (1, 2)
        assert not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e]", out + err)


@pytest.mark.parametrize(("old", "new"), [("= 13", "= 15"), ("interval_s", "intervall_s")])
@pytest.mark.parametrize("columns", [60, 80])
def test_a_terminal_folds_messages_to_its_width_and_a_pipe_has_each_on_one_line(
    run: Run, catalog: Path, monkeypatch: pytest.MonkeyPatch, columns: int, old: str, new: str
) -> None:
    edit(catalog / "shots" / f"{SHOT}.toml", old, new)
    edit(catalog / "catalog.toml", "base_url", "# assumed\nbase_url")
    piped = "".join(run("check", catalog)[1:])
    for stream in (sys.stdout, sys.stderr):
        monkeypatch.setattr(stream, "isatty", lambda: True, raising=False)
    monkeypatch.setattr(shutil, "get_terminal_size", lambda *_: os.terminal_size((columns, 24)))
    shown = "".join(run("check", catalog)[1:])
    assert max(map(cells, shown.splitlines())) <= columns < max(map(cells, piped.splitlines()))
    assert shown.split() == piped.split()
    first = piped.splitlines()[0]
    assert re.match(rf"shots/{SHOT}\.toml:\d+: .*[^:]$", first)
