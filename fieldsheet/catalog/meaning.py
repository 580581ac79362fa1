"""What each key of a catalog means, and what holds where it is left out."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from decimal import Decimal
from functools import cache
from importlib.resources import files
from string import Template
from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from . import defaults
from .literal import literal
from .models.rig import MOTIONS, NAMED_UNITS
from .models.table import Table

# Among the keys of a table, what the table itself is.
ABOUT = "about"
Case = tuple[str, dict[str, Any]]
# A default that hangs on other keys, in each case that these make: what is said of the case, and its table.
CASES: dict[Callable[[dict[str, Any]], Any], list[Case]] = {
    defaults.acceleration_max: [("", {"speed_max": Template("as speed_max")})],
    defaults.named_step: [(f'in "{unit}"', {"unit": unit}) for unit in NAMED_UNITS],
    defaults.program_order: [(f'of motion "{motion}"', {"motion": motion}) for motion in MOTIONS],
    defaults.in_turn: [(f'with aperture "{how}"', {"aperture": how}) for how in ("fixed", "moves")],
    defaults.cell_v: [("with capacity_mah", {"capacity_mah": 1})],
    defaults.pack_efficiency: [("with capacity_mah", {"capacity_mah": 1})],
    defaults.pack_reserve: [("with capacity_mah", {"capacity_mah": 1})],
    defaults.preview_mb: [("with file_mb", {"file_mb": 1})],
    defaults.setup: [("without setup_min", {})],
    defaults.landmark_altitude: [("with bearing_deg", {})],
    defaults.landmark_height: [("with a position", {"latitude_deg": 0})],
}


def meaning(table: type[BaseModel], key: str) -> str:
    """What a key of a table means, in plain sentences; raises KeyError where nobody wrote it down."""
    for model in table.__mro__:
        if key in _texts().get(model.__name__, ()):
            return Template(_texts()[model.__name__][key]).substitute(_Constants())
    raise KeyError(f"{table.__name__}.{key}")


def purpose(table: type[BaseModel]) -> str:
    """What a table is, and what its keys ask of each other; raises KeyError as `meaning` does."""
    return meaning(table, ABOUT)


def left_out(field: FieldInfo) -> str:
    """What holds where a key is left out, as TOML with a word on when; "" for nothing at all."""
    if field.is_required():
        return ""
    if not field.default_factory_takes_validated_data:
        return _shown(field.get_default(call_default_factory=True))
    factory: Any = field.default_factory
    said = [f"{_shown(factory(case))} {when}".rstrip() for when, case in CASES[factory]]
    return "; ".join(said)


def _shown(value: Any) -> str:
    """A default; one that is a table shows in the keys of that table."""
    if value is None or value in ([], {}) or isinstance(value, Table):
        return ""
    return value.template if isinstance(value, Template) else literal(value)


class _Constants(dict[str, str]):
    """The constants of defaults.py, as they are said in a sentence."""

    def __missing__(self, name: str) -> str:
        value = getattr(defaults, name)
        if isinstance(value, dict):
            return ", ".join(f'"{word}" {amount} min' for word, amount in value.items())
        if isinstance(value, list):
            return ", ".join(literal(part) for part in value)
        return str(value).replace("-", "\u2212") if isinstance(value, Decimal | int) else str(value)


@cache
def _texts() -> dict[str, dict[str, str]]:
    """By the name of a model and the key, all of models/keys/."""
    folder = files(__package__).joinpath("models", "keys")
    found: dict[str, dict[str, str]] = {}
    for file in sorted(folder.iterdir(), key=lambda one: one.name):
        if file.name.endswith(".toml"):
            found |= tomllib.loads(file.read_text("utf-8"))
    return found
