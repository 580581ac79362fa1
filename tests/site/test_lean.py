"""What the phone carries of a module: what runs, and nothing that does not."""

from __future__ import annotations

import pytest

from fieldsheet.site.lean import lean

CASES = {
    "a comment": ("// why\nconst a = 1;\n", "const a = 1;\n"),
    "a block": ("/**\n * shape\n * @param {string} a\n */\nexport function f(a) {\n  return a;\n}\n",
                "export function f(a) {\nreturn a;\n}\n"),
    "a block on one line": ("  /** @param {string} a */\n  g(a);\n", "g(a);\n"),
    "code after a cast": ("  /** @type {HTMLElement} */ (a.b).hidden = true;\n", "(a.b).hidden = true;\n"),
    "casts inside": ("const a = /** @type {Node} */ (b) + /** @type {X} */ (c);\n", "const a = (b) + (c);\n"),
    "a cast to anything": ("  /** @type {*} */ (a).b = 1;\n", "(a).b = 1;\n"),
    "code before a comment stays whole": ("const a = 1; // one\n", "const a = 1; // one\n"),
    "an address": ('const a = "https://example.org/";\n', 'const a = "https://example.org/";\n'),
    "blanks in a text": ('a("  two  ");\n\n', 'a("  two  ");\n'),
    "a template on one line": ("a(`  ${b}`);\n", "a(`  ${b}`);\n"),
    "style": ("/* Tokens,\n   themes. */\n\n.a {\n  color: red;\n}\n", ".a {\ncolor: red;\n}\n"),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_comments_and_indentation_go_and_the_rest_stays(case: str) -> None:
    source, kept = CASES[case]
    assert lean(source) == kept.encode()
    assert lean(kept) == kept.encode()


def test_a_text_quoted_over_several_lines_is_refused() -> None:
    with pytest.raises(ValueError, match="line 2"):
        lean("// first\nconst a = `one\n  two`;\n")
