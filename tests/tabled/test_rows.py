"""Tables of shots: what spreadsheets make of them is read or refused by cell, and a shot comes back whole."""

from __future__ import annotations

import csv
import io
import tomllib
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.catalog.document import read_document
from fieldsheet.catalog.models.shot import Shot
from fieldsheet.catalog.words import Wrong
from fieldsheet.tabled.cells import cell_of, value_of
from fieldsheet.tabled.columns import flat, name_of, path_of, usual
from fieldsheet.tabled.rows import MOST_SHOWN, Rows, read_rows
from fieldsheet.tabled.shotfile import shot_text
from fieldsheet.tabled.written import csv_of

HEAD = "id,title,interval_s,keyframe.1.at"


def read(text: str | bytes) -> Rows:
    return read_rows("t.csv", text if isinstance(text, bytes) else text.encode())


def told(text: str | bytes) -> list[str]:
    return [str(problem) for problem in read(text).problems]


@pytest.mark.parametrize(
    ("column", "path"),
    [
        ("title", ("title",)),
        ("keyframe.1.at", ("keyframe", 0, "at")),
        ("keyframe.50.aim.target", ("keyframe", 49, "aim", "target")),
        ("needs.moon.2.lit_pct.1", ("needs", "moon", 1, "lit_pct", 0)),
        ("crew.first assistant.2", ("crew", "first assistant.2")),
        ("keyframe.1.axes.lift", ("keyframe", 0, "axes", "lift")),
        ("hold_frames", ("hold_frames",)),
        ("hold_frames.start", ("hold_frames", "start")),
        *((name, None) for name in ("", "nope", "title.x", "keyframe.0.at", "keyframe.51.at", "keyframe.at")),
        *((name, None) for name in ("start.event", "crew.", "keyframe.1", "keyframe.١.at", "keyframe.1.")),
    ],
)
def test_a_column_is_a_key_of_a_shot_or_unknown(column: str, path: Any) -> None:
    found = path_of(column)
    if column == "keyframe.1":
        assert found == ("keyframe", 0)  # a table: whatever stands in its cell is refused by the reader
    else:
        assert found == path
    assert found is None or name_of(found) == column


@pytest.mark.parametrize(
    ("column", "cell", "value"),
    [
        ("interval_s", "18", 18),
        ("interval_s", " 18.50 ", Decimal("18.50")),
        ("interval_s", "1E+03", 1000),
        ("keyframe.1.pan_deg", "-84.9", Decimal("-84.9")),
        ("reverse", "TRUE", True),
        ("night", "2027-06-05", date(2027, 6, 5)),
        ("night", "05/06/2027", "05/06/2027"),  # refused by the reader, as no date
        ("fps", "30000/1001", "30000/1001"),
        ("exposure.dark.shutter", "13", 13),
        ("exposure.bright.shutter", "1/2000", "1/2000"),
        ("title", "2027", "2027"),
        ("title", "'=now()", "=now()"),
        ("title", "''tis dusk", "'tis dusk"),
        ("stays", "true", "true"),
        ("clip_aspect", "16:09:00", "16:09:00"),  # refused by the reader, too
        ("interval_s", "007", "007"),
    ],
)
def test_a_cell_is_read_as_its_column_means_it(column: str, cell: str, value: Any) -> None:
    path = path_of(column)
    assert path is not None
    found = value_of(cell, path)
    assert (found, type(found)) == (value, type(value))


@pytest.mark.parametrize("cell", ["12,5", "-0,25"])
def test_a_decimal_comma_is_refused_with_the_point_that_is_meant(cell: str) -> None:
    with pytest.raises(Wrong, match="a point before the decimals") as refused:
        value_of(cell, ("interval_s",))
    assert refused.value.right.startswith(cell.replace(",", "."))


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "'", "\t", " ="])
def test_text_that_a_spreadsheet_would_compute_is_written_behind_an_apostrophe(sign: str) -> None:
    """Source: OWASP, CSV Injection."""
    assert cell_of(f"{sign}cmd()") == f"'{sign}cmd()"
    assert cell_of(Decimal("-84.9")) == "-84.9" and cell_of("K1 = dusk") == "K1 = dusk"


@pytest.mark.parametrize(
    "data",
    [
        f"{HEAD}\r\none,One,18,start\r\n".encode(),
        f"\ufeff{HEAD}\none,One,18,start".encode(),
        f"{HEAD}\r\none,One,18,start\r\n".encode("utf-16"),
        b"id;title;interval_s;keyframe.1.at\none;One;18;start\n",
        b"sep=;\r\nid;title;interval_s;keyframe.1.at\r\none;One;18;start\r\n",
        b"id\ttitle\tinterval_s\tkeyframe.1.at\none\tOne\t18\tstart\n",
        b'"id";"title";"interval_s";"keyframe.1.at"\n"one";"One";"18";"start"\n',
        b"\n\nid;title;interval_s;keyframe.1.at\n;;;\none;One;18;start\n ; ;;\n",
        b"keyframe.1.at, ID ,interval_s,title\n start , one , 18 , One \n",
    ],
    ids=["crlf", "bom", "utf-16", "semicolons", "sep", "tabs", "quoted", "blank lines", "order and blanks"],
)
def test_however_a_spreadsheet_saves_it_the_row_is_the_same(data: bytes) -> None:
    found = read(data)
    assert found.problems == []
    assert [row.shot_id for row in found.rows] == ["one"]
    assert found.rows[0].values == {"title": "One", "interval_s": 18, "keyframe": [{"at": "start"}]}


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"", "t.csv: found an empty file"),
        (b"\xff\xfe\x00", "t.csv: found bytes that are not UTF-8"),
        (f"{HEAD}\none,Düne,1,start".encode("cp1252"), "t.csv: found bytes that are not UTF-8"),
        (b"PK\x03\x04\x00\x00", "t.csv: found a file of bytes"),
        (b"x" * (4 * 2**20 + 1), "t.csv: found a file of more than 4 MB"),
        (b"title,interval_s\nOne,18", "t.csv:1: found no column 'id'"),
        (b"id,titel\none,One", "t.csv:1: column B: found 'titel'; right: title (did you mean that?)"),
        (b"id" + b"," * 10**6, "t.csv: found 1000001 columns; right: at most 2000"),
        (b"id,title\n" + b"x\n" * 10**6, "t.csv:2002: found more than 2000 rows"),
        (b"sep=ab\nid,title\none,One", "t.csv: found 'sep=ab'; right: sep= with a comma"),
        (b"sep=\nid,title\none,One", "t.csv: found 'sep='; right: sep= with a comma"),
        (b"id,title,title\none,One,One", "t.csv:1: column C: found 'title' twice"),
        (f"{HEAD}\none,One,18".encode(), "t.csv:2: found 3 cells; right: 4, as the head has"),
        (f"{HEAD}\nOne!,One,18,start".encode(), "t.csv:2: column A id: found 'One!'; right: small letters"),
        (f"{HEAD}\none,O,1,start\none,O,1,end".encode(), "t.csv:3: id: found 'one'; right: another name"),
        (f'{HEAD}\none,O,"1,5",start'.encode(), "t.csv:2: column C interval_s: found '1,5'; right: 1.5"),
        (f'{HEAD}\none,"O"x,1,start'.encode(), "t.csv:2: found quotes that do not close"),
        (f'{HEAD}\n\none,"O,1,start'.encode(), "t.csv:3: found quotes that do not close"),
        (b"id,hold_frames,hold_frames.end\none,3,4", "t.csv:2: hold_frames: found hold_frames and a column"),
        (
            "\n".join(["id", *(f"s{n}" for n in range(2001))]).encode(),
            "t.csv:2002: found more than 2000 rows",
        ),
    ],
)
def test_what_cannot_be_read_is_told_by_line_and_column(data: bytes, expected: str) -> None:
    found = told(data)
    assert any(expected in problem for problem in found), found
    assert len(found) <= MOST_SHOWN + 1


@given(st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
def test_whatever_is_in_the_file_it_is_read_or_refused(data: bytes) -> None:
    found = read(HEAD.encode() + b"\n" + data)
    assert all(row.shot_id and row.line >= 2 for row in found.rows)
    read(data)


def test_the_usual_columns_are_the_single_keys_of_a_shot_in_their_order() -> None:
    keys = [name_of(path) for path in usual()]
    assert keys[:3] == ["title", "place", "rig"] and len(keys) == len(set(keys))
    tables = {"notes", "phase", "rail", "exposure", "swap", "heater", "crew", "pack", "needs", "keyframe"}
    everything = {field.alias or name for name, field in Shot.model_fields.items()}
    assert set(keys) == everything - tables


# --- a random shot, as a file, as a row, and as a file again ---------------------------------------------

_words = st.text(st.characters(categories=("L", "N", "P", "S", "Zs")), min_size=1, max_size=20).filter(
    lambda text: text.strip() and not text.startswith("\ufeff")
) | st.sampled_from(["=1+1", "+1", "-x", "@a", "'quoted'", 'a "b", c', "a;b", "2027", "true", "1,5", " = "])
_frames = st.integers(0, 500)
_decimals = st.decimals(-60, 60, places=2)
_positions = st.sampled_from(["start", "halfway", "end", "frame 376", "50%", "sunset - 1h15m", "16:20"])
_aims = st.fixed_dictionaries(
    {"target": st.sampled_from(["sun", "galactic core", "antares"])},
    optional={"x": st.decimals(-1, 1, places=2), "y": st.integers(-1, 1)},
)
_keyframes = st.fixed_dictionaries(
    {"at": _positions},
    optional={
        "slide_mm": _decimals,
        "pan_deg": _decimals,
        "axes": st.dictionaries(st.sampled_from(["lift", "focus"]), _decimals, min_size=1),
        "aim": _aims,
        "sighting": _words,
        "meant_for": st.just("sunset + 10m"),
    },
)
_base = st.fixed_dictionaries(
    {
        "f": st.sampled_from([Decimal("2.8"), 4]),
        "shutter": st.sampled_from(["1/2000", 13, "13"]),
        "iso": st.just(100),
    }
)
_roles = st.sampled_from(["operator", "first assistant", "a.b", "7"])
_shots = st.fixed_dictionaries(
    {
        "title": _words,
        "place": st.sampled_from(["gull-point", "7"]),
        "rig": st.just("a"),
        "camera": st.just("b"),
        "longest_shutter_s": st.sampled_from([13, Decimal("0.5")]),
        "zero_bearing_deg": st.integers(0, 359),
    },
    optional={
        "night": st.dates(date(2026, 1, 1), date(2028, 1, 1)),
        "start": st.sampled_from(["sunset - 1h15m", "16:20"]),
        "duration": st.just("3h"),
        "fps": st.sampled_from([25, "30000/1001", Decimal("29.97")]),
        "clip_aspect": st.just("16:9"),
        "hold_frames": _frames | st.fixed_dictionaries({"start": _frames, "end": _frames}),
        "reverse": st.booleans(),
        "mains_hz": st.sampled_from([50, 60]),
        "stays": _words,
        "notes": st.lists(_words, min_size=1, max_size=12),
        "crew": st.dictionaries(_roles, _words, min_size=1),
        "swap": st.just({"from": "sunset", "until": "frame 500"}),
        "rail": st.just({"home_end": "left", "bearing_deg": Decimal("300.5"), "incline_deg": -3}),
        "exposure": st.fixed_dictionaries({"bright": _base, "dark": _base}),
        "needs": st.just({"weekdays": ["Fri"], "moon": [{"at": "end", "lit_pct": [0, 40]}]}),
        "phase": st.just([{"from": "frame 376", "interval_s": 25}]),
        "keyframe": st.lists(_keyframes, min_size=1, max_size=11),
    },
)  # fmt: skip


def _model(values: dict[str, Any]) -> Any:
    """The shot as the catalog's reader has it; what it refuses is refused with the same words."""
    document, problems = read_document("shot", "one", "shots/one.toml", shot_text(values).encode())
    assert document.draft is not None
    return document.draft.whole, [(problem.key, problem.found, problem.right) for problem in problems]


@given(_shots)
def test_a_shot_comes_back_from_its_row_and_from_its_file(values: dict[str, Any]) -> None:
    text = shot_text(values)
    assert flat(tomllib.loads(text, parse_float=Decimal)) == flat(values)
    found = read(csv_of({"one": values}))
    assert found.problems == []
    assert _model(found.rows[0].values) == _model(values)


@given(st.dictionaries(st.from_regex(r"[a-z][a-z0-9-]{0,8}", fullmatch=True), _shots, max_size=4))
def test_the_table_is_csv_whose_columns_never_move(shots: dict[str, Any]) -> None:
    """RFC 4180: as many cells in each line as in its head, lines ended by CR and LF."""
    text = csv_of(shots)
    head, *rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert text.endswith("\r\n") and {len(row) for row in rows} <= {len(head)}
    assert head[: len(usual()) + 1] == ["id", *map(name_of, usual())] and len(set(head)) == len(head)
    assert [row[0] for row in rows] == list(shots)
