"""What is kept between builds: made once, never trusted where it is not whole, gone when it is not used."""

from __future__ import annotations

import copy
import hashlib
import json
import os
import pickle
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.site.content import Held, bytes_of, size_of, sum_of
from fieldsheet.site.kept import Keep, Kept, Summed, json_of, under
from fieldsheet.site.write import KEPT, NotOurs, claimed
from tests.site.writing import write_site

DATA = b"%PDF-1.7 of some length"


def never() -> bytes:
    raise AssertionError("made again")


def begun(out: Path, program: str = "1") -> Kept:
    """Writing, but the folder's claim is let go at once, as if its build were over."""
    kept = Kept(out, program)
    with claimed(out) as output:
        kept.begin(output)
    return kept


def got(keep: Keep, key: str, make: Callable[[], bytes]) -> bytes:
    return bytes_of(keep(key, make))


def entry(out: Path) -> Path:
    """The one entry there is."""
    (path,) = (out / KEPT).iterdir()
    return path


def test_what_was_made_is_not_made_again(tmp_path: Path) -> None:
    assert got(begun(tmp_path / "out"), "card", lambda: DATA) == DATA
    assert got(begun(tmp_path / "out"), "card", never) == DATA


def test_what_was_made_before_it_began_is_kept_from_then_on(tmp_path: Path) -> None:
    out = tmp_path / "out"
    kept = Kept(out, "1")
    kept("plan", lambda: DATA)
    assert not out.exists(), "a catalog with problems leaves no folder"
    with claimed(out) as output:
        kept.begin(output)
    assert got(Kept(out, "1"), "plan", never) == DATA


@pytest.mark.parametrize(
    ("program", "key"), [("2", "card"), ("1", "other")], ids=["another program", "another key"]
)
def test_another_program_and_another_key_make_their_own(tmp_path: Path, program: str, key: str) -> None:
    begun(tmp_path / "out")("card", lambda: DATA)
    assert got(begun(tmp_path / "out", program), key, lambda: b"new") == b"new"


def test_each_sky_has_its_own(tmp_path: Path) -> None:
    kept = begun(tmp_path / "out")
    under({2027: b"sky"}, kept)("plan", lambda: DATA)
    assert got(under({2027: b"sky"}, kept), "plan", never) == DATA
    assert got(under({2027: b"another"}, kept), "plan", lambda: b"new") == b"new"


def emptied(path: Path) -> None:
    path.write_bytes(b"")


def cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-1])


def longer(path: Path) -> None:
    path.write_bytes(path.read_bytes() + b"\n")


def flipped(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-2] + b"??")


def replaced(path: Path) -> None:
    path.write_bytes(b"%PDF-1.7 by hand")


def linked(path: Path) -> None:
    away = path.parents[2] / "away"
    path.rename(away)
    path.symlink_to(away)


def a_pipe(path: Path) -> None:
    path.unlink()
    os.mkfifo(path)


def endless(path: Path) -> None:
    os.truncate(path, 2**40)


@pytest.mark.parametrize("harm", [emptied, cut, longer, flipped, replaced, linked, a_pipe, endless])
def test_an_entry_that_is_not_whole_is_made_anew(tmp_path: Path, harm: Callable[[Path], None]) -> None:
    out = tmp_path / "out"
    begun(out)("card", lambda: DATA)
    harm(entry(out))
    assert got(begun(out), "card", lambda: b"new") == b"new"
    assert got(begun(out), "card", never) == b"new"


def test_a_folder_in_the_place_of_an_entry_stays_and_is_no_entry(tmp_path: Path) -> None:
    out = tmp_path / "out"
    begun(out)("card", lambda: DATA)
    path = entry(out)
    path.unlink()
    (path / "somebodys").mkdir(parents=True)
    kept = begun(out)
    assert got(kept, "card", lambda: b"new") == b"new"
    kept.prune()
    assert entry(out) == path and (path / "somebodys").is_dir()


def test_an_entry_under_anothers_name_is_not_taken_for_it(tmp_path: Path) -> None:
    out = tmp_path / "out"
    kept = begun(out)
    kept("card", lambda: DATA)
    first = entry(out)
    kept("sheet", lambda: b"sheet")
    second = next(path for path in (out / KEPT).iterdir() if path != first)
    second.write_bytes(first.read_bytes())
    assert got(begun(out), "sheet", lambda: b"new") == b"new"


def test_only_what_was_asked_for_stays(tmp_path: Path) -> None:
    out = tmp_path / "out"
    first = begun(out)
    for key in ("card", "sheet"):
        first(key, lambda: DATA)
    (out / KEPT / f".{'0' * 64}").write_bytes(b"half, of a killed build")
    (out / KEPT / "thesis.txt").write_bytes(b"somebody's")
    second = begun(out)
    second("card", never)
    second.prune()
    names = sorted(path.name for path in (out / KEPT).iterdir())
    assert len(names) == 2 and names[1] == "thesis.txt"
    assert got(begun(out), "card", never) == DATA


def test_a_write_that_fails_leaves_the_entry_and_the_site_that_were(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    write_site(out, {"index.html": b"good"})
    kept = begun(out)
    kept("card", lambda: DATA)
    before = entry(out).read_bytes()

    def fails(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", fails)
    with pytest.raises(OSError, match="No space"):
        kept("sheet", lambda: DATA)
    monkeypatch.undo()
    assert before in {path.read_bytes() for path in (out / KEPT).iterdir()}
    assert (out / "site" / "index.html").read_bytes() == b"good"
    assert got(begun(out), "card", never) == DATA


def test_nothing_is_read_or_written_outside_the_output(tmp_path: Path) -> None:
    out, outside = tmp_path / "out", tmp_path / "outside"
    begun(outside)("card", lambda: DATA)
    write_site(out, {"index.html": b"good"})
    (out / KEPT).symlink_to(outside / KEPT)
    kept = Kept(out, "1")
    assert got(kept, "card", lambda: b"new") == b"new"
    with pytest.raises(NotOurs, match="links"):
        begun(out)
    assert len(list((outside / KEPT).iterdir())) == 1


def test_a_folder_of_someone_elses_is_not_read_and_refused(tmp_path: Path) -> None:
    begun(tmp_path / "out")("card", lambda: DATA)
    theirs = tmp_path / "theirs"
    theirs.mkdir()
    (tmp_path / "out" / KEPT).rename(theirs / KEPT)
    kept = Kept(theirs, "1")
    assert got(kept, "card", lambda: b"new") == b"new"
    with pytest.raises(NotOurs, match="choose another"):
        begun(theirs)


def test_once_it_has_the_folder_what_it_gives_out_stays_on_the_disk(tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert begun(out)("card", lambda: DATA) != DATA
    assert Kept(out, "1")("card", never) == DATA, "another build may clear it away"
    held = begun(out)("card", never)
    assert isinstance(held, Held) and bytes_of(held) == DATA
    assert (
        (size_of(held), sum_of(held)) == (size_of(DATA), sum_of(DATA)) == (23, hashlib.sha256(DATA).digest())
    )


def gone(path: Path) -> None:
    path.unlink()


@pytest.mark.parametrize("harm", [emptied, flipped, replaced, linked, a_pipe, gone])
def test_what_changes_before_it_is_used_is_told_and_not_used(
    tmp_path: Path, harm: Callable[[Path], None]
) -> None:
    write_site(tmp_path / "out", {"index.html": b"good"})
    held = begun(tmp_path / "out")("card", lambda: DATA)
    path = entry(tmp_path / "out")
    harm(path)
    said = r"(changed while it was in use|No such file|Too many levels of symbolic links).*"
    with pytest.raises(OSError, match=said + path.name):
        write_site(tmp_path / "out", {"index.html": b"new", "z/card.pdf": held})
    assert (tmp_path / "out" / "site" / "index.html").read_bytes() == b"good"
    assert [one.name for one in (tmp_path / "out" / "versions").iterdir() if one.name == ".new"] == []


values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=4),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner, max_size=3),
    max_leaves=12,
)


@given(st.lists(values, max_size=4))
def test_a_key_is_the_json_of_what_is_not_summed(inputs: list[Any]) -> None:
    assert json_of(inputs) == json.dumps(inputs, sort_keys=True, separators=(",", ":"))


@dataclass(frozen=True)
class Around:
    one: Any


@pytest.mark.parametrize("around", [lambda one: [one], lambda one: ({"a": one, "b": one}, 1), Around])
def test_for_what_is_summed_its_sum_stands_in_a_key(around: Callable[[Any], Any]) -> None:
    one, same, other = (Summed({"long": "text"}, total) for total in ("first", "first", "second"))
    assert json_of(around(one)) == json_of(around(same)) != json_of(around(other))
    assert "text" not in json_of(around(one)) and "text" in json_of(around(dict(one)))


@pytest.mark.parametrize("copied", [copy.copy, copy.deepcopy, lambda one: pickle.loads(pickle.dumps(one))])
def test_a_copy_of_what_is_summed_may_be_changed(copied: Callable[[Any], Any]) -> None:
    again = copied(Summed({"long": ["text"]}, "sum"))
    assert again == {"long": ["text"]} and type(again) is dict
