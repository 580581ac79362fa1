"""What is public says what it is: in Python by a docstring, in a script by a comment above it.

That the types in those comments are there, and true, is build/js/check.py's.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "fieldsheet"
TEMPLATES = ROOT / "site_templates"
SCRIPTS = [*(TEMPLATES / "app").rglob("*.js"), *(TEMPLATES / "pocket").rglob("*.js")]
# Functions and classes; what a number or a list is for is said by its name or by its use.
EXPORTED = re.compile(r"export (?:async )?(?:(?:function\*?|class) (\w+)|const (\w+) = .*=>)")

Named = tuple[str, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef]


def public(body: list[ast.stmt], within: str = "") -> Iterator[Named]:
    """The public functions and classes of a module or a class, and of its classes, by their full names."""
    for node in body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef) and node.name[0] != "_":
            yield within + node.name, node
            if isinstance(node, ast.ClassDef):
                yield from public(node.body, f"{within}{node.name}.")


def silent_parts(text: str) -> list[str]:
    """What is public in a module and has no docstring; "the module" first."""
    module = ast.parse(text)
    parts: list[Named] = [("the module", module), *public(module.body)]
    return [name for name, node in parts if not ast.get_docstring(node)]


def silent_exports(text: str) -> list[str]:
    """What a script exports with no comment above it; "the module" where it begins with none."""
    lines = text.splitlines()
    found = [] if lines[0].startswith("//") else ["the module"]
    for number, line in enumerate(lines):
        match = EXPORTED.match(line)
        above = lines[number - 1].strip() if number else ""
        if match and not above.endswith("*/") and not above.startswith("//"):
            found.append(match[1] or match[2])
    return found


MODULES = sorted(path for path in PACKAGE.rglob("*.py") if path.read_bytes().strip())


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_what_is_public_in_python_says_what_it_is(path: Path) -> None:
    assert silent_parts(path.read_text("utf-8")) == []


@pytest.mark.parametrize("path", sorted(SCRIPTS), ids=lambda path: path.name)
def test_what_a_script_exports_says_what_it_is(path: Path) -> None:
    assert silent_exports(path.read_text("utf-8")) == []


def test_silence_is_heard() -> None:
    told = '"""M."""\nclass A:\n    """A."""\n    def b(self): ...\n    def _c(self): ...\n'
    assert silent_parts(told) == ["A.b"]
    assert silent_parts("def a(): ...") == ["the module", "a"]
    script = "// M.\n/** A. */\nexport function a() {}\nexport const B = 1;\nexport const c = () => 2;\n"
    assert silent_exports(script) == ["c"]
    assert silent_exports("export async function a() {}") == ["the module", "a"]
