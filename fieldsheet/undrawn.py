"""Which characters of a catalog the typeface lacks: another one of the machine's, or a box, stands in."""

from __future__ import annotations

import json
from collections.abc import Iterator

from fieldsheet.cards.metrics import lacking
from fieldsheet.catalog.files import CATALOG_FILE
from fieldsheet.catalog.read import NAMED, Catalog
from fieldsheet.press import Planned
from fieldsheet.site.fonts import missing_glyphs


def undrawn(catalog: Catalog, planned: Planned) -> Iterator[str]:
    """A line for each shot and file that a lacking character comes from, and for the catalog's title."""
    if signs := missing_glyphs(catalog.title):
        yield f"{CATALOG_FILE}: mind: {_said(signs)}"
    for shot_id, sheet in planned.sheets.items():
        by_file: dict[str, list[str]] = {}
        for sign in missing_glyphs(json.dumps(sheet, ensure_ascii=False)):
            by_file.setdefault(_file_of(catalog, shot_id, sign), []).append(sign)
        for file, signs in by_file.items():
            yield f"{file}: {shot_id}: mind: {_said(signs)}"


def _said(signs: list[str]) -> str:
    on_paper = lacking("".join(signs))
    more = f"; on paper a box may stand for {' '.join(on_paper)}" if on_paper else ""
    return f"the typeface of the sheets has no {' '.join(signs)}{more}"


def _file_of(catalog: Catalog, shot_id: str, sign: str) -> str:
    """The first of a shot's files that holds the sign; what none of them does stands in the catalog's own."""
    for kind, model in zip(("", *(f"{kind}." for kind in NAMED)), catalog.files(shot_id), strict=True):
        if sign in json.dumps(model.model_dump(mode="json"), ensure_ascii=False):
            return catalog.locate(shot_id, f"{kind}title")[0]
    return CATALOG_FILE
