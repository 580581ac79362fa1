"""version.json: what a complete copy of the site on a phone holds, and which PDFs may be kept beside it.

Read by app/keep/store.js.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Mapping
from typing import Any

from .beside import CARDS, FILES, SHEETS
from .content import Content, size_of, sum_of

PRINTED = (CARDS, SHEETS)
# What is read at the desk, where there is signal.
DESK = "years/"


def integrity(data: Content) -> str:
    """Hash in the form of an integrity attribute. Source: W3C, Subresource Integrity, section 3.5."""
    return "sha256-" + base64.b64encode(sum_of(data)).decode()


def is_carried(path: str) -> bool:
    """Whether the phone copies this file unasked: not the paper, not what is read or fetched at the desk.

    Hosts keep _headers to themselves.
    """
    return not path.startswith((*PRINTED, DESK, FILES)) and path not in ("version.json", "_headers")


def version_list(files: Mapping[str, Content], ends_ms: Mapping[str, int] | None = None) -> dict[str, Any]:
    """{"version", "files", "cards"}: two maps from path to {"hash", "size" [bytes]}.

    `files` are those that a phone carries.  `version` is the SHA-256, in hex, of one line "path hash size"
    for each of them in order of path, so that a list can be checked against its own name.  `cards` are the
    PDFs of single shots, outside the version, each with `until` [s UTC]: the end of its shot by `ends_ms`
    (shot id -> ms UTC), 0 where that is not known.
    """
    listed = {path: _entry(files[path]) for path in sorted(files) if is_carried(path)}
    lines = "".join(f"{path} {entry['hash']} {entry['size']}\n" for path, entry in listed.items())
    cards = {
        path: {**_entry(files[path]), "until": (ends_ms or {}).get(_shot_of(path), 0) // 1000}
        for path in sorted(files)
        if path.startswith(PRINTED)
    }
    return {"version": hashlib.sha256(lines.encode()).hexdigest(), "files": listed, "cards": cards}


def _entry(data: Content) -> dict[str, Any]:
    return {"hash": integrity(data), "size": size_of(data)}


def _shot_of(path: str) -> str:
    return path.rpartition("/")[2].removesuffix(".pdf")


def version_json(files: Mapping[str, Content], ends_ms: Mapping[str, int] | None = None) -> bytes:
    """The list as the bytes of version.json."""
    return (json.dumps(version_list(files, ends_ms), indent=0, sort_keys=True) + "\n").encode()
