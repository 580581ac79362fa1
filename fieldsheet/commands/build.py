"""fieldsheet build: the site and the paper of a catalog."""

from __future__ import annotations

import argparse
import contextlib
import io
import shlex
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fieldsheet.commands.told import FINE, count, tell, tell_message
from fieldsheet.commands.typed import WrongUse, typed_processes, typed_read_at, typed_seal

if TYPE_CHECKING:
    from fieldsheet.catalog.models.printing import Printing
    from fieldsheet.commands.typed import Commands


def add(commands: Commands) -> None:
    """How it is typed."""
    one = commands.add_parser("build", help="make the site and the cards of a catalog")
    one.add_argument("catalog", type=Path, metavar="CATALOG")
    one.add_argument("-o", "--out", type=Path, required=True, help="folder to write; OUT/site is the site")
    one.add_argument("--no-cards", action="store_true", help="leave the PDF cards out")
    one.add_argument("--everything", action="store_true", help="also the PDFs of all shots in one file")
    processes = "how many draw paper at once, each with its own memory; else one a processor"
    one.add_argument("--processes", type=typed_processes, metavar="N", help=processes)
    _printing_options(one)
    one.set_defaults(run=run)


def run(typed: argparse.Namespace) -> int:
    """Nothing is written unless every shot can be planned."""
    from fieldsheet.catalog.files import FOLDERS
    from fieldsheet.commands.whole import (
        and_no_gos,
        read_and_plan,
        tell_assumed_of_all,
        tell_undrawn,
        tell_warnings,
    )
    from fieldsheet.making import made
    from fieldsheet.press import press
    from fieldsheet.products import Job, products_of
    from fieldsheet.program import program_hash
    from fieldsheet.site.fonts import recall_fonts
    from fieldsheet.site.kept import Kept
    from fieldsheet.site.write import NotOurs, check_output, claimed, write_site
    from fieldsheet.workers import available

    try:
        check_output(typed.out, [typed.catalog / name for name in FOLDERS])
        kept = Kept(typed.out, program_hash())
        catalog, planned = read_and_plan(typed.catalog, kept)
        has_paper = not typed.no_cards and _can_print()
        job = Job(catalog, planned, typed.everything, _typed_printing(typed, catalog.head.print))
        products = [one for one in products_of(job) if has_paper or not one.is_paper]
        with claimed(typed.out) as output:
            kept.begin(output)
            recall_fonts(kept)
            beside = made(products, catalog, kept, typed.processes or available())
            files = press(catalog, planned, beside, kept)
            site = write_site(output, files)
            kept.prune()
    except NotOurs as error:
        raise WrongUse(str(error)) from error
    if has_paper and job.left_out:
        tell_message(job.left_out, sys.stderr)
    tell_undrawn(catalog, planned, sys.stderr)
    no_gos = tell_warnings(catalog, planned, sys.stderr)
    tell_assumed_of_all(catalog, sys.stderr)
    tell(f"{count(len(catalog.shots), 'shot')}, {count(len(files), 'file')}{and_no_gos(no_gos)}: {site}")
    if sys.stdout.isatty():
        _tell_next(typed.out, site, catalog.head.base_url if has_paper else "")
    return FINE


def _tell_next(out: Path, site: Path, leads: str) -> None:
    """What comes after a build, for who sits before it.  leads: the address that codes on paper have."""
    tell(f"Next: fieldsheet serve {shlex.quote(str(out))}   looks at it here; --hotspot: on phones")
    tell(f"      put {site} on a host with https for the phone")
    if leads:
        tell(f"      print {site}/cards; their codes lead to {leads} (base_url in catalog.toml)")


def _printing_options(parser: argparse.ArgumentParser) -> None:
    """Adds what goes before the catalog's [print]; each option is one of its keys."""
    from fieldsheet.catalog.names import CUT_CARDS, PRINT_CARDS, PRINT_HOLES, PRINT_SHEETS

    add = parser.add_argument_group("print, before [print] of catalog.toml").add_argument
    add("--card", choices=PRINT_CARDS, help="the size of a card")
    add("--sheet", choices=PRINT_SHEETS, help="the size of a large sheet")
    add("--sides", type=int, choices=(2, 1), help="1: every side is a card of its own")
    add("--clock-h", type=int, choices=(24, 12), help="hours of the clock on paper")
    add("--seal-mm", type=typed_seal, metavar="MM", help="kept free along every edge of a card, 3 to 10")
    add("--hole", choices=PRINT_HOLES, help="the short edge of a front that a hole is punched at")
    add("--read-at-cm", type=typed_read_at, metavar="CM", help="how far codes are read from, 15 to 100")
    add("--on", choices=PRINT_SHEETS, help=f"cut cards from that: {', '.join(CUT_CARDS)}")


def _typed_printing(typed: argparse.Namespace, printing: Printing) -> dict[str, Any]:
    """What was typed of [print], by its keys; None where nothing was.

    Raises WrongUse where it does not go together, with itself or with the catalog's.
    """
    from fieldsheet.catalog.models.printing import asked_of

    asked = {key: getattr(typed, key) for key in type(printing).model_fields}
    try:
        asked_of(printing, asked)
    except ValueError as error:
        raise WrongUse(str(error)) from error
    return asked


def _can_print() -> bool:
    """Whether paper can be made; says, as a warning, where the system libraries for it are missing."""
    from fieldsheet.cards.render import PangoMissing, check_renderer

    try:
        # On such a machine the library also prints a page of advice to the standard output.
        with contextlib.redirect_stdout(io.StringIO()):
            check_renderer()
    except PangoMissing as missing:
        tell_message(f"warning: cards left out: {missing}", sys.stderr)
        return False
    return True
