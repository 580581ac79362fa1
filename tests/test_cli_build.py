"""`build` from files to files: the card leads to its page; a catalog wrong in one place writes nothing."""

from __future__ import annotations

import json
import shutil
import tomllib
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp

from fieldsheet import cli
from fieldsheet.products import Product

SHOT = "shots/slipway.toml"
CATALOG = "catalog.toml"
PLACE = "places/gull-point.toml"
Spoil = Callable[[Path], str]
"""Spoils a catalog; returns file and line, as the beginning of what must be told."""


@pytest.fixture
def catalog(one_shot: Path, tmp_path: Path) -> Path:
    """A copy of the demo's one shot, free to be spoilt."""
    return Path(shutil.copytree(one_shot, tmp_path / "catalog"))


def test_a_build_is_whole_and_the_code_of_its_card_opens_the_shot_at_the_revision_of_the_plan(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], one_shot: Path
) -> None:
    assert cli.main(["build", str(one_shot), "-o", str(tmp_path / "out")]) == 0
    site = tmp_path / "out" / "site"
    said = capsys.readouterr()
    assert said.out.endswith(f": {site}\n") and said.err == ""  # what comes next is told at a terminal alone
    assert (site / "index.html").is_file() and (site / "shots" / "slipway" / "index.html").is_file()
    assert [path.name for path in sorted((site / "sky").iterdir())] == ["2027.pack", "2028.pack"]
    assert cli.main(["plan", str(one_shot), "slipway", "--json"]) == 0
    revision = json.loads(capsys.readouterr().out)["revision"]
    base_url = tomllib.loads((one_shot / CATALOG).read_text("utf-8"))["base_url"]
    document = pypdfium2.PdfDocument(site / "cards" / "slipway.pdf")
    pictures = [page.render(scale=300 / 72).to_pil() for page in document]
    document.close()
    codes = [code.text for picture in pictures for code in zxingcpp.read_barcodes(picture)]
    assert codes == [f"{base_url}shots/slipway/#r={revision}"]


def instead(file: str, old: str, new: str | bytes) -> Spoil:
    """Writes `new` where the file holds `old`; the problem is at its line."""

    def spoil(catalog: Path) -> str:
        before, found, after = (catalog / file).read_bytes().partition(old.encode())
        assert found
        (catalog / file).write_bytes(before + (new if isinstance(new, bytes) else new.encode()) + after)
        line = before.count(b"\n") + 1
        return f"{file}:{line}: "

    return spoil


def emptied(catalog: Path) -> str:
    shutil.rmtree(catalog)
    catalog.mkdir()
    return f"{catalog.name}: found an empty folder"


def moved_to_a_night_without_it(catalog: Path) -> str:
    """The moon comes up on 23 June 2027 just before midnight, and again on 25 June just after it."""
    instead(SHOT, "night = 2027-06-05", "day = 2027-06-24")(catalog)
    return instead(SHOT, 'start = "sunset - 1h15m"', 'start = "moonrise"')(catalog)


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        pytest.param(emptied, "", id="an empty folder"),
        pytest.param(
            instead(SHOT, '"rail-and-head"', '"rale-and-head"'),
            "rig: found 'rale-and-head'",
            id="unknown rig",
        ),
        pytest.param(
            instead(SHOT, "interval_s", "intervall_s"), "intervall_s: found a key", id="near-miss key"
        ),
        pytest.param(
            instead(SHOT, "interval_s = 18", "interval_s = -3"),
            "interval_s: found -3",
            id="negative interval",
        ),
        pytest.param(
            instead(SHOT, "longest_shutter_s", "frames = 700\nlongest_shutter_s"),
            "frames: ",
            id="too many given",
        ),
        pytest.param(moved_to_a_night_without_it, "start: found moonrise", id="an event that does not come"),
        pytest.param(
            instead(SHOT, "night = 2027-06-05", "night = 2060-06-05"),
            "night: found 2060-06-05",
            id="outside the ephemeris",
        ),
        pytest.param(
            instead(PLACE, "Europe/Lisbon", "Europe/Lisboa"), "zone: found 'Europe/Lisboa'", id="bad zone"
        ),
        pytest.param(instead(PLACE, "Gull Point", b"Gull P\xe9int"), "found a byte", id="not UTF-8"),
        pytest.param(
            instead(CATALOG, "title = ", "title = " + "[" * 500), "found brackets", id="500 nested brackets"
        ),
        pytest.param(
            instead(SHOT, '"rail-and-head"', '"../rigs/rail-and-head"'),
            "rig: found '../rigs/rail-and-head'",
            id="../ in a rig",
        ),
    ],
)
def test_a_spoilt_catalog_is_1_with_its_place_and_no_output(
    catalog: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], spoil: Spoil, said: str
) -> None:
    told = spoil(catalog) + said
    status = cli.main(["build", str(catalog), "-o", str(tmp_path / "out")])
    shown = capsys.readouterr()
    assert (status, shown.out) == (1, "")
    assert any(line.startswith(told) for line in shown.err.splitlines()), shown.err
    assert "Traceback" not in shown.err
    assert [path.name for path in tmp_path.iterdir()] == ["catalog"]


class Page(HTMLParser):
    """Counts the scripts of a page and keeps the text of its title."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.scripts, self.title, self._in_title = 0, "", False
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.scripts += tag == "script"
        self._in_title = tag == "title"

    def handle_endtag(self, tag: str) -> None:
        self._in_title = False

    def handle_data(self, data: str) -> None:
        self.title += data if self._in_title else ""


def test_markup_in_a_title_stays_text_and_adds_no_script(catalog: Path, tmp_path: Path) -> None:
    title = "Slipway</script><script>alert(1)</script></title>"

    def built() -> Page:
        assert cli.main(["build", str(catalog), "-o", str(tmp_path / "out"), "--no-cards"]) == 0
        page = tmp_path / "out" / "site" / "shots" / "slipway" / "index.html"
        return Page(page.read_text("utf-8"))

    clean = built()
    instead(SHOT, "Slipway: dusk to the core", title)(catalog)
    spoilt = built()
    assert clean.title == "Slipway: dusk to the core" and clean.scripts > 0
    assert (spoilt.title, spoilt.scripts) == (title, clean.scripts)


def test_a_second_build_draws_what_was_edited_alone_and_gives_the_same_bytes(
    catalog: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for number, night in enumerate(("2027-06-05", "2027-06-06")):
        text = (catalog / SHOT).read_text("utf-8").replace("night = 2027-06-05", f"night = {night}")
        (catalog / "shots" / f"again-{number}.toml").write_text(text, "utf-8")
    (catalog / SHOT).unlink()
    drawn: list[str] = []

    def noted(product: Product) -> bytes:
        drawn.append(product.shot or "")
        return product.path.encode()

    monkeypatch.setattr(Product, "make", noted)

    def built() -> dict[str, bytes]:
        drawn.clear()
        # Other processes know nothing of what stands for drawing here.
        assert cli.main(["build", str(catalog), "-o", str(tmp_path / "out"), "--processes", "1"]) == 0
        site = tmp_path / "out" / "site"
        files = (path for path in site.rglob("*") if path.is_file())
        return {path.relative_to(site).as_posix(): path.read_bytes() for path in files}

    built()
    assert {"again-0", "again-1"} <= set(drawn)
    instead("shots/again-1.toml", "Slipway: dusk", "Edited: dusk")(catalog)
    edited = built()
    assert set(drawn) - {""} == {"again-1"}
    for entry in (tmp_path / "out" / "kept").iterdir():
        entry.write_bytes(entry.read_bytes()[:-1])
    assert built() == edited, "what was kept gives the bytes that are made from nothing"
    assert {"again-0", "again-1"} <= set(drawn), "what is damaged is made anew"
