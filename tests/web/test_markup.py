"""The pages of the demo's catalog are valid HTML; one of every kind is validated in test_hostile_texts.py."""

from __future__ import annotations

import pytest

from tests.validated import faults

PAGE = "<!doctype html><html lang=en><head><title>A page</title></head><body><main>{}</main></body></html>"
# What stands in a page -> what is found.
WRONG = {
    "<p id=a></p><p id=a></p>": "no-dup-id",
    "<label for=b>x</label>": "no-missing-references",
    "<div><span></div>": "close-order",
    "<p class=a class=b>": "no-dup-attr",
    "<p><div></div></p>": "close-order",
    "<ul><p>x</p></ul>": "element-permitted-content",
    "<button>x</button>": "no-implicit-button-type",
    "<input type=colour>": "attribute-allowed-values",
    "<marquee>x</marquee>": "deprecated",
}


@pytest.fixture(scope="module")
def found(demo_site: dict[str, bytes], tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """What the validator says of the pages that the demo fills, and of those that are wrong."""
    filled = ("index.html", "shots/", "nights/", "years/", "kit/")
    pages = {
        path: data for path, data in demo_site.items() if path.startswith(filled) and path.endswith(".html")
    }
    assert len(pages) > 12
    wrong = {f"wrong/{n}.html": PAGE.format(text).encode() for n, text in enumerate(WRONG)}
    return faults(pages | wrong, tmp_path_factory.mktemp("pages"))


def test_faults_of_markup_are_found(found: list[str]) -> None:
    for n, kind in enumerate(WRONG.values()):
        assert any(f"wrong/{n}.html:" in line and f"[{kind}]" in line for line in found), kind


def test_every_page_that_the_demo_fills_is_valid(found: list[str]) -> None:
    assert [line for line in found if "wrong/" not in line] == []
