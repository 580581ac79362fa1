"""A shot, or all of a catalog, as one file that asks for nothing: page, script, style, type, sky, tides.

It is for phones that get it by hand.  A browser lets a page that it opens from the phone's storage fetch
nothing, load no module and run no worker, and may keep nothing for it.  So its one script is plain, its
policy names it by its hash, and all that the site's page would fetch stands in the head as data.
"""

from __future__ import annotations

import base64
import functools
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from ..sheet.across.shots import Shot, nights_of, shots_of
from ..templates import templates
from .beside import FILES
from .build import modules
from .compose import shot_values, tide_files
from .fonts import screen_font
from .lean import lean_script, lean_style
from .pages import environment
from .version import integrity

ENTRY, THEME = "pocket.js", "theme.js"
# The module of the site that stays in use under another name, since the one in its place builds on it.
KEPT_AS = {"keep/idb.js": "keep/disk.js"}
# In the order in which the site's pages link them; what stands in a file of its own comes last.
STYLES = ("style", "rows", "undo", "lists", "shot", "turn", "strip", "frame", "check", "now", "take")
EVERYTHING = f"{FILES}everything.html"
FONT = re.compile(r'url\("?fonts/([\w.-]+)"?\)')


@dataclass(frozen=True)
class Pocket:
    """What all files of a catalog share: title, id, address of its site, sky packs by year in base64."""

    title: str
    catalog: str
    base: str
    packs: Mapping[str, str]


def pocket_path(shot_id: str) -> str:
    """Where a shot's file stands in the site."""
    return f"{FILES}{shot_id}.html"


def pocket_of(title: str, catalog: str, base_url: str, packs: Mapping[int, bytes]) -> Pocket:
    """The same from a catalog's head and its sky packs by year."""
    inside = {str(year): _letters(data) for year, data in packs.items()}
    return Pocket(title, catalog, base_url.rstrip("/") + "/", inside)


def shot_file(of: Pocket, plan: dict[str, Any], sheet: dict[str, Any]) -> bytes:
    """The page of a shot with all it needs, as UTF-8.

    The same arguments give the same bytes; nothing else is read but the package's own templates, tables and
    fonts.  Raises as build_site does.
    """
    shot_id = plan["shot"]["id"]
    return _page(of, sheet["title"], shots_of({shot_id: plan}, {shot_id: sheet}), has_list=False)


def catalog_file(of: Pocket, plans: Mapping[str, Any], sheets: Mapping[str, Any]) -> bytes:
    """The same of all shots, by their ids: a list of them by night, and the page of the one that is tapped.

    A view that runs no script shows them all, one below the other.
    """
    return _page(of, of.title, shots_of(plans, sheets), has_list=True)


def _page(of: Pocket, title: str, shots: Sequence[Shot], *, has_list: bool) -> bytes:
    folder = templates()
    jinja = _templates_of(folder)
    sheet = jinja.get_template("pocket/sheet.html.j2")
    years = [int(year) for year in sorted(of.packs)]
    sheets = [
        (shot, Markup(sheet.render(**shot_values(shot, years), is_one_of_several=has_list))) for shot in shots
    ]
    style, theme, script = (Markup(text) for text in (_style(folder), _theme(folder), _script(folder)))
    return (
        jinja.get_template("pocket/page.html.j2")
        .render(
            file=of,
            title=title,
            shots=shots,
            nights=nights_of(shots) if has_list else (),
            sheets=sheets,
            inside=_inside(of, shots),
            style=style,
            theme=theme,
            script=script,
            policy=Markup(_policy([theme, script], style)),
        )
        .encode()
    )


def _policy(scripts: Sequence[str], style: str) -> str:
    """Source: W3C, Content Security Policy Level 3, section 2.3.1 (hash sources)."""
    summed = [f"'{integrity(text.encode())}'" for text in (*scripts, style)]
    return "; ".join(
        [
            "default-src 'none'",
            f"script-src {' '.join(summed[:-1])}",
            f"style-src {summed[-1]}",
            "font-src data:",
            "base-uri 'none'",
            "form-action 'none'",
        ]
    )


def _inside(of: Pocket, shots: Sequence[Shot]) -> list[tuple[str, str]]:
    """(path, base64) of every file of the site that a page fetches."""
    tides = {path: _letters(data) for path, data in tide_files(shots).items()}
    return [*((f"sky/{year}.pack", letters) for year, letters in sorted(of.packs.items())), *tides.items()]


def _letters(data: bytes) -> str:
    return base64.b64encode(data).decode()


@functools.cache
def _templates_of(folder: Path) -> Environment:
    """Read once for all shots."""
    return environment(folder)


@functools.cache
def _script(folder: Path) -> str:
    """The page's modules as one plain script, those of the folder pocket in the place of the site's."""
    written = modules(folder / "app")
    pocket = folder / "pocket"
    own = {path.relative_to(pocket).as_posix(): path.read_text("utf-8") for path in pocket.rglob("*.js")}
    kept = {name: written[path] for path, name in KEPT_AS.items()}
    return lean_script(written | kept | own, ENTRY)


@functools.cache
def _theme(folder: Path) -> str:
    return lean_script({THEME: (folder / "app" / THEME).read_text("utf-8")}, THEME)


@functools.cache
def _style(folder: Path) -> str:
    """All styles in one, with the type inside."""
    paths = [*(folder / "app" / f"{name}.css" for name in STYLES), folder / "pocket" / "pocket.css"]
    lean = "".join(lean_style(path.read_text("utf-8")).decode() for path in paths)
    return FONT.sub(lambda found: f'url("data:font/woff2;base64,{_letters(screen_font(found[1]))}")', lean)
