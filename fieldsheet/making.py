"""Products as files: none that is kept is made anew, several processes draw paper, what fits none is told."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from typing import NoReturn, TypeVar

from fieldsheet.catalog.files import CATALOG_FILE
from fieldsheet.catalog.read import Catalog
from fieldsheet.exchange.qr import read_from
from fieldsheet.problems import CatalogProblems, NoRoom, Problem
from fieldsheet.products import Product
from fieldsheet.site.beside import Beside
from fieldsheet.site.content import Content
from fieldsheet.site.kept import Keep
from fieldsheet.workers import Outcome, spread

Made = TypeVar("Made")
SHARE = 2  # papers that a process has to draw at least: its start takes half as long as one of them


class _Lacking(Exception):
    """What was asked for has to be made."""


def made(products: Sequence[Product], catalog: Catalog, keep: Keep, processes: int = 1) -> list[Beside]:
    """Every product as a file; raises CatalogProblems with every one whose texts do not fit its paper.

    processes: how many may draw paper, where there is enough of it; raises ChildProcessError, in words, where
    one of them dies.
    """
    found = [(one, key, _kept(keep, key)) for one in products for key in (one.key,)]
    papers = [one.make for one, _, content in found if content is None and one.is_paper]
    with spread(papers, min(processes, len(papers) // SHARE)) as outcomes:
        # While others draw, this process makes what is no paper.
        others = {
            one.path: keep(key, one.make)
            for one, key, content in found
            if content is None and not one.is_paper
        }

        def file(one: Product, key: str, content: Content | None) -> Beside:
            content = others.get(one.path, content)
            if content is None:
                # Each paper takes what became of it, also where another of its key was kept meanwhile.
                content = keep(key, partial(_result, next(outcomes)))
            return Beside(one.path, one.text, one.shot, one.night, content)

        return _each(((each[0], partial(file, *each)) for each in found), catalog)


def _kept(keep: Keep, key: str) -> Content | None:
    """What need not be made."""
    try:
        return keep(key, _lacking)
    except _Lacking:
        return None


def _lacking() -> NoReturn:
    raise _Lacking


def _result(outcome: Outcome) -> bytes:
    if isinstance(outcome, Exception):
        raise outcome
    return outcome


def check_layout(products: Sequence[Product], catalog: Catalog) -> dict[str, int]:
    """Lays all paper out and draws nothing; raises as `made` does.

    By what is said of a kind of paper: from how far, in cm, every code on it is read.
    """
    papers = [product for product in products if product.is_paper]
    laid = _each(((product, product.laid_out) for product in papers), catalog)
    reaches: dict[str, int] = {}
    for product, html in zip(papers, laid, strict=True):
        for cm in read_from(str(html)):
            reaches[product.text] = min(cm, reaches.get(product.text, cm))
    return reaches


def _each(makes: Iterable[tuple[Product, Callable[[], Made]]], catalog: Catalog) -> list[Made]:
    done, problems = [], []
    for product, make in makes:
        try:
            done.append(make())
        except NoRoom as error:
            problems.append(_problem(product, catalog, str(error)))
    if problems:
        raise CatalogProblems(list(dict.fromkeys(problems)))
    return done


def _problem(product: Product, catalog: Catalog, found: str) -> Problem:
    file = CATALOG_FILE if product.shot is None else catalog.locate(product.shot, "title")[0]
    return Problem(file, None, "", found, "shorter texts, here or in its rig")
