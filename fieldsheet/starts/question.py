"""A question of `new` and `add`: its option, the answer that is proposed, and what may be answered."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from fieldsheet.catalog.document import read_document
from fieldsheet.catalog.literal import literal
from fieldsheet.catalog.words import Wrong, near, one_of, show
from fieldsheet.sky.sky import Sky

from .moments import More
from .stage import Stage
from .stem import stem

_NUMBER = re.compile(r"[+-]?[0-9]{1,12}(\.[0-9]{1,12})?")


@dataclass
class Given:
    """What is known while questions are asked: the answers so far by name, and what they are asked against.

    taken: kind -> names of files that are there. sky: the sky of a date. stage: what a shot is made with,
    once that is known. tried: the plan that start and end were last tried in.
    """

    today: date
    sky: Callable[[date], Sky]
    answers: dict[str, Any] = field(default_factory=dict)
    taken: Mapping[str, list[str]] = field(default_factory=dict)
    stage: Stage | None = None
    tried: dict[str, Any] = field(default_factory=dict)

    @property
    def on(self) -> Stage:
        """The stage, which shots are asked for after."""
        assert self.stage is not None, "a shot is asked for after its place, rig and camera"
        return self.stage


Read = Callable[[str, Given], Any]


def _always(given: Given) -> bool:
    return True


def _nothing(given: Given) -> str | None:
    return None


def _no_echo(given: Given) -> str:
    return ""


def _no_reason(proposed: str, given: Given) -> str:
    return ""


def _no_choices(given: Given) -> dict[str, str]:
    return {}


@dataclass(frozen=True)
class Question:
    """What may be answered to an Ask.

    read: from what was typed to the value, raising Wrong. default: what is proposed, as it would be typed;
    None where nobody can know. choices: name -> what it is, where there is a list. applies: whether it is to
    be asked after the answers so far. echo: what follows from an answer, to be looked at.
    more: what may be answered, for who answers with a question mark. why: of what is proposed, where that is
    not what is usual.
    """

    read: Read
    default: Callable[[Given], str | None] = _nothing
    choices: Callable[[Given], dict[str, str]] = _no_choices
    applies: Callable[[Given], bool] = _always
    echo: Callable[[Given], str] = _no_echo
    more: More = ()
    why: Callable[[str, Given], str] = _no_reason

    @property
    def proposes(self) -> bool:
        """Whether an answer is proposed."""
        return self.default is not _nothing


def must_be(kind: str, key: str, value: Any) -> Any:
    """The value, where a file of that kind may have it under that key; raises Wrong as its reader would."""
    try:
        data = f"{key} = {literal(value)}\n".encode()
    except UnicodeEncodeError:
        raise Wrong("bytes that are no text", "letters") from None
    _, problems = read_document(kind, "", "", data)
    for problem in problems:
        if problem.key.partition(".")[0] == key or not problem.key:
            raise Wrong(problem.found, problem.right)
    return value


def number(kind: str, key: str, within: Callable[[Any], Any] = lambda value: value) -> Read:
    """Reads a number that a file may have there; within: what stands under the key, with the number in it."""

    def read(text: str, given: Given) -> Decimal:
        plain = text.replace("\u2212", "-")
        # What is no number is held against the key, too: that says what would be right.
        value = Decimal(plain) if _NUMBER.fullmatch(plain) else text
        must_be(kind, key, within(value))
        return Decimal(value)

    return read


def words(kind: str, key: str) -> Read:
    """Reads a text that a file may have there."""
    return lambda text, given: must_be(kind, key, text)


def one(choices: Callable[[Given], dict[str, str]]) -> Read:
    """Reads one of a list, by its name or its number in the list."""

    def read(text: str, given: Given) -> str:
        names = list(choices(given))
        if text.isdecimal() and 1 <= int(text) <= len(names):
            return names[int(text) - 1]
        plain = "-".join(text.casefold().split())
        if plain in names:
            return plain
        meant = near(plain, names)
        raise Wrong(show(text), f"'{meant}' (did you mean that?)" if meant else one_of(names))

    return read


def new_title(kind: str) -> Read:
    """Reads a title whose file is not there yet."""

    def read(text: str, given: Given) -> str:
        if text == "?":
            raise Wrong(
                show(text), "words of your own: pages and cards show them, the file is named after them"
            )
        title = str(must_be(kind, "title", text))
        if stem(title, kind) in given.taken.get(kind, ()):
            raise Wrong(
                f"{show(title)}, but {kind}s/{stem(title, kind)}.toml is there already", "another title"
            )
        return title

    return read


def free_title(kind: str, title: str, given: Given) -> str:
    """The title, or the first of it with a number whose file is not there yet."""
    taken = given.taken.get(kind, ())
    numbers = range(2, len(taken) + 3)
    # Of a long title the end is not in the name of its file.
    titles = (
        title,
        *(f"{title}, {number}" for number in numbers),
        *(f"{number}: {title}" for number in numbers),
    )
    return next(one for one in titles if stem(one, kind) not in taken)


def there(kind: str) -> Callable[[Given], dict[str, str]]:
    """The files of a kind that are there, by name."""
    return lambda given: {name: f"{kind}s/{name}.toml" for name in given.taken.get(kind, ())}
