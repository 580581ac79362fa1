"""A whole site as bytes: what a host serves and a phone carries.  Writing it to disk is write.py's."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, TypedDict

from ..templates import templates
from .fonts import screen_fonts
from .icons import icons
from .pages import POLICY, data_block, environment, render
from .version import version_json

ICONS = (("icon-192", 192, "any"), ("icon-512", 512, "any"), ("icon-maskable-512", 512, "maskable"))
WORDS = Path(__file__).parents[1] / "sheet" / "words.json"


class SiteShot(TypedDict):
    """One shot as the site needs it."""

    plan: dict[str, Any]
    sheet: dict[str, Any]


def build_site(
    catalog_title: str,
    catalog_id: str,
    shots: Sequence[SiteShot],
    packs: Mapping[int, bytes],
    cards: Mapping[str, bytes] | None = None,
) -> dict[str, bytes]:
    """Path (relative, "/" between folders) -> bytes of every file of the site, in order of path.

    shots: {"plan": the Plan, "sheet": its Sheet}; the shot's id and window are
    read from the plan.  packs: year -> sky pack.  cards: shot id -> PDF; a shot without one gets no link to
    it.  The same arguments give the same bytes; nothing else is read but the package's own templates, words
    and fonts.  Raises jinja2.UndefinedError where a template asks for a key that plan or sheet lacks,
    ValueError for a number that JSON does not know.
    """
    cards = cards or {}
    folder = templates()
    files = {
        **_app(folder / "app"),
        **{f"app/fonts/{name}": data for name, data in screen_fonts().items()},
        **{f"icons/{name}": data for name, data in icons().items()},
        **{f"sky/{year}.pack": data for year, data in packs.items()},
        **{f"cards/{shot_id}.pdf": data for shot_id, data in cards.items()},
        **_pages(folder, catalog_title, catalog_id, shots, sorted(packs), frozenset(cards)),
        "site.webmanifest": _manifest(catalog_title, catalog_id),
        "_headers": _headers(),
    }
    files["version.json"] = version_json(files)
    return dict(sorted(files.items()))


def _app(folder: Path) -> dict[str, bytes]:
    """Modules and style; the worker stands at the root, because its scope is the folder it lies in."""
    sources = [path for path in folder.rglob("*") if path.suffix in (".js", ".css")]
    files = {f"app/{path.relative_to(folder).as_posix()}": path.read_bytes() for path in sources}
    words = json.dumps(json.loads(WORDS.read_text("utf-8")), ensure_ascii=False, indent=0, sort_keys=True)
    return files | {
        "worker.js": files.pop("app/worker.js"),
        "app/core/words.js": f"export const WORDS = {words};\n".encode(),
    }


def _pages(
    folder: Path,
    title: str,
    catalog_id: str,
    shots: Sequence[SiteShot],
    pack_years: list[int],
    with_card: frozenset[str],
) -> dict[str, bytes]:
    jinja = environment(folder)
    catalog = {"title": title, "id": catalog_id}
    entries = sorted(
        ({**shot, **_place_in_time(shot["plan"])} for shot in shots),
        key=lambda entry: (entry["start_ms"], entry["id"]),
    )
    index = render(jinja, "pages/index.html.j2", "index.html", {"catalog": catalog, "shots": entries})
    pages = {"index.html": index}
    for entry in entries:
        path = f"shots/{entry['id']}/index.html"
        values = {
            "catalog": catalog,
            **entry,
            "plan_json": data_block(entry["plan"]),
            "pack_years": pack_years,
            "has_card": entry["id"] in with_card,
        }
        pages[path] = render(jinja, "pages/shot.html.j2", path, values)
    return pages


def _place_in_time(plan: Mapping[str, Any]) -> dict[str, Any]:
    """The shot's id, and its window in ms UTC, by which the index is ordered."""
    window = plan["window"]
    return {
        "id": plan["shot"]["id"],
        "start_ms": window["start"]["utc_ms"],
        "end_ms": window["end"]["utc_ms"],
    }


def _manifest(title: str, catalog_id: str) -> bytes:
    """What a phone needs to put the site on its home screen. Source: W3C, Web Application Manifest.

    There is no `id`: by that standard it is then the absolute start address, which holds both the folder that
    the site is served from (unknown here) and the catalog's id. A written id would be resolved against the
    bare origin, and two catalogs on one origin could take each other's place.
    """
    manifest = {
        "name": title,
        "short_name": title[:24],
        "start_url": f"./?catalog={catalog_id}",
        "scope": "./",
        "display": "standalone",
        "background_color": "#000000",
        "theme_color": "#000000",
        "icons": [
            {"src": f"icons/{name}.png", "sizes": f"{side}x{side}", "type": "image/png", "purpose": purpose}
            for name, side, purpose in ICONS
        ],
    }
    return (json.dumps(manifest, ensure_ascii=False, indent=1) + "\n").encode()


def _headers() -> bytes:
    """The policy again, for hosts that read this file; only a header can forbid being framed."""
    return (
        "/*\n"
        f"  Content-Security-Policy: {POLICY}; frame-ancestors 'none'\n"
        "  X-Content-Type-Options: nosniff\n"
        "  Referrer-Policy: no-referrer\n"
    ).encode()
