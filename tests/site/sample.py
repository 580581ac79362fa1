"""The demo's shot as the site receives it, on two nights, and the next version of a site."""

from __future__ import annotations

import copy
import functools
from pathlib import Path
from typing import Any

import fieldsheet
from fieldsheet.catalog.read import read_catalog
from fieldsheet.press import plan_shot, sky_of
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.site.beside import COMBINED, Beside, card_of, sheet_of
from fieldsheet.site.build import build_site
from fieldsheet.site.entries import SiteShot
from fieldsheet.site.version import version_json
from tests.in_memory import in_memory
from tests.skies import fit_year

DEMO = Path(fieldsheet.__file__).parent / "demo"


@functools.cache
def sample_packs() -> dict[int, bytes]:
    """The year of the sample's nights, and the next."""
    return {year: fit_year(year) for year in (2027, 2028)}


@functools.cache
def _demo_brief() -> dict[str, Any]:
    return read_catalog(DEMO).brief("slipway")


@functools.cache
def _demo_plan(night: str) -> dict[str, Any]:
    brief = copy.deepcopy(_demo_brief())
    brief["night"]["date"] = night
    return plan_shot(brief, sky_of(sample_packs()), {})


def sample_shot(shot_id: str, title: str, night: str = "2027-06-05") -> SiteShot:
    """The demo's shot under another name, on another night."""
    plan = copy.deepcopy(_demo_plan(night))
    plan["shot"] = plan["brief"]["shot"] = {**plan["shot"], "id": shot_id, "title": title}
    return {"plan": plan, "sheet": make_sheet(plan)}


CARDS = {"slipway": b"%PDF-1.7 a card", "jetty": b"%PDF-1.7 another card"}
SHEETS = {"slipway": b"%PDF-1.7 a sheet"}
BESIDE = (
    *(Beside(card_of(shot_id), "Cards", shot_id, None, data) for shot_id, data in CARDS.items()),
    *(Beside(sheet_of(shot_id), "Sheet", shot_id, None, data) for shot_id, data in SHEETS.items()),
    Beside(COMBINED, "All cards", None, None, b"%PDF-1.7 all cards"),
)
CLASH = "Slipway and Jetty by moon need rig A at once"


@functools.cache
def sample_site(catalog_id: str = "saltings", title: str = "Saltings") -> dict[str, bytes]:
    """A site of two shots with paper and a clash, not to be altered; the later night is given first."""
    shots = [sample_shot("jetty", "Jetty by moon", "2027-06-06"), sample_shot("slipway", "Slipway")]
    clashes = {"2027-06-05": [CLASH]}
    return in_memory(build_site(title, catalog_id, shots, sample_packs(), BESIDE, clashes=clashes))


def changed(site: dict[str, bytes], path: str, old: bytes, new: bytes) -> dict[str, bytes]:
    """The site's next version: one file differs, and the list says so."""
    assert old in site[path]
    files = {**site, path: site[path].replace(old, new)}
    return {**files, "version.json": version_json(files)}
