"""How the questions of `new` and `add` are answered: all by options, or one by one at a terminal."""

from __future__ import annotations

import argparse
import contextlib
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any, Protocol

from fieldsheet.commands.told import tell
from fieldsheet.commands.typed import WrongUse
from fieldsheet.terminal.plain import plain

if TYPE_CHECKING:
    from fieldsheet.problems import CatalogProblems
    from fieldsheet.sky.sky import Sky
    from fieldsheet.starts.asks import Ask
    from fieldsheet.starts.question import Given, Question


MORE = "?"  # who types it at a moment is told all that there are
BACK = "<"  # who types it is asked again what was asked before
RULES = f"""Enter takes what stands in [ ]. {BACK} goes back to the answer before.
Ctrl-C stops, and nothing is written."""


@dataclass(frozen=True)
class Section:
    """What is asked under one heading; ready: what is to be done before, with the answers so far."""

    heading: str
    asks: Sequence[Ask]
    ready: Callable[[], None] = lambda: None


class Back(Exception):
    """The answer before is to be given again."""


class Answers(Protocol):
    """Where answers come from; talks: whether somebody reads along."""

    talks: bool

    def fill(self, sections: Sequence[Section], given: Given) -> None:
        """Puts an answer of each Ask that applies into given; raises WrongUse."""

    def again(self, problems: CatalogProblems) -> None:
        """Says what is wrong with all together, for the last section to be asked again; or raises it."""


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

    def fill(self, sections: Sequence[Section], given: Given) -> None:
        """Raises WrongUse for an option that is wrong, idle, or lacking."""
        for section in sections:
            section.ready()
            self._fill(section.asks, given)

    def _fill(self, asks: Iterable[Ask], given: Given) -> None:
        from fieldsheet.starts.questions import QUESTIONS

        lacking: list[Ask] = []
        for ask in asks:
            question, text = QUESTIONS[ask.name], self.typed.get(ask.name)
            if not question.applies(given):
                if text is not None:
                    raise WrongUse(f"--{ask.option}, which nothing asks for here; right: without it")
                continue
            if text is None and not question.proposes:
                lacking.append(ask)
            # What nobody can propose hangs on nothing that is proposed: all that lacks is told at once.
            elif not (lacking and question.proposes):
                given.answers[ask.name] = self._read(ask, text or self._proposed(ask, given), given)
        if lacking:
            found = " and no ".join(f"--{ask.option}" for ask in lacking)
            right = "; ".join(f"--{ask.option} {ask.metavar}: {ask.told}" for ask in lacking)
            raise WrongUse(f"found no {found}; right: {right}")

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
    """Each question with what is proposed; a wrong answer is told at once, and asked again.

    own: what was typed so far, to be proposed where it is asked for again. asked: the steps that led here, by
    their places among all. begin: that of the first step to come.
    """

    talks = True

    def __init__(self) -> None:
        self.own: dict[str, str] = {}
        self.asked: list[int] = []
        self.begin = 0

    def fill(self, sections: Sequence[Section], given: Given) -> None:
        """Raises KeyboardInterrupt where the answers end."""
        steps = [(section, ask) for section in sections for ask in section.asks]
        at, shown = self.begin, None
        while at < len(steps):
            section, ask = steps[at]
            if ask is section.asks[0]:
                section.ready()
            if section is not shown:
                tell(f"\n{section.heading.capitalize()}")
                shown = section
            try:
                if self._ask(ask, given):
                    self.asked.append(at)
                at += 1
            except Back:
                at = self.asked.pop()
                for _, later in steps[at:]:
                    given.answers.pop(later.name, None)
        self.begin = len(steps) - len(sections[-1].asks)
        self.asked = [step for step in self.asked if step < self.begin]

    def _ask(self, ask: Ask, given: Given) -> bool:
        """Whether somebody was asked; raises Back where the one before is to be."""
        from fieldsheet.starts.questions import QUESTIONS

        question = QUESTIONS[ask.name]
        if not question.applies(given):
            return False
        own = self.own.get(ask.name)
        proposed = own or question.default(given)
        if proposed and not own and (why := question.why(proposed, given)):
            self._told(f"({proposed}, {why})")
        if ask.silent:
            given.answers[ask.name] = question.read(proposed or "", given)
            return False
        self._list(question.choices(given))
        self._answer(ask, proposed, given)
        return True

    def again(self, problems: CatalogProblems) -> None:
        """What was typed is proposed."""
        tell("\nThis does not go together:")
        for problem in problems.problems:
            self._told(str(problem))

    def _list(self, choices: dict[str, str]) -> None:
        width = max(map(len, choices), default=0)
        for number, (name, what) in enumerate(choices.items(), 1):
            tell(f"  {number:>2}  {name:<{width}}  {what}")

    def _answer(self, ask: Ask, proposed: str | None, given: Given) -> None:
        from fieldsheet.catalog.words import Wrong
        from fieldsheet.starts.questions import QUESTIONS

        question = QUESTIONS[ask.name]
        hint = f"; {MORE} lists them" if question.more else ""
        while True:
            typed = _typed(f"  {ask.words}{hint}{f' [{proposed}]' if proposed else ''}: ")
            text = typed or proposed
            try:
                if text == BACK:
                    self._must_have_asked()
                    raise Back
                if text is None:
                    raise Wrong("nothing", "an answer: nobody else can know it")
                if text == MORE and question.more:
                    self._tell_more(question.more)
                    continue
                value = question.read(text, given)
            except Wrong as wrong:
                self._told(f"found {wrong.found}; right: {wrong.right}{self._ways_on(question, given)}")
            else:
                if typed:
                    self.own[ask.name] = typed
                given.answers[ask.name] = value
                self._echo(question.echo(given))
                return

    def _must_have_asked(self) -> None:
        """Raises Wrong at the first question."""
        from fieldsheet.catalog.words import Wrong, show

        if not self.asked:
            raise Wrong(show(BACK), "an answer: this is the first question")

    def _ways_on(self, question: Question, given: Given) -> str:
        """What a refusal says besides: that a number of the list does, and how to go back."""
        choices = question.choices(given)
        number = f"; or its number, 1 to {len(choices)}" if len(choices) > 1 else ""
        back = f" ({BACK} goes back)" if self.asked else ""
        return number + back

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
