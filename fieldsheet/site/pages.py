"""The HTML pages, rendered by Jinja2 from site_templates/pages."""

from __future__ import annotations

import base64
import json
import zlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from .mark import mark_of

# Everything comes from our own origin, nothing is inline. Source: W3C, Content Security Policy Level 3.
FROM_SELF = ("script", "style", "img", "font", "connect", "manifest", "worker")
POLICY = "; ".join(
    [
        "default-src 'none'",
        *(f"{kind}-src 'self'" for kind in FROM_SELF),
        "base-uri 'none'",
        "form-action 'none'",
    ]
)


def environment(folder: Path) -> Environment:
    """The one way in which templates are read: everything escaped, an unknown name is an error."""
    made = Environment(
        loader=FileSystemLoader(folder),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.globals["mark"] = mark_of(folder)
    return made


def render(jinja: Environment, template: str, path: str, values: Mapping[str, Any]) -> bytes:
    """The page at `path` of the site, as UTF-8. The template also gets `root`, the way up to the site."""
    root = "../" * path.count("/") or "./"
    # Our own words, without a sign that could end the attribute: its apostrophes need no escaping.
    return jinja.get_template(template).render(**values, root=root, policy=Markup(POLICY)).encode()


def json_text(value: Any) -> str:
    """JSON without idle signs. Raises ValueError for numbers that JSON does not know."""
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def packed_json(value: Any) -> str:
    """JSON in a third of its bytes: deflated (RFC 1950), in base64. Raises ValueError as json_text does."""
    return base64.b64encode(zlib.compress(json_text(value).encode(), 9)).decode()
