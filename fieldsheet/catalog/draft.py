"""A file's values against its model: every fault in words, and the good parts of a faulty file.

pydantic finds the faults; its own wording never reaches a user.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from pydantic import BaseModel, ValidationError, create_model

from .keylines import KeyLines
from .models.table import table_in
from .scan import Fault
from .units import in_words, other_unit
from .words import Loc, Wrong, near, one_of, show

MOST_FAULTS = 40


def more_faults(count: int) -> tuple[str, str]:
    """What is found, and what would be right, where that many faults more are not told one by one."""
    return f"{count} more problems in this file", "first mend the ones above"


# How much an unknown key must be like one that is written too, to be taken for it.
_SURELY = 0.8
# What pydantic adds where a default depends on a faulty value.
_ECHOES = ("default_factory_not_called",)
# What pydantic adds to a path where the key of a free table is at fault.
_KEY_ITSELF = "[key]"
_TEXT_FOR_NUMBER = ("decimal", "int", "bool", "is_instance")


class Draft:
    """The good top-level values of a table, None for absent and faulty ones, and its faults.

    given: keys that are written, misspelt ones under the name that was meant, so that one slip of the pen
    is one fault.
    """

    def __init__(
        self, model: type[BaseModel], raw: dict[str, Any], lines: KeyLines, refused: list[Loc]
    ) -> None:
        self.model = model
        self.raw = raw
        self.given = set(raw)
        self.whole: BaseModel | None = None
        self.faults: list[Fault] = []
        self._bad: set[str] = {str(loc[0]) for loc in refused if loc}
        try:
            self.whole = model.model_validate(raw)
        except ValidationError as error:
            self._take(error, lines, set(refused))

    def get(self, key: str) -> Any:
        """A good value, by its name in the model; None where it is absent or faulty."""
        if self.whole is not None:
            return getattr(self.whole, key)
        if (self.model.model_fields[key].alias or key) in self._bad:
            return None
        return self._alone(key)

    def _alone(self, key: str) -> Any:
        field = self.model.model_fields[key]
        value = self.raw.get(
            field.alias or key,
            None
            if field.is_required()
            else field.get_default(call_default_factory=True, validated_data=self.raw),
        )
        if value is None:
            return None
        alone = _model_of_one(self.model, key).model_validate({field.alias or key: value})
        return getattr(alone, key)

    def _take(self, error: ValidationError, lines: KeyLines, refused: set[Loc]) -> None:
        errors = [item for item in error.errors(include_url=False) if item["type"] not in _ECHOES]
        self._bad |= {str(item["loc"][0]) for item in errors if item["loc"]}
        meant = self._misspelt(errors)
        for item in errors[:MOST_FAULTS]:
            loc: Loc = tuple(item["loc"])
            if loc in refused or _judges_a_gap(item, loc, refused):
                continue
            if item["type"] == "missing" and loc in meant.values():
                continue
            self.faults.append(_fault(self.model, item, loc, lines, meant))
        if len(errors) > MOST_FAULTS:
            self.faults.append(Fault(None, (), *more_faults(len(errors) - MOST_FAULTS)))

    def _misspelt(self, errors: list[Any]) -> dict[Loc, Loc]:
        """Unknown key -> the known key that was meant, for the first few."""
        meant: dict[Loc, Loc] = {}
        for item in errors[:MOST_FAULTS]:
            loc: Loc = tuple(item["loc"])
            if item["type"] != "extra_forbidden":
                continue
            keys, written = keys_of(_model_at(self.model, loc[:-1])), _table_at(self.raw, loc[:-1])
            guess = (
                other_unit(str(loc[-1]), keys)
                or near(str(loc[-1]), (key for key in keys if key in written), _SURELY)
                or near(str(loc[-1]), (key for key in keys if key not in written))
            )
            if guess:
                meant[loc] = (*loc[:-1], guess)
        replaced = {str(loc[0]) for loc in meant.values() if len(loc) == 1} - self.given
        self.given |= replaced
        self._bad |= replaced
        return meant


@cache
def _model_of_one(model: type[BaseModel], key: str) -> type[BaseModel]:
    """A model of one field of a table, without what the table says of its fields together."""
    field = model.model_fields[key]
    fields: dict[str, Any] = {key: (field.annotation, field)}
    return create_model(model.__name__, __config__=model.model_config, **fields)


def _judges_a_gap(item: Any, loc: Loc, refused: set[Loc]) -> bool:
    """Whether a whole is found wrong of which a part was refused before: nobody knows what it would say."""
    reason = item.get("ctx", {}).get("error")
    return isinstance(reason, Wrong) and any(part[: len(loc)] == loc for part in refused)


def keys_of(model: type[BaseModel]) -> list[str]:
    """The TOML keys of a table."""
    return [field.alias or name for name, field in model.model_fields.items()]


def _fault(model: type[BaseModel], item: Any, loc: Loc, lines: KeyLines, meant: dict[Loc, Loc]) -> Fault:
    kind = item["type"]
    if loc and loc[-1] == _KEY_ITSELF:
        loc = loc[:-1]
    if kind == "extra_forbidden":
        return Fault(lines.of(loc), loc, "a key that nothing reads", _instead(model, loc, meant))
    reason = item.get("ctx", {}).get("error")
    if isinstance(reason, Wrong):
        loc = (*loc, *reason.below)
        return Fault(lines.of(loc), loc, reason.found, reason.right)
    right = _right(model, loc)
    if kind == "missing":
        return Fault(lines.of(loc), loc, "nothing", right)
    return Fault(lines.of(loc), loc, _found(kind, item["input"]), right)


def _instead(model: type[BaseModel], loc: Loc, meant: dict[Loc, Loc]) -> str:
    if loc not in meant:
        return f"one of {one_of(keys_of(_model_at(model, loc[:-1])))}"
    guess = str(meant[loc][-1])
    if other_unit(str(loc[-1]), [guess]):
        return f"{guess}, in {in_words(guess)}"
    return f"{guess} (did you mean that?)"


def _found(kind: str, value: Any) -> str:
    if kind == "string_too_long":
        return f"a text of {len(value)} characters"
    if isinstance(value, str) and kind.startswith(_TEXT_FOR_NUMBER):
        return f"the text {show(value)}"
    return show(value)


def _right(model: type[BaseModel], loc: Loc) -> str:
    """The description of the field at a path, or of the list or the free table that holds it."""
    right, table = "a table", model
    for part in loc:
        if isinstance(part, int):
            continue
        field = next(
            (each for name, each in table.model_fields.items() if (each.alias or name) == part), None
        )
        if field is None and part == loc[-1]:
            break
        description, annotation = (field.description, field.annotation) if field else (right, _others(table))
        right, inner = description or "", table_in(annotation)
        if inner is None:
            break
        table = inner
    return right


def _model_at(model: type[BaseModel], loc: Loc) -> type[BaseModel]:
    for part in loc:
        found = None
        for name, field in model.model_fields.items():
            if (field.alias or name) == part:
                found = table_in(field.annotation)
        model = found or (_others(model) if isinstance(part, str) else None) or model
    return model


def _others(model: type[BaseModel]) -> type[BaseModel] | None:
    """What stands under the user's own names in a table that takes such; None in any other."""
    return getattr(model, "others", None)


def _table_at(raw: Any, loc: Loc) -> dict[str, Any]:
    for part in loc:
        raw = raw[part]
    return raw if isinstance(raw, dict) else {}
