"""A whole catalog, read and planned, and what is said of all of it: what `build` and `check` share."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TextIO

from fieldsheet.catalog.read import Catalog, read_sound
from fieldsheet.commands.told import count, tell
from fieldsheet.explain import explained
from fieldsheet.locate import warning_at
from fieldsheet.press import Planned, clash_texts, plan_sound
from fieldsheet.problems import CatalogProblems
from fieldsheet.site.kept import Keep, unkept
from fieldsheet.terminal.fold import INDENT, Part, labelled, width
from fieldsheet.terminal.page import warning_blocks
from fieldsheet.undrawn import undrawn


def read_and_plan(folder: Path, kept: Keep = unkept, *, why: bool = False) -> tuple[Catalog, Planned]:
    """Reads and plans what can be read; where there are problems, tells the warnings of the sound shots.

    kept: has what was planned before; why: as of tell_warnings. Raises CatalogProblems with all of them.
    """
    catalog, faults = read_sound(folder)
    planned, problems = plan_sound(catalog, kept)
    if catalog is None or faults or problems:
        if catalog is not None:
            tell_warnings(catalog, planned, sys.stderr, why=why)
        raise CatalogProblems([*faults, *problems])
    return catalog, planned


def tell_warnings(catalog: Catalog, planned: Planned, stream: TextIO, *, why: bool = False) -> int:
    """Says every warning, where it comes from, and every clash; returns how many are no-go.

    why: with what is behind each.
    """
    no_gos = 0
    for shot_id, sheet in planned.sheets.items():
        warnings = planned.plans[shot_id]["warnings"]
        no_gos += sum(warning["level"] == "no-go" for warning in warnings)
        for warning, lines in zip(warnings, warning_blocks(sheet), strict=True):
            behind = lines_behind(explained(catalog, shot_id, warning)) if why else []
            at = warning_at(catalog, shot_id, warning)
            tell("\n".join([f"{at}: {lines[0]}", *lines[1:], *behind]), stream)
    for night, texts in clash_texts(planned).items():
        for text in texts:
            tell(f"{night}: {text}", stream)
    return no_gos


def lines_behind(parts: Sequence[Part]) -> list[str]:
    """What is behind a message, as the lines under it; a blank one ends them."""
    return [*(INDENT * 2 + line for line in labelled(parts, width() - len(INDENT) * 2)), ""]


def and_no_gos(no_gos: int) -> str:
    """How many there are, to end a sentence with; nothing where there are none."""
    return f", {count(no_gos, 'no-go')}" if no_gos else ""


def tell_undrawn(catalog: Catalog, planned: Planned, stream: TextIO) -> None:
    """Says which characters the typeface lacks."""
    for line in undrawn(catalog, planned):
        tell(line, stream)
