"""What all tests share: the sky of the demo's years and the demo itself, read and planned once."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

import fieldsheet
from fieldsheet.catalog.read import Catalog, read_catalog
from fieldsheet.press import plan_shot, sky_of
from fieldsheet.sky.fit import fit_year
from fieldsheet.sky.sky import Sky

# Timing belongs to the benchmarks: a slow machine must not fail a property. The same examples each run.
settings.register_profile("fieldsheet", deadline=None, derandomize=True)
settings.load_profile("fieldsheet")

DEMO = Path(fieldsheet.__file__).parent / "demo"
YEARS = (2026, 2027, 2028)


@pytest.fixture(scope="session")
def packs() -> dict[int, bytes]:
    return {year: fit_year(year) for year in YEARS}


@pytest.fixture(scope="session")
def sky(packs: dict[int, bytes]) -> Sky:
    return sky_of(packs)


@pytest.fixture(scope="session")
def demo() -> Catalog:
    return read_catalog(DEMO)


@pytest.fixture
def demo_brief(demo: Catalog) -> dict[str, Any]:
    """A fresh brief of the demo's dusk-to-core shot, to be altered at will."""
    return demo.brief("slipway")


@pytest.fixture(scope="session")
def demo_plan(demo: Catalog, sky: Sky) -> dict[str, Any]:
    return plan_shot(demo.brief("slipway"), sky, {})
