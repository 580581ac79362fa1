"""The commands as a person types them: what comes out, where, and with which exit status."""

from __future__ import annotations

import http.client
import json
import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.commands import SHOT, Run, edit
from tests.site.sample import sample_site
from tests.site.writing import write_site

ROOT = Path(__file__).resolve().parents[1]
DEMO = ROOT / "fieldsheet" / "demo"


def in_a_process(*words: str | Path, **settings: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "fieldsheet", *map(str, words)],
        cwd=ROOT, env={**os.environ, **settings}, capture_output=True, text=True, timeout=120,
    )  # fmt: skip


# --- build -----------------------------------------------------------------------------------------------


def test_build_again_changes_nothing(run: Run, tmp_path: Path, one_shot: Path) -> None:
    for _ in range(2):
        assert run("build", one_shot, "-o", tmp_path / "out", "--no-cards")[0] == 0
    assert len(list((tmp_path / "out" / "versions").iterdir())) == 1


def test_build_without_cards_has_none(run: Run, tmp_path: Path, one_shot: Path) -> None:
    assert run("build", one_shot, "-o", tmp_path / "out", "--no-cards")[0] == 0
    assert not (tmp_path / "out" / "site" / "cards").exists()


def test_without_pango_the_site_is_built_and_the_missing_cards_are_said(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, one_shot: Path
) -> None:
    class NoPango:
        """Importing the renderer fails as it does on a bare machine, and talks as it does."""

        def find_spec(self, name: str, path: object = None, target: object = None) -> None:
            if name == "weasyprint":
                print("a page of advice")
                raise OSError("cannot load library 'libgobject-2.0-0'")

    monkeypatch.delitem(sys.modules, "weasyprint", raising=False)
    monkeypatch.setattr(sys, "meta_path", [NoPango(), *sys.meta_path])
    status, out, err = run("build", one_shot, "-o", tmp_path / "out")
    assert status == 0
    assert err.startswith("warning: cards left out") and "Pango" in err and err.count("\n") == 1
    assert "advice" not in out
    assert (tmp_path / "out" / "site" / "index.html").is_file()
    assert not (tmp_path / "out" / "site" / "cards").exists()


def test_one_shot_without_a_plan_and_nothing_is_written(run: Run, catalog: Path, tmp_path: Path) -> None:
    shutil.copy(catalog / "shots" / f"{SHOT}.toml", catalog / "shots" / "second.toml")
    line = edit(catalog / "shots" / "second.toml", 'at = "halfway"', 'at = "sunset - 3h"')
    status, out, err = run("build", catalog, "-o", tmp_path / "out")
    assert (status, out) == (1, "")
    assert err.startswith(f"shots/second.toml:{line}: ") and err.endswith("\n1 problem\n")
    assert not (tmp_path / "out").exists()


def test_an_output_folder_of_someone_else_is_wrong_use(run: Run, tmp_path: Path, one_shot: Path) -> None:
    (tmp_path / "thesis.txt").write_text("years of work")
    status, _, err = run("build", one_shot, "-o", tmp_path, "--no-cards")
    assert status == 2 and "choose another" in err
    assert [path.name for path in tmp_path.iterdir()] == ["thesis.txt"]


def test_an_output_that_can_be_no_folder_is_one_plain_line(run: Run, tmp_path: Path, one_shot: Path) -> None:
    (tmp_path / "file").write_text("")
    status, out, err = run("build", one_shot, "-o", tmp_path / "file" / "out", "--no-cards")
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert err.startswith("fieldsheet: ") and err.endswith("file is no folder: choose another\n")


# --- plan ------------------------------------------------------------------------------------------------


def test_plan_as_json_is_the_whole_plan_and_nothing_else(run: Run, one_shot: Path) -> None:
    status, out, err = run("plan", one_shot, SHOT, "--json")
    assert (status, err) == (0, "")
    plan = json.loads(out)
    assert plan["format"] == "fieldsheet plan"
    assert {
        "shot",
        "place",
        "window",
        "timing",
        "sky",
        "keyframes",
        "move",
        "checklist",
        "warnings",
    } <= plan.keys()
    assert plan["window"]["night"] == "2027-06-05" and plan["changes"] == {}


def test_plan_for_another_night_is_that_night(run: Run, one_shot: Path) -> None:
    plan = json.loads(run("plan", one_shot, SHOT, "--json", "--night", "2029-06-10")[1])
    assert plan["window"]["night"] == "2029-06-10"
    assert plan["changes"] == {"night": "2029-06-10"}
    assert "changed" in run("plan", one_shot, SHOT, "--night", "2027-06-10")[1].splitlines()[2]


def test_plan_as_a_page_shows_what_the_sheet_says(run: Run, one_shot: Path) -> None:
    status, page, err = run("plan", one_shot, SHOT)
    assert (status, err) == (0, "")
    plan = json.loads(run("plan", one_shot, SHOT, "--json")[1])
    assert plan["shot"]["title"] in page
    assert re.search(rf"^  frames +{plan['timing']['frames']}$", page, re.MULTILINE)
    assert re.search(r"^  interval +18 s$", page, re.MULTILINE)
    for number, keyframe in enumerate(plan["keyframes"], start=1):
        assert re.search(rf"^  K{number} .*frame {keyframe['nearest_frame']} ", page, re.MULTILINE)
    assert re.search(r"^  sunset +20:\d\d +frame \d+$", page, re.MULTILINE)


def test_plan_shows_the_defaults_that_were_taken_and_no_others(run: Run, catalog: Path) -> None:
    page = run("plan", catalog, SHOT)[1]
    files = page.partition("Taken, since")[2]
    own = files.partition(f"  shots/{SHOT}.toml\n")[2].partition("\n  places/")[0]
    assert re.search(r"^    crop_margin +0$", own, re.MULTILINE)
    assert "fps" not in own
    edit(catalog / "shots" / f"{SHOT}.toml", "fps = 25", "crop_margin = 0.05")
    page = run("plan", catalog, SHOT)[1]
    assert re.search(r"^    fps +25$", page, re.MULTILINE)
    assert "crop_margin" not in page


def test_an_unknown_shot_is_wrong_use_and_the_known_ones_are_named(run: Run, one_shot: Path) -> None:
    status, out, err = run("plan", one_shot, "nope")
    assert (status, out) == (2, "")
    assert "'nope'" in err and SHOT in err


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["nope"],
        ["build"],
        ["build", "x"],
        ["build", "x", "-o", "y", "--processes", "0"],
        ["build", "x", "-o", "y", "--processes", "65"],
        ["build", "x", "-o", "y", "--processes", "00641"],
        ["build", "x", "-o", "y", "--processes", "²"],
        ["plan", "x"],
        ["plan", "x", "y", "--night", "soon"],
        ["plan", "x", "y", "--night", "2027-02-30"],
        ["serve", "x", "--port", "-1"],
        ["serve", "x", "--port", "65536"],
        ["serve", "x", "--port", "٣"],
    ],
)
def test_wrong_use_is_2_and_says_how(run: Run, words: list[str]) -> None:
    status, out, err = run(*words)
    assert (status, out) == (2, "")
    assert err.startswith("usage: ")


@pytest.mark.parametrize(
    ("words", "usage"),
    [
        (["--nope", "check", "x"], "fieldsheet [-h]"),
        (["check", "x", "y"], "fieldsheet check "),
        (["add", "x", "place", "--title", "y"], "fieldsheet add CATALOG place "),
    ],
)
def test_a_word_too_many_is_told_with_the_usage_of_its_own_command(
    run: Run, words: list[str], usage: str
) -> None:
    status, _, err = run(*words)
    assert status == 2 and err.startswith(f"usage: {usage}") and "which it does not take" in err


# --- new -------------------------------------------------------------------------------------------------


def test_new_makes_a_catalog_without_problems(run: Run, tmp_path: Path) -> None:
    assert run("new", tmp_path / "deep" / "mine", "--demo")[0] == 0
    made, demo = (
        {path.relative_to(folder): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
        for folder in (tmp_path / "deep" / "mine", DEMO)
    )
    assert made == demo and demo


def test_new_fills_an_empty_folder_and_refuses_any_other(run: Run, tmp_path: Path) -> None:
    assert run("new", tmp_path, "--demo")[0] == 0
    before = sorted(tmp_path.rglob("*"))
    status, _, err = run("new", tmp_path, "--demo")
    assert status == 2 and "not an empty folder" in err
    assert run("new", tmp_path / "catalog.toml", "--demo")[0] == 2
    assert sorted(tmp_path.rglob("*")) == before


# --- serve, and the process as a whole -------------------------------------------------------------------


def _interruptible() -> None:
    """A shell starts what it runs in the background deaf to Ctrl-C, and children inherit that."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


@pytest.fixture
def serving(tmp_path: Path) -> Iterator[subprocess.Popen[str]]:
    """The serve command on a free port, in a process of its own that does not outlive the test."""
    write_site(tmp_path / "out", sample_site())
    command = [sys.executable, "-m", "fieldsheet", "serve", str(tmp_path / "out"), "--port", "0"]
    process = subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.PIPE, text=True, preexec_fn=_interruptible
    )
    yield process
    process.kill()
    process.communicate()


@pytest.mark.parametrize("stop", [signal.SIGINT, signal.SIGTERM])
def test_serve_prints_its_address_answers_there_and_stops_when_told(
    serving: subprocess.Popen[str], tmp_path: Path, stop: signal.Signals
) -> None:
    assert serving.stdout
    address = re.match(r"http://(127\.0\.0\.1):(\d+)/", serving.stdout.readline())
    assert address
    connection = http.client.HTTPConnection(address[1], int(address[2]), timeout=10)
    connection.request("GET", "/")
    answer = connection.getresponse()
    body = answer.read()
    connection.close()
    serving.send_signal(stop)
    assert serving.wait(timeout=10) == 0
    assert answer.status == 200
    assert body == (tmp_path / "out" / "site" / "index.html").read_bytes()


def test_serve_without_a_site_is_one_plain_line(run: Run, tmp_path: Path) -> None:
    status, out, err = run("serve", tmp_path, "--port", "0")
    assert (status, out, err.count("\n")) == (1, "", 1)
    assert "no site in" in err


def test_help_needs_no_heavy_module_and_names_every_command() -> None:
    code = (
        "import sys; from fieldsheet.cli import main\n"
        "try: main(['--help'])\n"
        "except SystemExit: pass\n"
        "print(sorted({'numpy', 'pydantic', 'jinja2', 'skyfield', 'weasyprint', 'PIL'} & set(sys.modules)))"
    )
    shown = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, timeout=60)
    assert shown.stdout.endswith("[]\n")
    assert all(f"    {name} " in shown.stdout for name in ("build", "check", "plan", "new", "add", "serve"))


def test_a_terminal_without_unicode_and_a_closed_pipe_are_no_traceback(one_shot: Path) -> None:
    shown = in_a_process("plan", one_shot, SHOT, PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert (shown.returncode, shown.stderr) == (0, "")
    command = [sys.executable, "-m", "fieldsheet", "plan", str(one_shot), SHOT, "--json"]
    piped = subprocess.run(
        ["bash", "-c", 'set -o pipefail; "$@" | true', "bash", *command],
        cwd=ROOT, capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    assert (piped.returncode, piped.stderr) == (0, "")


def test_every_frame_goes_out_as_csv(one_shot: Path, run: Run) -> None:
    """RFC 4180: a head, a row a frame, each line ended by CR and LF, also the last."""
    status, out, err = run("frames", one_shot, "slipway")
    assert (status, err) == (0, "")
    head, *rows, end = out.split("\r\n")
    assert head == "frame,time,slide_mm,pan_deg,tilt_deg,step_slide_mm,step_pan_deg,step_tilt_deg"
    assert (len(rows), end, "\n" in "".join(rows)) == (753, "", False)
    assert rows[0] == "1,2027-06-05T19:36:00.000+01:00,0.0000,63.7000,26.4000,0.0000,0.0000,0.0000"
    assert rows[-1].startswith("753,2027-06-05T23:21:36.000+01:00,1060.0000,-84.9000,2.9000,")
    assert run("frames", one_shot, "slip")[0] == 2
