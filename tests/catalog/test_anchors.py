"""The words for moments: every form that is accepted, and what is said about the others."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.catalog.anchors import anchor, duration_ms, position
from fieldsheet.catalog.names import EVENTS
from fieldsheet.catalog.words import Wrong

GOOD_ANCHORS: list[tuple[str, dict[str, Any]]] = [
    ("sunset", {"event": "sunset", "offset_s": 0}),
    ("sunset - 1h15m", {"event": "sunset", "offset_s": -4500}),
    ("Sunset-1H15M", {"event": "sunset", "offset_s": -4500}),
    ("  astronomical   dusk + 40m ", {"event": "astronomical dusk", "offset_s": 2400}),
    ("astronomicaldusk+40 m", {"event": "astronomical dusk", "offset_s": 2400}),
    ("sunset \u2212 30s", {"event": "sunset", "offset_s": -30}),
    ("core rise + 1 h 2 m 3 s", {"event": "core rise", "offset_s": 3723}),
    ("moonset + 90m", {"event": "moonset", "offset_s": 5400}),
    ("sunrise - 24h", {"event": "sunrise", "offset_s": -86400}),
    ("Antares Rise", {"event": "antares rise", "offset_s": 0}),
    ("rigil kentaurus highest - 5m", {"event": "rigil kentaurus highest", "offset_s": -300}),
    ("jupiter set", {"event": "jupiter set", "offset_s": 0}),
    ("moon highest", {"event": "moon highest", "offset_s": 0}),
    ("core usable", {"event": "core usable", "offset_s": 0}),
    ("CORE UNUSABLE-10m", {"event": "core unusable", "offset_s": -600}),
    ("high tide + 1h", {"event": "high tide", "offset_s": 3600}),
    ("exit closes - 45m", {"event": "exit closes", "offset_s": -2700}),
    ("16:20", {"clock_s": 58800}),
    ("4:05", {"clock_s": 14700}),
    ("00:00", {"clock_s": 0}),
    ("23:59", {"clock_s": 86340}),
]

SPAN_RIGHT = "hours, minutes, seconds in that order after the sign, such as 'sunset - 1h15m'"
ANCHOR_RIGHT = "an event with or without an offset, such as 'sunset - 1h15m', or a clock time such as '16:20'"
ALL_EVENTS = (
    "the events are sunrise, sunset, civil, nautical and astronomical dawn and dusk, moonrise, moonset, "
    "core rise, core set, core highest, core usable, core unusable, high tide, low tide, wet line, "
    "exit closes, and such as 'antares rise', 'jupiter set', 'moon highest', "
    "'sun behind ridge', 'core over ridge'"
)
BAD_ANCHORS = [
    ("sunset -1h75", "'sunset -1h75'", SPAN_RIGHT),
    ("sunset - 1h75m", "'sunset - 1h75m'", SPAN_RIGHT),
    ("sunset - 15m1h", "'sunset - 15m1h'", SPAN_RIGHT),
    ("sunset -", "'sunset -'", SPAN_RIGHT),
    ("sunset - \u0663m", "'sunset - \u0663m'", SPAN_RIGHT),
    ("sunset - 25h", "'sunset - 25h'", "an offset of at most 24h"),
    ("sunsett - 1h", "'sunsett - 1h'", "'sunset' (did you mean that?)"),
    ("astronomic dusk", "'astronomic dusk'", "'astronomical dusk' (did you mean that?)"),
    ("antares rize", "'antares rize'", "'antares rise' (did you mean that?)"),
    ("jupitre set + 1h", "'jupitre set + 1h'", "'jupiter set' (did you mean that?)"),
    ("core useable", "'core useable'", "'core usable' (did you mean that?)"),
    ("dusk", "'dusk'", "civil, nautical or astronomical dusk"),
    ("24:00", "'24:00'", "a clock time from '00:00' to '23:59'"),
    ("12:60", "'12:60'", "a clock time from '00:00' to '23:59'"),
    (
        "16:20 + 10m",
        "'16:20 + 10m'",
        "a clock time of 24 hours such as '16:20' or '04:05', and nothing after it",
    ),
    (
        "",
        "empty text",
        ANCHOR_RIGHT,
    ),
    (
        "tea",
        "'tea'",
        f"{ANCHOR_RIGHT}; {ALL_EVENTS}",
    ),
]

GOOD_POSITIONS: list[tuple[str, dict[str, Any]]] = [
    ("start", {"fraction": 0.0}),
    ("Halfway", {"fraction": 0.5}),
    ("end", {"fraction": 1.0}),
    ("frame 376", {"frame": 376}),
    ("Frame376", {"frame": 376}),
    ("50%", {"fraction": 0.5}),
    ("12.5 %", {"fraction": 0.125}),
    ("100%", {"fraction": 1.0}),
    ("sunset + 10m", {"event": "sunset", "offset_s": 600}),
    ("21:40", {"clock_s": 78000}),
]

POSITION_RIGHT = "'start', 'halfway', 'end', 'frame 376', '50%', 'sunset + 10m' or '21:40'"
BAD_POSITIONS = [
    ("half way", "'half way'", "'halfway' (did you mean that?)"),
    ("hafway", "'hafway'", "'halfway' (did you mean that?)"),
    ("start + 10m", "'start + 10m'", POSITION_RIGHT),
    ("frame", "'frame'", POSITION_RIGHT),
    ("frame -3", "'frame -3'", POSITION_RIGHT),
    ("frame 0", "'frame 0'", "'frame 1' or later: frames count from 1"),
    ("376", "'376'", POSITION_RIGHT),
    ("101%", "'101%'", "'0%' to '100%'"),
    ("moonrize", "'moonrize'", "'moonrise' (did you mean that?)"),
    ("\u202eend", "'\\u202eend'", POSITION_RIGHT),
]

GOOD_DURATIONS = [("2h30m", 9_000_000), ("90m", 5_400_000), ("45s", 45_000), ("24H", 86_400_000)]
DURATION_RIGHT = "hours, minutes, seconds in that order, such as '2h30m', '90m' or '45s'"
BAD_DURATIONS = [
    ("2:30", "'2:30'", DURATION_RIGHT),
    ("2.5h", "'2.5h'", DURATION_RIGHT),
    ("-2h", "'-2h'", DURATION_RIGHT),
    ("0m", "'0m'", "more than nothing and at most 24h"),
    ("24h1m", "'24h1m'", "more than nothing and at most 24h"),
]


@pytest.mark.parametrize(("text", "meaning"), GOOD_ANCHORS)
def test_an_anchor_means(text: str, meaning: dict[str, Any]) -> None:
    assert anchor(text) == meaning


@pytest.mark.parametrize(("text", "meaning"), GOOD_POSITIONS)
def test_a_position_means(text: str, meaning: dict[str, Any]) -> None:
    assert position(text) == meaning


@pytest.mark.parametrize(("text", "milliseconds"), GOOD_DURATIONS)
def test_a_duration_means(text: str, milliseconds: int) -> None:
    assert duration_ms(text) == milliseconds


@pytest.mark.parametrize(
    ("read", "text", "found", "right"),
    [(anchor, *row) for row in BAD_ANCHORS]
    + [(position, *row) for row in BAD_POSITIONS]
    + [(duration_ms, *row) for row in BAD_DURATIONS],
)
def test_what_is_no_moment_is_told_what_would_be(read: Any, text: str, found: str, right: str) -> None:
    with pytest.raises(Wrong) as caught:
        read(text)
    assert (caught.value.found, caught.value.right) == (found, right)


@given(
    st.sampled_from(EVENTS),
    st.sampled_from("+-"),
    st.integers(0, 23),
    st.integers(0, 59),
    st.integers(0, 59),
)
def test_offsets_add_up(event: str, sign: str, hours: int, minutes: int, seconds: int) -> None:
    offset_s = anchor(f"{event} {sign} {hours}h{minutes}m{seconds}s")["offset_s"]
    assert offset_s == (hours * 3600 + minutes * 60 + seconds) * (1 if sign == "+" else -1)


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    for read in (anchor, position, duration_ms):
        try:
            read(text)
        except Wrong as refused:
            assert refused.found.isprintable()
            assert refused.right.isprintable()
