"""What paper costs: 100 shots from nothing and after one edit; time and memory a page against plain text.

Run it by hand: python -m tests.bench.paper [SHOTS]   (100 shots take some ten minutes)
"""

from __future__ import annotations

import json
import re
import resource
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pypdfium2

from fieldsheet import cli
from fieldsheet.cards.render import pdf_of
from fieldsheet.catalog.read import read_catalog
from fieldsheet.press import plan_catalog
from fieldsheet.products import Job, Product, products_of

DEMO = Path(cli.__file__).parent / "demo"
SHOTS = 100
SOURCES = ("slipway", "hoist", "pole-circle", "clouds", "stone-saw")
FIRST = date(2027, 5, 20)
LEAST_RATIO = 20
EDITED = "shot-002"
PAPER = {"cards": "cards/slipway.pdf", "sheet": "sheets/slipway.pdf"}
WORDS = "The tide leaves the lower ring at half past nine and the ramp stays wet until the lamp is lit. "


def make_catalog(folder: Path, shots: int) -> None:
    """The demo with so many shots: its own in turn, each under a title and on a date of its own."""
    shutil.copytree(DEMO, folder)
    texts = [(folder / "shots" / f"{name}.toml").read_text("utf-8") for name in SOURCES]
    for path in (folder / "shots").iterdir():
        path.unlink()
    for number in range(shots):
        day = FIRST + timedelta(days=number // len(SOURCES))
        text = edited(texts[number % len(SOURCES)], r"(?m)^(night|day) = \d{4}-\d\d-\d\d", rf"\1 = {day}")
        text = edited(text, r'(?m)^title = "(.*)"', rf'title = "\1, {number}"')
        (folder / "shots" / f"shot-{number:03}.toml").write_text(text, "utf-8")


def edited(text: str, found: str, put: str) -> str:
    """With the one place that matches replaced."""
    text, times = re.subn(found, put, text)
    assert times == 1, found
    return text


def in_a_process(task: str, *words: str) -> Any:
    """[seconds, bytes at the peak, answer] of a task of this file, run in a process of its own."""
    command = [sys.executable, "-m", "tests.bench.paper", task, *words]
    begun = time.perf_counter()
    shown = subprocess.run(command, capture_output=True, text=True)
    if shown.returncode:
        raise SystemExit(shown.stderr)
    return [time.perf_counter() - begun, *json.loads(shown.stdout.splitlines()[-1])]


def build(catalog: str, out: str) -> list[list[str]]:
    """Builds, and tells [path, shot] of all that had to be made."""
    done: list[list[str]] = []
    make = Product.make

    def noted(self: Product) -> bytes:
        done.append([self.path, self.shot or ""])
        return make(self)

    Product.make = noted  # type: ignore[method-assign]
    if cli.main(["build", catalog, "-o", out]):
        raise SystemExit(1)
    return done


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


TASKS: dict[str, Callable[..., Any]] = {"build": build, "paper": paper, "plain": plain}


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


def one_edit(shots: int) -> None:
    """Builds from nothing, edits one shot, builds again."""
    with TemporaryDirectory(prefix="fieldsheet-bench-") as folder:
        catalog, out = Path(folder, "catalog"), Path(folder, "out")
        make_catalog(catalog, shots)
        whole, peak, first = in_a_process("build", str(catalog), str(out))
        print(f"{shots} shots from nothing: {told(whole, first)}, {peak / 1e6:.0f} MB", flush=True)
        shot = catalog / "shots" / f"{EDITED}.toml"
        text = edited(shot.read_text("utf-8"), r'(?m)^title = "', 'title = "Again: ')
        shot.write_text(text, "utf-8")
        again, _, second = in_a_process("build", str(catalog), str(out))
        print(f"after one edit of {EDITED}: {told(again, second)}")
        print(f"  of several shots: {sorted(path for path, one in second if not one)}")
        idle, _, third = in_a_process("build", str(catalog), str(out))
        print(f"after none: {told(idle, third)}")
        print(f"one edit: {whole / again:.1f} times faster than from nothing")
        assert {one for _, one in second if one} == {EDITED} and not third
        assert whole / again >= LEAST_RATIO


def told(seconds: float, files: list[list[str]]) -> str:
    """Time, and how many files were made, of how many shots."""
    return f"{seconds:.1f} s, {len(files)} files made, of {len({shot for _, shot in files if shot})} shots"


def main(words: list[str]) -> None:
    if words and words[0] in TASKS:
        answer = TASKS[words[0]](*words[1:])
        print(json.dumps([resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024, answer]))
        return
    pages_against_plain_text()
    one_edit(int(words[0]) if words else SHOTS)


if __name__ == "__main__":
    main(sys.argv[1:])
