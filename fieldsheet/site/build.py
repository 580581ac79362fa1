"""A whole site as bytes: what a host serves and a phone carries.  Writing it to disk is write.py's."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from ..sky.pack import read_pack
from ..sky.sky import Sky
from ..templates import templates
from .beside import FILES, Beside
from .compose import SiteCatalog, pages_of, tide_files
from .content import Content
from .entries import Entry, SiteShot, entries_of
from .fonts import WEIGHTS, kept_font
from .icons import icons
from .kept import Keep, under, unkept
from .lean import lean_modules, lean_script, lean_style
from .mark import mark_of
from .pages import POLICY, json_text
from .version import DESK, version_json

ICONS = (("icon-192", 192, "any"), ("icon-512", 512, "any"), ("icon-maskable-512", 512, "maskable"))
PACKAGE = Path(__file__).parents[1]
# Tables that both languages read: Python as JSON, the phone as a module.
WORDS, STARS, FIELDS = "core/words.js", "core/stars.js", "codes/planfields.js"
# What says of which make the scripts are.
MARK = "keep/mark.js"
TABLES = {
    WORDS: ("WORDS", PACKAGE / "sheet" / "words.json"),
    STARS: ("STARS", PACKAGE / "sky" / "stars.json"),
    FIELDS: ("FIELDS", PACKAGE / "exchange" / "planfields.json"),
}
# What pages and the browser ask for by name; all other modules are joined to these.
WORKER = "worker.js"
ENTRIES = ("index.js", "kit.js", "night.js", "open.js", "shot.js", "theme.js")
# Styles that every page which has one has together, in the order of its cascade.
JOINED = {
    "rows.css": ("undo.css",),
    "shot.css": ("turn.css", "strip.css", "frame.css", "check.css"),
    "now.css": ("take.css",),
}
# Its messages are of the same parts, each: they are named once.
WARNING = "warning"
# Messages that the phone never says: of a problem it says what was found, a catalog it does not look across.
AT_THE_DESK = re.compile(
    r"problem\..+\.right|found\.no-plan|carried\..+|(calendar|clash|total|position|better|curve|day|waypoint)\..+"
)


def build_site(
    catalog_title: str,
    catalog_id: str,
    shots: Sequence[SiteShot],
    packs: Mapping[int, bytes],
    beside: Sequence[Beside] = (),
    *,
    clashes: Mapping[str, Sequence[str]] | None = None,
    charging: Mapping[str, Any] | None = None,
    keep: Keep = unkept,
) -> dict[str, Content]:
    """Path (relative, "/" between folders) -> every file of the site, in order of path.

    shots: {"plan": the Plan, "sheet": its Sheet}; the shot's id and window are read from the plan.
    packs: year -> sky pack; they reach every night.  beside: paper and files; what is not given gets no link.
    clashes: date of a night -> what collides in it, in words; charging: see between.py.  keep: has what was
    looked for before. The same arguments give the same bytes; nothing else is read but the package's own
    templates, tables and fonts. Raises jinja2.UndefinedError where a template asks for a key that plan or
    sheet lacks, ValueError for a number that JSON does not know.
    """
    folder = templates()
    entries = entries_of(shots, {file.path for file in beside})
    sky = Sky([read_pack(data) for data in packs.values()])
    catalog = SiteCatalog(catalog_title, catalog_id, tuple(beside), charging)
    files: dict[str, Content] = {
        **_app(folder / "app"),
        **{f"app/fonts/{name}": kept_font(name, keep) for name in WEIGHTS},
        **{f"icons/{name}": data for name, data in icons().items()},
        **{f"sky/{year}.pack": data for year, data in packs.items()},
        **{file.path: file.data for file in beside},
        **tide_files(entries),
        **_desk(folder / "desk", entries, beside),
        **pages_of(folder, catalog, entries, sorted(packs), clashes or {}, sky, under(packs, keep)),
        "site.webmanifest": _manifest(catalog_title, catalog_id),
        "_headers": _headers(),
    }
    files["version.json"] = version_json(files, {entry.id: entry.end_ms for entry in entries})
    return dict(sorted(files.items()))


def _app(folder: Path) -> dict[str, bytes]:
    """Modules and style; the worker stands at the root, because its scope is the folder it lies in.

    It is a plain script: not every browser of 2022 takes a module for one.
    """
    sources = modules(folder)
    worker = lean_script(sources, WORKER).encode()
    styles = {name: lean_style("".join(texts)) for name, texts in _styles(folder).items()}
    files = lean_modules(sources, ENTRIES) | styles
    return {WORKER: worker, **{f"app/{path}": data for path, data in files.items()}}


def _styles(folder: Path) -> dict[str, list[str]]:
    """Name -> sources of each file of style, those of JOINED as one."""
    written = {path.name: path.read_text("utf-8") for path in sorted(folder.glob("*.css"))}
    joined = {first: [written[name] for name in (first, *rest)] for first, rest in JOINED.items()}
    within = {name for rest in JOINED.values() for name in rest}
    return {name: [text] for name, text in written.items() if name not in within} | joined


def modules(folder: Path) -> dict[str, str]:
    """Path -> source of the modules in `folder`, templates' app, and of those that are made here."""
    written = {path.relative_to(folder).as_posix(): path.read_text("utf-8") for path in folder.rglob("*.js")}
    made = {path: MAKERS[path](*table) for path, table in TABLES.items()}
    return {**written, **made, MARK: f"export const MARK={json_text(mark_of(folder.parent))};\n"}


def _desk(folder: Path, entries: Sequence[Entry], beside: Sequence[Beside]) -> dict[str, bytes]:
    """The styles of the pages of years and of the page of files, each where the site has such a page."""
    has_page = {
        f"{DESK}year.css": any(entry.sheet["needs"] for entry in entries),
        f"{FILES}files.css": bool(beside),
    }
    sources = {path: folder / path.rpartition("/")[2] for path, wanted in has_page.items() if wanted}
    return {path: lean_style(source.read_text("utf-8")) for path, source in sources.items()}


def _stars(name: str, source: Path) -> str:
    """The table in its own order, as both languages go through it: its columns named once, then rows."""
    stars = json.loads(source.read_text("utf-8"))
    columns = list(next(iter(stars.values())))
    rows = {id: [star[column] for column in columns] for id, star in stars.items()}
    named = f"Object.fromEntries({json_text(columns)}.map((column,at)=>[column,row[at]]))"
    table = f"Object.fromEntries(Object.entries({json_text(rows)}).map(([id,row])=>[id,{named}]))"
    return f"export const {name}={table};\n"


def _words(name: str, source: Path) -> str:
    """The messages that the phone says, by the parts of their ids: each part is written once a branch."""
    texts = json.loads(source.read_text("utf-8"))
    tree = _tree({id: text for id, text in texts.items() if not AT_THE_DESK.fullmatch(id)})
    parts = list(next(iter(tree[WARNING].values())))
    tree[WARNING] = {id: [warning[part] for part in parts] for id, warning in tree[WARNING].items()}
    here = "id?at+(parts?.[id]??id):at.slice(0,-1)"
    told = f"typeof text==='string'?[[{here},text]]:flat(text,`${{at}}${{id}}.`,Array.isArray(text)&&PARTS)"
    flat = f"const flat=(tree,at,parts)=>Object.entries(tree).flatMap(([id,text])=>{told});"
    table = f"export const {name}=Object.fromEntries(flat({json_text(tree)},''));\n"
    return f"const PARTS={json_text(parts)};{flat}{table}"


def _tree(texts: Mapping[str, str]) -> dict[str, Any]:
    """By the part before the first dot; what ends there stands under "", or as a text where it is alone."""
    branches: dict[str, dict[str, str]] = {}
    for id, text in texts.items():
        first, _, rest = id.partition(".")
        branches.setdefault(first, {})[rest] = text
    return {first: rest[""] if [*rest] == [""] else _tree(rest) for first, rest in branches.items()}


def _fields(name: str, source: Path) -> str:
    """The table as it is."""
    return f"export const {name}={json_text(json.loads(source.read_text('utf-8')))};\n"


MAKERS = {WORDS: _words, STARS: _stars, FIELDS: _fields}


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
        "  Permissions-Policy: geolocation=(self), camera=(), microphone=()\n"
        "  X-Content-Type-Options: nosniff\n"
        "  Referrer-Policy: no-referrer\n"
    ).encode()
