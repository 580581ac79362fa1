"""fieldsheet plan with a late start or a stop, typed by the clock of the place."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.commands import SHOT, Run


def test_a_late_start_shows_each_way_to_go_on(run: Run, one_shot: Path) -> None:
    status, out, err = run("plan", one_shot, SHOT, "--start", "20:01")
    assert (status, err) == (0, "")
    assert "25 min late: first frame 20:01\n  1 · Nothing keyed in: all as it is, it ends later\n" in out
    assert "figures  frames 669 · interval 18 s" in out and "about 15 to 20 min" in out
    assert "Stopped" not in out


def test_a_stop_shows_what_to_do_and_each_way_to_go_on(run: Run, one_shot: Path) -> None:
    status, out, err = run("plan", one_shot, SHOT, "--stopped", "612", "--rolling", "22:59")
    assert (status, err) == (0, "")
    assert "Stopped after frame 612 of 753, rolling again 22:59" in out
    assert (
        out.index("Find what stopped it") < out.index("1 · End the clip here") < out.index("4 · Go on where")
    )


def test_as_json_both_stand_in_the_plan(run: Run, one_shot: Path) -> None:
    """Rolling at half past midnight is the next morning's: after 23:22, when the shot would have ended."""
    words = ("--start", "20:01", "--stopped", "612", "--rolling", "00:30", "--json")
    status, out, _ = run("plan", one_shot, SHOT, *words)
    plan = json.loads(out)
    assert status == 0 and plan["late"]["late_ms"] == 25 * 60_000
    assert plan["recovery"]["rolls"]["local"].startswith("2027-06-06T00:30")
    assert [option["id"] for option in plan["recovery"]["options"]] == ["second", "move", "move-kept", "sky"]


@pytest.mark.parametrize(
    ("start", "why", "can", "cannot"),
    [
        ("23:30", "A first frame at 23:30, after the end at 23:22.", (1, 5), (2, 3, 4)),
        ("23:00", "2 frames of hold and 80 of ease in 73 frames.", (1, 5), (2, 3, 4)),
    ],
)
def test_a_start_that_has_no_plan_is_told_why_and_the_ways_that_there_are(
    run: Run, one_shot: Path, start: str, why: str, can: tuple[int, ...], cannot: tuple[int, ...]
) -> None:
    """As the phone does: ranked, each with its figures or with what it fails by."""
    status, out, err = run("plan", one_shot, SHOT, "--start", start)
    assert (status, err) == (1, "")
    reason, told = out.split(f"min late: first frame {start}. What can be done\n")
    assert "cannot start then\n" in reason and why in reason and "Right would be" in reason
    ways = re.split(r"\n {2}(?=[1-5] · )", "\n" + told)[1:]
    assert [number for number in range(1, 6) if "Not possible: " in ways[number - 1]] == list(cannot)
    assert all(f"runs     {start}–" in ways[number - 1] for number in can)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("--start 25:00", "not a clock time such as 20:15: '25:00'"),
        ("--start 2015", "not a clock time such as 20:15: '2015'"),
        ("--start 23:30 --json", "--start: found a first frame at 23:30, after the end at 23:22"),
        ("--start 20:01 --stopped 999 --rolling 22:00", "--stopped: found stopped after frame 999"),
        ("--stopped x --rolling 22:00", "not a frame such as 612: 'x'"),
        ("--stopped 0 --rolling 22:00", "--stopped: found stopped after frame 0"),
        ("--stopped 753 --rolling 22:00", "right: a frame from 1 to 752"),
        ("--stopped 612 --rolling 20:00", "right: from Sat 5 June 22:39 to"),
        ("--stopped 612", "--stopped without --rolling"),
        ("--rolling 22:00", "--rolling without --stopped"),
    ],
)
def test_what_is_mistyped_is_wrong_use_in_a_clear_line(
    run: Run, one_shot: Path, words: str, said: str
) -> None:
    status, out, err = run("plan", one_shot, SHOT, *words.split())
    assert (status, out) == (2, "") and said in err
