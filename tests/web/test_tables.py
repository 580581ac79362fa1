"""The tables that both languages read: the phone's modules are packed tighter and hold the same."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable

from playwright.sync_api import BrowserContext

from fieldsheet.site.build import STARS, TABLES, WORDS, modules
from fieldsheet.templates import templates
from tests.web.host import Host

HERE = "/fs/saltings/"
ENTRIES = "async ([path, name]) => Object.entries((await import('/app/' + path))[name])"


def kinds_of(keys: Iterable[str]) -> set[str]:
    """How the keys of words begin; of those of a problem what they end with."""
    return {re.sub(r"^problem\..+\.|\..+", ".", key) for key in keys}


def test_the_phone_has_the_tables_as_python_has_them_but_for_what_it_never_says(
    host: Host, phone: BrowserContext, demo_site: dict[str, bytes]
) -> None:
    host.sites[HERE] = demo_site
    page = phone.new_page()
    page.goto(host.url(HERE))
    tables = {path: json.loads(source.read_text("utf-8")) for path, (_, source) in TABLES.items()}
    got = {path: page.evaluate(ENTRIES, [path, name]) for path, (name, _) in TABLES.items()}
    assert got[STARS] == [[key, value] for key, value in tables[STARS].items()], "in the same order"
    words = dict(got[WORDS])
    assert words == {key: tables[WORDS][key] for key in words}
    missing = tables[WORDS].keys() - words.keys()
    left = kinds_of(missing) - kinds_of(words)
    assert left > {"better.", "clash.", "day.", "total.", ".right"}
    single = {key for key in missing if not kinds_of([key]) & left}
    sources = [text for path, text in modules(templates() / "app").items() if path not in TABLES]
    for said in [".right`", *(quote + begins for begins in (left - {".right"}) | single for quote in '"`')]:
        assert not any(said in text for text in sources), said
