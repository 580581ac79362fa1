"""What all tests share: the sky of the demo's years and the demo itself, read and planned once.

And an ear: any test during which the cards' renderer or its font tools had anything to say fails.
"""

from __future__ import annotations

import logging
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import fieldsheet
from fieldsheet import cli, nights, press
from fieldsheet.catalog.read import Catalog, read_catalog
from fieldsheet.press import Planned, plan_catalog, plan_shot, sky_of
from fieldsheet.sky.sky import Sky
from tests import long, skies
from tests.commands import Run
from tests.web import tardy

DEMO = Path(fieldsheet.__file__).parent / "demo"
YEARS = (2026, 2027, 2028)
# As many as reach, with those of tests/web/seldom.py, every warning and every problem.
BRIEFS = 150
# Half a minute in one piece; the next longest are a third of it.
LONGEST = "tests/web/test_twins.py"


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--briefs", type=int, default=BRIEFS, help="random briefs that both languages plan")
    parser.addoption("--long", action="store_true", help="try many more random cases, and others each time")
    parser.addoption("--tardy", action="store_true", help="pages run late what a browser may run late")


def pytest_configure(config: pytest.Config) -> None:
    if config.getoption("--long"):
        long.go_long()
    long.load_profile()
    if config.getoption("--tardy"):
        tardy.go_tardy()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The longest begins first, lest one worker is still at it when the others have nothing left to do."""
    items.sort(key=lambda item: not item.nodeid.startswith(LONGEST))


@pytest.fixture(scope="session", autouse=True)
def known_years() -> Iterator[None]:
    """What commands and builds ask for a year of the sky: tests/sky fits it anew."""
    with pytest.MonkeyPatch.context() as patched:
        for asking in (press, nights):
            patched.setattr(asking, "fit_year", skies.fit_year)
        yield


@pytest.fixture(scope="session")
def packs() -> dict[int, bytes]:
    return {year: skies.fit_year(year) for year in YEARS}


@pytest.fixture(scope="session")
def sky(packs: dict[int, bytes]) -> Sky:
    return sky_of(packs)


@pytest.fixture(scope="session")
def demo() -> Catalog:
    return read_catalog(DEMO)


@pytest.fixture(scope="session")
def demo_planned(demo: Catalog) -> Planned:
    """All of the demo, planned and said. Not to be altered."""
    return plan_catalog(demo)


@pytest.fixture(scope="session")
def one_shot(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's catalog with its dusk-to-core shot alone, quick to build. Not to be spoilt."""
    folder = Path(shutil.copytree(DEMO, tmp_path_factory.mktemp("one") / "catalog"))
    for path in (folder / "shots").iterdir():
        if path.stem != "slipway":
            path.unlink()
    return folder


@pytest.fixture
def demo_brief(demo: Catalog) -> dict[str, Any]:
    """A fresh brief of the demo's dusk-to-core shot, to be altered at will."""
    return demo.brief("slipway")


@pytest.fixture(scope="session")
def demo_plan(demo: Catalog, sky: Sky) -> dict[str, Any]:
    return plan_shot(demo.brief("slipway"), sky, {})


class Said(logging.Handler):
    """Keeps what a logger said at warning level or above."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(record.getMessage())


@pytest.fixture(scope="session", autouse=True)
def ear() -> Iterator[Said]:
    """Listens from before the first card: cards shared by several tests are made outside any of them."""
    handler = Said()
    loggers = [logging.getLogger(name) for name in ("weasyprint", "fontTools")]
    for logger in loggers:
        logger.addHandler(handler)
    yield handler
    for logger in loggers:
        logger.removeHandler(handler)


@pytest.fixture(autouse=True)
def said(ear: Said) -> Iterator[list[str]]:
    yield ear.lines
    heard = list(ear.lines)
    ear.lines.clear()
    assert heard == []


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs a command in this process: (exit status, standard output, standard error)."""

    def command(*words: str | Path) -> tuple[int, str, str]:
        try:
            status = cli.main([str(word) for word in words])
        except SystemExit as stop:
            status = int(stop.code or 0)
        shown = capsys.readouterr()
        return status, shown.out, shown.err

    return command


@pytest.fixture
def catalog(one_shot: Path, tmp_path: Path) -> Path:
    """A copy of the demo's one shot, free to be spoilt."""
    return Path(shutil.copytree(one_shot, tmp_path / "catalog"))
