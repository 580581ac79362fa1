"""fieldsheet new and add: asked at a terminal or told by options, refused in words, nothing half written."""

from __future__ import annotations

import errno
import os
import re
import shutil
import sys
import tempfile
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from fieldsheet import cli
from fieldsheet.catalog.names import BASE_EVENTS, EVENTS, TIDES
from fieldsheet.catalog.read import read_catalog
from tests.commands import HILL, Run, edit

RIG = "rail-and-two-axis-head"

Ask = Callable[..., tuple[int, str, str]]


@pytest.fixture
def ask(run: Run, monkeypatch: pytest.MonkeyPatch) -> Ask:
    """Runs a command at a terminal where these lines are typed; then the input ends, or is broken off."""

    def asked(
        words: tuple[str | Path, ...], lines: tuple[str | type[BaseException], ...]
    ) -> tuple[int, str, str]:
        typed = iter((*lines, EOFError))

        def answer(prompt: str) -> str:
            line = next(typed)
            print(prompt + ("" if isinstance(line, type) else line))
            if isinstance(line, type):
                raise line
            return line

        monkeypatch.setattr("builtins.input", answer)
        for stream in (sys.stdin, sys.stdout):
            monkeypatch.setattr(stream, "isatty", lambda: True)
        return run(*words)

    return asked


@pytest.fixture(scope="module")
def static(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A catalog of a static rig. Not to be changed."""
    folder = tmp_path_factory.mktemp("made") / "nights"
    assert cli.main(["new", str(folder), *HILL, "--rig", "static"]) == 0
    return folder


@pytest.fixture
def nights(static: Path, tmp_path: Path) -> Path:
    """The same, free to be changed."""
    return Path(shutil.copytree(static, tmp_path / "nights"))


def held(folder: Path) -> dict[str, bytes]:
    """Every file under a folder, hidden ones too."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


# --- new --------------------------------------------------------------------------------------------------


def test_new_by_options_makes_a_catalog_that_checks_and_plans(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "Süd & West"
    status, out, err = run("new", folder, *HILL, "--title", 'The "first" one')
    assert (status, err) == (0, "")
    names = [
        "cameras/full-frame-17-mm",
        "catalog",
        "places/crow-hill-north",
        f"rigs/{RIG}",
        "shots/the-first-one",
    ]
    assert sorted(held(folder)) == [f"{name}.toml" for name in names]
    nearest = "that of the nearest city, 186 km off; next is Europe/Gibraltar, 314 km"
    assert f"zone Europe/Lisbon, {nearest}: say another with --zone" in " ".join(out.split())
    assert 'The "first" one: Sat 5 June 2027, 19:51–21:21 WEST' in out
    assert "675 frames at 8 s, a clip of 27 s at 25 fps" in out
    assert 'Still guessed, marked "assumed" in its files: 29. Measure, then delete the mark.' in out
    assert f"\nNext: fieldsheet check '{folder}'\n      fieldsheet plan '{folder}' the-first-one\n" in out
    assert not [path for path in tmp_path.iterdir() if path != folder]
    head = tomllib.loads((folder / "catalog.toml").read_text("utf-8"))
    assert head == {
        "title": "Crow Hill, north",
        "id": "sud-west",
        "base_url": "https://example.org/sud-west/",
    }
    assert run("check", folder)[0] == 0
    assert run("plan", folder, "the-first-one")[0] == 0


def test_new_says_what_of_that_shot_cannot_go(run: Run, tmp_path: Path) -> None:
    status, out, _ = run("new", tmp_path / "nights", *HILL, "--shutter", "9")
    assert status == 0 and "a clip of 27 s at 25 fps\nNo go: The interval is " in out


def test_what_does_not_go_together_is_told_by_file_and_line_and_not_written(run: Run, tmp_path: Path) -> None:
    status, _, err = run("new", tmp_path / "nights", *HILL, "--interval", "7.5")
    assert (status, list(tmp_path.iterdir())) == (1, [])
    assert err.startswith(
        "Nothing was written, for this does not go together:\nshots/sundown.toml:14: interval_s: "
    )


def test_a_rail_is_as_long_and_steep_as_was_said(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "nights"
    assert run("new", folder, *HILL, "--travel", "1.24 m", "--incline", "-7.5")[0] == 0
    rig = (folder / f"rigs/{RIG}.toml").read_text("utf-8")
    assert f"\n{'max = 1240':<49}# mm of travel, not of rail\n" in rig
    shot = tomllib.loads((folder / "shots/sundown.toml").read_text("utf-8"))
    assert [keyframe["slide_mm"] for keyframe in shot["keyframe"]] == [0, 1240]
    assert shot["rail"]["incline_deg"] == -7.5
    assert run("check", folder)[0] == 0
    guess = run("add", folder, "rig", "--rig", "rail-and-head", "--travel", "60 cm, assumed")
    assert guess[0] == 0
    assert "max = 600                                        # assumed: mm" in (
        folder / f"rigs/{RIG}-2.toml"
    ).read_text("utf-8")


ANSWERS = ("Crow Hill, north", "north", "37.08", "-8.67", "", "", "2", "", "", "", "core", "", "2027-06-05")


def test_a_wrong_answer_is_told_at_once_and_asked_again(ask: Ask, tmp_path: Path) -> None:
    status, out, err = ask(("new", tmp_path / "nights"), (*ANSWERS, "", "", "", ""))
    assert (status, err) == (0, "")
    latitude = "  Latitude, degrees north, or latitude and longitude: "
    assert f"{latitude}north\n  found the text 'north'; right: degrees north from -90 to 90" in out
    assert out.count(latitude) == 2
    assert "  Elevation, metres above the sea [0]: \n" in out
    assert "   2  head           Two-axis head: pan, tilt\n" in out
    assert "[core usable]: \n  from 23:13 on 2027-06-05\n" in out
    assert "[core unusable]: \n  to 04:46 on 2027-06-06\n" in out
    assert "shots/milky-way.toml" in held(tmp_path / "nights")
    place = tomllib.loads((tmp_path / "nights/places/crow-hill-north.toml").read_text("utf-8"))
    assert (place["latitude_deg"], place["zone"]) == (37.08, "Europe/Lisbon")


def test_a_wrong_answer_to_a_list_is_told_that_a_number_does(ask: Ask, tmp_path: Path) -> None:
    lines = ("Hill", "geo:37.08,-8.67", "", "", "3.1", "5")
    out = ask(("new", tmp_path / "nights"), lines)[1]
    assert "found '3.1'; right: rail-and-head, head, lift, turntable or static; or its" in out
    assert "number, 1 to 5 (< goes back)" in out
    assert "Longitude" not in out and "  latitude 37.08, longitude -8.67\n" in out


def test_who_goes_back_is_asked_again_with_what_was_typed(ask: Ask, tmp_path: Path) -> None:
    """Over a pair, over headings, and from a rig with a rail to one without: what followed is asked anew."""
    place = ("<", "Hill", "1, 2", "<", "37.08, -8.67", "", "")
    rig = ("1", "2 m", "<", "", "<", "<", "2")
    camera = ("<", "", "", "", "35")
    shot = ("moon", "<", "<", "", "sun", "<", "view", "90", "", "2027-06-05", "", "", "", "")
    status, out, err = ask(("new", tmp_path / "nights"), (*place, *rig, *camera, *shot))
    assert (status, err) == (0, "")
    assert "found '<'; right: an answer: this is the first question\n" in out
    assert "longitude [1, 2]: 37.08, -8.67\n" in out
    assert "rail, mm, cm or m [2 m]: \n" in out
    assert "\nRig\n   1  rail-and-head" in out.partition("Sensor [full-frame]: <\n")[2]
    assert "Focal length, mm as engraved [35]: \n" in out
    assert "Slope of the rail" not in out
    files = ["cameras/full-frame-35-mm", "places/hill", "rigs/two-axis-head", "shots/first-view"]
    assert {f"{name}.toml" for name in files} == {*held(tmp_path / "nights")} - {"catalog.toml"}
    place_file = tomllib.loads((tmp_path / "nights/places/hill.toml").read_text("utf-8"))
    assert (place_file["latitude_deg"], place_file["longitude_deg"]) == (37.08, -8.67)


def test_a_shot_that_does_not_go_together_is_asked_for_again(ask: Ask, tmp_path: Path) -> None:
    again = ("", "", "", "", "", "8", "")
    status, out, _ = ask(("new", tmp_path / "nights"), (*ANSWERS, "", "", "7.5", "", *again))
    assert status == 0
    assert (
        "This does not go together:\n  shots/milky-way.toml:14: interval_s: found 7.5; right: 7 or 8" in out
    )
    assert "Interval, seconds from frame to frame [7.5]: 8" in out
    shot = tomllib.loads((tmp_path / "nights/shots/milky-way.toml").read_text("utf-8"))
    assert shot["interval_s"] == 8


def test_who_asks_for_moments_is_told_all_there_are_with_what_each_means(ask: Ask, tmp_path: Path) -> None:
    status, out, err = ask(("new", tmp_path / "nights"), ("?", *ANSWERS, "?", "", "?", "2h", "", ""))
    assert (status, err) == (0, "")
    assert "found '?'; right: words of your own" in out
    question = "  First frame, an event or a clock time; ? lists them [core usable]: "
    listed = out.partition(f"{question}?\n")[2].partition(question)[0]
    names = {name for line in listed.splitlines() for name in re.split("  +", line)[1].split(", ")}
    kinds = {"antares set", "jupiter highest", "sun behind ridge", "moon over ridge"}
    assert names - {"sunset - 1h15m", "moonrise + 10m", "20:15"} == {
        *(*BASE_EVENTS, *TIDES, *kinds, "sun highest", "moon highest")
    }
    assert kinds < set(EVENTS)
    assert out.count("core above 10°, sun below −15°, moon down") == 2
    assert max(map(len, listed.splitlines())) <= 80


def test_a_start_that_is_not_the_usual_one_is_told_with_its_reason(
    run: Run, ask: Ask, tmp_path: Path
) -> None:
    north = (*HILL[:2], "--lat", "69.6", "--lon", "18.9", "--night", "2027-12-01")
    why = "for 'sunset - 1h' does not come on that night"
    assert f"\nstart 20:00, {why}: say another with --start\n" in run("new", tmp_path / "a", *north)[1]
    assert why not in run("new", tmp_path / "b", *north, "--start", "19:00")[1]
    lines = ("Tind", "69.6", "18.9", *[""] * 6, "sun", "", "2027-12-01", "", "", "", "")
    out = ask(("new", tmp_path / "c"), (*lines[:7], "", *lines[7:]))[1]
    assert f"  (20:00, {why})\n" in out


def test_where_nothing_may_be_written_it_is_told_by_its_name_before_anything_is_asked(
    ask: Ask, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "there" / "nights"
    monkeypatch.setattr(os, "access", lambda path, mode: False)
    status, out, err = ask(("new", folder), ())
    told = f"{folder} cannot be made, for nothing may be written into {tmp_path}: choose another"
    assert (status, out, err) == (2, "", f"fieldsheet: {told}\n")


def test_what_the_disk_refuses_is_told_of_what_was_asked_for(
    run: Run, nights: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    usual = tempfile.TemporaryDirectory

    def refuse(**asked: Any) -> tempfile.TemporaryDirectory[str]:
        if "dir" in asked:
            raise PermissionError(errno.EACCES, "Permission denied", f"{asked['dir']}/.fieldsheet-x")
        return usual(**asked)

    monkeypatch.setattr(tempfile, "TemporaryDirectory", refuse)
    status, _, err = run("new", tmp_path / "there", "--demo")
    assert (status, err) == (1, f"fieldsheet: Permission denied: {tmp_path / 'there'}\n")
    status, _, err = run("add", nights, "place", *HILL[:6], "--place", "Quay")
    assert (status, err) == (1, f"fieldsheet: Permission denied: {nights / 'places' / 'quay.toml'}\n")


def test_a_build_at_a_terminal_says_what_comes_next(ask: Ask, nights: Path, tmp_path: Path) -> None:
    out = tmp_path / "out of here"
    *_, first, then = ask(("build", nights, "-o", out, "--no-cards"), ())[1].splitlines()
    assert first == f"Next: fieldsheet serve '{out}'   looks at it here; --hotspot: on phones"
    assert then == f"      put {out / 'site'} on a host with https for the phone"
    leads = "their codes lead to https://example.org/nights/ (base_url in catalog.toml)"
    last = ask(("build", nights, "-o", out), ())[1].splitlines()[-1]
    assert last == f"      print {out / 'site'}/cards; {leads}"


@pytest.mark.parametrize("end", [EOFError, KeyboardInterrupt])
@pytest.mark.parametrize("answered", [0, len(ANSWERS)])
def test_broken_off_nothing_is_written(
    ask: Ask, tmp_path: Path, end: type[BaseException], answered: int
) -> None:
    status, _, err = ask(("new", tmp_path / "nights"), (*ANSWERS[:answered], end))
    assert (status, err, list(tmp_path.iterdir())) == (130, "\nNothing was written.\n", [])


# --- add --------------------------------------------------------------------------------------------------

ADDED = [
    (("place", *HILL[:6], "--place", "Quay"), "places/quay.toml"),
    (("rig", "--rig", "turntable"), "rigs/turntable.toml"),
    (("rig", "--rig", "static"), "rigs/tripod-2.toml"),
    (("rig", "--rig", "lift", "--load-kg", "3", "--rig-title", "Mast"), "rigs/mast.toml"),
    (("camera", "--sensor", "aps-c", "--lens", "fisheye"), "cameras/aps-c-10-mm-fisheye.toml"),
    (("shot", "--follow", "pole", "--night", "2027-06-06"), "shots/star-circles.toml"),
]


@pytest.mark.parametrize(("words", "path"), ADDED)
def test_add_writes_one_more_file_and_changes_none(
    run: Run, nights: Path, words: tuple[str, ...], path: str
) -> None:
    before = held(nights)
    status, out, err = run("add", nights, *words)
    assert (status, err) == (0, "")
    assert f"{nights / path}\n" in out
    after = held(nights)
    assert {**before, path: after[path]} == after
    assert len(read_catalog(nights).shots) == len(list((nights / "shots").iterdir()))
    if words[0] == "rig":
        assert tomllib.loads(after[path].decode())["letter"] == "B"


def test_add_says_what_it_took_where_there_are_several(run: Run, nights: Path) -> None:
    assert run("add", nights, "place", *HILL[:6], "--place", "Alder Quay")[0] == 0
    status, out, _ = run("add", nights, "shot", "--follow", "view", "--night", "2027-06-05")
    assert status == 0 and "place alder-quay, the first of several: say another with --place\n" in out
    assert "rig tripod" not in out


def test_a_rig_may_be_called_as_a_pack_is(run: Run, nights: Path) -> None:
    assert run("add", nights, "rig", "--rig", "head", "--rig-title", "A1")[0] == 0
    made = tomllib.loads((nights / "rigs/a1.toml").read_text("utf-8"))
    assert (made["title"], made["letter"], made["power"]["pack"][0]["name"]) == ("A1", "B", "B1")


def test_add_makes_no_other_shot_unreadable(run: Run, nights: Path) -> None:
    edit(nights / "shots/sundown.toml", "night = 2027-06-05", "night = 2005-06-05")
    before = held(nights)
    status, _, err = run("add", nights, "shot", "--follow", "view", "--night", "2027-06-05")
    assert (status, held(nights)) == (1, before)
    assert "shots/sundown.toml:" in err and "the catalog's other nights are in 2027" in err


NOT_ADDED = [
    (("shot", "--title", "Sundown"), 2, "found 'Sundown', but shots/sundown.toml is there already"),
    (("place", *HILL[:6]), 2, "places/crow-hill-north.toml is there already; right: another title"),
    (("shot", "--rig", "tripd"), 2, "--rig: found 'tripd'; right: 'tripod' (did you mean that?)"),
    (("camera",), 2, "nobody to ask"),
]


@pytest.mark.parametrize(("words", "status", "told"), NOT_ADDED)
def test_add_refuses_in_words(run: Run, nights: Path, words: tuple[str, ...], status: int, told: str) -> None:
    before = held(nights)
    found, _, err = run("add", nights, *words)
    assert (found, held(nights)) == (status, before)
    assert told in err


def test_add_takes_no_folder_that_is_no_catalog(run: Run, tmp_path: Path) -> None:
    status, _, err = run("add", tmp_path, "rig", "--rig", "head")
    assert (status, list(tmp_path.iterdir())) == (1, [])
    assert "right: a catalog: catalog.toml and the folders" in err


def test_add_asks_for_what_a_shot_is_made_with_first(run: Run, nights: Path) -> None:
    (nights / "rigs" / "tripod.toml").unlink()
    status, _, err = run("add", nights, "shot", "--follow", "sun")
    assert status == 2 and f"no rig in {nights} yet; right: fieldsheet add {nights} rig" in err


def test_add_tells_what_is_wrong_with_what_a_shot_is_made_with(run: Run, nights: Path) -> None:
    for name, data in (("tripod", b"motion = 'none'\n"), ("big", b"#" * 300_000)):
        (nights / "rigs" / f"{name}.toml").write_bytes(data)
    before = held(nights)
    status, _, err = run("add", nights, "shot", "--rig", "tripod")
    assert (status, "rigs/tripod.toml:1: title: found nothing" in err) == (1, True)
    status, _, err = run("add", nights, "shot", "--rig", "big")
    assert (status, "rigs/big.toml: found a file of" in err) == (1, True)
    assert held(nights) == before


def test_add_writes_nothing_outside_the_catalog(run: Run, nights: Path, tmp_path: Path) -> None:
    (nights / "rigs" / "tripod.toml").unlink()
    (nights / "rigs").rmdir()
    (tmp_path / "elsewhere").mkdir()
    (nights / "rigs").symlink_to(tmp_path / "elsewhere")
    status, _, err = run("add", nights, "rig", "--rig", "head")
    assert (status, list((tmp_path / "elsewhere").iterdir())) == (1, [])
    assert "rigs: found a link that leads out of the catalog's folder" in err


def test_add_asks_at_a_terminal_and_proposes_what_is_there(ask: Ask, nights: Path) -> None:
    lines = ("", "", "", "view", "400", "200", "", "2027-06-05", "", "", "", "")
    status, out, _ = ask(("add", nights, "shot"), lines)
    assert status == 0
    assert "   1  tripod  rigs/tripod.toml\n  Rig [tripod]: \n" in out
    assert "found 400; right: where pan 0 looks, degrees clockwise from true north" in out
    shot = tomllib.loads((nights / "shots/first-view.toml").read_text("utf-8"))
    assert shot["zero_bearing_deg"] == 200
