"""A builder's hands: the command with little to compute, on a catalog free to be spoilt."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.robust.little import instead


@pytest.fixture
def little(catalog: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The demo's one shot; builds of this test press a few files of it only."""
    for module, name, value in instead():
        monkeypatch.setattr(module, name, value)
    return catalog
