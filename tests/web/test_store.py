"""The list of files that a host gives is not trusted: bounded, checked, and named by its own hash."""

from __future__ import annotations

import hashlib
import json
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.site.sample import sample_site


@pytest.fixture(scope="module")
def old() -> dict[str, bytes]:
    return sample_site()


def spoiled(site: dict[str, bytes], spoil: str) -> dict[str, Any]:
    listed: dict[str, Any] = json.loads(site["version.json"])
    files = listed["files"]
    if spoil == "an entry left out":
        del files["index.html"]
    elif spoil == "another size":
        files["index.html"]["size"] += 1
    elif spoil == "another version":
        listed["version"] = "0" * 64
    elif spoil.startswith("card "):
        listed["cards"][spoil.removeprefix("card ")] = next(iter(listed["cards"].values()))
    elif spoil == "a card without its end":
        del listed["cards"]["cards/slipway.pdf"]["until"]
    else:
        files[spoil] = files["index.html"]
        listed["version"] = version_of(files)
    return listed


def version_of(files: dict[str, Any]) -> str:
    """The version as the page computes it, for lists that the builder would never write."""
    lines = "".join(f"{path} {files[path]['hash']} {files[path]['size']}\n" for path in sorted(files))
    return hashlib.sha256(lines.encode()).hexdigest()


@pytest.mark.parametrize(
    "spoil",
    [
        "an entry left out",
        "another size",
        "another version",
        "../index.html",
        "shots/../../x",
        "/etc/x",
        "//example.org/x",
        "https://example.org/x",
        "shots/a b",
        "./x",
        "card ../slipway.pdf",
        "card cards/../../x.pdf",
        "card index.html",
        "card //example.org/x.pdf",
        "a card without its end",
    ],
)
def test_a_list_that_is_not_sound_is_refused(modules_page: Page, old: dict[str, bytes], spoil: str) -> None:
    parse = """async (text) => {
      const {parseListing} = await import("/app/keep/store.js");
      return parseListing(text).then(() => "", (error) => error.message); }"""
    assert modules_page.evaluate(parse, old["version.json"].decode()) == ""
    said = modules_page.evaluate(parse, json.dumps(spoiled(old, spoil)))
    assert said == "version.json did not arrive as listed"
