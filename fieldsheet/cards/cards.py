"""Sheet -> the printed card: A6 landscape, front and back, as a tagged PDF with its fonts inside."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from fieldsheet.cards import sizes
from fieldsheet.cards.back import backs
from fieldsheet.cards.front import columns, fronts
from fieldsheet.cards.metrics import FILES, font_file
from fieldsheet.exchange.qr import MODULE_MM, QUIET
from fieldsheet.templates import templates

_SCHEME = "card-font:"


class PangoMissing(OSError):
    """The system library that draws a card's text is not on this machine; says so in words."""


def card_pdf(sheet: Mapping[str, Any], link: str) -> bytes:
    """The card of one shot as PDF, A6 landscape: front, back, and further cards where it does not fit.

    `link` is the address that the printed code opens. The same sheet and link give the same bytes. Raises
    ValueError, in words, where the link is too long or one text taller than a side; PangoMissing.
    """
    return _pdf(card_html(sheet, link))


def card_html(sheet: Mapping[str, Any], link: str) -> str:
    """The card as the HTML that becomes the PDF: each side fits its page, by the font's own widths."""
    front, strip = fronts(sheet)
    back = backs(sheet, link, strip)
    environment = Environment(
        loader=FileSystemLoader(templates() / "cards"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template("card.html").render(
        sheet=sheet,
        fronts=front,
        backs=back,
        cards=(len(front) + len(back) + 1) // 2,
        size=sizes,
        quiet=QUIET * MODULE_MM,
        columns=columns(sheet),
        fonts={weight: _SCHEME + FILES[weight] for weight in FILES},
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
