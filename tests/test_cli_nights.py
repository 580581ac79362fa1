"""fieldsheet nights: the table, the JSON, and what is wrong use."""

from __future__ import annotations

import json
import re
import shutil
from datetime import datetime
from pathlib import Path

import pytest

from fieldsheet.sheet.nights import WHY
from fieldsheet.sheet.words import WORDS
from fieldsheet.templates import templates
from tests.commands import SHOT, Run, edit
from tests.conftest import DEMO

CHAPTER = templates() / "guide" / "nights.html.j2"
JUNE = ("--from", "2027-06-01", "--to", "2027-06-30")


def test_the_table_lists_the_good_nights_and_counts_why_the_others_fail(run: Run) -> None:
    status, out, err = run("nights", DEMO, SHOT, *JUNE)
    assert (status, err) == (0, "")
    assert re.search(
        r"^    Sat 5   19:36–23:22 WEST  moon 2 % lit, sets 22:06, rises 07:34   core usable 5 h 33 min$",
        out,
        re.M,
    )
    assert "  b  moon down at the end\n" in out
    assert "nights it fails  the only thing wrong" in out
    assert re.search(r"^ +\d+ +\d+  b  moon down at the end$", out, re.M)
    good = re.findall(r"^    \w{3} \d+ ", out, re.M)
    assert out.rstrip().endswith(
        f"{len(good)} good of 30 nights: {30 - len(good)} lack a need, 0 cannot be planned"
    )


def test_the_example_of_the_guide_is_what_is_printed(run: Run) -> None:
    _, out, _ = run("nights", DEMO, SHOT, "--from", "2027-08-20", "--to", "2028-06-05")
    assert out in CHAPTER.read_text("utf-8")


def test_every_night_is_listed_by_date_and_the_good_ones_are_marked(run: Run) -> None:
    _, out, _ = run("nights", DEMO, "moonrise", "--from", "2027-08-01", "--to", "2027-09-10", "--all")
    rows = re.findall(r"^    ([*?]?) +\w{3} (\d+) .*?  (good|[a-c ]+|no moonrise to start at.*)$", out, re.M)
    assert [int(day) for _, day, _ in rows] == [*range(1, 32), *range(1, 11)]
    assert [day for mark, day, _ in rows if mark] == ["16", "17"]
    assert all((mark == "*") == (verdict == "good") for mark, _, verdict in rows)
    assert "no plan" in out and "no moonrise" in out


def test_a_year_far_from_the_shots_own_has_its_needs_and_its_clock(run: Run) -> None:
    status, out, _ = run("nights", DEMO, SHOT, "--from", "2045-06-01", "--to", "2045-06-30")
    assert status == 0 and "clock changes" not in out
    assert "  b  moon down at the end\n" in out
    assert re.search(r"^    Tue 13  19:41–23:28 WEST ", out, re.M)
    # Lisbon was on local mean time until 1912.
    _, out, _ = run("nights", DEMO, SHOT, "--from", "1900-06-05", "--to", "1900-06-30", "--all")
    assert " LMT " in out and "0 cannot be planned" in out


def test_the_last_nights_of_the_ephemeris_have_their_needs_named(run: Run) -> None:
    status, out, _ = run("nights", DEMO, SHOT, "--from", "2052-12-28")
    assert status == 0 and "Tue 31 December 2052" in out
    assert "  b  moon down at the end\n" in out
    assert re.search(r"^ +4 +4 +no plan: beyond the ephemeris$", out, re.M)
    assert out.rstrip().endswith("0 good of 4 nights: 0 lack a need, 4 cannot be planned")


def test_a_need_that_is_not_known_leaves_a_night_open(run: Run, catalog: Path) -> None:
    """Of the tides of June 2027 the demo's place has three days typed in."""
    path = catalog / "shots" / f"{SHOT}.toml"
    path.write_text(
        path.read_text() + '\n[[needs.event]]\nevent = "low tide"\nbetween = ["20:00", "23:30"]\n'
    )
    _, out, _ = run("nights", catalog, SHOT, *JUNE, "--all")
    assert re.search(r"^    \?  Wed 30 .*  f\?$", out, re.M)
    assert re.search(r"^ +not known|  not known$", out, re.M)
    opened = re.findall(r"^    \?  ", out, re.M)
    assert f": {len(opened)} open, " in out and opened
    found = json.loads(run("nights", catalog, SHOT, *JUNE, "--json")[1])["shots"][0]
    nights = [row for row in found["nights"] if row["verdict"] == "open"]
    assert found["count"]["open"] == len(nights) == len(opened)
    for row in nights:
        assert {need["letter"]: need["met"] for need in row["needs"]}["f"] is None


def test_json_holds_every_night_with_iso_times_and_verdicts(run: Run) -> None:
    status, out, _ = run("nights", DEMO, SHOT, *JUNE, "--json")
    assert status == 0
    found = json.loads(out)
    assert (found["from"], found["to"]) == ("2027-06-01", "2027-06-30")
    (shot,) = found["shots"]
    assert list(shot) == ["id", "title", "zone", "needs", "count", "nights"]
    assert shot["count"]["nights"] == len(shot["nights"]) == 30
    night = next(row for row in shot["nights"] if row["night"] == "2027-06-05")
    assert night["verdict"] == "good" and night["problem"] is None
    start, end = (datetime.fromisoformat(night[key]) for key in ("start", "end"))
    assert start.utcoffset() is not None and start < end
    assert [need["met"] for need in night["needs"]] == [True] * len(shot["needs"])
    assert night["moon"]["lit_pct"] == pytest.approx(1.7, abs=0.5)
    assert found["good_for_all"] == [row["night"] for row in shot["nights"] if row["verdict"] == "good"]


def test_a_night_without_a_plan_says_why_in_json(run: Run) -> None:
    _, out, _ = run("nights", DEMO, "moonrise", "--from", "2027-08-01", "--to", "2027-09-10", "--json")
    problems = [row for row in json.loads(out)["shots"][0]["nights"] if row["problem"]]
    assert problems
    for row in problems:
        told = {"id": "problem.no-event", "key": "start", "text": "no moonrise to start at"}
        assert row["problem"] == told
        assert row["start"] is None and row["verdict"] == "none"
        # The third, a moonrise near sunset, does not hang on the shot: it is judged.
        assert [need["met"] for need in row["needs"]] == [None, None, False]


def test_of_several_shots_the_nights_good_for_all_come_last(run: Run, tmp_path: Path) -> None:
    catalog = Path(shutil.copytree(DEMO, tmp_path / "catalog"))
    for path in (catalog / "shots").iterdir():
        if path.stem not in (SHOT, "pole-circle"):
            path.unlink()
    status, out, _ = run("nights", catalog, *JUNE)
    assert status == 0
    assert out.index("Circle: stars") < out.index("Slipway: dusk") < out.index("Good for all 2 shots: ")
    assert "  Sat 5 June 2027" in out[out.index("Good for all") :]


def test_a_shot_without_needs_is_good_whenever_it_can_be_planned(run: Run) -> None:
    _, out, _ = run("nights", DEMO, "hoist", *JUNE)
    assert out.splitlines()[2:] == [
        "no needs: every night that can be planned is good",
        "",
        "30 good of 30 nights: 0 lack a need, 0 cannot be planned",
    ]
    _, out, _ = run("nights", DEMO, "hoist", *JUNE, "--all")
    assert len(re.findall(r"^    \*  \w{3} \d+ .*  good$", out, re.M)) == 30


def test_the_year_begins_with_the_shots_own_night(run: Run) -> None:
    _, out, _ = run("nights", DEMO, SHOT)
    assert "Sat 5 June 2027 to Sat 3 June 2028" in out and "of 365 nights" in out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--from", "2027-06-09", "--to", "2027-06-01"), "--to 2027-06-01 comes before --from 2027-06-09"),
        (
            ("--to", "2027-06-01"),
            "--to 2027-06-01 comes before the shot's own night, 2027-06-05; right: a later",
        ),
        (
            ("--from", "1850-01-01"),
            "--from 1850-01-01: the ephemeris runs from 1900 to 2052; right: a date in",
        ),
        (("--from", "0001-01-01"), "--from 0001-01-01: the ephemeris runs from"),
        (("--from", "9999-12-20"), "--from 9999-12-20: the ephemeris runs from"),
        (("--to", "9999-12-31"), "--to 9999-12-31: the ephemeris runs from"),
        (("--from", "2027-01-01", "--to", "2047-01-01"), "7306 days; right: at most 3660 at once"),
        (("--from", "June"), "not a date such as 2027-06-05"),
    ],
)
def test_wrong_use_is_2(run: Run, words: tuple[str, ...], told: str) -> None:
    status, out, err = run("nights", DEMO, SHOT, *words)
    assert (status, out) == (2, "") and told in err


def test_an_unknown_shot_is_wrong_use_and_a_faulty_catalog_a_problem(run: Run, catalog: Path) -> None:
    assert run("nights", catalog, "slippway")[0] == 2
    edit(catalog / "shots" / f"{SHOT}.toml", 'is = "down"', 'is = "dwn"')
    status, out, err = run("nights", catalog, SHOT)
    assert (status, out) == (1, "") and "needs.moon 1 is" in err


def test_every_problem_of_a_night_has_its_few_words() -> None:
    """But for those that only a change can bring, such as another start, or what went wrong."""
    problems = {id.rpartition(".")[0] for id in WORDS if id.startswith("problem.")}
    changed = {
        *("start-after-end", "spot", "shift", "stopped-frame", "stopped-rolling", "interval-range"),
        *("interval-step", "way", "way-start", "way-unknown", "way-when", "run-ratio", "run-start"),
    }
    assert problems - {"problem." + id for id in changed} == WHY.keys()
