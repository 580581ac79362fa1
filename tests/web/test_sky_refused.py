"""What is no sound sky pack, or outside one: numpy and JavaScript refuse it in the same words."""

from __future__ import annotations

import struct
import zlib
from typing import Any

import pytest
from playwright.sync_api import Page

from fieldsheet.sky.find import find_events
from fieldsheet.sky.observe import Site
from fieldsheet.sky.pack import PackError, SpanError, read_pack
from fieldsheet.sky.sky import Sky
from tests.skies import fit_year
from tests.web.test_sky_twins import YEARS, as_text, in_browser, sky


def refused(act: Any) -> str:
    with pytest.raises((PackError, SpanError, ValueError)) as caught:
        act()
    return str(caught.value)


def test_both_readers_refuse_in_the_same_words(modules_page: Page) -> None:
    whole = fit_year(2027)

    def sealed(at: int, new: int) -> bytes:
        data = whole[:at] + bytes([new]) + whole[at + 1 : -4]
        return data + struct.pack("<I", zlib.crc32(data))

    damaged = {
        "empty": b"",
        "short": whole[:59],
        "header only": whole[:60],
        "cut": whole[:-1],
        **{f"cut at {at}": whole[:at] for at in (61, 88, 1000, 7001)},
        "longer": whole + b"\0",
        "other file": b"PK\3\4" + whole[4:],
        "other version": sealed(4, 9),
        "more leap rows": sealed(36, 3),
        "more tables": sealed(37, 11),
        "fewer tables": sealed(37, 9),
        "no tables": sealed(37, 0),
        **{
            f"bit at {at}": whole[:at] + bytes([whole[at] ^ 1 << at % 8]) + whole[at + 1 :]
            for at in (*range(120), *range(120, len(whole), 127))  # all of the header, and the first table's
        },
    }
    first_s, end_s = sky().span_s
    theirs = in_browser(
        modules_page,
        """
        const packs = given.packs.map((text) => readPack(bufferOf(text)));
        const sky = makeSky(packs);
        const site = makeSite(28, -17, 0);
        return {
          damaged: given.damaged.map((text) => wordsOf(() => readPack(bufferOf(text)))),
          gap: wordsOf(() => makeSky([packs[0], packs[0]])),
          none: wordsOf(() => makeSky([])),
          before: wordsOf(() => sky.vectorKm("sun", given.before_s)),
          after: wordsOf(() => findEvents(sky, site, "sunset", given.before_s + 5, given.end_s)),
          nan: wordsOf(() => sky.vectorKm("sun", NaN)),
          body: wordsOf(() => sky.vectorKm("ut1-tai", given.end_s - 5)),
          frame: wordsOf(() => sky.isFar("star frame")),
          inherited: wordsOf(() => sky.isFar("constructor")),
          events: ["moon rise", "north pole rise", "toString"].map((name) => wordsOf(() => eventNamed(name))),
          maker: packs[0].maker,
        };
        """,
        {
            "packs": [as_text(fit_year(year)) for year in YEARS],
            "damaged": [as_text(data) for data in damaged.values()],
            "before_s": first_s - 1.0,
            "end_s": end_s,
        },
    )
    for (name, data), words in zip(damaged.items(), theirs["damaged"], strict=True):
        assert words == refused(lambda data=data: read_pack(data)), name
    site = Site(28.0, -17.0, 0.0)
    pack = read_pack(fit_year(2026))
    assert theirs["gap"] == refused(lambda: Sky([pack, pack]))
    assert theirs["none"] == refused(lambda: Sky([]))
    assert theirs["before"] == refused(lambda: sky().vector_km("sun", first_s - 1.0))
    assert theirs["after"] == refused(lambda: find_events(sky(), site, "sunset", first_s + 4.0, end_s))
    assert theirs["nan"] == refused(lambda: sky().vector_km("sun", float("nan")))
    assert theirs["body"] == refused(lambda: sky().vector_km("ut1-tai", end_s - 5.0))
    assert theirs["frame"] == refused(lambda: sky().is_far("star frame"))
    assert theirs["inherited"] == refused(lambda: sky().is_far("constructor"))
    assert theirs["events"] == [
        f"no event of the sky is called {name}" for name in ("moon rise", "north pole rise", "toString")
    ]
    assert theirs["maker"] == pack.maker
    assert "2026 to 2027" in theirs["before"]
