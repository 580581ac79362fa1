"""The shape of the code: who may import whom, what computing may touch, how long a file may be."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "fieldsheet"
APP = ROOT / "site_templates" / "app"
CORE = sorted((APP / "core").glob("*.js"))
LONGEST_FILE = 400
TOP = {
    *("README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"),
    *("build", "fieldsheet", "site_templates", "tests"),
}
CODE = {".py", ".js", ".ts", ".css", ".html", ".j2", ".sh", ""}

# Each room may import itself and what is named here, nothing else: the ladder of DEVELOPERS.md, where what
# stands further right is imported by nothing further left.
BELOW: dict[str, set[str]] = {
    "__init__": set(),
    "earth": set(),
    "isolated": set(),
    "problems": set(),
    "templates": set(),
    "workers": set(),
    "catalog": {"earth", "isolated", "problems"},
    "sky": {"problems"},
    "plan": {"earth", "problems", "sky"},
    "checklists": {"isolated", "problems", "sky", "plan"},
    "sheet": {"problems", "sky", "plan", "checklists"},
    "exchange": {"isolated", "problems", "sky", "plan", "checklists", "sheet"},
    "cards": {"problems", "templates", "sky", "plan", "checklists", "sheet", "exchange"},
    "site": {"problems", "templates", "catalog", "sky", "plan", "checklists", "sheet", "exchange"},
}
ROOMS = set(BELOW) - {"__init__"}
BELOW["locate"] = {"problems", "catalog", "plan", "sheet"}
BELOW["explain"] = {"catalog", "problems", "sheet", "terminal"}
BELOW["tabled"] = {"catalog", "problems", "starts"}
BELOW["press"] = ROOMS - {"cards"} | {"__init__", "locate"}
BELOW["undrawn"] = {"cards", "catalog", "press", "site"}
BELOW["program"] = {"templates"}
BELOW["products"] = ROOMS | {"press"}
BELOW["making"] = {"catalog", "exchange", "problems", "products", "site", "workers"}
BELOW["starts"] = {"catalog", "locate", "plan", "press", "problems", "sheet", "sky"}
BELOW["lineups"] = {"catalog", "earth", "sky", "plan", "sheet"}
BELOW["logs"] = {"exchange", "problems"}
BELOW["nights"] = {"catalog", "sky", "plan", "sheet"}
BELOW["terminal"] = {"problems", "sheet"}
BELOW["commands"] = ROOMS | {
    "starts",
    "explain",
    "tabled",
    "nights",
    "lineups",
    "locate",
    "logs",
    "making",
    "press",
    "products",
    "program",
    "undrawn",
    "terminal",
}
BELOW["cli"] = {"__init__", "commands", "problems", "terminal"}
BELOW["__main__"] = {"cli"}

# What each room may take from outside the standard library.
OUTSIDE: dict[str, set[str]] = {
    "catalog": {"geographiclib", "pydantic", "pydantic_core", "pygeomag", "tzdata"},
    "sky": {"numpy", "skyfield", "skyfield_data"},
    "plan": {"numpy"},
    "sheet": {"markupsafe"},
    "starts": {"jinja2", "pydantic", "tzdata"},
    "exchange": {"gpxpy", "icalendar", "markupsafe", "qrcode"},
    "cards": {"fontTools", "fontpkg_fira_sans", "jinja2", "markupsafe", "weasyprint"},
    "tabled": {"pydantic"},
    "site": {"PIL", "fontTools", "fontpkg_fira_sans", "jinja2", "markupsafe", "minifyjs", "rcssmin"},
}
# Only the fitting of a pack knows Skyfield and its files.
SKYFIELD = {"sky/ephemeris.py", "sky/fit.py"}

# Computing knows no clock, no disk, no environment: the same arguments, the same answer.
PURE = {"plan", "checklists", "sheet", "sky"}
WORLD = {
    "asyncio", "glob", "io", "locale", "logging", "os", "pathlib", "platform", "random", "secrets", "shutil",
    "socket", "subprocess", "sys", "tempfile", "threading", "time", "urllib", "uuid", "zoneinfo",
}  # fmt: skip
NOW = {"now", "today", "utcnow"}


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def relative(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


def room_of(path: Path) -> str:
    first = path.relative_to(PACKAGE).parts[0]
    return first.removesuffix(".py")


def imports(path: Path) -> Iterator[tuple[str, ...]]:
    """Every module that a file imports, anywhere in it, as the parts of its full name."""
    package = ("fieldsheet", *path.relative_to(PACKAGE).parts[:-1])
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (tuple(alias.name.split(".")) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) + 1 - node.level] if node.level else ()
            full = (*base, *(node.module.split(".") if node.module else ()))
            yield from ((*full, alias.name) for alias in node.names)


def room_imported(name: tuple[str, ...]) -> str | None:
    """The room that an import of this package reaches into; None for imports from elsewhere."""
    if name[0] != "fieldsheet":
        return None
    return name[1] if len(name) > 1 and name[1] in BELOW else "__init__"


@pytest.mark.parametrize("path", modules(), ids=relative)
def test_imports_point_down_the_ladder_only(path: Path) -> None:
    room = room_of(path)
    assert room in BELOW, "a new room needs its place on the ladder"
    allowed = BELOW[room] | {room}
    reached = {found for name in imports(path) if (found := room_imported(name))}
    assert reached <= allowed


@pytest.mark.parametrize("path", modules(), ids=relative)
def test_each_room_takes_from_outside_only_what_it_is_allowed(path: Path) -> None:
    outside = {name[0] for name in imports(path)} - set(sys.stdlib_module_names) - {"fieldsheet"}
    allowed = OUTSIDE.get(room_of(path), set())
    if room_of(path) == "sky" and relative(path) not in SKYFIELD:
        allowed = allowed - {"skyfield", "skyfield_data"}
    assert outside <= allowed


@pytest.mark.parametrize(
    "path",
    [path for path in modules() if room_of(path) in PURE and relative(path) not in SKYFIELD],
    ids=relative,
)
def test_computing_knows_no_clock_disk_or_environment(path: Path) -> None:
    assert not {name[0] for name in imports(path)} & WORLD
    tree = ast.parse(path.read_text("utf-8"))
    assert not {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)} & NOW
    assert not {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)} & {"open", "print", "input"}


def code_files() -> list[Path]:
    folders = ("fieldsheet", "site_templates", "tests", "build", ".ci")
    found = [path for folder in folders for path in (ROOT / folder).rglob("*") if path.is_file()]
    return sorted(path for path in found if path.suffix in CODE and "out" not in path.relative_to(ROOT).parts)


def test_the_walk_over_the_files_finds_them() -> None:
    names = {path.relative_to(ROOT).as_posix() for path in code_files()}
    assert {"fieldsheet/cli.py", "tests/test_layers.py", "build/demo", "build/setup.sh", ".ci/run"} <= names
    assert any(name.startswith("site_templates/app/") for name in names)
    assert {"cli", "catalog", "sky", "plan", "sheet", "site", "cards"} <= {
        room_of(path) for path in modules()
    }


@pytest.mark.parametrize("path", code_files(), ids=lambda path: path.relative_to(ROOT).as_posix())
def test_no_file_is_longer_than_a_person_reads_at_a_sitting(path: Path) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= LONGEST_FILE


def test_nothing_but_what_belongs_there_stands_at_the_top() -> None:
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.split("\0")
    assert {path.split("/")[0] for path in listed if path and not path.startswith(".")} == TOP


def script_imports(text: str) -> list[str]:
    """The paths that a script imports from, as written."""
    return re.findall(r"^\s*import\s.*?from\s+[\"'](.+?)[\"']", text, re.MULTILINE | re.DOTALL)


# The rooms of the phone's modules, in order: each imports itself and those before it; the top imports all.
PHONE = ("core", "touch", "keep", "takes", "codes", "shown", "rolling", "list", "phones", ".")


def phone_room(path: Path) -> int:
    """Where a module's folder stands in PHONE."""
    return PHONE.index(path.resolve().parent.relative_to(APP).as_posix())


@pytest.mark.parametrize("path", sorted(APP.rglob("*.js")), ids=lambda path: path.name)
def test_rooms_of_the_phone_import_earlier_ones_only(path: Path) -> None:
    reached = [phone_room(path.parent / name) for name in script_imports(path.read_text("utf-8"))]
    assert max(reached, default=0) <= phone_room(path)


@pytest.mark.parametrize("path", sorted(APP.rglob("*.js")), ids=lambda path: path.name)
def test_script_modules_are_plain_and_write_text_only(path: Path) -> None:
    text = path.read_text("utf-8")
    assert not re.search(r"\bexport\s+default\b|\bexport\s*\{|\bexport\s*\*", text)
    assert not re.search(r"\binnerHTML\b|\bouterHTML\b|\binsertAdjacentHTML\b|\bdocument\.write\b", text)
    assert not re.search(r"\beval\s*\(|\bnew\s+Function\b", text)
    assert all(name.startswith(("./", "../")) and name.endswith(".js") for name in script_imports(text))


def twins() -> list[tuple[Path, Path]]:
    """(script, Python module) of the computing core, which exists in both languages."""
    named = [
        (script, re.match(r"// twin: (fieldsheet/\S+\.py)\b", script.read_text("utf-8"))) for script in CORE
    ]
    return [(script, ROOT / match[1]) for script, match in named if match]


def test_every_script_of_the_core_names_its_twin() -> None:
    # How generators are gone through, which Python has of itself.
    assert [script for script, _ in twins()] == [script for script in CORE if script.name != "pieces.js"]
    assert {"plan.js", "sky.js", "sheet.js", "say.js"} <= {script.name for script in CORE}


@pytest.mark.parametrize("path", CORE, ids=lambda path: path.name)
def test_the_core_on_the_phone_knows_no_page_clock_or_store(path: Path) -> None:
    text = path.read_text("utf-8")
    assert all("/" not in name[2:] for name in script_imports(text)), "the core imports the core only"
    worldly = r"(?<![\w.])(document|window\.|navigator|localStorage|indexedDB|caches|fetch|Intl|Date\.now)"
    assert not re.search(worldly, re.sub(r"//.*|/\*[\s\S]*?\*/", "", text))
    assert "new Date()" not in text


@pytest.mark.parametrize(("script", "module"), twins(), ids=lambda path: path.name)
def test_twins_name_each_other_at_their_head(script: Path, module: Path) -> None:
    docstring = ast.get_docstring(ast.parse(module.read_text("utf-8"))) or ""
    assert f"app/core/{script.name}" in docstring


def test_the_contributor_guide_names_files_that_exist() -> None:
    guide = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    named = re.findall(r"`((?:fieldsheet|tests|build|site_templates|plan|sheet|checklists)/[\w./-]+)`", guide)
    assert len(named) > 8
    missing = [name for name in named if not any((base / name).exists() for base in (ROOT, PACKAGE))]
    assert missing == []
