"""The shots of a catalog as CSV (RFC 4180)."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any

from fieldsheet.catalog.read import Catalog
from fieldsheet.tabled.cells import cell_of
from fieldsheet.tabled.columns import ID, flat, in_order, name_of, usual


def table_csv(catalog: Catalog) -> str:
    """A head, then a row a shot, in the order of their names; lines end with CR and LF."""
    return csv_of({shot_id: catalog.written(shot_id) for shot_id in catalog.shots})


def csv_of(shots: Mapping[str, Mapping[str, Any]]) -> str:
    """The same of the values of shots' files, by name."""
    rows = {shot_id: flat(values) for shot_id, values in shots.items()}
    always = usual()
    more = in_order(path for row in rows.values() for path in row if path not in always)
    columns = [*always, *more]
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([ID, *map(name_of, columns)])
    for shot_id, row in rows.items():
        writer.writerow([shot_id, *(cell_of(row[path]) if path in row else "" for path in columns)])
    return out.getvalue()
