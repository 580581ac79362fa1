"""Every scenario in every browser; which of them are not on this machine is said in words.

A scenario begins with a browser that has the site stored: it is stored once, and the profile copied.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import sync_playwright

from tests.browsers.chromium import Chromium
from tests.browsers.engine import Engine
from tests.browsers.firefox import Firefox
from tests.browsers.sheets import HERE, Sheets
from tests.browsers.webkit import WebKitGtk, Wpe
from tests.site.sample import sample_site
from tests.web.host import Host

Kind = Callable[[Path], Engine]
ENGINES: tuple[type[Engine], ...] = (Chromium, WebKitGtk, Wpe, Firefox)
# Those of one browser by one worker, which stores the site once.
PARAMS = [pytest.param(kind, id=kind.name, marks=pytest.mark.xdist_group(kind.name)) for kind in ENGINES]


@pytest.fixture(scope="session", params=PARAMS)
def kind(request: Any) -> Iterator[Kind]:
    """Makes one of the browsers, of a profile folder."""
    engine: type[Engine] = request.param
    if not engine.is_here():
        pytest.skip(f"{engine.name} is not here; on Debian it comes in {' and '.join(engine.packages)}")
    if engine is Chromium:
        with sync_playwright() as driver:
            yield partial(Chromium, driver=driver)
    else:
        yield engine


@pytest.fixture(scope="session")
def site() -> dict[str, bytes]:
    return sample_site()


@pytest.fixture(scope="session")
def serving() -> Iterator[Host]:
    """One host for all: what is stored belongs to its port."""
    serving = Host()
    yield serving
    serving.kill()


@pytest.fixture(scope="session")
def stored(
    kind: Kind, serving: Host, site: dict[str, bytes], tmp_path_factory: pytest.TempPathFactory
) -> Path:
    """A profile in which the site is stored."""
    profile = tmp_path_factory.mktemp("stored") / "profile"
    serving.sites = {HERE: site}
    engine = kind(profile)
    try:
        engine.start()
        Sheets(engine, serving).open("")
        engine.quit()
    finally:
        engine.kill()
    return profile


@pytest.fixture
def host(serving: Host, site: dict[str, bytes]) -> Iterator[Host]:
    """The host as the site was stored from it; a scenario may change it, and leave it dead."""
    serving.sites = {HERE: site}
    serving.slow_s = {}
    yield serving
    serving.kill()
    serving.start()


@pytest.fixture
def engine(kind: Kind, stored: Path, tmp_path: Path) -> Iterator[Engine]:
    """A browser with the site stored, running; nothing of it runs on after the scenario."""
    engine = kind(Path(shutil.copytree(stored, tmp_path / "profile", symlinks=True)))
    try:
        engine.start()
        yield engine
    finally:
        engine.kill()
    assert engine.living() == []


@pytest.fixture
def sheets(engine: Engine, host: Host) -> Sheets:
    return Sheets(engine, host)
