"""What is still assumed, as the commands tell of it: how much, where it stands, and how that ends."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from tests.commands import SHOT, Run, edit

RIG, CAMERA = "rigs/rail-and-head.toml", "cameras/full-frame-14.toml"
MARKED = [(CAMERA, "ready_s"), (RIG, "settle_s"), (RIG, "electronics_w"), (f"shots/{SHOT}.toml", "fps")]


def mark(path: Path, key: str) -> int:
    """Marks a key of a file as assumed; returns its line."""
    lines = path.read_text("utf-8").splitlines()
    at = next(n for n, line in enumerate(lines) if line.startswith(f"{key} = "))
    lines[at] = f"{lines[at].partition('#')[0].rstrip()}  # assumed"
    path.write_text("\n".join(lines) + "\n", "utf-8")
    return at + 1


@pytest.fixture
def lines(catalog: Path) -> dict[str, int]:
    """Key -> line of what is marked in the catalog."""
    return {key: mark(catalog / file, key) for file, key in MARKED}


def test_check_says_how_many_are_left_in_which_file_and_on_which_lines(
    run: Run, catalog: Path, lines: dict[str, int]
) -> None:
    status, out, err = run("check", catalog)
    assert (status, err) == (0, "")
    assert out.splitlines() == [
        f"{RIG}:{lines['settle_s']}: {SHOT}: Mind: Figures still assumed: 4",
        "  Most hangs on: settle 1.0 s, camera ready 0.4 s, electronics 2.2 W, fps 25.",
        "  Measure them, or look them up (guide: Measuring a rig).",
        f"{CAMERA}: 1 figure still assumed, line {lines['ready_s']}",
        f"{RIG}: 2 figures still assumed, lines {lines['settle_s']} and {lines['electronics_w']}",
        f"shots/{SHOT}.toml: 1 figure still assumed, line {lines['fps']}",
        'whichever you have measured: write it in, and delete "assumed" behind it',
        "1 shot planned: 1 to mind",
        "what is behind each, and what keeps it quiet: the same with --why",
    ]


def test_what_shots_share_is_told_once_and_names_them(run: Run, catalog: Path, lines: dict[str, int]) -> None:
    shots = catalog / "shots"
    for name in "abcd":
        shutil.copy(shots / f"{SHOT}.toml", shots / f"{name}.toml")
    told = [line for line in run("check", catalog)[1].splitlines() if "Figures still assumed" in line]
    assert told == [f"{RIG}:{lines['settle_s']}: a, b, c and 2 more: Mind: Figures still assumed: 4"]


def test_check_tells_on_request_which_values_they_are(run: Run, catalog: Path, lines: dict[str, int]) -> None:
    told = " ".join(run("check", catalog, "--why")[1].split())
    sources = f"from {RIG}:{lines['settle_s']} settle_s = 1.0 {CAMERA}:{lines['ready_s']} ready_s = 0.4"
    assert sources in told and "a comment begins with “assumed”" in told
    assert f"shots/{SHOT}.toml:{lines['fps']} fps = 25 quiet when" in told


def test_what_no_shot_reads_is_told_apart(run: Run, catalog: Path) -> None:
    line = mark(catalog / RIG, "measured_payload_kg")
    shot = catalog / "shots" / f"{SHOT}.toml"
    shot.write_text(re.sub(r"(, )?payload_kg = [\d.]+", "", shot.read_text("utf-8")), "utf-8")
    status, out, _ = run("check", catalog)
    assert status == 0 and "Figures still assumed" not in out
    assert f"{RIG}: 1 figure still assumed, no shot reads: line {line}\n" in out


def test_a_mark_behind_no_value_is_told_with_where_it_belongs(run: Run, catalog: Path) -> None:
    line = edit(catalog / RIG, "settle_s", "# assumed: at a guess\nsettle_s")
    status, out, err = run("check", catalog)
    assert (status, err) == (0, "")
    mark, sums_up = out.splitlines()
    assert mark.startswith(f'{RIG}: "assumed" alone on line {line} marks no value: put it behind')
    assert sums_up == "1 shot, no problems"


OF_ALL = [
    ("base_url", "Codes on paper lead there: settle it before any is printed."),
    ("id", "Phones keep their ticks under it: settle it before the first night."),
    ("title", "It is the whole catalog's: settle it before pages and paper are used."),
]


def test_what_is_the_whole_catalogs_is_told_once_with_what_fits_it(run: Run, catalog: Path) -> None:
    shutil.copy(catalog / f"shots/{SHOT}.toml", catalog / "shots/again.toml")
    lines = {key: mark(catalog / "catalog.toml", key) for key, _ in OF_ALL}
    status, out, _ = run("check", catalog)
    told = [text for text in out.splitlines() if "assumed" in text]
    assert status == 0 and len(told) == len(OF_ALL)
    for key, why in OF_ALL:
        said = rf"catalog\.toml:{lines[key]}: {key} still assumed: '.*'\. {re.escape(why)}"
        assert [text for text in told if re.fullmatch(said, text)], key
    built = run("build", catalog, "-o", catalog.parent / "out", "--no-cards")[2].splitlines()
    assert set(told) <= set(built)
    assert "assumed" not in run("plan", catalog, SHOT)[1].lower()


def test_the_plan_lists_them_all_with_line_and_value(run: Run, catalog: Path, lines: dict[str, int]) -> None:
    status, out, _ = run("plan", catalog, SHOT)
    listed = out.partition("\nAssumed, and still to be measured\n")[2].partition("\n\n")[0]
    assert status == 0
    assert [re.split("  +", line.strip()) for line in listed.splitlines()] == [
        [f"{CAMERA}:{lines['ready_s']}", "ready_s = 0.4"],
        [f"{RIG}:{lines['settle_s']}", "settle_s = 1.0"],
        [f"{RIG}:{lines['electronics_w']}", "power.electronics_w = 2.2"],
        [f"shots/{SHOT}.toml:{lines['fps']}", "fps = 25"],
    ]
    assert max(map(len, out.splitlines())) <= 80


def test_a_plan_for_a_machine_holds_their_number_and_the_first(
    run: Run, catalog: Path, lines: dict[str, int]
) -> None:
    whole = json.loads(run("plan", catalog, SHOT, "--json")[1])
    first = "settle 1.0 s, camera ready 0.4 s, electronics 2.2 W, fps 25"
    assert whole["brief"]["assumed"] == {"count": len(lines), "first": first}
    assert whole["warnings"][-1]["id"] == "warning.assumed"
