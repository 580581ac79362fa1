"""On which line each key of a TOML text stands, and which are marked as assumed: tomllib does not tell.

A reader of the shape only: keys, brackets, comments and the four kinds of strings, no values.  It also
bounds how deep a text nests and how long its keys are, before tomllib recurses into it.  Where the text is no
TOML it stops; tomllib then says why.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass, field

from .words import Loc

DEEPEST = 16
LONGEST_KEY = 120

_BLANK = re.compile(r"[ \t]*")
_REST = re.compile(r"[ \t]*(?:#[^\n]*)?")
_GAP = re.compile(r"(?:[ \t\n]|#[^\n]*)*")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BASIC = re.compile(r'"(?:[^"\\\n]|\\[^\n])*"')
_LITERAL = re.compile(r"'[^'\n]*'")
_LONG = re.compile(r'"""(?:[^\\]|\\.)*?"{3,5}' + r"|'''.*?'{3,5}", re.DOTALL)
_PLAIN = re.compile(r"[^,\[\]{}#\n\"'=]+")
_COMMENT = re.compile(r"#[^\n]*")
_ASSUMED = re.compile(r"#[ \t]*assumed\b", re.IGNORECASE)


class Stopped(Exception):
    """The text is no TOML from here on."""


class TooMuch(Exception):
    """The text goes beyond a bound: what was found, what would be right."""

    def __init__(self, found: str, right: str) -> None:
        super().__init__(found)
        self.found = found
        self.right = right


@dataclass
class KeyLines:
    """lines: path -> line, list positions counting from 0; doubles: line -> (key, line of its first use).

    assumed: the keys and headers with a comment that begins with that word, behind their value or within it;
    stray: the lines of such comments that stand behind no value.
    """

    lines: dict[Loc, int] = field(default_factory=dict)
    assumed: set[Loc] = field(default_factory=set)
    stray: list[int] = field(default_factory=list)
    doubles: dict[int, tuple[Loc, int]] = field(default_factory=dict)
    stopped_at: int | None = None
    too_much: tuple[int, TooMuch] | None = None

    def of(self, loc: Loc) -> int:
        """The line of a path, of its nearest parent that is written, or 1."""
        while loc and loc not in self.lines:
            loc = loc[:-1]
        return self.lines.get(loc, 1)


def key_lines(text: str) -> KeyLines:
    """Reads the shape of a TOML text whose line ends are all "\\n"."""
    reader = _Reader(text)
    try:
        reader.document()
    except Stopped:
        reader.found.stopped_at = reader.line()
    except TooMuch as much:
        reader.found.too_much = reader.line(), much
    return reader.found


class _Reader:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.found = KeyLines()
        self.counts: dict[Loc, int] = {}
        self.starts = [0, *(match.end() for match in re.finditer("\n", text))]

    def line(self) -> int:
        return self._line_of(self.at)

    def _line_of(self, at: int) -> int:
        return bisect_right(self.starts, at)

    def document(self) -> None:
        table: Loc = ()
        self._between()
        while self.at < len(self.text):
            if self._sees("["):
                table = loc = self._header()
            else:
                loc = self._pair(table)
            self._remark(loc, _REST)
            if self.at < len(self.text) and not self._take("\n"):
                raise Stopped
            self._between()

    def _between(self) -> None:
        """Skips what stands between two keys, where a mark may be for any of them, or for none."""
        start = self.at
        for comment in _COMMENT.finditer(self._match(_GAP) or ""):
            if _ASSUMED.match(comment[0]):
                self.found.stray.append(self._line_of(start + comment.start()))

    def _header(self) -> Loc:
        many = self._take("[[")
        if not many:
            self._take("[")
        line = self.line()
        self._skip(_BLANK)
        loc = self._placed(self._key(), many)
        self._skip(_BLANK)
        if not self._take("]]" if many else "]"):
            raise Stopped
        self._note(loc, line, once=not many)
        return loc

    def _placed(self, key: Loc, many: bool) -> Loc:
        """The path of a header: parts that are lists of tables mean their latest table."""
        loc: Loc = ()
        for part in key[:-1] if many else key:
            loc = (*loc, part)
            if loc in self.counts:
                loc = (*loc, self.counts[loc] - 1)
        if many:
            loc = (*loc, key[-1])
            self._note(loc, self.line(), once=loc not in self.counts)
            self.counts[loc] = self.counts.get(loc, 0) + 1
            loc = (*loc, self.counts[loc] - 1)
        return self._bounded(loc)

    def _pair(self, table: Loc) -> Loc:
        line = self.line()
        loc = self._bounded((*table, *self._key()))
        for length in range(len(table) + 1, len(loc)):
            self._note(loc[:length], line, once=False)
        self._note(loc, line, once=True)
        self._skip(_BLANK)
        if not self._take("="):
            raise Stopped
        self._skip(_BLANK)
        self._value(loc)
        return loc

    def _key(self) -> Loc:
        start, parts = self.at, [self._key_part()]
        while self._dot():
            parts.append(self._key_part())
            self._bounded(tuple(parts))
        if self.at - start > LONGEST_KEY:
            raise TooMuch(
                f"a key of {self.at - start} characters", f"a key of at most {LONGEST_KEY} characters"
            )
        return tuple(parts)

    def _dot(self) -> bool:
        before = self.at
        self._skip(_BLANK)
        if self._take("."):
            self._skip(_BLANK)
            return True
        self.at = before
        return False

    def _key_part(self) -> str:
        bare = self._match(_BARE)
        if bare is not None:
            return bare
        quoted = self._match(_BASIC) or self._match(_LITERAL)
        if quoted is None:
            raise Stopped
        return _unquoted(quoted)

    def _value(self, loc: Loc) -> None:
        if self._take("["):
            self._list(self._bounded(loc), "]", self._item)
        elif self._take("{"):
            self._list(self._bounded(loc), "}", self._inner_pair)
        elif self._sees('"""') or self._sees("'''"):
            self._must(_LONG)
        elif self._sees('"'):
            self._must(_BASIC)
        elif self._sees("'"):
            self._must(_LITERAL)
        else:
            self._must(_PLAIN)

    def _item(self, loc: Loc, index: int) -> None:
        place = self._bounded((*loc, index))
        self._note(place, self.line(), once=False)
        self._value(place)

    def _inner_pair(self, table: Loc, _index: int) -> None:
        self._pair(table)

    def _list(self, loc: Loc, close: str, read: Callable[[Loc, int], None]) -> None:
        """Items between brackets; inside braces a line break is no TOML, which tomllib will say."""
        index = 0
        self._remark(_named(loc), _GAP)
        while not self._take(close):
            read(loc, index)
            index += 1
            self._remark(_named(loc), _GAP)
            if not self._take(",") and not self._sees(close):
                raise Stopped
            self._remark(_named(loc), _GAP)

    def _remark(self, loc: Loc, pattern: re.Pattern[str]) -> None:
        """Skips blanks and comments that belong to a key."""
        comments = _COMMENT.findall(self._match(pattern) or "")
        if any(map(_ASSUMED.match, comments)):
            self.found.assumed.add(loc)

    def _note(self, loc: Loc, line: int, *, once: bool) -> None:
        first = self.found.lines.setdefault(loc, line)
        if once and first != line:
            self.found.doubles.setdefault(line, (loc, first))

    def _bounded(self, loc: Loc) -> Loc:
        if len(loc) > DEEPEST:
            raise TooMuch(f"brackets or dots nested more than {DEEPEST} deep", f"at most {DEEPEST} deep")
        return loc

    def _sees(self, token: str) -> bool:
        return self.text.startswith(token, self.at)

    def _take(self, token: str) -> bool:
        if self._sees(token):
            self.at += len(token)
            return True
        return False

    def _skip(self, pattern: re.Pattern[str]) -> None:
        self._match(pattern)

    def _match(self, pattern: re.Pattern[str]) -> str | None:
        match = pattern.match(self.text, self.at)
        if match is None:
            return None
        self.at = match.end()
        return match[0]

    def _must(self, pattern: re.Pattern[str]) -> None:
        if self._match(pattern) is None:
            raise Stopped


def _named(loc: Loc) -> Loc:
    """The key whose value a list within it is a part of."""
    while isinstance(loc[-1], int):
        loc = loc[:-1]
    return loc


def _unquoted(quoted: str) -> str:
    try:
        return str(tomllib.loads(f"key = {quoted}")["key"])
    except tomllib.TOMLDecodeError:
        raise Stopped from None
