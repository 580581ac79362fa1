"""The installed wheel is whole: it builds the demo from another folder, with no checkout in sight."""

from __future__ import annotations

import os
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]


def run(*command: str | Path, cwd: Path) -> subprocess.CompletedProcess[str]:
    environment = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
    return subprocess.run(
        [str(part) for part in command], cwd=cwd, env=environment, capture_output=True, text=True, timeout=300
    )


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    built = run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder, cwd=ROOT)
    assert built.returncode == 0, built.stderr
    (wheel,) = folder.glob("fieldsheet-*.whl")
    return wheel


@pytest.fixture(scope="module")
def python(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A fresh environment with the wheel in it; what it depends on is lent by the environment of the tests.

    Lent through a path file: path files of lent folders are not read, so the checkout stays out of sight.
    """
    folder = tmp_path_factory.mktemp("installed") / "venv"
    made = run(sys.executable, "-m", "venv", "--without-pip", folder, cwd=folder.parent)
    assert made.returncode == 0, made.stderr
    python = folder / "bin" / "python"
    site = Path(
        run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", cwd=folder).stdout.strip()
    )
    lent = {sysconfig.get_path("purelib"), sysconfig.get_path("platlib")}
    (site / "lent.pth").write_text("".join(f"{path}\n" for path in sorted(lent)))
    pip = (sys.executable, "-m", "pip", "--python", python, "--disable-pip-version-check")
    installed = run(*pip, "install", "--no-index", "--no-deps", "--ignore-installed", wheel, cwd=folder)
    assert installed.returncode == 0, installed.stderr
    return python


def test_the_wheel_holds_templates_and_demo_and_no_tests(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    templates = {path.relative_to(ROOT / "site_templates") for path in (ROOT / "site_templates").rglob("*.*")}
    assert {f"fieldsheet/_templates/{path.as_posix()}" for path in templates} <= names
    assert "fieldsheet/demo/catalog.toml" in names
    starts = {path.relative_to(ROOT) for path in (ROOT / "fieldsheet" / "starts").rglob("*.toml*")}
    assert starts and {path.as_posix() for path in starts} <= names
    assert "fieldsheet/sheet/words.json" in names
    tops = {name.split("/")[0] for name in names}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"fieldsheet"}
    assert any(name.endswith("licenses/LICENSE") for name in names)


def test_the_installed_command_makes_a_catalog_and_its_site_elsewhere(python: Path, tmp_path: Path) -> None:
    where = run(python, "-c", "import fieldsheet; print(fieldsheet.__file__)", cwd=tmp_path).stdout
    assert Path(where.strip()).is_relative_to(python.parents[1])
    command = python.parent / "fieldsheet"
    started = run(command, "new", "mine", "--demo", cwd=tmp_path)
    assert started.returncode == 0, started.stderr
    for shot in (tmp_path / "mine" / "shots").iterdir():
        if shot.stem != "slipway":  # one is enough to need every template, and all take half a minute
            shot.unlink()
    built = run(command, "build", "mine", "-o", "out", cwd=tmp_path)
    assert (built.returncode, built.stderr) == (0, "")
    site = tmp_path / "out" / "site"
    assert (site / "index.html").is_file()
    for pattern in ("app/shot.js", "shots/*/index.html", "cards/*.pdf"):
        assert list(site.glob(pattern)), pattern
