"""The reference of keys: no key without its words, no words without a key, nothing said by hand twice."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from fieldsheet.catalog import defaults, meaning, models
from fieldsheet.catalog.document import MODELS
from fieldsheet.catalog.meaning import ABOUT, CASES, left_out, purpose
from fieldsheet.catalog.models.table import tables_under
from fieldsheet.catalog.reference import file_reference, reference, value_kinds
from fieldsheet.catalog.taken import defaults_taken
from fieldsheet.catalog.valuekinds import KINDS

TABLES = {table.__name__: table for model in MODELS.values() for table in tables_under(model)}
# Defaults that are those of another key.
HANGING = {
    "order": "the first of the rig's orders",
    "acceleration_max": "as speed_max",
    "iso_max": "as far as the camera's",
    "shutter_max": "as the camera's, within longest_shutter_s",
    "apertures": "the two of bright and dark",
    "at": "the brightest, or the darkest, moment",
}
FOLDER = Path(str(models.__file__)).parent / "keys"


def texts() -> dict[str, dict[str, str]]:
    files = [tomllib.loads(file.read_text("utf-8")) for file in sorted(FOLDER.glob("*.toml"))]
    names = Counter(name for file in files for name in file)
    assert [name for name, count in names.items() if count > 1] == []
    return {name: keys for file in files for name, keys in file.items()}


def explained_badly(table: type[BaseModel], name: str) -> str:
    """What is wrong with the text of a key; "" where nothing is."""
    field = table.model_fields[name]
    text = meaning.meaning(table, field.alias or name)
    if not re.match(r"[A-Z0-9]|true: ", text) or not text.endswith(".") or "$" in text:
        return "no sentence"
    if len(re.findall(r"[.](?= |$)", text)) > 3 or len(text) > 260:
        return "too long"
    said_twice = left_out(field) and "Left out" in text or "default" in text.lower()
    return "a default that the model knows" if said_twice else ""


def test_every_key_is_explained() -> None:
    keys = [(table, name) for table in TABLES.values() for name in table.model_fields]
    assert len(keys) > 250
    assert [
        (table.__name__, name, why) for table, name in keys if (why := explained_badly(table, name))
    ] == []


def test_every_table_is_explained() -> None:
    for table in TABLES.values():
        assert purpose(table).endswith(".")
        assert ABOUT not in [field.alias or name for name, field in table.model_fields.items()]


def test_nothing_is_explained_that_no_file_may_hold() -> None:
    known = {
        base.__name__: {ABOUT, *(field.alias or name for name, field in base.model_fields.items())}
        for table in TABLES.values()
        for base in table.__mro__
        if issubclass(base, BaseModel) and base is not BaseModel
    }
    assert [
        (name, key) for name, keys in texts().items() for key in keys if key not in known.get(name, ())
    ] == []


def test_a_key_without_words_is_told() -> None:
    class Bare(BaseModel):
        unheard_of: int = 0

    with pytest.raises(KeyError, match=r"Bare\.unheard_of"):
        meaning.meaning(Bare, "unheard_of")


def test_a_default_that_hangs_on_other_keys_is_told_for_each_case() -> None:
    factories = {
        field.default_factory
        for table in TABLES.values()
        for field in table.model_fields.values()
        if field.default_factory_takes_validated_data
    }
    assert factories == set(CASES)


@cache
def rows(kind: str) -> dict[tuple[str, str], dict[str, Any]]:
    return {
        (table["name"], one["key"]): one for table in file_reference(kind)["tables"] for one in table["keys"]
    }


PAIRS = "list of at most 20 pairs, [0 to 90, above 0 to 1000]"
STEPS = '1 in "mm"; 0.1 in "deg"; 0.01 in "turns"; 1 in "percent"'
AXIS, ENDS = "number, above 0 to 100000", "whole number, 0 to 10000 or table"


@pytest.mark.parametrize(
    ("kind", "table", "key", "type_", "holds", "line"),
    [
        ("place", "", "latitude_deg", "number, degrees, −90 to 90", "", "latitude_deg = 37.08"),
        (
            "place",
            "[[landmark]]",
            "height_m",
            "number, metres, 0 to 1000",
            "0 with a position",
            "height_m = 30",
        ),
        ("place", "air = { … }", "temperature_c", "number, °C, −60 to 60", "", "temperature_c = 20"),
        ("rig", "", "load_kg", PAIRS, "", "load_kg = [[0, 6.5], [45, 4.8], [90, 3.2]]"),
        ("rig", "", "motion", '"shoot-move-shoot", "continuous" or "none"', "", 'motion = "none"'),
        ("rig", "[axis.NAME]", "step", "number, above 0 to 100", STEPS, "step = 0.5"),
        ("rig", "[axis.slide]", "acceleration_max", AXIS, "as speed_max", "acceleration_max = 15.0"),
        ("rig", "", "axis", "table", "", ""),
        ("camera", "", "pixels", "list of 2, each: whole number, 100 to 50000", "", "pixels = [6000, 4000]"),
        ("shot", "", "fps", "frames a second", "25", "fps = 25"),
        ("shot", "", "hold_frames", ENDS, "0", "hold_frames = { start = 12, end = 25 }"),
        ("shot", "", "night", "date", "", "night = 2027-06-08"),
        ("shot", "", "reverse", "true or false", "false", ""),
        ("shot", "[needs]", "darkness_h_min", "number, hours, above 0 to 24", "", "darkness_h_min = 3"),
        ("shot", "aim = { … } in [[keyframe]]", "x", "number, −1 to 1", "0", "x = 0.1"),
        ("catalog", "", "house", "tables, at most 200", "", ""),
    ],
)
def test_a_key_in_words(kind: str, table: str, key: str, type_: str, holds: str, line: str) -> None:
    row = rows(kind)[table, key]
    assert (row["type"], row["left_out"], row["example"]) == (type_, holds, line)


def test_what_a_plan_lived_on_is_what_the_reference_promises(demo: Any) -> None:
    """Every default that `plan` names is told, with the same value, where the key is explained."""
    said = {(key, value) for shot in demo.shots for key, value in defaults_taken(demo, shot)}
    assert len(said) > 30
    for dotted, value in said:
        met = re.match(r"\W*(?:start |in )?([^,]+)", value)
        assert met
        key, first = dotted.rpartition(".")[2], met[1]
        told = [
            f"{row['left_out']} {row['about']}".replace('"', "")
            for (_, name), row in rows(dotted.partition(".")[0]).items()
            if name == key
        ]
        assert any(HANGING.get(key, first) in text for text in told), (dotted, value, told)


def test_it_is_json_and_complete() -> None:
    kinds = reference()
    assert [kind["file"] for kind in kinds] == [
        "catalog.toml", "places/*.toml", "rigs/*.toml", "cameras/*.toml", "shots/*.toml",
    ]  # fmt: skip
    assert len({table["about"] for kind in kinds for table in kind["tables"]}) == len(TABLES)
    assert [one["name"] for one in value_kinds()] == [kind["title"] for kind in KINDS.values()]
    assert str(defaults.FPS) == rows("shot")["", "fps"]["left_out"]
