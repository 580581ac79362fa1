"""A site written as a build writes it: claimed, put in place, let go."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from fieldsheet.site import write
from fieldsheet.site.content import Content


def write_site(out: Path, files: Mapping[str, Content]) -> Path:
    with write.claimed(out) as output:
        return write.write_site(output, files)
