"""Which pages a site has and what each of them is given: index, nights, kit, shots."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, cast

from ..exchange.geo import geo_uri
from ..sheet.across.between import between_of
from ..sheet.across.kit import kit_of
from ..sheet.across.night import night_view
from ..sheet.across.shots import NightOf, Shot, nights_of
from ..sheet.across.totals import totals_of
from ..sheet.nights import UNJUDGED
from ..sheet.sheet import changing
from ..sky.sky import Sky
from .beside import FILES, Beside
from .content import Content
from .entries import Entry
from .guide import guide_files
from .kept import Keep, json_of
from .listed import listed
from .pages import environment, json_text, packed_json, render
from .years import year_rows, year_view

ZERO_ITEMS = ("item.zero", "item.zero-pan")
LEFT_OUT = ("checklist", "better", "moments", "brief", "storage")
CARRIED_DECIMALS = 6  # a frame of ten minutes to the millisecond, an angle to a hundredth of a second


@dataclass(frozen=True)
class SiteCatalog:
    """What every page says of the catalog: its title, its id, and what stands beside the pages."""

    title: str
    id: str
    beside: tuple[Beside, ...]
    charging: Mapping[str, Any] | None


def pages_of(
    folder: Path,
    catalog: SiteCatalog,
    entries: Sequence[Entry],
    pack_years: Sequence[int],
    clashes: Mapping[str, Sequence[str]],
    sky: Sky,
    keep: Keep,
) -> dict[str, Content]:
    """Path -> page. `clashes`: date of a night -> what collides in it, in words; `sky` reaches all nights.

    keep: has what was made under that sky before.
    """
    jinja = environment(folder)
    nights = nights_of(entries)
    kit = kit_of(entries)
    named = SiteCatalog(catalog.title, catalog.id, (), None)

    def page(template: str, path: str, values: Mapping[str, Any]) -> bytes:
        return render(jinja, f"pages/{template}.html.j2", path, {"catalog": catalog, **values})

    def kept(
        template: str, path: str, inputs: Sequence[Any], values: Callable[[], Mapping[str, Any]]
    ) -> Content:
        """A page that follows from these inputs alone: of the catalog it is given no more than the name."""
        key = json_of(["page", template, path, named, *inputs])
        return keep(key, lambda: page(template, path, {"catalog": named, **values()}))

    kit_values = {
        "rows": kit,
        "nights": _numbered(nights),
        "totals": totals_of(nights),
        "between": between_of(entries, catalog.charging),
    }
    pages: dict[str, Content] = {
        "index.html": page("index", "index.html", {"nights": nights, "clashes": clashes}),
        "kit/index.html": page("kit", "kit/index.html", kit_values),
        "open/index.html": page("open", "open/index.html", {"pack_years": pack_years}),
    }
    pages |= guide_files(folder, page, catalog.id, keep)
    if catalog.beside:
        path = f"{FILES}index.html"
        pages[path] = page("files", path, {"listed": listed(nights, catalog.beside)})
    for night in nights:
        path = f"nights/{night.date}/index.html"
        inputs = (night, clashes.get(night.date, ()))
        pages[path] = kept("night", path, inputs, partial(_night_values, night, clashes, sky))
    for entry in entries:
        path = f"shots/{entry.id}/index.html"
        pages[path] = kept("shot", path, (entry, pack_years), partial(shot_values, entry, pack_years))
    for entry, rows in year_rows(entries, sky, keep):
        path = f"years/{entry.id}/index.html"
        pages[path] = kept("year", path, (entry, rows), partial(_year_values, entry, rows))
    return pages


def _night_values(night: NightOf, clashes: Mapping[str, Sequence[str]], sky: Sky) -> dict[str, Any]:
    return {"view": night_view(night, clashes, sky)}


def _year_values(entry: Entry, rows: str) -> dict[str, Any]:
    return {"entry": entry, "view": year_view(entry.plan["brief"], json.loads(rows)), "unjudged": UNJUDGED}


def _numbered(nights: Sequence[NightOf]) -> list[tuple[NightOf, list[tuple[int, Shot]]]]:
    """Each night with its shots by their position in the catalog's order of shots."""
    numbers = iter(range(sum(len(night.entries) for night in nights)))
    return [(night, [(next(numbers), entry) for entry in night.entries]) for night in nights]


def shot_values(entry: Shot, pack_years: Sequence[int]) -> dict[str, Any]:
    """What the template of a shot's page is given, but for what the page knows of its site."""
    sheet = entry.sheet
    stored = _stored_items(sheet)
    return {
        "entry": entry,
        "geo": geo_uri(entry.plan["place"]["latitude_deg"], entry.plan["place"]["longitude_deg"]),
        "sheet": sheet,
        "plan": entry.plan,
        "packed_plan": packed_json(carried_plan(entry.plan)),
        "pack_years": pack_years,
        "stored": stored,
        "sections": [_section(section, sheet, stored) for section in sheet["checklist"]],
        "file_item": _file_item(sheet),
        "zero_item": _zero_item(entry.plan),
    }


def carried_plan(plan: Mapping[str, Any]) -> dict[str, Any]:
    """The plan as the page carries it, which the phone completes (app/shown/carried.js).

    What does not change with the night stands in the markup alone; the place's tides, which only another
    night asks for, in a file of their own; an instant's local time follows from its UTC and the place's zone,
    the moments of the strip, watt-hours and storage from the rest, bands of
    exposure from their clicks.  Computed numbers are cut to CARRIED_DECIMALS where that leaves
    every text as it is; the brief stays exact, because other nights are computed from it.
    """
    brief = {key: value for key, value in plan["brief"].items() if key != "words"}
    brief["place"] = {key: value for key, value in brief["place"].items() if key != "tides"}
    rest = {key: value for key, value in plan.items() if key not in LEFT_OUT}
    rest["power"] = {key: value for key, value in plan["power"].items() if key != "supplies"}
    cut = _cut(rest)
    # Every frame is computed from these: a hundred thousand positions by what one of them loses.
    for row, exact in zip(cut["keyframes"], rest["keyframes"], strict=True):
        row["frame"] = exact["frame"]
    whole = {**plan, **cut, "power": {**plan["power"], **cut["power"]}, "moments": _cut(plan["moments"])}
    reads_alike = changing(whole) == _cut(changing(dict(plan)))
    kept = {**(cut if reads_alike else rest), "brief": brief}
    if kept["exposure"] is not None:
        kept["exposure"] = {**kept["exposure"], "bands": [_band(band) for band in kept["exposure"]["bands"]]}
    return cast(dict[str, Any], _without_local(kept))


def _band(band: Mapping[str, Any]) -> list[int | None]:
    """What of a band of exposure does not follow from the brief's ladder."""
    return [band["first_frame"], band["every_frames"], band["clicks"]]


def _cut(value: Any) -> Any:
    """The same with every number that is not whole cut short."""
    if isinstance(value, float):
        return round(value, CARRIED_DECIMALS)
    if isinstance(value, dict):
        return {key: _cut(part) for key, part in value.items()}
    return [_cut(part) for part in value] if isinstance(value, list) else value


def _without_local(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _without_local(part) for key, part in value.items() if key != "local"}
    return [_without_local(part) for part in value] if isinstance(value, list) else value


def tide_files(entries: Sequence[Shot]) -> dict[str, bytes]:
    """tides/<place>.json: the table of each place that a shot is made at, as its brief holds it."""
    places = [entry.plan["brief"]["place"] for entry in entries]
    return {f"tides/{place['id']}.json": json_text(place["tides"]).encode() for place in places}


def _stored_items(sheet: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    """Path of a keyframe's settings -> the item that confirms it stored: it stands with its keyframe."""
    return {
        item["path"]: item
        for section in sheet["checklist"]
        if section["name"] == "keyframes"
        for item in section["items"]
        if item["path"].startswith("keyframes.") and item["path"].endswith(".line")
    }


def _section(
    section: Mapping[str, Any], sheet: Mapping[str, Any], stored: Mapping[str, Any]
) -> dict[str, Any]:
    """A section without the items that stand with a keyframe; where a time is written in there is a button.

    before: what is to be minded before the first keyframe is set; is_last: no later part of it follows.
    """
    parts = [other["part"] for other in sheet["checklist"] if other["name"] == section["name"]]
    items: list[dict[str, Any]] = section["items"]
    before: list[dict[str, Any]] = []
    if section["name"] == "keyframes":
        at = [index for index, item in enumerate(items) if item["path"] in stored]
        before = items[: at[0]] if at else []
        items = [item for item in items[len(before) :] if item["path"] not in stored]
    if section["name"] == "ready":
        items = [
            {**item, "blank": "" if item["blank_id"] == "blank.time" else item["blank"]} for item in items
        ]
    return {**section, "before": before, "items": items, "is_last": section["part"] == max(parts)}


def _file_item(sheet: Mapping[str, Any]) -> str:
    """The id of the item at which the number of the first file is written in; "" where there is none."""
    ready = (section["items"] for section in sheet["checklist"] if section["name"] == "ready")
    return next((item["id"] for items in ready for item in items if item["blank_id"] == "blank.file"), "")


def _zero_item(plan: Mapping[str, Any]) -> str:
    """The id of the item by which pan is zeroed; "" where there is none."""
    items = (item for section in plan["checklist"] for item in section["items"])
    return next((item["id"] for item in items if item["message"] in ZERO_ITEMS), "")
