"""Sheet -> paper: A6 cards, an A4 sheet, the cards of many shots in one file; tagged PDF, fonts inside."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from fieldsheet.cards import sizes
from fieldsheet.cards.card import card_sides
from fieldsheet.cards.large import large_sides
from fieldsheet.cards.metrics import FILES, font_file
from fieldsheet.cards.sides import Side
from fieldsheet.cards.sizes import CARD, SHEET, Paper
from fieldsheet.exchange.qr import MODULE_MM, QUIET
from fieldsheet.templates import templates

COMBINED_MOST = 40
"""Shots in one combined file. Measured: 40 shots of 8 sides take about 0.7 GB of memory and 40 s."""

_SCHEME = "card-font:"

Shot = tuple[Mapping[str, Any], str]
"""A sheet, and the address that its printed code opens."""


class PangoMissing(OSError):
    """The system library that draws a card's text is not on this machine; says so in words."""


def card_pdf(sheet: Mapping[str, Any], link: str) -> bytes:
    """The cards of one shot as PDF, A6 landscape: front, back, and further cards where it does not fit.

    `link` is the address that the printed code opens. The same sheet and link give the same bytes. Raises
    ValueError, in words, where the link is too long or one text taller than a side; PangoMissing.
    """
    return _pdf(card_html(sheet, link))


def card_html(sheet: Mapping[str, Any], link: str) -> str:
    """The cards as the HTML that becomes the PDF: each side fits its page, by the font's own widths."""
    title = f"{_name(sheet)}: card for rig {sheet['letter']}, revision {sheet['revision']}"
    return _html(title, CARD, [(sheet, card_sides(sheet, link))])


def sheet_pdf(sheet: Mapping[str, Any], link: str) -> bytes:
    """Everything of one shot as PDF, A4 portrait; otherwise like `card_pdf`."""
    return _pdf(sheet_html(sheet, link))


def sheet_html(sheet: Mapping[str, Any], link: str) -> str:
    """The large sheet as the HTML that becomes the PDF."""
    title = f"{_name(sheet)}: sheet for rig {sheet['letter']}, revision {sheet['revision']}"
    return _html(title, SHEET, [(sheet, large_sides(sheet, link))])


def combined_pdf(title: str, shots: Sequence[Shot]) -> bytes:
    """The cards of many shots, in the given order, with a bookmark for each; each shot begins on a front.

    Raises ValueError, in words, for more than COMBINED_MOST shots or none, or as `card_pdf` does.
    """
    if not 0 < len(shots) <= COMBINED_MOST:
        raise ValueError(f"{len(shots)} shots in one file of cards; right: 1 to {COMBINED_MOST}")
    sides = [(sheet, _whole_cards(card_sides(sheet, link))) for sheet, link in shots]
    return _pdf(_html(f"{title}: cards", CARD, sides))


def _whole_cards(sides: list[Side]) -> list[Side]:
    """With an empty back where the last card has none, so that double-sided print keeps the shots apart."""
    return [*sides, *([Side(())] if len(sides) % 2 else [])]


def _name(sheet: Mapping[str, Any]) -> str:
    return f"{sheet['title']}, {sheet['when']}"


def _html(title: str, paper: Paper, shots: Sequence[tuple[Mapping[str, Any], Sequence[Side]]]) -> str:
    return (
        _environment()
        .get_template("card.html")
        .render(
            title=title,
            paper=paper,
            shots=shots,
            size=sizes,
            quiet=QUIET * MODULE_MM,
            fonts={weight: _SCHEME + FILES[weight] for weight in FILES},
        )
    )


@cache
def _environment() -> Environment:
    return Environment(
        loader=FileSystemLoader(templates() / "cards"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def check_renderer() -> None:
    """Raises PangoMissing, in words, where this machine cannot make cards."""
    try:
        import weasyprint  # noqa: F401
    except OSError as missing:
        raise PangoMissing("cards need the system library Pango (on Debian: libpangoft2-1.0-0)") from missing


def _pdf(html: str) -> bytes:
    check_renderer()
    from weasyprint import HTML
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class FontsOnly(URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: dict[str, str] | None = None) -> Any:
            return URLFetcherResponse(url, font_bytes(url), {"Content-Type": "font/ttf"})

    document = HTML(string=html, url_fetcher=FontsOnly())
    return bytes(document.write_pdf(pdf_variant="pdf/ua-1", pdf_tags=True, pdf_identifier=b"fieldsheet card"))


def font_bytes(url: str) -> bytes:
    """What the renderer may open: the card's own fonts under our own scheme. Raises ValueError otherwise."""
    for weight, name in FILES.items():
        if url == _SCHEME + name:
            return font_file(weight).read_bytes()
    raise ValueError(f"a card opens its own fonts only, not {url}")
