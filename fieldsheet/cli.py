"""The commands: words in, words out, no computing. Modules are imported where they are first needed.

Exit status: 0 fine, 1 problems in the catalog or refused by the disk, 2 wrong use.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import os
import shutil
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from fieldsheet import __version__
from fieldsheet.problems import CatalogProblems
from fieldsheet.terminal import plain, plan_page, warning_blocks
from fieldsheet.typed import (
    WrongUse,
    check_reach,
    check_span,
    lineups_options,
    nights_options,
    printing_options,
    serve_options,
    shot_options,
    typed_printing,
    wrongs_options,
)

if TYPE_CHECKING:
    from fieldsheet.catalog.read import Catalog
    from fieldsheet.lineups import Mark
    from fieldsheet.press import Planned
    from fieldsheet.site.kept import Keep

FINE, PROBLEMS, WRONG_USE, INTERRUPTED = 0, 1, 2, 130
PORT = 8780  # always the same one, since a browser keeps ticks and versions by address
MOST_LINEUP_DAYS = 3 * 365  # over which the clock changes of a place are carried
MOST_NIGHTS = 10 * 366  # of one search
DEMO = Path(__file__).parent / "demo"


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command and returns its exit status; argparse raises SystemExit(2) for wrong use."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace", newline="")
    typed = _parser().parse_args(arguments)
    try:
        status: int = typed.run(typed)
        sys.stdout.flush()
        return status
    except CatalogProblems as problems:
        return _show_problems(problems)
    except WrongUse as error:
        return _complain(str(error), WRONG_USE)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # or the flush at exit would complain
        return FINE
    except OSError as error:
        return _complain(_words(error), PROBLEMS)
    except KeyboardInterrupt:
        return INTERRUPTED


def build(typed: argparse.Namespace) -> int:
    """fieldsheet build: nothing is written unless every shot can be planned."""
    from fieldsheet.press import press
    from fieldsheet.products import Job, made, products_of
    from fieldsheet.program import program_hash
    from fieldsheet.site.kept import Kept
    from fieldsheet.site.write import NotOurs, write_site

    kept = Kept(typed.out, program_hash())
    catalog, planned = _read_and_plan(typed.catalog, kept)
    has_paper = not typed.no_cards and _can_print()
    job = Job(catalog, planned, typed.everything, typed_printing(typed, catalog.head.print))
    products = [one for one in products_of(job) if has_paper or not one.is_paper]
    try:
        kept.begin()
        files = press(catalog, planned, made(products, catalog, kept), kept)
        site = write_site(typed.out, files)
    except NotOurs as error:
        raise WrongUse(str(error)) from error
    kept.prune()
    if has_paper and job.left_out:
        _say(job.left_out, sys.stderr)
    _say_undrawn(catalog, planned, sys.stderr)
    no_gos = _say_warnings(catalog, planned, sys.stderr)
    _say(f"{_count(len(catalog.shots), 'shot')}, {_count(len(files), 'file')}{_and(no_gos)}: {site}")
    return FINE


def check(typed: argparse.Namespace) -> int:
    """fieldsheet check: reads everything, plans everything, writes nothing; a no-go fails it, too."""
    from fieldsheet.products import Job, check_layout, products_of

    catalog, planned = _read_and_plan(typed.catalog)
    check_layout(products_of(Job(catalog, planned)), catalog)
    _say_undrawn(catalog, planned, sys.stdout)
    no_gos = _say_warnings(catalog, planned, sys.stdout)
    _say(f"{_count(len(catalog.shots), 'shot')}, no problems{_and(no_gos)}")
    return PROBLEMS if no_gos else FINE


def _read_and_plan(folder: Path, kept: Keep | None = None) -> tuple[Catalog, Planned]:
    """Reads and plans what can be read; where there are problems, tells the warnings of the sound shots.

    kept: has what was planned before. Raises CatalogProblems with all of them.
    """
    from fieldsheet.catalog.read import read_sound
    from fieldsheet.press import plan_sound
    from fieldsheet.site.kept import unkept

    catalog, faults = read_sound(folder)
    planned, problems = plan_sound(catalog, kept or unkept)
    if catalog is None or faults or problems:
        if catalog is not None:
            _say_warnings(catalog, planned, sys.stderr)
        raise CatalogProblems([*faults, *problems])
    return catalog, planned


def _say_warnings(catalog: Catalog, planned: Planned, stream: Any) -> int:
    """Says every warning, where it comes from, and every clash; returns how many are no-go."""
    from fieldsheet.locate import warning_at
    from fieldsheet.press import clash_texts

    no_gos = 0
    for shot_id, sheet in planned.sheets.items():
        warnings = planned.plans[shot_id]["warnings"]
        no_gos += sum(warning["level"] == "no-go" for warning in warnings)
        for warning, lines in zip(warnings, warning_blocks(sheet), strict=True):
            _say("\n".join([f"{warning_at(catalog, shot_id, warning)}: {lines[0]}", *lines[1:]]), stream)
    for night, texts in clash_texts(planned).items():
        for text in texts:
            _say(f"{night}: {text}", stream)
    return no_gos


def _and(no_gos: int) -> str:
    return f", {_count(no_gos, 'no-go')}" if no_gos else ""


def _say_undrawn(catalog: Catalog, planned: Planned, stream: Any) -> None:
    from fieldsheet.undrawn import undrawn

    for line in undrawn(catalog, planned):
        _say(line, stream)


def plan(typed: argparse.Namespace) -> int:
    """fieldsheet plan: one shot, as a page for the terminal or as JSON."""
    from fieldsheet.catalog.taken import defaults_taken
    from fieldsheet.exchange.planjson import plan_json
    from fieldsheet.sheet.sheet import make_sheet
    from fieldsheet.typed_plan import plan_typed

    catalog = _read_for([typed.shot], typed.catalog)
    whole = plan_typed(catalog, typed)
    if typed.json:
        _say(plan_json(whole))
    else:
        _say(plan_page(make_sheet(whole), defaults_taken(catalog, typed.shot)))
    return FINE


def frames(typed: argparse.Namespace) -> int:
    """fieldsheet frames: every frame of a shot as CSV, the same bytes as the phone's."""
    from fieldsheet.exchange.frames import frames_csv
    from fieldsheet.typed_plan import plan_typed

    sys.stdout.write(frames_csv(plan_typed(_read_for([typed.shot], typed.catalog), typed)))
    return FINE


def nights(typed: argparse.Namespace) -> int:
    """fieldsheet nights: on which nights the shots are good, as a table or as JSON."""
    from fieldsheet.nights import as_json, search_shots, table
    from fieldsheet.plan.nights import A_YEAR
    from fieldsheet.press import night_of
    from fieldsheet.sky.ephemeris import YEARS

    catalog = _read_for([typed.shot] if typed.shot else [], typed.catalog)
    shot_ids = [typed.shot] if typed.shot else list(catalog.shots)
    own = min(night_of(catalog.brief(shot_id)) for shot_id in shot_ids)
    first = typed.first or own
    # Before anything is added to it: the calendar ends, too.
    check_reach("--from" if typed.first else "the first night", first)
    last = typed.last or min(first + A_YEAR, date(YEARS[1], 12, 31))
    begins = "--from" if typed.first else "the shot's own night," if typed.shot else "the first shot's night,"
    check_span(first, last, begins, MOST_NIGHTS)
    found = search_shots(catalog, shot_ids, first, last)
    if typed.json:
        _say(json.dumps(as_json(found, first, last), ensure_ascii=True, indent=1))
    else:
        _say(table(found, first, last, typed.all))
    return FINE


def _read_for(shot_ids: Sequence[str], folder: Path) -> Catalog:
    """The catalog, where the shots asked for (or any) are sound; raises WrongUse or CatalogProblems."""
    from fieldsheet.catalog.files import CATALOG_FILE
    from fieldsheet.catalog.read import read_sound

    catalog, faults = read_sound(folder)
    headless = any(fault.file == CATALOG_FILE for fault in faults)
    missing = [shot_id for shot_id in shot_ids if catalog is None or shot_id not in catalog.shots]
    if catalog is None or headless or (faults and (missing or not shot_ids)):
        raise CatalogProblems(faults)
    if missing:
        raise WrongUse(f"no shot '{missing[0]}' in {folder}; there are: {', '.join(catalog.shots)}")
    if faults:
        _say(f"{_count(len(faults), 'problem')} elsewhere: fieldsheet check {folder}", sys.stderr)
    return catalog


def lineups(typed: argparse.Namespace) -> int:
    """fieldsheet lineups: when something of the sky stands behind a landmark, as a table or as JSON."""
    from fieldsheet.catalog.placed import place_of
    from fieldsheet.lineups import Search, as_json, found, found_nearest, page
    from fieldsheet.press import fit_packs, sky_of

    check_reach("--from", typed.first)
    check_span(typed.first, typed.last, "--from", MOST_LINEUP_DAYS)
    catalog = _read_for([], typed.catalog)
    if typed.place not in catalog.places:
        raise WrongUse(f"no place '{typed.place}' in {typed.catalog}; there are: {', '.join(catalog.places)}")
    place = place_of(typed.place, catalog.places[typed.place], typed.first)
    search = Search(typed.target, _mark(catalog, typed), typed.first, typed.last, typed.within)
    sky = sky_of(fit_packs([typed.first, typed.last]))
    rows = found(place, sky, search)
    near = None if rows else found_nearest(place, sky, search)
    if typed.json:
        _say(json.dumps(as_json(place, search, rows, near), ensure_ascii=True, indent=1))
    else:
        _say(page(place, search, rows, near))
    return FINE


def _mark(catalog: Catalog, typed: argparse.Namespace) -> Mark:
    """The landmark that was named, or the direction that was given instead; raises WrongUse."""
    from fieldsheet.lineups import Mark, marks

    given = [value for value in (typed.bearing, typed.altitude) if value is not None]
    if typed.landmark is None and len(given) == 2:
        return Mark("", typed.bearing % 360, typed.altitude, None)
    if typed.landmark is None or given:
        raise WrongUse("give a LANDMARK of the place, or --bearing and --altitude")
    known = marks(catalog, typed.place, typed.first)
    if typed.landmark not in known:
        names = ", ".join(f"'{name}'" for name in known) or "none"
        raise WrongUse(f"no landmark '{typed.landmark}' at {typed.place}; there are: {names}")
    return known[typed.landmark]


def log(typed: argparse.Namespace) -> int:
    """fieldsheet log: takes that phones saved, planned against actual; nothing before all are read."""
    from fieldsheet.exchange.marks import marks_csv
    from fieldsheet.logs import pages, read_takes

    takes = read_takes(typed.files)
    if typed.marks:
        typed.marks.write_text(marks_csv(takes), "utf-8", newline="")
    _say(pages(takes))
    return FINE


def new(typed: argparse.Namespace) -> int:
    """fieldsheet new: a catalog to start from."""
    if typed.folder.exists() and (not typed.folder.is_dir() or any(typed.folder.iterdir())):
        raise WrongUse(f"{typed.folder} is not an empty folder: choose another")
    shutil.copytree(DEMO, typed.folder, dirs_exist_ok=True)
    _say(f"A catalog to change: {typed.folder}")
    return FINE


def serve(typed: argparse.Namespace) -> int:
    """fieldsheet serve: shows a built site until it is stopped."""
    from fieldsheet.serving import serve_typed

    serve_typed(typed, _say)
    return FINE


def schema(typed: argparse.Namespace) -> int:
    """fieldsheet schema: what `plan --json` prints, as JSON Schema."""
    from fieldsheet.exchange.planjson import plan_schema

    sys.stdout.write(plan_schema())
    return FINE


def _can_print() -> bool:
    """Whether paper can be made; says, as a warning, where the system libraries for it are missing."""
    from fieldsheet.cards.render import PangoMissing, check_renderer

    try:
        # On such a machine the library also prints a page of advice to the standard output.
        with contextlib.redirect_stdout(io.StringIO()):
            check_renderer()
    except PangoMissing as missing:
        _say(f"warning: cards left out: {missing}", sys.stderr)
        return False
    return True


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="fieldsheet", description="Field sheets for motion-control time-lapse.")
    parser.add_argument("--version", action="version", version=f"fieldsheet {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)

    one = commands.add_parser("build", help="make the site and the cards of a catalog")
    one.add_argument("catalog", type=Path, metavar="CATALOG")
    one.add_argument("-o", "--out", type=Path, required=True, help="folder to write; OUT/site is the site")
    one.add_argument("--no-cards", action="store_true", help="leave the PDF cards out")
    one.add_argument("--everything", action="store_true", help="also the PDFs of all shots in one file")
    printing_options(one)
    one.set_defaults(run=build)

    one = commands.add_parser("check", help="list every problem of a catalog")
    one.add_argument("catalog", type=Path, metavar="CATALOG")
    one.set_defaults(run=check)

    one = commands.add_parser("plan", help="show one shot, with the defaults it uses")
    shot_options(one)
    wrongs_options(one)
    one.add_argument("--json", action="store_true", help="the whole plan, for a machine")
    one.set_defaults(run=plan)

    one = commands.add_parser("frames", help="every frame of one shot with all axes, as CSV")
    shot_options(one)
    one.set_defaults(run=frames, start=None, stopped=None, rolling=None)

    what = "find the nights on which shots have what they need"
    one = commands.add_parser("nights", help=what, description=f"{what.capitalize()}; see [needs].")
    nights_options(one)
    one.set_defaults(run=nights)

    what = "find when sun, moon or a star stands behind a landmark"
    one = commands.add_parser("lineups", help=what, description=f"{what.capitalize()}, as seen from a place.")
    lineups_options(one)
    one.set_defaults(run=lineups)

    one = commands.add_parser("log", help="planned against actual of the takes that a phone saved")
    one.add_argument("files", type=Path, nargs="+", metavar="FILE", help="as the button JSON saves it")
    one.add_argument("--marks", type=Path, metavar="CSV", help="write the marks here, by frame")
    one.set_defaults(run=log)

    one = commands.add_parser("new", help="start a catalog from the demo")
    one.add_argument("folder", type=Path, metavar="DIR")
    one.set_defaults(run=new)

    one = commands.add_parser("serve", help="show a built site on this machine")
    serve_options(one, PORT)
    one.set_defaults(run=serve)

    one = commands.add_parser("schema", help="print the JSON Schema of a plan")
    one.add_argument("of", choices=["plan"], help="of what plan --json prints")
    one.set_defaults(run=schema)
    return parser


class _Parser(argparse.ArgumentParser):
    """Shows typed words without their escapes, like every other text."""

    def error(self, message: str) -> NoReturn:
        super().error(plain(message))


def _show_problems(found: CatalogProblems) -> int:
    for problem in found.problems:
        _say(" ".join(str(problem).splitlines()), sys.stderr)
    _say(_count(len(found.problems), "problem"), sys.stderr)
    return PROBLEMS


def _complain(message: str, status: int) -> int:
    _say(f"fieldsheet: {message}", sys.stderr)
    return status


def _words(error: OSError) -> str:
    reason = error.strerror or str(error)
    return f"{reason}: {error.filename}" if error.filename is not None else reason


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _say(text: str, stream: Any = None) -> None:
    """The only way out for words: escapes stripped; flushed, so that an address shows through a pipe."""
    print(plain(text), file=stream or sys.stdout, flush=True)
