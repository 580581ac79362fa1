"""The guide: how shots are written, used and computed, in chapters that the phone carries with them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from html import escape
from pathlib import Path
from typing import Any

from markupsafe import Markup

from ..catalog.reference import reference, value_kinds
from ..sheet.glue import glued
from .content import Content
from .kept import Keep
from .lean import lean_style
from .worked import computing

GUIDE = "guide/"
STYLE = f"{GUIDE}guide.css"  # among the templates as in the site
_SECTION = re.compile(r'<h2 id="([a-z0-9-]+)">(.+?)</h2>')
# What is typed as it stands (a key's example is its dt), any other tag, or what is read.
_READ = re.compile(r"<(pre|code)\b.*?</\1>|<dt\b.*?(?=<dd\b)|<[^<>]*>|(?P<read>[^<]+)", re.DOTALL)
# Ends of paragraphs that HTML lets a page leave out (WHATWG, HTML, 13.1.2.4), and space between blocks.
_IDLE_END = re.compile(r"</p>\s*(?=<(?:div|dl|h2|h3|ol|p|pre|table|ul)\b)")
_TAG = re.compile(r"<[a-z][^<>]*>")
# Quotes about a value that needs none (13.1.2.3); one that ends in a slash would seem to end its element.
_IDLE_QUOTES = re.compile(r'="([A-Za-z0-9#._-]+)"')
_IDLE_SPACE = re.compile(r"\s+(?=<(?:dd|dl|dt|h2|h3|li|ol|p|pre|table|tbody|td|th|thead|tr|ul)\b)")

MakePage = Callable[[str, str, Mapping[str, Any]], bytes]
"""From a template's name, a path of the site and what the template is given, to the page."""


def _nothing() -> Mapping[str, Any]:
    return {}


def _keys() -> Mapping[str, Any]:
    return {"reference": _as_text(reference()), "value_kinds": _as_text(value_kinds())}


def _as_text(value: Any) -> Any:
    """The same for what stands between tags: there quotes need no escape, and are a tenth of the chapter."""
    if isinstance(value, str):
        return Markup(escape(value, quote=False))
    if isinstance(value, dict):
        return {key: _as_text(part) for key, part in value.items()}
    return [_as_text(part) for part in value] if isinstance(value, list) else value


@dataclass(frozen=True)
class Chapter:
    """A chapter: its text is the template guide/<name>.html.j2, given what `values` makes.

    about: what the contents say of it.
    """

    name: str
    title: str
    about: str
    values: Callable[[], Mapping[str, Any]] = _nothing

    @property
    def path(self) -> str:
        """Where it stands in the site."""
        return f"{GUIDE}{self.name}/index.html"


CHAPTERS = (
    Chapter("start", "A first shot", "ten minutes, from nothing to a phone and a card"),
    Chapter("write", "Writing a catalog", "when, where to, how it moves, what is in the frame"),
    Chapter("keys", "Keys", "every key of every file: what it holds, what without it", _keys),
    Chapter("measure", "Measuring a rig", "ten minutes: speed, settling, ready again, watts, weight"),
    Chapter("light", "Exposure, power, cold", "two exposures, watt-hours, flicker, dew"),
    Chapter("nights", "The right night", "what a night must have; a moon behind a landmark"),
    Chapter("field", "In the field", "storing, ticking off, ready to roll, while it rolls"),
    Chapter("wrong", "When it goes wrong", "late, stopped, another interval"),
    Chapter("handover", "Handing over, and the log", "the watch, a plan; planned against actual"),
    Chapter("paper", "Paper and files", "cards, printing, sealing; files for other programs"),
    Chapter("words", "Words", "what dwell, home, click and the like mean here"),
    Chapter("computing", "Computing", "every formula, its source, how far it holds", computing),
    Chapter("unknown", "What this does not know", "weather, ground, iron, real axes: the honest list"),
)


def guide_files(folder: Path, page: MakePage, catalog_id: str, keep: Keep) -> dict[str, Content]:
    """Path -> file: its style, the contents, then the chapters; folder: that of the templates.

    catalog_id: what the pages of one site differ by from those of another; keep: has what was made before.
    """
    made = {f"{GUIDE}index.html": partial(_contents, page)}
    for at, chapter in enumerate(CHAPTERS):
        made[chapter.path] = partial(_chapter, page, at)
    style = lean_style((folder / STYLE).read_text("utf-8"))
    return {STYLE: style, **{path: keep(f"{path} {catalog_id}", make) for path, make in made.items()}}


def _contents(page: MakePage) -> bytes:
    return page("guide", f"{GUIDE}index.html", {"chapter": None, "chapters": CHAPTERS})


def _chapter(page: MakePage, at: int) -> bytes:
    chapter = CHAPTERS[at]
    values = {
        "chapter": chapter,
        "after": CHAPTERS[at + 1] if at + 1 < len(CHAPTERS) else None,
        "sections_of": _SECTION.findall,
        **chapter.values(),
    }
    return _held(_lean(page("guide", chapter.path, values).decode())).encode()


def _lean(page: str) -> str:
    """The same page in fewer bytes: phones carry them all."""
    unquoted = _TAG.sub(lambda tag: _IDLE_QUOTES.sub(r"=\1", tag[0]), page)
    return _IDLE_SPACE.sub("", _IDLE_END.sub("", unquoted))


def _held(page: str) -> str:
    """The same page with figures held to their units where they are read; what is typed keeps its blanks."""
    return _READ.sub(lambda part: glued(part[0]) if part["read"] else part[0], page)
