"""version.json: what a complete copy of the site on a phone holds.  Read by app/store.js."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Mapping
from typing import Any


def integrity(data: bytes) -> str:
    """Hash in the form of an integrity attribute. Source: W3C, Subresource Integrity, section 3.5."""
    return "sha256-" + base64.b64encode(hashlib.sha256(data).digest()).decode()


def is_carried(path: str) -> bool:
    """Whether the phone copies this file: cards are fetched one by one, hosts keep _headers to themselves."""
    return not path.startswith("cards/") and path not in ("version.json", "_headers")


def version_list(files: Mapping[str, bytes]) -> dict[str, Any]:
    """{"version", "files": {path: {"hash", "size" [bytes]}}} over the files that a phone carries.

    `version` is the SHA-256, in hex, of one line "path hash size" for each file in order of path, so that a
    list can be checked against its own name.
    """
    carried = {path: files[path] for path in sorted(files) if is_carried(path)}
    listed = {path: {"hash": integrity(data), "size": len(data)} for path, data in carried.items()}
    lines = "".join(f"{path} {entry['hash']} {entry['size']}\n" for path, entry in listed.items())
    return {"version": hashlib.sha256(lines.encode()).hexdigest(), "files": listed}


def version_json(files: Mapping[str, bytes]) -> bytes:
    """The list as the bytes of version.json."""
    return (json.dumps(version_list(files), indent=0, sort_keys=True) + "\n").encode()
