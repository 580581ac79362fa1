"""Every text that a person can write, hostile: on each output it is the text that it is, nothing else."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urlsplit
from xml.etree import ElementTree

import icalendar
import pypdfium2
import pytest
from playwright.sync_api import Browser

from fieldsheet.cards.render import pdf_of
from fieldsheet.catalog.document import MODELS
from fieldsheet.catalog.read import Catalog, read_catalog
from fieldsheet.making import made
from fieldsheet.press import Planned, plan_catalog, press
from fieldsheet.products import Job, products_of
from fieldsheet.site.kept import unkept
from fieldsheet.tabled.rows import read_rows
from fieldsheet.tabled.written import table_csv
from fieldsheet.undrawn import undrawn
from tests.cards.pdf import MM, chars
from tests.commands import Run
from tests.hostile.marked import ATTACK, STRANGE, Marked, texts_of
from tests.in_memory import in_memory
from tests.long import tries
from tests.validated import faults
from tests.web.conftest import new_phone
from tests.web.host import Host

HERE = "/fs/saltings/"
UNDONE = """() => [...document.querySelectorAll("*")].filter((place) => place.src === "x"
  || [...place.attributes].some(({name}) => name.startsWith("on"))).map((place) => place.outerHTML)"""
MARK = re.compile(r"=q[0-9]+q")


@pytest.fixture(scope="module")
def folder(one_shot: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(shutil.copytree(one_shot, tmp_path_factory.mktemp("marked") / "catalog"))


@pytest.fixture(scope="module")
def marked(folder: Path) -> Marked:
    marked = Marked()
    marked.catalog(folder)
    return marked


@pytest.fixture(scope="module")
def catalog(marked: Marked, folder: Path) -> Catalog:
    return read_catalog(folder)


@pytest.fixture(scope="module")
def planned(catalog: Catalog) -> Planned:
    return plan_catalog(catalog)


@pytest.fixture(scope="module")
def outputs(catalog: Catalog, planned: Planned) -> dict[str, bytes]:
    """Path -> bytes of all of the site and beside it; of paper the HTML that it is drawn from."""
    typed = dict.fromkeys(type(catalog.head.print).model_fields)
    products = products_of(Job(catalog, planned, False, typed))
    paper = {one.path + ".html": str(one.laid_out()).encode() for one in products if one.is_paper}
    others = made([one for one in products if not one.is_paper], catalog, unkept)
    return {**in_memory(press(catalog, planned, others)), **paper}


def site_of(outputs: dict[str, bytes]) -> dict[str, bytes]:
    """Without the paper."""
    return {path: data for path, data in outputs.items() if ".pdf" not in path}


class Read(HTMLParser):
    """The texts of a page (its attributes' too), what it would run or fetch, and its links within itself."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.runs: list[str] = []
        self.ids: set[str] = set()
        self.leads_to: set[str] = set()
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.texts += [value for _, value in attrs if value]
        self.runs += [f"{tag} {name}" for name, _ in attrs if name.startswith("on")]
        self.runs += [f"{tag} {value}" for name, value in attrs if name == "src" and value == "x"]
        self.ids |= {value for name, value in attrs if name == "id" and value}
        # What has a sign of equality is for the page's script.
        hrefs = [value or "" for name, value in attrs if name == "href"]
        self.leads_to |= {href[1:] for href in hrefs if re.fullmatch("#[^=]+", href)}

    def handle_data(self, data: str) -> None:
        self.texts.append(data)


def test_every_free_text_of_the_models_is_in_the_sweep(marked: Marked) -> None:
    """A new one is too, unless it stands in a table that the demo's first shot lacks: it goes there then."""
    every = {f"{kind}:{'.'.join(path)}" for kind in MODELS for path in texts_of(kind)}
    assert set(marked.told.values()) == every


def test_each_stands_on_pages_and_paper_as_it_was_written(outputs: dict[str, bytes], marked: Marked) -> None:
    shown: set[str] = set()
    for path, data in outputs.items():
        if not path.endswith(".html"):
            continue
        page = Read(data.decode())
        text = "\n".join(page.texts)
        assert page.runs == [], path
        assert "<img src=x" not in data.decode(), path
        if ".pdf" not in path:  # paper breaks lines
            spots = [found.start() for found in MARK.finditer(text)]
            assert all(ATTACK in text[at : at + 20 + len(ATTACK)] for at in spots), path
        shown |= {name for written, name in marked.told.items() if written in text}
    # A measured landmark is shown beside a keyframe that has no sighting of its own.
    assert set(marked.told.values()) - shown == {"place:landmark.*.name"}


def test_a_card_keeps_them_on_its_sides_and_signs_that_it_cannot_draw_are_told(
    outputs: dict[str, bytes], catalog: Catalog, planned: Planned, said: list[str]
) -> None:
    card = pypdfium2.PdfDocument(pdf_of(outputs["cards/slipway.pdf.html"].decode()))
    for number, side in enumerate(card):
        wide, high = (length * MM for length in side.get_size())
        drawn = chars(card, number)
        assert len(drawn) > 200  # an empty side would keep them, too; the emptiest has some 300
        assert [one for one in drawn if not (0 <= one.left <= one.right <= wide)] == []
        assert [one for one in drawn if not (0 <= one.top <= one.bottom <= high)] == []
    assert said and all(line.startswith(".notdef glyph") for line in said)
    said.clear()
    told = "".join(undrawn(catalog, planned))
    assert {sign for sign in "".join(STRANGE) if sign.isprintable() and not sign.isascii()} <= set(told)


def test_tables_calendars_and_maps_hold_them_as_texts(
    outputs: dict[str, bytes], catalog: Catalog, marked: Marked
) -> None:
    (shot,) = read_rows("table.csv", table_csv(catalog).encode()).rows
    assert shot.leaves["title",] in marked.told
    plan = json.loads(outputs["files/slipway.json"])
    assert plan["shot"]["title"] in marked.told
    rows = csv.reader(io.StringIO(outputs["files/slipway.csv"].decode()))
    assert not [cell for row in rows for cell in row if MARK.match(cell)]
    names = [one.text for one in ElementTree.fromstring(outputs["files/slipway.gpx"]).iter() if one.text]
    assert any(name in marked.told for name in names)
    entries = icalendar.Calendar.from_ical(outputs["files/slipway.ics"]).walk()
    titles = [str(entry["summary"]) for entry in entries if MARK.search(str(entry.get("summary")))]
    assert titles and all(any(text in title for text in marked.told) for title in titles)


@pytest.mark.parametrize("words", [("plan",), ("check",), ("frames",), ("nights",)][: tries(1)])
def test_no_command_lets_a_control_through(
    run: Run, folder: Path, marked: Marked, words: tuple[str, ...]
) -> None:
    span = ["--to", "2027-08-21"] if words == ("nights",) else []
    shot = [] if words == ("check",) else ["slipway"]
    _, out, err = run(*words, folder, *shot, *span)
    assert all(line.isprintable() for line in (out + err).splitlines())


@pytest.mark.parametrize(
    "sign",
    ["\x1b[2J", "\x00", "\x07", "\x7f", "\x85", "\x9b", "\u200e", "\u202a", "\u202e", "\u2066", "\u2069"],
)
def test_what_would_move_a_cursor_or_turn_the_writing_is_refused_at_its_line(
    run: Run, catalog: Catalog, folder: Path, tmp_path: Path, sign: str
) -> None:
    """As an escape of TOML in every text of a shot at once, and as itself in one."""
    spoilt = Path(shutil.copytree(folder, tmp_path / "spoilt")) / "shots" / "slipway.toml"
    text, count = MARK.subn("a" + "".join(f"\\\\u{ord(one):04x}" for one in sign), spoilt.read_text("utf-8"))
    spoilt.write_text(text, "utf-8")
    status, out, err = run("check", spoilt.parents[1])
    assert status == 1
    assert (out + err).count(f"(U+{ord(sign[0]):04X}) in the text") == count
    assert all(one.isprintable() or one == "\n" for one in out + err)
    spoilt.write_text(text + f'permit = "{sign}"\n', "utf-8")
    line = text.count("\n") + 1
    _, out, err = run("check", spoilt.parents[1])
    assert f"shots/slipway.toml:{line}: " in out + err


def test_nothing_runs_and_nothing_is_asked_off_the_origin_on_any_page(
    chromium: Browser, outputs: dict[str, bytes]
) -> None:
    """By the browser's own record of its network, opened files among the pages."""
    host = Host()
    host.sites[HERE] = site_of(outputs)
    context = new_phone(chromium)
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Network.enable")
    asked: list[str] = []
    said: list[str] = []
    session.on("Network.requestWillBeSent", lambda event: asked.append(event["request"]["url"]))
    session.on("Network.webSocketCreated", lambda event: asked.append(event["url"]))
    page.on("dialog", lambda dialog: said.append(dialog.message))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    try:
        pages = [path for path in host.sites[HERE] if path.endswith(".html")]
        for path in pages:
            page.goto(host.url(HERE + path))
            assert page.evaluate(UNDONE) == [], path
        assert said == []
        off = [url for url in asked if urlsplit(url).scheme not in ("data", "blob")]
        assert {urlsplit(url).netloc for url in off} == {f"127.0.0.1:{host.port}"}
        assert len(asked) > len(pages)
    finally:
        context.close()
        host.kill()


def test_the_markup_of_every_page_is_valid(outputs: dict[str, bytes], tmp_path: Path) -> None:
    """Of the file of all shots what is seen with scripts: without, they stand one under the other."""
    pages = {path: data for path, data in site_of(outputs).items() if path.endswith(".html")}
    several = "files/everything.html"
    pages[several] = re.sub(rb"(?s)<noscript.*?</noscript>", b"", pages[several])
    assert faults(pages, tmp_path) == []


def test_every_link_within_a_page_leads_to_a_part_of_it(outputs: dict[str, bytes]) -> None:
    """A validator does not look at them."""
    links = 0
    for path, data in site_of(outputs).items():
        if path.endswith(".html"):
            page = Read(data.decode())
            assert page.leads_to <= page.ids, path
            links += len(page.leads_to)
    assert links > 20
