"""fieldsheet add: one more place, rig, camera or shot for a catalog."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldsheet.commands.answers import RULES, Section, add_options, answers_of, nothing_written, skies
from fieldsheet.commands.told import FINE, tell
from fieldsheet.commands.typed import WrongUse
from fieldsheet.starts.asks import CAMERA, MADE_WITH, PLACE, RIG, SHOT, Ask

if TYPE_CHECKING:
    from fieldsheet.catalog.files import Found
    from fieldsheet.commands.answers import Answers
    from fieldsheet.commands.typed import Commands
    from fieldsheet.starts.made import Made
    from fieldsheet.starts.question import Given
    from fieldsheet.starts.stage import Stage


ASKS: dict[str, tuple[Ask, ...]] = {
    "place": PLACE,
    "rig": RIG,
    "camera": CAMERA,
    "shot": (*MADE_WITH, *SHOT),
}


def add(commands: Commands) -> None:
    """How it is typed."""
    what = "add a place, rig, camera or shot to a catalog"
    one = commands.add_parser("add", help=what, description=f"{what.capitalize()}. No file is ever changed.")
    one.add_argument("catalog", type=Path, metavar="CATALOG")
    kinds = one.add_subparsers(title="kinds", metavar="KIND", required=True)
    for kind, asks in ASKS.items():
        what = f"one more file in {kind}s/"
        more = "Without options it asks, at a terminal. With options nothing is asked."
        it = kinds.add_parser(kind, help=what, description=f"{what.capitalize()}. {more}")
        add_options(it, asks)
        it.set_defaults(run=run, kind=kind)


def run(typed: argparse.Namespace) -> int:
    """The file is written when it is known to be sound, beside the others and never over one."""
    folder, kind = typed.catalog, typed.kind
    with nothing_written():
        from fieldsheet.catalog.files import find_files
        from fieldsheet.starts.landing import land_beside
        from fieldsheet.starts.made import said_of

        found = find_files(folder)
        _must_take_one(folder, kind, found)
        made, planned = _answered(kind, answers_of(typed, ASKS[kind]), found)
        land_beside(folder / made.path, made.data)
    tell("\n".join([f"{folder / made.path}", *(said_of(planned) if planned else [])]))
    return FINE


def _answered(kind: str, answers: Answers, found: Found) -> tuple[Made, dict[str, Any] | None]:
    """The file, and the plan of a shot: asked again for while it does not go together with the others."""
    from fieldsheet.problems import CatalogProblems
    from fieldsheet.starts.made import one_more
    from fieldsheet.starts.question import Given

    given = Given(date.today(), skies(answers.talks), taken=found.listed)
    if answers.talks:
        tell(RULES)

    def set_stage() -> None:
        given.stage = _stage(given, found)

    sections = (
        [Section("made with", MADE_WITH), Section("shot", SHOT, set_stage)]
        if kind == "shot"
        else [Section(kind, ASKS[kind])]
    )
    while True:
        answers.fill(sections, given)
        try:
            return one_more(kind, given, dict(found.data.values()))
        except CatalogProblems as problems:
            answers.again(problems)


def _must_take_one(folder: Path, kind: str, found: Found) -> None:
    """Raises CatalogProblems or WrongUse where there is no catalog, or none that such a file goes into."""
    from fieldsheet.starts.landing import must_take

    must_take(folder, kind, found)
    lacking = [each for each in ("place", "rig", "camera") if kind == "shot" and not found.listed[each]]
    if lacking:
        raise WrongUse(f"no {lacking[0]} in {folder} yet; right: fieldsheet add {folder} {lacking[0]}")


def _stage(given: Given, found: Found) -> Stage:
    """Raises CatalogProblems where the place, rig or camera that a shot is to be made with is at fault."""
    from fieldsheet.catalog.read import NAMED
    from fieldsheet.problems import CatalogProblems
    from fieldsheet.starts.stage import stage

    names = {kind: given.answers[kind] for kind in NAMED}
    files = dict(found.data.values())
    unread = [f"{kind}s/{name}.toml" for kind, name in names.items() if (kind, name) not in found.data]
    if unread:
        raise CatalogProblems([problem for problem in found.problems if problem.file in unread])
    return stage(names, {file: files[file] for file in (found.data[each][0] for each in names.items())})
