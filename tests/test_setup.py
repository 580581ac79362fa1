"""Where there is no Debian, both commands of the README say what to install until they have been through."""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
TOOLS = ("bash", "basename", "cat", "dirname", "env", "id", "mktemp", "rm")
COMMANDS = {"demo": ["--no-serve"], "test": []}
SENTENCE = "This is no Debian: if something is missing below, install "

Command = Callable[..., str]


@pytest.fixture
def command(tmp_path: Path) -> Command:
    """Runs a command of a checkout of its own, with little on the PATH and a Python that says yes to all.

    Returns what it said on standard error.
    """
    tools, checkout = tmp_path / "tools", tmp_path / "checkout"
    tools.mkdir()
    for tool in TOOLS:
        found = shutil.which(tool)
        assert found
        (tools / tool).symlink_to(found)
    (tools / "python3").symlink_to(Path(sys.executable).resolve())
    (checkout / "build").mkdir(parents=True)
    for name in ("setup.sh", "constraints.txt", *COMMANDS):
        shutil.copy(ROOT / "build" / name, checkout / "build" / name)
    shutil.copy(ROOT / "pyproject.toml", checkout)
    python = checkout / ".venv" / "bin" / "python"
    python.parent.mkdir(parents=True)
    python.write_text("#!/bin/sh\nexit 0\n")
    python.chmod(0o755)

    def run(name: str, *more: str) -> str:
        words = ["bash", str(checkout / "build" / name), *COMMANDS[name], *more]
        done = subprocess.run(words, env={"PATH": str(tools)}, capture_output=True, text=True, timeout=60)
        assert done.returncode == 0, done.stderr
        return done.stderr

    return run


@pytest.mark.parametrize(
    ("name", "packages"), [("demo", ["venv", "Pango"]), ("test", ["venv", "Pango", "Chromium", "qpdf"])]
)
def test_the_first_run_says_what_to_install_and_the_second_nothing(
    command: Command, name: str, packages: list[str]
) -> None:
    said = command(name)
    assert said.count(SENTENCE) == 1
    sentence = said[said.index(SENTENCE) :].splitlines()[0]
    assert all(package in sentence for package in packages)
    assert command(name) == ""


def test_each_browser_is_named_where_all_are_asked_for(command: Command) -> None:
    said = command("test", "--all-browsers")
    sentences = [line for line in said.splitlines() if SENTENCE in line]
    for browser in ("Chromium", "WebKitGTK", "WPE WebKit", "Firefox"):
        assert any(browser in sentence for sentence in sentences), browser


def test_the_tests_ask_for_more_after_the_demo_has_been_through(command: Command) -> None:
    command("demo")
    assert SENTENCE in command("test")


def test_what_the_tests_needed_is_enough_for_the_demo(command: Command) -> None:
    command("test")
    assert command("demo") == ""
