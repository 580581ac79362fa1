"""What a page of paper costs, in time and memory, against a page of plain text.

Run it by hand: python -m tests.bench.paper   (half a minute)
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdfium2

from fieldsheet import cli
from fieldsheet.cards.render import pdf_of
from fieldsheet.catalog.read import read_catalog
from fieldsheet.press import plan_catalog
from fieldsheet.products import Job, products_of

DEMO = Path(cli.__file__).parent / "demo"
PAPER = {"cards": "cards/slipway.pdf", "sheet": "sheets/slipway.pdf"}
WORDS = "The tide leaves the lower ring at half past nine and the ramp stays wet until the lamp is lit. "


def in_a_process(task: str, *words: str) -> Any:
    """[seconds, bytes at the peak, answer] of a task of this file, run in a process of its own."""
    command = [sys.executable, "-m", "tests.bench.paper", task, *words]
    begun = time.perf_counter()
    shown = subprocess.run(command, capture_output=True, text=True)
    if shown.returncode:
        raise SystemExit(shown.stderr)
    return [time.perf_counter() - begun, *json.loads(shown.stdout.splitlines()[-1])]


def paper(path: str) -> tuple[float, int]:
    """Draws one file of the demo: (seconds, pages)."""
    catalog = read_catalog(DEMO)
    products = products_of(Job(catalog, plan_catalog(catalog)))
    html = next(product.laid_out() for product in products if product.path == path)
    assert isinstance(html, str)
    return drawn(html)


def plain(pages: str) -> tuple[float, int]:
    """Draws text alone, on at least as many pages."""
    page = f"<p>{WORDS * 4}</p>" * 3
    styled = "<style>@page{size:A6 landscape;margin:6mm}section{break-after:page;font-size:9pt}</style>"
    body = f"<section>{page}</section>" * int(pages)
    return drawn(f'<!doctype html><html lang="en"><title>Text</title>{styled}<body>{body}</body></html>')


def drawn(html: str) -> tuple[float, int]:
    """(seconds, pages) of one drawing, all that it imports already there."""
    pdf_of("<p>warm</p>")
    begun = time.perf_counter()
    data = pdf_of(html)
    seconds = time.perf_counter() - begun
    return seconds, len(pypdfium2.PdfDocument(data))


TASKS: dict[str, Callable[..., Any]] = {"paper": paper, "plain": plain}


def pages_against_plain_text() -> None:
    """Time and memory a page, over those of the process that draws one line."""
    bare = in_a_process("plain", "1")[1]
    for name, path in PAPER.items():
        _, peak, (seconds, pages) = in_a_process("paper", path)
        _, peak_plain, (seconds_plain, pages_plain) = in_a_process("plain", str(pages))
        time_ratio = seconds / pages / (seconds_plain / pages_plain)
        print(f"{name}: {pages} pages, {seconds / pages:.3f} s a page, {peak / 1e6:.0f} MB at the peak")
        print(f"  text alone: {pages_plain} pages, {seconds_plain / pages_plain:.3f} s a page,", end=" ")
        print(f"{peak_plain / 1e6:.0f} MB (one page: {bare / 1e6:.0f} MB)")
        print(f"  {time_ratio:.1f} times the time, {peak / peak_plain:.1f} times the memory", flush=True)


def main(words: list[str]) -> None:
    if words and words[0] in TASKS:
        answer = TASKS[words[0]](*words[1:])
        print(json.dumps([resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024, answer]))
        return
    pages_against_plain_text()


if __name__ == "__main__":
    main(sys.argv[1:])
