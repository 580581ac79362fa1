"""The next version of a site as a build makes it: what is named by its hash has another name once changed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

HASHED = re.compile(r"app/[A-Z0-9]{8}\.js")


def renamed(site: Mapping[str, bytes], changed: Iterable[str]) -> dict[str, bytes]:
    """The site with other names for these hashed files and for those that ask for them, which name them."""
    names = {path: path.removeprefix("app/").encode() for path in _with_askers(site, changed)}
    files = {}
    for path, data in site.items():
        for name in names.values():
            data = data.replace(name, b"NEXT" + name)
        files[f"app/NEXT{names[path].decode()}" if path in names else path] = data
    return files


def _with_askers(site: Mapping[str, bytes], changed: Iterable[str]) -> set[str]:
    found, left = set[str](), list(changed)
    while left:
        path = left.pop()
        found.add(path)
        name = path.removeprefix("app/").encode()
        askers = (other for other, data in site.items() if HASHED.fullmatch(other) and name in data)
        left += [other for other in askers if other not in found]
    return found
