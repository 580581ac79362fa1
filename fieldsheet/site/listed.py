"""What the desk's page of all paper and files lists: of everything, then by night and by shot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..exchange.geo import geo_uri
from ..sheet.across.shots import NightOf, Shot
from .beside import Beside
from .content import size_of

KINDS = {
    "csv": "CSV",
    "gpx": "GPX",
    "html": "HTML",
    "ics": "iCalendar",
    "json": "JSON",
    "pdf": "PDF",
}


@dataclass(frozen=True)
class Link:
    """A file: its path in the site, what it is, and its format and size in words."""

    path: str
    text: str
    about: str


Links = dict[tuple[str | None, str | None], list[Link]]
"""By the shot or the night that they are of, each None where they are of several."""


@dataclass(frozen=True)
class ShotFiles:
    """A shot with its files, and the address of its place for a map."""

    shot: Shot
    geo: str
    links: list[Link]


@dataclass(frozen=True)
class NightFiles:
    """A night with its own files, and its shots."""

    night: NightOf
    links: list[Link]
    shots: list[ShotFiles]


@dataclass(frozen=True)
class Listed:
    """The whole page: what is of several nights, and the nights in order."""

    links: list[Link]
    nights: list[NightFiles]


def listed(nights: Sequence[NightOf], beside: Sequence[Beside]) -> Listed:
    """Every file once: with its shot, else with its night, else first."""
    links: Links = {}
    for file in beside:
        links.setdefault((file.shot, None if file.shot else file.night), []).append(_link(file))
    return Listed(links.get((None, None), []), [_night(night, links) for night in nights])


def _night(night: NightOf, links: Links) -> NightFiles:
    shots = [_shot(shot, links) for shot in night.entries]
    return NightFiles(night, links.get((None, night.date), []), shots)


def _shot(shot: Shot, links: Links) -> ShotFiles:
    place = shot.plan["place"]
    geo = geo_uri(place["latitude_deg"], place["longitude_deg"])
    return ShotFiles(shot, geo, links.get((shot.id, None), []))


def _link(file: Beside) -> Link:
    kind = KINDS[file.path.rpartition(".")[2]]
    return Link(file.path, file.text, f"{kind}, {_size(size_of(file.data))}")


def _size(size: int) -> str:
    """Bytes, rounded up to kilobytes or tenths of a megabyte."""
    if size < 1_000_000:
        return f"{-(-size // 1000)} KB"
    tenths = -(-size // 100_000)
    return f"{tenths // 10}.{tenths % 10} MB"
