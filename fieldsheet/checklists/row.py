"""One line of a checklist before it is placed: a rule, what it is about, and how much it weighs."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from typing import Any

from ..isolated import bare


@dataclass(frozen=True)
class Row:
    """A rule (message "item.RULE") about a subject; `note` is the last part of the note's message id.

    `value` is a dotted path into the Sheet, `blank` the last part of the id of what stands after a write-in
    line; `args` hold exactly what the message and its note name.  A tied row never starts a part: no pause
    comes between it and the row before.
    """

    rule: str
    subject: tuple[str, ...]
    must: bool
    note: str | None
    value: str | None
    blank: str | None
    role: str | None
    args: dict[str, Any]
    tied: bool = False

    def item(self, section: str) -> dict[str, Any]:
        """The row as JSON; its id stays the same for the same section, rule and subject, on any night."""
        named = bare("\n".join((section, self.rule, *self.subject)))
        message = "item." + self.rule
        return {
            "id": hashlib.sha256(named.encode()).hexdigest()[:12],
            "must": self.must,
            "message": message,
            "args": self.args,
            "note": f"{message}.{self.note}" if self.note else None,
            "value": self.value,
            "blank": "blank." + self.blank if self.blank else None,
            "role": self.role,
        }


def must(
    rule: str,
    *subject: str,
    note: str | None = None,
    value: str | None = None,
    blank: str | None = None,
    **args: Any,
) -> Row:
    """A row without which the night, the rig or a person is lost."""
    return Row(rule, subject, True, note, value, blank, None, args)


def also(
    rule: str,
    *subject: str,
    note: str | None = None,
    value: str | None = None,
    blank: str | None = None,
    **args: Any,
) -> Row:
    """A row that is worth doing and carries less weight."""
    return Row(rule, subject, False, note, value, blank, None, args)


def tied(row: Row) -> Row:
    """The row, in one breath with the one before."""
    return replace(row, tied=True)


def house(written: dict[str, Any]) -> Row:
    """A house item of the catalog, in the user's own words."""
    args = {key: written[key] for key in ("text", "note") if written[key]}
    note = "note" if written["note"] else None
    return Row("house", (written["text"],), written["must"], note, None, None, written["role"], args)
