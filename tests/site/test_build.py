"""The site as bytes: complete, linked without gaps, the same twice, and safe with any text."""

from __future__ import annotations

import base64
import copy
import hashlib
import io
import json
import posixpath
import re
import zlib
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urljoin, urlsplit

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from fieldsheet.site.build import build_site
from fieldsheet.site.compose import carried_plan
from fieldsheet.site.content import bytes_of
from fieldsheet.site.fonts import SIGNS, WEIGHTS, missing_glyphs, screen_font
from fieldsheet.site.icons import icons
from fieldsheet.site.pages import POLICY, packed_json
from fieldsheet.site.version import integrity, version_list
from tests.site.sample import changed, sample_packs, sample_shot, sample_site

SHELL_MOST_BYTES = 491_000  # as it arrives; tests/web/test_packed.py says what the phone keeps of it
SHOT_MOST_BYTES = 30_000


class Page(HTMLParser):
    """Elements of a page, with the text of scripts and title."""

    def __init__(self, data: bytes) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: dict[str, str] = {}
        self._open = ""
        self.feed(data.decode())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        self._open = dict(attrs).get("id") or tag

    def handle_endtag(self, tag: str) -> None:
        self._open = ""

    def handle_data(self, data: str) -> None:
        self.texts[self._open] = self.texts.get(self._open, "") + data


@pytest.fixture(scope="module")
def site() -> dict[str, bytes]:
    return sample_site()


def pages(site: dict[str, bytes]) -> dict[str, Page]:
    return {path: Page(data) for path, data in site.items() if path.endswith(".html")}


def test_the_list_holds_every_file_but_paper_desk_pages_and_headers(site: dict[str, bytes]) -> None:
    listed = json.loads(site["version.json"])["files"]
    paper = {"cards/slipway.pdf", "cards/jetty.pdf", "files/all-cards.pdf", "sheets/slipway.pdf"}
    paper |= {"files/index.html", "files/files.css"}
    desk = {"years/jetty/index.html", "years/slipway/index.html", "years/year.css"}
    assert set(site) - set(listed) == {*paper, *desk, "version.json", "_headers"}
    for path, entry in listed.items():
        digest = base64.b64encode(hashlib.sha256(site[path]).digest()).decode()
        assert entry == {"hash": f"sha256-{digest}", "size": len(site[path])}


def test_the_papers_of_shots_are_listed_beside_the_version_with_the_end_of_their_shot(
    site: dict[str, bytes],
) -> None:
    cards = json.loads(site["version.json"])["cards"]
    assert set(cards) == {"cards/slipway.pdf", "cards/jetty.pdf", "sheets/slipway.pdf"}
    assert cards["cards/slipway.pdf"]["hash"] == integrity(site["cards/slipway.pdf"])
    ends = {path: entry["until"] for path, entry in cards.items()}
    end_ms = sample_shot("slipway", "Slipway")["plan"]["window"]["end"]["utc_ms"]
    assert ends["cards/slipway.pdf"] == ends["sheets/slipway.pdf"] == end_ms // 1000 < ends["cards/jetty.pdf"]


@given(st.dictionaries(st.from_regex(r"[a-z]{1,4}", fullmatch=True), st.binary(max_size=4), min_size=1))
def test_the_version_changes_with_any_carried_byte_and_with_nothing_else(files: dict[str, bytes]) -> None:
    version = version_list(files)["version"]
    assert (
        version_list(
            {**files, "cards/a.pdf": b"x", "sheets/a.pdf": b"z", "files/a.ics": b"w", "_headers": b"y"}
        )["version"]
        == version
    )
    for path in files:
        assert version_list({**files, path: files[path] + b"."})["version"] != version
        assert version_list({**files, path + "-": b""})["version"] != version


def test_every_address_on_a_page_is_relative_and_leads_to_a_file(site: dict[str, bytes]) -> None:
    checked = 0
    for path, page in pages(site).items():
        for tag, attributes in page.elements:
            for key in ("href", "src", "action", "data", "poster"):
                address = attributes.get(key)
                if address is None or address.startswith(("#", "geo:")):
                    continue
                split = urlsplit(address)
                assert not (split.scheme or split.netloc or address.startswith("/")), (path, tag, address)
                target = posixpath.normpath(posixpath.join(posixpath.dirname(path), split.path))
                target = f"{target}/index.html".removeprefix("./") if split.path.endswith("/") else target
                assert target in site, (path, tag, address)
                checked += 1
    assert checked > 20


def test_every_import_font_and_icon_leads_to_a_file(site: dict[str, bytes]) -> None:
    for path in (path for path in site if path.startswith("app/")):
        if path.endswith(".js"):
            found = re.findall(r'(?:from|import\(|import)"(\./.+?)"', site[path].decode())
        elif path.endswith(".css"):
            found = re.findall(r'url\("(.+?)"\)', site[path].decode())
        else:
            continue
        for address in found:
            assert posixpath.normpath(posixpath.join(posixpath.dirname(path), address)) in site, (
                path,
                address,
            )
    for icon in json.loads(site["site.webmanifest"])["icons"]:
        assert icon["src"] in site


def test_pages_carry_the_policy_and_nothing_inline(site: dict[str, bytes]) -> None:
    for path, page in pages(site).items():
        policies = [
            attributes["content"]
            for tag, attributes in page.elements
            if tag == "meta" and attributes.get("http-equiv") == "Content-Security-Policy"
        ]
        assert policies == [POLICY], path
        for tag, attributes in page.elements:
            assert tag != "style" and "style" not in attributes, path
            assert not [key for key in attributes if key.startswith("on")], path
            if tag == "script" and "src" not in attributes:
                assert attributes["type"] == "text/plain", path
    headers = site["_headers"].decode()
    assert f"{POLICY}; frame-ancestors 'none'" in headers
    assert "Permissions-Policy: geolocation=(self), camera=(), microphone=()" in headers


def test_the_page_holds_its_plan_whatever_the_text() -> None:
    title = "</script><!-- <script> & \u2028 'quoted' \"twice\" {{ 7 * 7 }} é"
    shot = sample_shot("slipway", title)
    site = build_site("Saltings", "saltings", [shot], sample_packs())
    page = Page(bytes_of(site["shots/slipway/index.html"]))
    assert _unpacked(page.texts["plan"]) == carried_plan(shot["plan"])
    assert page.texts["title"] == title


def _unpacked(text: str) -> Any:
    return json.loads(zlib.decompress(base64.b64decode(text)))


def test_the_page_carries_the_plan_but_for_what_it_can_do_without() -> None:
    plan = sample_shot("slipway", "Slipway")["plan"]
    carried = carried_plan(plan)
    assert set(plan) - set(carried) == {"checklist", "better", "moments", "storage"}
    assert set(plan["power"]) - set(carried["power"]) == {"supplies"}
    assert set(plan["brief"]) - set(carried["brief"]) == {"words"}
    assert set(plan["brief"]["place"]) - set(carried["brief"]["place"]) == {"tides"}
    assert carried["window"]["start"] == {"utc_ms": plan["window"]["start"]["utc_ms"]}
    assert '"local"' not in json.dumps(carried)
    assert carried["keyframes"][0]["axes"] == pytest.approx(plan["keyframes"][0]["axes"], abs=1e-6)
    assert carried["brief"]["keyframes"] == plan["brief"]["keyframes"]


def test_numbers_are_cut_short_only_where_no_text_changes_by_it() -> None:
    plan = copy.deepcopy(sample_shot("slipway", "Slipway")["plan"])
    plan["keyframes"][0]["altitude_deg"] = 12.345678901
    assert carried_plan(plan)["keyframes"][0]["altitude_deg"] == 12.345679
    plan["keyframes"][0]["altitude_deg"] = 12.0499997  # said as 12.0 degrees; cut, as 12.1
    assert carried_plan(plan)["keyframes"][0]["altitude_deg"] == 12.0499997


def test_the_tides_of_a_place_stand_in_a_file_of_its_own(site: dict[str, bytes]) -> None:
    place = sample_shot("slipway", "Slipway")["plan"]["brief"]["place"]
    assert json.loads(site[f"tides/{place['id']}.json"]) == place["tides"] != []


json_values = st.recursive(
    st.text() | st.integers() | st.none(), lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner)
)


@given(json_values)
def test_packed_json_reads_back_equal_and_cannot_end_its_element(value: Any) -> None:
    packed = packed_json(value)
    assert re.fullmatch("[A-Za-z0-9+/]+={0,2}", packed)
    assert _unpacked(packed) == value


def test_a_number_that_json_does_not_know_is_refused() -> None:
    with pytest.raises(ValueError, match="JSON"):
        packed_json({"tilt": float("nan")})


def test_shots_stand_in_order_of_their_nights(site: dict[str, bytes]) -> None:
    links = [a["href"] for tag, a in Page(site["index.html"]).elements if tag == "a"]
    nights = ["nights/2027-06-05/", "shots/slipway/", "nights/2027-06-06/", "shots/jetty/"]
    assert links == ["kit/", "open/", "files/", *nights, "guide/"]


def test_the_page_of_files_links_each_once_with_its_format_and_size(site: dict[str, bytes]) -> None:
    elements = Page(site["files/index.html"]).elements
    links = [(a["href"] or "").removeprefix("../") for tag, a in elements if tag == "a"]
    files = ["files/all-cards.pdf", "cards/slipway.pdf", "sheets/slipway.pdf", "cards/jetty.pdf"]
    assert [link for link in links if link.endswith(".pdf")] == files
    assert links.count("geo:37.08,-8.67") == 2
    assert b"PDF, 1 KB" in site["files/index.html"]


def test_a_site_with_nothing_beside_it_has_no_page_of_files() -> None:
    bare = build_site("Saltings", "saltings", [sample_shot("slipway", "Slipway")], sample_packs())
    assert not [path for path in bare if path.startswith("files/")]
    assert b'href="files/' not in bytes_of(bare["index.html"])


def test_two_catalogs_differ_in_the_address_that_names_the_installed_app() -> None:
    # W3C Web Application Manifest: without "id" an app is known by its absolute start address.
    manifests = [json.loads(sample_site(name)["site.webmanifest"]) for name in ("saltings", "moor")]
    assert all("id" not in manifest for manifest in manifests)
    here = "https://example.org/sheets/site.webmanifest"
    starts = [urljoin(here, manifest["start_url"]) for manifest in manifests]
    assert starts == [f"https://example.org/sheets/?catalog={name}" for name in ("saltings", "moor")]


def test_a_change_of_one_page_changes_one_entry_and_the_version(site: dict[str, bytes]) -> None:
    after = changed(site, "index.html", b"Saltings", b"Saltings II")
    old, new = (json.loads(version["version.json"]) for version in (site, after))
    assert old["version"] != new["version"]
    assert [path for path in old["files"] if old["files"][path] != new["files"][path]] == ["index.html"]


def test_the_site_stays_within_its_budget_of_bytes(site: dict[str, bytes]) -> None:
    """The demo's fullest shot: rail, pan and tilt, three keyframes, a swap, every section of the list."""
    carried = json.loads(site["version.json"])["files"]
    shots = [entry["size"] for path, entry in carried.items() if path.startswith("shots/")]
    aside = ("shots/", "nights/", "sky/", "tides/", "guide/")
    shell = sum(entry["size"] for path, entry in carried.items() if not path.startswith(aside))
    items = site["shots/slipway/index.html"].count(b"<li id=i")
    print(f"shell {shell} bytes, largest shot {max(shots)} bytes with {items} items")
    assert shell <= SHELL_MOST_BYTES
    assert max(shots) <= SHOT_MOST_BYTES and items > 65


def test_no_script_looks_behind_in_a_pattern(site: dict[str, bytes]) -> None:
    """Safari before 16.4 refuses the whole script for it (from memory); no build step rewrites it."""
    scripts = [path for path in site if path.endswith(".js")]
    assert len(scripts) > 20
    assert not [path for path in scripts if b"(?<=" in site[path] or b"(?<!" in site[path]]


def test_fonts_have_tabular_figures_and_every_sign_we_write() -> None:
    for data in map(screen_font, WEIGHTS):
        font = TTFont(io.BytesIO(data))
        features = {record.FeatureTag for record in font["GSUB"].table.FeatureList.FeatureRecord}
        assert "tnum" in features and "liga" not in features
        assert "Open Font License" in font["name"].getDebugName(13)
        assert set(map(ord, SIGNS + "ÀéßŁșž0123456789")) <= set(font.getBestCmap())


@pytest.mark.parametrize(
    ("text", "missing"),
    [
        ("Slipway: dusk to the core, −81.2° → K2 · 18 s × 750\n", []),
        ("Skálanes, Łeba, Ștefan, Müritz", []),
        ("Поле 野 a野", ["П", "е", "л", "о", "野"]),
        ("tick \u2713", ["\u2713"]),
    ],
)
def test_signs_that_the_screen_fonts_cannot_draw_are_named(text: str, missing: list[str]) -> None:
    assert missing_glyphs(text) == missing


def test_icons_have_the_sizes_they_claim_and_keep_inside_the_mask(site: dict[str, bytes]) -> None:
    for icon in json.loads(site["site.webmanifest"])["icons"]:
        image = Image.open(io.BytesIO(site[icon["src"]]))
        assert icon["sizes"] == f"{image.width}x{image.height}"
    masked = Image.open(io.BytesIO(icons()["icon-maskable-512.png"])).convert("L")
    # W3C Web Application Manifest, "Icon masks and safe zone": a circle of 40 % of the width stays visible.
    dark = [(x, y) for x in range(512) for y in range(512) if masked.getpixel((x, y)) != 255]
    assert max((x - 255.5) ** 2 + (y - 255.5) ** 2 for x, y in dark) < (0.4 * 512) ** 2
