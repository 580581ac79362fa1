"""How the questions of `new` and `add` are answered: all by options, or one by one at a terminal."""

from __future__ import annotations

import argparse
import contextlib
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any, Protocol

from fieldsheet.commands.told import tell
from fieldsheet.commands.typed import WrongUse
from fieldsheet.terminal.plain import plain

if TYPE_CHECKING:
    from fieldsheet.problems import CatalogProblems
    from fieldsheet.sky.sky import Sky
    from fieldsheet.starts.asks import Ask
    from fieldsheet.starts.question import Given


MORE = "?"  # who types it at a moment is told all that there are


class Answers(Protocol):
    """Where answers come from; talks: whether somebody reads along."""

    talks: bool

    def fill(self, heading: str, asks: Iterable[Ask], given: Given) -> None:
        """Puts an answer of each Ask that applies into given; raises WrongUse."""

    def again(self, problems: CatalogProblems) -> None:
        """Says what is wrong with all of them together, to be asked again; or raises it."""


def add_options(one: argparse._ActionsContainer, asks: Iterable[Ask]) -> None:
    """An option for each."""
    for ask in asks:
        one.add_argument(f"--{ask.option}", dest=ask.name, metavar=ask.metavar, help=ask.told)


def answers_of(typed: argparse.Namespace, asks: Iterable[Ask]) -> Answers:
    """By options where there is any, else from the terminal; raises WrongUse where there is neither."""
    by_name = {ask.name: getattr(typed, ask.name) for ask in asks}
    if any(value is not None for value in by_name.values()):
        return ByOptions(by_name)
    if sys.stdin.isatty() and sys.stdout.isatty():
        return AtTerminal()
    raise WrongUse("nobody to ask: this is no terminal; right: options, see --help")


class ByOptions:
    """What was typed behind options, and for the others what is proposed."""

    talks = False

    def __init__(self, typed: dict[str, str | None]) -> None:
        self.typed = typed

    def fill(self, heading: str, asks: Iterable[Ask], given: Given) -> None:
        """Raises WrongUse for an option that is wrong, idle, or lacking."""
        from fieldsheet.starts.questions import QUESTIONS

        lacking: list[str] = []
        for ask in asks:
            question, text = QUESTIONS[ask.name], self.typed.get(ask.name)
            if not question.applies(given):
                if text is not None:
                    raise WrongUse(f"--{ask.option}, which nothing asks for here; right: without it")
                continue
            if text is None and not question.proposes:
                lacking.append(f"--{ask.option} {ask.metavar}")
            elif not lacking:
                given.answers[ask.name] = self._read(ask, text or self._proposed(ask, given), given)
        if lacking:
            raise WrongUse(f"nothing gives {' or '.join(lacking)}; right: with {' '.join(lacking)}")

    def again(self, problems: CatalogProblems) -> None:
        """Nobody is there to ask."""
        tell("Nothing was written, for this does not go together:", sys.stderr)
        raise problems

    def _proposed(self, ask: Ask, given: Given) -> str:
        from fieldsheet.starts.questions import QUESTIONS

        question = QUESTIONS[ask.name]
        text = question.default(given) or ""
        why = ask.guess or question.why(text, given)
        if why and len(question.choices(given)) != 1:
            tell(f"{ask.option} {text}, {why}: say another with --{ask.option}")
        return text

    def _read(self, ask: Ask, text: str, given: Given) -> Any:
        from fieldsheet.catalog.words import Wrong
        from fieldsheet.starts.questions import QUESTIONS

        try:
            return QUESTIONS[ask.name].read(text.strip(), given)
        except Wrong as wrong:
            raise WrongUse(f"--{ask.option}: found {wrong.found}; right: {wrong.right}") from wrong


class AtTerminal:
    """Each question with what is proposed; a wrong answer is told at once, and asked again."""

    talks = True

    def __init__(self) -> None:
        self.before: dict[str, str] = {}

    def fill(self, heading: str, asks: Iterable[Ask], given: Given) -> None:
        """Raises KeyboardInterrupt where the answers end."""
        from fieldsheet.starts.questions import QUESTIONS

        tell(f"\n{heading.capitalize()}")
        for ask in asks:
            question = QUESTIONS[ask.name]
            if not question.applies(given):
                continue
            own = self.before.get(ask.name)
            proposed = own or question.default(given)
            if proposed and not own and (why := question.why(proposed, given)):
                self._told(f"({proposed}, {why})")
            if ask.silent:
                given.answers[ask.name] = question.read(proposed or "", given)
                continue
            self._list(question.choices(given))
            given.answers[ask.name] = self._answer(ask, proposed, given)

    def again(self, problems: CatalogProblems) -> None:
        """What was answered is proposed."""
        tell("\nThis does not go together:")
        for problem in problems.problems:
            tell(f"  {problem}")

    def _list(self, choices: dict[str, str]) -> None:
        width = max(map(len, choices), default=0)
        for number, (name, what) in enumerate(choices.items(), 1):
            tell(f"  {number:>2}  {name:<{width}}  {what}")

    def _answer(self, ask: Ask, proposed: str | None, given: Given) -> Any:
        from fieldsheet.catalog.words import Wrong
        from fieldsheet.starts.questions import QUESTIONS

        question = QUESTIONS[ask.name]
        hint = f"; {MORE} lists them" if question.more else ""
        while True:
            text = _typed(f"  {ask.words}{hint}{f' [{proposed}]' if proposed else ''}: ") or proposed
            try:
                if text is None:
                    raise Wrong("nothing", "an answer: nobody else can know it")
                if text == MORE and question.more:
                    self._tell_more(question.more)
                    continue
                value = question.read(text, given)
            except Wrong as wrong:
                self._told(f"found {wrong.found}; right: {wrong.right}")
            else:
                self.before[ask.name] = text
                self._echo(question.echo(given))
                return value

    def _tell_more(self, rows: Sequence[tuple[str, str]]) -> None:
        from fieldsheet.terminal.fold import table, width

        for line in table(rows, width() - 4):
            tell(f"    {line}")

    def _told(self, text: str) -> None:
        from fieldsheet.terminal.fold import INDENT, fold, width

        for line in fold(text, width() - len(INDENT), INDENT):
            tell(INDENT + line)

    def _echo(self, text: str) -> None:
        if text:
            tell(f"  {text}")


def _typed(prompt: str) -> str:
    """A line without its blanks; raises KeyboardInterrupt at the end of the input."""
    try:
        return input(plain(prompt)).strip()
    except EOFError:
        raise KeyboardInterrupt from None
    except UnicodeDecodeError:
        tell("  found bytes that are no text; right: letters")
        return _typed(prompt)


@contextlib.contextmanager
def nothing_written() -> Iterator[None]:
    """Says so where it is broken off."""
    try:
        yield
    except KeyboardInterrupt:
        tell("\nNothing was written.", sys.stderr)
        raise


def skies(said: bool) -> Callable[[date], Sky]:
    """The sky of a date, worked out once a year; said: whether the seconds that it takes are told of."""
    from fieldsheet.press import fit_packs, sky_of

    known: dict[int, Sky] = {}

    def sky(day: date) -> Sky:
        if day.year not in known:
            if said:
                tell(f"  (working out the sky of {day.year})")
            known[day.year] = sky_of(fit_packs([day]))
        return known[day.year]

    return sky
