"""The marks of takes, for post: CSV by RFC 4180, a line a mark, in the order of the frames of each take.

Columns: shot; take; run, which programme of the rig, counted from 1 (after a stop frames count anew); frame,
"" before frame 1; file, the camera's number where it was known; utc and local, ISO 8601; what, "" where
nothing was said; phone.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

from ..plan.civil import stamp
from .loglines import Lines, one_line
from .programmes import programmes, runs_of, told_of
from .takefile import Take
from .takes import reduce

COLUMNS = ("shot", "take", "run", "frame", "file", "utc", "local", "what", "phone")


def marks_csv(takes: Iterable[Take]) -> str:
    """The table of all takes' marks, with its line ends."""
    table = io.StringIO()
    writer = csv.writer(table, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for take in takes:
        writer.writerows(map(_cell, row) for row in _rows(take))
    return table.getvalue()


def _rows(take: Take) -> Iterator[Sequence[Any]]:
    lines = Lines(take.events, take.plan)
    spans = take.plan["brief"]["place"]["zone"]["spans"]
    runs = runs_of(told_of(programmes(take.events, take.plan)))

    def place(mark: Mapping[str, Any]) -> tuple[int, int, int]:
        return runs.get(mark["key"], 0), mark["frame"] or 0, mark["utc_ms"]

    for mark in sorted(reduce(take.events).marks, key=place):
        utc = datetime.fromtimestamp(mark["utc_ms"] / 1000, UTC).isoformat(timespec="milliseconds")
        local = stamp(spans, mark["utc_ms"])["local"]
        frame = "" if mark["frame"] is None else mark["frame"]
        what, phone = one_line(mark["what"]), lines.phone(mark["device"])
        yield (
            take.shot,
            take.take,
            runs.get(mark["key"], ""),
            frame,
            one_line(mark["file"]),
            f"{utc[:-6]}Z",
            local,
            what,
            phone,
        )


def _cell(value: Any) -> Any:
    """A text that a table would compute begins with a quote."""
    return f"'{value}" if isinstance(value, str) and value[:1] in ("=", "+", "-", "@") else value
