"""What the phone carries of modules and styles: what runs, and nothing that does not."""

from __future__ import annotations

import re
from pathlib import Path

import minifyjs
import pytest
import rcssmin

from fieldsheet.site.lean import lean_modules, lean_style

APP = Path(__file__).parents[2] / "site_templates" / "app"
MODULES = sorted(APP.rglob("*.js"))
STYLES = sorted(APP.rglob("*.css"))

CASES = {
    "a comment": ("// why\na(1); // so\n", "a(1)"),
    "a cast": ("/** @type {HTMLElement} */ (a.b).hidden = true;\n", "a.b.hidden=!0"),
    "an address": ('a("https://example.org/");\n', 'a("https://example.org/")'),
    "blanks in a text": ('a("  two  // not a comment ");\n', 'a("  two  // not a comment ")'),
    "blanks in a template": ("a(`  ${b}\n  c`);\n", "a(`  ${b}\n  c`)"),
    "a template in a template": ("a(`${b ? `(${c})` : d}`);\n", "a(`${b?`(${c})`:d}`)"),
    "a pattern": ("a(/[/] \\/\\/ x/g);\n", "a(/[/] \\/\\/ x/g)"),
    "a pattern after a bracket": ("if (a) /b'/.test(c) && d();\n", "a&&/b'/.test(c)&&d()"),
    "a sign of ours": ('a("−3 · 18 °");\n', 'a("−3 · 18 °")'),
    "what is written in code": ("a`${b}`; c(0.1 + 0.2, 1e21, -0);\n", "a`${b}`;c(.1+.2,1e21,-0)"),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_comments_and_idle_blanks_go_and_what_is_said_stays(case: str) -> None:
    source, kept = CASES[case]
    lean = lean_modules({"one.js": source}, ["one.js"])["one.js"].decode().strip().removesuffix(";")
    assert lean == kept


SHARED = {
    "core/sum.js": "export const both = (a, b) => a + b;\nexport const idle = () => 'idle';\n",
    "one.js": 'import { both } from "./core/sum.js";\nexport const one = both(1, 2);\n',
    "two.js": 'import { both } from "./core/sum.js";\nexport const two = both(2, 3);\n',
}


def test_an_entry_keeps_its_name_and_what_it_exports_and_shares_what_it_must() -> None:
    lean = lean_modules(SHARED, ["one.js", "two.js"])
    (shared,) = lean.keys() - {"one.js", "two.js"}
    assert re.fullmatch(r"[A-Z0-9]{8}\.js", shared)
    for name in ("one", "two"):
        text = lean[f"{name}.js"].decode()
        assert f'from"./{shared}"' in text and re.search(rf"export\{{\w+ as {name}\}}", text)
    assert b"idle" not in b"".join(lean.values()), "what nobody asks for stays at home"


def test_a_shared_file_is_named_by_what_is_in_it() -> None:
    other = {**SHARED, "core/sum.js": SHARED["core/sum.js"].replace("+", "*")}
    before, after = (lean_modules(sources, ["one.js", "two.js"]).keys() for sources in (SHARED, other))
    assert len(before | after) == 4


@pytest.mark.parametrize("text", ["let a = ;", 'import "./not-here.js";'])
def test_a_module_that_does_not_read_is_refused(text: str) -> None:
    with pytest.raises(minifyjs.BundleError):
        lean_modules({"one.js": text}, ["one.js"])


def test_a_style_keeps_what_counts() -> None:
    source = '/* Tokens,\n   themes. */\n.a > .b {\n  width: calc(36px + 0.75rem);\n  content: "  x ";\n}\n'
    assert lean_style(source) == b'.a>.b{width:calc(36px + 0.75rem);content:"  x "}\n'


def test_no_licence_or_notice_stands_in_a_comment_that_goes() -> None:
    """Where one comes in with other people's code, its comment is to be kept."""
    for path in [*MODULES, *STYLES]:
        assert not re.search(r"licen[cs]e|copyright|\(c\)|@preserve|/\*!", path.read_text("utf-8"), re.I), (
            path.name
        )


def test_both_builds_of_the_minifier_of_styles_give_the_same_bytes() -> None:
    """Without a compiled wheel it runs as Python: the site must have the same name there."""
    slow_style = rcssmin._make_cssmin(python_only=True)
    for path in STYLES:
        source = path.read_text("utf-8")
        assert lean_style(source) == slow_style(source).encode() + b"\n", path.name
