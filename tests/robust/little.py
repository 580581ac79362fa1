"""The command that builds, with a few files instead of what planning and pressing make: what it does to OUT.

It reads the catalog, checks, claims, keeps, writes and clears away as it always does, in a few milliseconds.
"""

from __future__ import annotations

import contextlib
import io
import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from fieldsheet import cli, press, products, program
from fieldsheet.catalog import read
from fieldsheet.catalog.read import Catalog
from fieldsheet.commands import whole
from fieldsheet.press import Planned
from fieldsheet.site.content import Content
from fieldsheet.site.kept import Keep

SHOT = "shots/slipway.toml"
Site = dict[str, bytes]


def instead() -> Iterator[tuple[Any, str, Any]]:
    """What has to be replaced: module, name, and what by."""
    yield whole, "read_and_plan", _read_and_plan
    yield press, "press", _press
    yield products, "products_of", lambda job: []
    yield program, "program_hash", lambda: "the same"
    yield os, "fsync", lambda handle: None  # a process that dies takes nothing off the disk


def _read_and_plan(folder: Path, kept: Keep) -> tuple[Catalog, Planned]:
    found = read.read_catalog(folder)
    kept(f"plan {found.shots['slipway'].title}", lambda: b"a plan")
    return found, Planned({}, {}, {})


def _press(catalog: Catalog, _planned: Planned, _beside: Any, keep: Keep) -> dict[str, Content]:
    title = catalog.shots["slipway"].title
    page, same = keep(f"page {title}", title.encode), keep("same", lambda: b"the same each time")
    return {"index.html": page, "app/same.js": same, "shots/slipway/index.html": title.encode()}


def edit_title(catalog: Path, title: str) -> None:
    """Gives the one shot another title."""
    text = (catalog / SHOT).read_text("utf-8")
    (catalog / SHOT).write_text(re.sub('(?m)^title = ".*"$', f'title = "{title}"', text), "utf-8")


def build(catalog: Path, out: Path) -> int:
    """Exit status of the command, which says nothing here."""
    with contextlib.redirect_stdout(io.StringIO()):
        return cli.main(["build", str(catalog), "-o", str(out), "--no-cards"])


def shown(out: Path) -> Site:
    """What a browser would get: every file under OUT/site, nothing without one."""
    if not os.path.lexists(out / "site"):
        return {}
    site = (out / "site").resolve(strict=True)
    return {str(path.relative_to(site)): path.read_bytes() for path in site.rglob("*") if path.is_file()}


def left(out: Path) -> list[str]:
    """Names that are nobody's any more, and versions beyond the two that are kept."""
    return [*map(str, out.rglob(".*")), *sorted(os.listdir(out / "versions"))[2:]]
