"""What the phone carries of modules and styles: what runs, and nothing that does not."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import rcssmin
import rjsmin

from fieldsheet.site.lean import lean_module, lean_style

APP = Path(__file__).parents[2] / "site_templates" / "app"
MODULES = sorted(APP.rglob("*.js"))
STYLES = sorted(APP.rglob("*.css"))

CASES = {
    "a comment": ("// why\nconst a = 1;\n", "const a=1;\n"),
    "a block": ("/**\n * shape\n */\nfunction f(a) {\n  return a;\n}\n", "function f(a){return a;}\n"),
    "a cast": ("  /** @type {HTMLElement} */ (a.b).hidden = true;\n", "(a.b).hidden=true;\n"),
    "a comment after code": ("const a = 1; // one\n", "const a=1;\n"),
    "an address": ('const a = "https://example.org/";\n', 'const a="https://example.org/";\n'),
    "blanks in a text": ('a("  two  // not a comment ");\n', 'a("  two  // not a comment ");\n'),
    "blanks in a template": ("a(`  ${b}\n  c`);\n", "a(`  ${b}\n  c`);\n"),
    "a pattern": ("const a = /[/] \\/\\/ x/g;\n", "const a=/[/] \\/\\/ x/g;\n"),
    "a line that ends a statement": ("const a = b\nconst c = a\n", "const a=b\nconst c=a\n"),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_comments_and_idle_blanks_go_and_the_rest_stays(case: str) -> None:
    source, kept = CASES[case]
    assert lean_module(source) == kept.encode()
    assert lean_module(kept) == kept.encode()


def test_a_style_keeps_what_counts() -> None:
    source = '/* Tokens,\n   themes. */\n.a > .b {\n  width: calc(36px + 0.75rem);\n  content: "  x ";\n}\n'
    assert lean_style(source) == b'.a>.b{width:calc(36px + 0.75rem);content:"  x "}\n'


def test_no_licence_or_notice_stands_in_a_comment_that_goes() -> None:
    """Where one comes in with other people's code, its comment is to be kept."""
    for path in [*MODULES, *STYLES]:
        assert not re.search(r"licen[cs]e|copyright|\(c\)|@preserve|/\*!", path.read_text("utf-8"), re.I), (
            path.name
        )


def test_no_template_stands_inside_another() -> None:
    """The minifier would read its end as that of the outer one, and take blanks from what is left."""
    assert len(MODULES) > 40
    for path in MODULES:
        assert not re.search(r"`[^`]*\$\{[^}`]*`[^`]*`[^`]*\}", path.read_text("utf-8")), path.name


def test_both_builds_of_the_minifiers_give_the_same_bytes() -> None:
    """Without a compiled wheel they run as Python: the site must have the same name there."""
    slow_module, slow_style = rjsmin._make_jsmin(python_only=True), rcssmin._make_cssmin(python_only=True)
    for path in MODULES:
        source = path.read_text("utf-8")
        assert lean_module(source) == slow_module(source).encode() + b"\n", path.name
    for path in STYLES:
        source = path.read_text("utf-8")
        assert lean_style(source) == slow_style(source).encode() + b"\n", path.name
