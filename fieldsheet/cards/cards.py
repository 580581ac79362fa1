"""Sheet -> the HTML of its paper: cards, a large sheet, the cards of many shots in one file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from fieldsheet.cards.card import card_sides
from fieldsheet.cards.class_card import class_cards
from fieldsheet.cards.impose import imposed_html
from fieldsheet.cards.large import large_sides
from fieldsheet.cards.render import html_of
from fieldsheet.cards.sides import Side, with_back
from fieldsheet.cards.sizes import CARD, SHEET, Paper
from fieldsheet.cards.spec import PrintSpec

COMBINED_MOST = 40
"""Shots in one combined file. Measured: 40 shots of 8 sides take about 0.7 GB of memory and 40 s."""

Shot = tuple[Mapping[str, Any], str]
"""A sheet, and the address that its printed code opens."""


def card_html(sheet: Mapping[str, Any], link: str, paper: Paper = CARD) -> str:
    """The cards of one shot as HTML: front, back, and further cards where it does not fit.

    Each side fits its page, by the font's own widths. `link` is the address that the printed code opens.
    Raises NoRoom, in words, where the link is too long or one text taller than a side.
    """
    return _html(_card_title(sheet), paper, [(sheet, card_sides(sheet, link, paper))])


def printed_html(sheet: Mapping[str, Any], link: str, spec: PrintSpec) -> str:
    """The cards of one shot as `spec` has them printed: as pages of their own, or cut from sheets."""
    return _printed(_card_title(sheet), [(sheet, card_sides(sheet, link, spec.paper))], spec)


def all_printed_html(title: str, shots: Sequence[Shot], spec: PrintSpec) -> str:
    """The same of many shots; raises ValueError as `combined_html` does."""
    return _printed(f"{title}: cards", _sides(shots, spec.paper), spec)


def class_html(sheet: Mapping[str, Any], link: str, spec: PrintSpec) -> str:
    """A card for a class, with blanks for the values, and one with the answers, printed in the same way."""
    title = f"{_name(sheet)}: class card, revision {sheet['revision']}"
    return _printed(title, class_cards(sheet, link, spec.paper), spec)


def sheet_html(
    sheet: Mapping[str, Any], link: str, paper: Paper = SHEET, carry: Sequence[str] | None = None
) -> str:
    """Everything of one shot on large sheets, like `card_html`; carry: as `large_sides` has it."""
    title = f"{_name(sheet)}: sheet for rig {sheet['letter']}, revision {sheet['revision']}"
    return _html(title, paper, [(sheet, large_sides(sheet, link, paper, carry))])


def combined_html(title: str, shots: Sequence[Shot], paper: Paper = CARD) -> str:
    """The cards of many shots, in the given order, with a bookmark for each; each shot begins on a front.

    Raises ValueError, in words, for more than COMBINED_MOST shots or none, or as `card_html` does.
    """
    return _html(f"{title}: cards", paper, _sides(shots, paper))


def _sides(shots: Sequence[Shot], paper: Paper) -> list[tuple[Mapping[str, Any], list[Side]]]:
    """The sides of each shot; where cards have backs, each shot ends on one."""
    if not 0 < len(shots) <= COMBINED_MOST:
        raise ValueError(f"{len(shots)} shots in one file of cards; right: 1 to {COMBINED_MOST}")
    sides = [(sheet, card_sides(sheet, link, paper)) for sheet, link in shots]
    return sides if paper.sides == 1 else [(sheet, with_back(each)) for sheet, each in sides]


def _printed(title: str, shots: Sequence[tuple[Mapping[str, Any], Sequence[Side]]], spec: PrintSpec) -> str:
    return _html(title, spec.paper, shots) if spec.on is None else imposed_html(title, shots, spec)


def _card_title(sheet: Mapping[str, Any]) -> str:
    return f"{_name(sheet)}: card for rig {sheet['letter']}, revision {sheet['revision']}"


def _name(sheet: Mapping[str, Any]) -> str:
    return f"{sheet['title']}, {sheet['when']}"


def _html(title: str, paper: Paper, shots: Sequence[tuple[Mapping[str, Any], Sequence[Side]]]) -> str:
    return html_of("card.html", title=title, paper=paper, shots=shots)
