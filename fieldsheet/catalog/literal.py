"""Values as TOML writes them."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def literal(value: Any) -> str:
    """A value on one line: text, number, truth, date, list, table. Raises TypeError for all else."""
    match value:
        case str():
            # JSON escapes as TOML does, but for one character.
            return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
        case bool():
            return "true" if value else "false"
        case int() | float():
            return str(value)
        case Decimal():
            return format(value, "f")
        case date():
            return value.isoformat()
        case list() | tuple():
            return f"[{', '.join(map(literal, value))}]"
        case Mapping():
            return f"{{ {', '.join(f'{key_of(name)} = {literal(part)}' for name, part in value.items())} }}"
    raise TypeError(f"no TOML value: {type(value).__name__}")


def key_of(name: str) -> str:
    """The name of a key, in quotes where it needs them."""
    return name if _BARE.fullmatch(name) else literal(name)
