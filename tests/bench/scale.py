"""What a catalog costs as it grows: from nothing, with nothing changed, and after one edit.

    python -m tests.bench.scale [SHOTS ...] [--cards]

Without cards 10, 100 and 1,000 shots take some ten minutes; with them 1,000 take more than an hour.  Every
build runs in a process of its own, which imports what it needs once its time counts.  Against it stand the
same templates rendered from values that are ready, and for cards as many pages of plain text.  Nothing of
the program may be edited meanwhile: what is kept of a build holds for the same program only.
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from fieldsheet import cli
from tests.bench.catalogs import edit_one, make_catalog
from tests.bench.meter import ROOMS, Cost, cost_of, report

if TYPE_CHECKING:
    from jinja2 import Template

SHOTS = (10, 100, 1000)
LEAST_RATIO = 20  # of the processor: one edit against nothing, of 100 shots with cards
LEAST_SHOTS = 100
MOST_START_S = 0.3
PLAIN_PAGES = 60  # of plain text are enough to know what a page of it costs
BUILDS = ("from nothing", "no edit", "one edit")


def build(catalog: str, out: str, *options: str) -> dict[str, float]:
    """Builds; tells the files and bytes of the site, and the bytes that were written anew for it."""
    begun_ns = time.time_ns()
    if cli.main(["build", catalog, "-o", out, *options]):
        raise SystemExit(1)
    files = [path.stat() for path in Path(out, "site").resolve().rglob("*") if path.is_file()]
    everything = [path.lstat() for path in Path(out).rglob("*") if path.is_file() and not path.is_symlink()]
    new = {found.st_ino: found.st_size for found in everything if found.st_mtime_ns >= begun_ns}
    return {
        "files": len(files),
        "bytes": sum(found.st_size for found in files),
        "written": sum(new.values()),
    }


def rendered(catalog: str, out: str, *options: str) -> dict[str, float]:
    """Seconds that the templates of a whole catalog and those of its site's own pages take, values ready.

    Everything is planned as kept in OUT.
    """
    from fieldsheet.catalog.read import read_catalog
    from fieldsheet.making import made
    from fieldsheet.press import plan_sound, press
    from fieldsheet.products import Job, products_of
    from fieldsheet.program import program_hash
    from fieldsheet.site.kept import Kept

    kept = Kept(Path(out), program_hash())
    found = read_catalog(Path(catalog))
    planned, _ = plan_sound(found, kept)
    products = [
        one
        for one in products_of(Job(found, planned))
        if one.path.endswith(".html") or (one.is_paper and not options)
    ]
    beside = made([one for one in products if not one.is_paper], found, lambda key, make: make())
    pages_s = _again(lambda: press(found, planned, beside))
    return {"pages": pages_s, "all": pages_s + _again(lambda: [one.laid_out() for one in products])}


def _again(act: Callable[[], object]) -> float:
    """Seconds of the processor that all templates take which an act renders, rendered once more."""
    from jinja2 import Template

    calls: list[tuple[Template, Mapping[str, Any]]] = []
    render = Template.render

    def noted(self: Template, *args: Any, **values: Any) -> str:
        calls.append((self, dict(*args, **values)))
        return render(self, *args, **values)

    # Every template is noted, whoever holds it: so the class itself is changed for as long as it takes.
    Template.render = noted  # type: ignore[method-assign]
    act()
    Template.render = render  # type: ignore[method-assign]
    begun = time.process_time()
    for template, values in calls:
        template.render(values)
    return time.process_time() - begun


def plain(pages: str) -> tuple[float, int]:
    """(seconds, pages) of at least so many pages of plain text."""
    from tests.bench import paper

    return paper.plain(pages)


TASKS: dict[str, Callable[..., Any]] = {"build": build, "rendered": rendered, "plain": plain}


def measure(task: str, *words: str) -> Cost:
    return cost_of("tests.bench.scale", task, *words)


def builds_of(shots: int, options: Sequence[str]) -> tuple[dict[str, Cost], Cost, int]:
    """The three builds of a catalog, its templates alone, and how many pages its paper has."""
    with TemporaryDirectory(prefix="fieldsheet-bench-") as folder:
        catalog, out = Path(folder, "catalog"), Path(folder, "out")
        make_catalog(catalog, shots)
        words = (str(catalog), str(out), *options)
        costs = {}
        for name in BUILDS:
            if name == "one edit":
                edit_one(catalog)
            costs[name] = measure("build", *words)
            row(shots, name, costs[name])
        papers = Path(out, "site").resolve().rglob("*.pdf")
        return costs, measure("rendered", *words), sum(map(pages_of, papers))


def pages_of(path: Path) -> int:
    import pypdfium2

    with pypdfium2.PdfDocument(path) as document:
        return len(document)


def head() -> None:
    rooms = "".join(f"{room:>9}" for room in ROOMS)
    names = ("wall", "CPU", "a shot", "peak", "files", "site", "new")
    units = ("s", "s", "ms", "MB", "", "MB", "MB")
    print(f"{'':20}{''.join(f'{name:>8}' for name in names)}  CPU by room [s]")
    print(f"{'shots, build':20}{''.join(f'{unit:>8}' for unit in units)}{rooms}")


def row(shots: int, name: str, cost: Cost) -> None:
    """peak: of the process and its workers together; new: what was written that was not there."""
    found = cost.answer
    peak = cost.peak / 1e6
    sizes = f"{found['bytes'] / 1e6:8.0f}{found['written'] / 1e6:8.0f}"
    rooms = "".join(f"{cost.rooms[room]:9.1f}" for room in ROOMS)
    each_ms = cost.cpu_s / shots * 1e3
    print(
        f"{f'{shots:,}, {name}':20}{cost.wall_s:8.1f}{cost.cpu_s:8.1f}{each_ms:8.0f}{peak:8.0f}"
        f"{found['files']:8.0f}{sizes}{rooms}",
        flush=True,
    )


def growth(costs: Mapping[int, Mapping[str, Cost]]) -> None:
    """What a shot costs in each catalog, and what each further one does: 1 where that is flat."""
    sizes = sorted(costs)
    print(f"\nprocessor a shot, {' : '.join(f'{size:,}' for size in reversed(sizes))}", end="")
    print("; each further shot, of the largest catalog to that of the one before; memory a further shot")
    for name in BUILDS:
        each = [costs[size][name].cpu_s / size for size in reversed(sizes)]
        ratios = " : ".join(f"{one / each[0]:.2f}" for one in each)
        steps = [
            (further(costs, name, low, high, "cpu_s"), further(costs, name, low, high, "peak"))
            for low, high in zip(sizes, sizes[1:], strict=False)
        ]
        times = f"; {steps[-1][0] / steps[-2][0]:.2f}" if len(steps) > 1 else ""
        memory = f"; {steps[-1][1] / 1e3:.0f} KB" if steps else ""
        print(f"  {name}: {ratios}{times}{memory}")


def further(costs: Mapping[int, Mapping[str, Cost]], name: str, low: int, high: int, what: str) -> float:
    """What each shot more costs, from a catalog to a larger one."""
    first, last = (getattr(costs[size][name], what) for size in (low, high))
    return float(last - first) / (high - low)


def floors(shots: int, costs: Mapping[str, Cost], templates: Cost, pages: int) -> None:
    """Builds against the same templates alone, and paper against as many pages of plain text."""
    alone = templates.answer
    cold, idle = costs["from nothing"].cpu_s, costs["no edit"].cpu_s
    print(f"{shots:,} shots, of the processor:")
    print(f"  templates alone {alone['all']:.2f} s; from nothing {cold / alone['all']:.1f} times that")
    print(f"  of the site's pages {alone['pages']:.2f} s; no edit {idle / alone['pages']:.1f} times that")
    if pages:
        drawn_s, drawn = measure("plain", str(min(pages, PLAIN_PAGES))).answer
        floor_s = drawn_s / drawn * pages
        spent_s = costs["from nothing"].rooms["cards"]
        print(f"  {pages} pages of plain text {floor_s:.0f} s; of paper {spent_s / floor_s:.1f} times that")
    # More processors hasten what begins from nothing alone: what an edit spares is counted by their time.
    edit = cold / costs["one edit"].cpu_s
    by_clock = costs["from nothing"].wall_s / costs["one edit"].wall_s
    print(
        f"  one edit {edit:.1f} times cheaper than from nothing; {by_clock:.1f} times by the clock",
        flush=True,
    )
    if pages and shots == LEAST_SHOTS and edit < LEAST_RATIO:
        raise SystemExit(f"cheaper by less than {LEAST_RATIO} times")


def start() -> None:
    """What the command itself takes before it does anything."""
    command = [sys.executable, "-m", "fieldsheet", "--help"]
    subprocess.run(command, stdout=subprocess.DEVNULL, check=True)
    before = getrusage(RUSAGE_CHILDREN)
    subprocess.run(command, stdout=subprocess.DEVNULL, check=True)
    after = getrusage(RUSAGE_CHILDREN)
    spent_s = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    print(f"fieldsheet --help: {spent_s:.2f} s of the processor (at most {MOST_START_S})\n", flush=True)
    if spent_s > MOST_START_S:
        raise SystemExit("slow to start")


def main(words: Sequence[str]) -> None:
    if words and words[0] in TASKS:
        report(lambda: TASKS[words[0]](*words[1:]))
        return
    sizes = [int(word) for word in words if word != "--cards"] or SHOTS
    options = () if "--cards" in words else ("--no-cards",)
    start()
    head()
    found = {shots: builds_of(shots, options) for shots in sizes}
    if len(sizes) > 1:
        growth({shots: costs for shots, (costs, _, _) in found.items()})
    print()
    for shots, (costs, templates, pages) in found.items():
        floors(shots, costs, templates, pages)


if __name__ == "__main__":
    main(sys.argv[1:])
