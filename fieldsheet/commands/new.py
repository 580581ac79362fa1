"""fieldsheet new: a catalog of a place, a rig, a camera and a shot of one's own; or the demo."""

from __future__ import annotations

import argparse
import os
import shlex
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldsheet.commands.answers import RULES, Section, add_options, answers_of, nothing_written, skies
from fieldsheet.commands.told import FINE, tell
from fieldsheet.commands.typed import WrongUse
from fieldsheet.starts.asks import CAMERA, PLACE, RIG, SHOT

if TYPE_CHECKING:
    from fieldsheet.commands.answers import Answers
    from fieldsheet.commands.typed import Commands


EVERY = (*PLACE, *RIG, *CAMERA, *SHOT)
WELCOME = "A catalog for a shot of your own in {folder}."
NEXT = "\n      "


def add(commands: Commands) -> None:
    """How it is typed."""
    what = "start a catalog: it asks for place, rig, camera and shot"
    more = (
        "Without options it asks, at a terminal. With options it does not: --place, --lat, --lon are needed."
    )
    one = commands.add_parser("new", help=what, description=f"{what.capitalize()}. {more}")
    one.add_argument("folder", type=Path, metavar="DIR", help="a new or an empty folder")
    one.add_argument("--demo", action="store_true", help="copy the demo instead, which shows every key")
    for name, asks in (("place", PLACE), ("rig", RIG), ("camera", CAMERA), ("shot", SHOT)):
        add_options(one.add_argument_group(name), asks)
    one.set_defaults(run=run)


def run(typed: argparse.Namespace) -> int:
    """A folder that holds anything is refused; nothing is written before all is known to be sound."""
    folder: Path = typed.folder
    _must_be_to_be_had(folder)
    return _copy_demo(typed) if typed.demo else _first(folder, answers_of(typed, EVERY))


def _must_be_to_be_had(folder: Path) -> None:
    """Raises WrongUse before anything is asked, where the answers could not be written."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise WrongUse(f"{folder} is not an empty folder: choose another")
    there = next(path for path in (folder, *folder.absolute().parents) if path.exists())
    if not there.is_dir() or not os.access(there, os.W_OK | os.X_OK):
        raise WrongUse(f"{folder} cannot be made, for nothing may be written into {there}: choose another")


def _copy_demo(typed: argparse.Namespace) -> int:
    from fieldsheet.catalog.examples import DEMO
    from fieldsheet.starts.landing import land

    idle = [ask.option for ask in EVERY if getattr(typed, ask.name) is not None]
    if idle:
        raise WrongUse(f"--{idle[0]} with --demo, which is copied as it is; right: one of the two")
    files = {path.relative_to(DEMO).as_posix(): path.read_bytes() for path in DEMO.rglob("*.toml")}
    land(typed.folder, files)
    tell(f"A catalog to change: {typed.folder}\nNext: fieldsheet check {shlex.quote(str(typed.folder))}")
    return FINE


def _first(folder: Path, answers: Answers) -> int:
    if answers.talks:
        tell(f"{WELCOME.format(folder=folder)}\n{RULES}")
    with nothing_written():
        from fieldsheet.starts.landing import land
        from fieldsheet.starts.made import said_of

        files, planned = _answered(folder, answers)
        land(folder, files)
    tell("\n".join(["", *(f"{folder / name}" for name in sorted(files)), "", *said_of(planned)]))
    shot = planned["shot"]["id"]
    typed = shlex.quote(str(folder))
    ways = (f"check {typed}", f"plan {typed} {shot}", f"build {typed} -o out")
    tell(f"\nNext: {NEXT.join(f'fieldsheet {way}' for way in ways)}")
    return FINE


def _answered(folder: Path, answers: Answers) -> tuple[dict[str, bytes], dict[str, Any]]:
    """The files of the catalog and the plan of its shot: asked for again while they do not go together."""
    from fieldsheet.problems import CatalogProblems
    from fieldsheet.starts.made import first_catalog, first_stage
    from fieldsheet.starts.question import Given

    given = Given(date.today(), skies(answers.talks))

    def set_stage() -> None:
        given.stage = first_stage(given)

    sections = (
        Section("place", PLACE),
        Section("rig", RIG),
        Section("camera", CAMERA),
        Section("shot", SHOT, set_stage),
    )
    while True:
        answers.fill(sections, given)
        try:
            return first_catalog(given, folder.resolve().name)
        except CatalogProblems as problems:
            answers.again(problems)
