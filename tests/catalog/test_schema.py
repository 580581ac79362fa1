"""The schemas of the files, by an independent validator: never stricter than the reader, as strict as may be.

By design the reader refuses more (STRICTER has cases): keys against keys (exactly three of start, end,
duration, interval_s and frames; one way to place a landmark) and files against files; order, distance and
doubles in lists; the finest step of seconds, minutes and needs; a text of blanks, or with piles of marks; a
date in quotes, which to an editor looks like one without; a fraction where a whole number belongs; marks of
no series; and of texts with signs beyond ASCII whatever is none of its words.
"""

from __future__ import annotations

import copy
import json
import re
import tomllib
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator, FormatChecker
from pydantic import ValidationError

from fieldsheet.catalog.document import MODELS
from fieldsheet.catalog.examples import DEMO
from fieldsheet.catalog.files import FOLDERS
from fieldsheet.catalog.names import BODIES, EVENTS
from fieldsheet.catalog.scan import scan
from fieldsheet.catalog.schema import file_schema, keys_file, schema_text
from fieldsheet.catalog.valuekinds import KINDS
from tests.catalog.conftest import HARBOUR, SAMPLE, Folder
from tests.commands import Run

Values = dict[str, Any]


@cache
def validator(kind: str) -> Draft202012Validator:
    schema = file_schema(kind)
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema, format_checker=FormatChecker())


def files_of(catalog: Path) -> list[tuple[str, Path]]:
    folders = [
        (kind, file) for name, kind in FOLDERS.items() for file in sorted((catalog / name).glob("*.toml"))
    ]
    return [("catalog", catalog / "catalog.toml"), *folders]


FILES = [(kind, file) for folder in (DEMO, SAMPLE, HARBOUR) for kind, file in files_of(folder)]


def as_seen(value: Any) -> Any:
    """A TOML value as an editor gives it to a schema: dates are texts."""
    if isinstance(value, dict):
        return {key: as_seen(part) for key, part in value.items()}
    if isinstance(value, list):
        return [as_seen(part) for part in value]
    if isinstance(value, date):
        return value.isoformat()
    return float(value) if isinstance(value, Decimal) else value


def refused(kind: str, values: Values) -> list[str]:
    return [
        f"{fault.json_path}: {fault.message[:120]}" for fault in validator(kind).iter_errors(as_seen(values))
    ]


def is_read(kind: str, values: Values) -> bool:
    """Whether the reader takes the file by itself."""
    try:
        MODELS[kind].model_validate(values)
    except ValidationError:
        return False
    return True


def loaded(file: Path) -> Values:
    return tomllib.loads(file.read_text("utf-8"), parse_float=Decimal)


@pytest.mark.parametrize(("kind", "file"), FILES, ids=lambda value: getattr(value, "stem", value))
def test_files_that_are_read_fit(kind: str, file: Path) -> None:
    assert refused(kind, loaded(file)) == []


@pytest.mark.parametrize("kind", MODELS)
def test_it_is_a_schema_of_its_own(kind: str) -> None:
    text = schema_text(kind)
    schema = json.loads(text)
    Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["$id"] == f"urn:fieldsheet:{kind}" and schema["title"] == f"fieldsheet {kind}"
    assert keys_file(kind) == text.encode()
    assert "x-value" not in text and "//" not in text.replace(schema["$schema"], "").replace(
        "https?://", ""
    ).replace("https://example.org/", "")
    refs = {ref.removeprefix("#/$defs/") for ref in re.findall(r'"\$ref": "([^"]+)"', text)}
    assert refs == set(schema["$defs"]), "what is defined is used, and what is used defined"


def keys(schema: Values) -> Iterator[tuple[str, Values]]:
    for table in (schema, *schema["$defs"].values()):
        yield from table.get("properties", {}).items()


@pytest.mark.parametrize("kind", MODELS)
def test_every_key_is_described_and_typed(kind: str) -> None:
    for key, value in keys(file_schema(kind)):
        assert value["description"].endswith("."), key
        assert {"type", "enum", "allOf", "anyOf"} & set(value), key
        assert value.get("additionalProperties") is not True, key
        if "default" in value:
            Draft202012Validator({**value, "$defs": file_schema(kind)["$defs"]}).validate(value["default"])


def test_what_may_be_written_is_offered() -> None:
    """Names that an editor completes, and every way to write a moment."""
    for kind, words in (("event", EVENTS), ("moment", EVENTS), ("body", BODIES)):
        assert KINDS[kind]["anyOf"][0]["enum"] == list(words)
        for text in words:
            shuffled = text.title().replace(" ", "  ")
            assert Draft202012Validator({"anyOf": KINDS[kind]["anyOf"][1:]}).is_valid(shuffled)


WRONG: list[tuple[str, str, str, Any]] = [
    # Misspelt keys, at every depth.
    ("catalog", "catalog.toml", "titel", "a"),
    ("shot", "shots/slipway.toml", "intervall_s", 18),
    ("shot", "shots/slipway.toml", "keyframe.0.slide", 1),
    ("shot", "shots/slipway.toml", "exposure.bright.shuter", "1/1000"),
    ("rig", "rigs/rail-and-head.toml", "axis.pan.wrap", 190),
    ("place", "places/gull-point.toml", "air", {"pressure": 990, "temperature_c": 1}),
    # Wrong types.
    ("shot", "shots/slipway.toml", "interval_s", "18"),
    ("shot", "shots/slipway.toml", "title", 7),
    ("shot", "shots/slipway.toml", "frames", True),
    ("shot", "shots/slipway.toml", "keyframe", {}),
    ("shot", "shots/slipway.toml", "reverse", "no"),
    ("shot", "shots/slipway.toml", "start", 20),
    ("camera", "cameras/crop-70.toml", "sensor_mm", [36]),
    ("place", "places/gull-point.toml", "tide.0.high", "03:05"),
    # Out of range.
    ("place", "places/gull-point.toml", "latitude_deg", 90.5),
    ("place", "places/gull-point.toml", "horizon", [[0, 1], [360, 2], [120, 91]]),
    ("shot", "shots/slipway.toml", "interval_s", 0),
    ("shot", "shots/slipway.toml", "zero_bearing_deg", 360),
    ("shot", "shots/slipway.toml", "hold_frames", -1),
    ("shot", "shots/slipway.toml", "title", "x" * 121),
    ("shot", "shots/slipway.toml", "title", ""),
    ("shot", "shots/slipway.toml", "needs.moon.0.lit_pct", [0, 140]),
    ("shot", "shots/slipway.toml", "needs", {}),
    ("rig", "rigs/rail-and-head.toml", "power.moving_wh_per_m", -1),
    ("rig", "rigs/rail-and-head.toml", "axis", {}),
    ("rig", "rigs/rail-and-head.toml", "power.pack.0.reserve", 1),
    ("rig", "rigs/rail-and-head.toml", "letter", "AB"),
    ("camera", "cameras/crop-70.toml", "focal_mm", 0.5),
    # Words and marks that are none.
    ("rig", "rigs/rail-and-head.toml", "motion", "shoot move shoot"),
    ("rig", "rigs/rail-and-head.toml", "axis.pan.unit", "degrees"),
    ("shot", "shots/slipway.toml", "order", "first"),
    ("shot", "shots/slipway.toml", "start", "sunnset - 1h"),
    ("shot", "shots/slipway.toml", "start", "sunset - 1 hour"),
    ("shot", "shots/slipway.toml", "end", "25:00"),
    ("shot", "shots/slipway.toml", "duration", "2 hours"),
    ("shot", "shots/slipway.toml", "keyframe.1.at", "midway"),
    ("shot", "shots/slipway.toml", "keyframe.0.aim.target", "pluto"),
    ("shot", "shots/slipway.toml", "keyframe.0.meant_for", "21:00"),
    ("shot", "shots/slipway.toml", "exposure.bright.iso", 150),
    ("shot", "shots/slipway.toml", "exposure.bright.f", 2.9),
    ("shot", "shots/slipway.toml", "mains_hz", 55),
    ("shot", "shots/slipway.toml", "clip_aspect", "wide"),
    ("shot", "shots/slipway.toml", "needs.weekdays", ["Friday"]),
    ("shot", "shots/slipway.toml", "place", "Gull Point"),
    ("place", "places/gull-point.toml", "zone", "WEST"),
    ("catalog", "catalog.toml", "base_url", "example.org"),
    ("catalog", "catalog.toml", "print.clock_h", 13),
    ("catalog", "catalog.toml", "house.0.section", "packing"),
]  # fmt: skip


def put(values: Any, dotted: str, value: Any) -> None:
    *above, last = [int(part) if part.isdecimal() else part for part in dotted.split(".")]
    for part in above:
        values = values[part]
    values[last] = value


@pytest.mark.parametrize(("kind", "name", "key", "value"), WRONG, ids=lambda value: str(value)[:30])
def test_what_is_wrong_is_refused_by_schema_and_reader(kind: str, name: str, key: str, value: Any) -> None:
    values = loaded(DEMO / name)
    put(values, key, Decimal(str(value)) if isinstance(value, float) else value)
    assert refused(kind, values)
    assert not is_read(kind, values)


STRICTER: list[tuple[str, str, Any]] = [
    ("place", "horizon", [[0, 1], [40, 2], [20, 1], [110, 1], [200, 1], [290, 1]]),
    ("place", "horizon", [[0, 1], [120, 2], [240, 1]]),
    ("place", "landmark.0.latitude_deg", 37),
    ("place", "tide.0.high", ["15:30", "03:05"]),
    ("place", "tide.0.date", "2027-06-05"),
    ("shot", "interval_s", Decimal("2.0005")),
    ("shot", "title", "\u2800"),
    ("shot", "frames", Decimal("300.0")),
    ("shot", "start", "suns\u0435t"),
    ("shot", "start", "sunset - 1h75m"),
    ("shot", "keyframe.1.at", "frame 0"),
    ("shot", "needs.core_usable_h_min", Decimal("1.51")),
    ("shot", "needs.moon.0.lit_pct", [40, 0]),
    ("shot", "exposure.bright.shutter", "1/1111"),
    ("rig", "axis.pan.min", 300),
    ("rig", "axis.pann", {"unit": "deg", "min": 0, "max": 1, "speed_max": 1}),
    ("rig", "orders", ["first-to-last", "first-to-last"]),
    ("camera", "sensor_mm", [Decimal("15.7"), Decimal("23.5")]),
]
OF_DEMO = {
    "place": "places/gull-point.toml",
    "shot": "shots/slipway.toml",
    "rig": "rigs/rail-and-head.toml",
    "camera": "cameras/crop-70.toml",
}


@pytest.mark.parametrize(("kind", "key", "value"), STRICTER, ids=lambda value: ascii(value)[:30])
def test_the_reader_refuses_more_by_design(kind: str, key: str, value: Any) -> None:
    values = loaded(DEMO / OF_DEMO[kind])
    put(values, key, value)
    assert refused(kind, values) == []
    assert not is_read(kind, values)


def test_the_reader_holds_keys_and_files_against_each_other(sample: Folder) -> None:
    shot = next(file for kind, file in files_of(sample.path) if kind == "shot")
    text = shot.read_text("utf-8")
    shot.write_text(re.sub(r"(?m)^interval_s = .*$", "", text), "utf-8")
    assert shot.read_text("utf-8") != text and refused("shot", loaded(shot)) == []
    assert sample.problems() != []


def test_the_reader_takes_the_line_that_tells_an_editor(sample: Folder) -> None:
    for _, file in files_of(sample.path):
        text = file.read_text("utf-8")
        file.write_text(f"#:schema ../schema/{file.stem}.json\n\n{text}", "utf-8")
        assert scan(file.read_bytes()).faults == []
    assert sample.problems() == []


@pytest.mark.parametrize("kind", MODELS)
def test_the_command_prints_it_and_the_words(kind: str, run: Run) -> None:
    assert run("schema", kind) == (0, schema_text(kind), "")
    status, page, complaints = run("schema", kind, "--text")
    assert (status, complaints) == (0, "") and max(map(len, page.splitlines())) <= 80
    heads = [line.strip().partition(":")[0] for line in page.splitlines() if re.match(r"  \w", line)]
    assert {key for key, _ in keys(file_schema(kind))} <= set(heads)


def test_a_plan_has_no_words(run: Run) -> None:
    status, page, complaint = run("schema", "plan", "--text")
    assert (status, page) == (2, "") and "right: one of catalog, place" in complaint


# Values from everywhere in a catalog, and such as hands slip on.
POOL = st.one_of(
    st.sampled_from(
        [
            "",
            " ",
            "start",
            "SUNSET",
            "sun set+10 m",
            "sunset \u2212 5m",
            "core\u00a0usable",
            "Frame7",
            "100 %",
            "24:00",
        ]
        + [
            "7:05",
            "1h",
            "90 M",
            "1/1000 s",
            "0.3",
            "16 : 9",
            "30000/1001",
            "Moon",
            "galactic  core",
            "ſun",
            "none",
        ]
        + ["2027-06-05", "Europe/Lisbon", "europe/lisbon", "gull-point", "A", "mm", "hand", "low tide", "Fri"]
    ),
    st.sampled_from(
        [0, 1, -1, 5, 12, 24, 50, 100, 400, 10**5, True, False, Decimal("0.5"), Decimal("29.97")]
    ),
    st.sampled_from([[], {}, [1], [2, 1], [[0, 1], [45, 2]], ["a"], [100, 200], {"x": 1}, date(2027, 6, 5)]),
    st.integers(-200, 20_000),
    st.decimals(-400, 400, places=2),
    st.text(st.characters(codec="latin-1", exclude_categories=["Cc", "Cf"]), max_size=8),
)


def places_in(value: Any, at: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The path of every key and item."""
    parts = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, part in parts:
        yield (*at, key)
        yield from places_in(part, (*at, key))


@st.composite
def spoilt(draw: st.DrawFn) -> tuple[str, Values]:
    """A file of a catalog with one thing in it, or two, replaced, taken out, doubled, misspelt or respelt."""
    kind, file = draw(st.sampled_from(FILES))
    values = copy.deepcopy(loaded(file))
    for _ in range(draw(st.integers(1, 2))):
        *above, last = draw(st.sampled_from(list(places_in(values))))
        holder: Any = values
        for part in above:
            holder = holder[part]
        _spoil(draw, holder, last)
    return kind, values


def _spoil(draw: st.DrawFn, holder: Any, last: Any) -> None:
    how, old = draw(st.sampled_from(["other", "other", "gone", "key", "text", "number"])), holder[last]
    if how == "gone":
        del holder[last]
    elif how == "key" and isinstance(holder, dict):
        holder[draw(st.sampled_from([*holder, last + "s", "axis", "x"]))] = copy.deepcopy(old)
    elif how == "text" and isinstance(old, str):
        cut = draw(st.integers(0, len(old)))
        holder[last] = draw(st.sampled_from([old.upper(), f" {old} ", f"{old[:cut]} {old[cut:]}", old[:cut]]))
    elif how == "number" and isinstance(old, int | Decimal):
        holder[last] = draw(st.sampled_from([-old, old * 10, old + 1, Decimal(old) / 3]))
    else:
        holder[last] = copy.deepcopy(draw(POOL))


@given(spoilt())
def test_it_is_never_stricter_than_the_reader(case: tuple[str, Values]) -> None:
    kind, values = case
    faults = refused(kind, values)
    assert not faults or not is_read(kind, values), faults
