"""A site written as a build writes it: claimed, put in place, let go."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from fieldsheet.site import write


def write_site(out: Path, files: Mapping[str, bytes]) -> Path:
    with write.claimed(out) as output:
        return write.write_site(output, files)
