"""fieldsheet plan with a late start or a stop, typed by the clock of the place."""

from __future__ import annotations

import json
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
    ("words", "said"),
    [
        ("--start 25:00", "not a clock time such as 20:15: '25:00'"),
        ("--start 2015", "not a clock time such as 20:15: '2015'"),
        ("--start 23:30", "--start: found a first frame at 23:30, after the end at 23:22"),
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
