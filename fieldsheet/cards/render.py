"""Templates -> HTML -> PDF, tagged, with our fonts inside; the one place that knows the renderer."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from functools import cache
from importlib import util
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from fieldsheet.cards import sizes
from fieldsheet.cards.metrics import FILES, font_file
from fieldsheet.sheet.glue import held
from fieldsheet.templates import templates

_SCHEME = "card-font:"
_LIBRARIES = "weasyprint.text.ffi"


class PangoMissing(OSError):
    """The system library that draws a card's text is not on this machine; says so in words."""


def html_of(template: str, **values: Any) -> str:
    """A template of the cards with its values and what every one of them asks for: sizes and fonts."""
    fonts = {weight: _SCHEME + FILES[weight] for weight in FILES}
    made = _environment().get_template(template)
    return made.render(size=sizes, fonts=fonts, **values)


@cache
def _environment() -> Environment:
    return Environment(
        loader=FileSystemLoader(templates() / "cards"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_set,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _set(value: object) -> object:
    """A text as it is measured: no line of it parts a figure from its unit. What stands in no line is `e`."""
    return held(value) if type(value) is str else value


def check_renderer() -> None:
    """Raises PangoMissing, in words, where this machine cannot make cards."""
    try:
        _libraries()
    except OSError as missing:
        raise PangoMissing("cards need the system library Pango (on Debian: libpangoft2-1.0-0)") from missing


@cache
def _libraries() -> Any:
    """The renderer's module that opens the machine's libraries, without the rest of it.

    What draws nothing need not wait until all of it is loaded; what draws finds them opened, since to look
    for them takes as long as a page. Raises OSError where one is missing.
    """
    if _LIBRARIES in sys.modules:
        return sys.modules[_LIBRARIES]
    renderer = util.find_spec("weasyprint")
    assert renderer is not None and renderer.origin is not None, "one of our requirements"
    path = Path(renderer.origin).parent / "text" / "ffi.py"
    found = util.spec_from_file_location(_LIBRARIES, path)
    assert found is not None and found.loader is not None, "a module in Python"
    module = util.module_from_spec(found)
    found.loader.exec_module(module)
    sys.modules[_LIBRARIES] = module
    return module


def text_setter() -> str:
    """The version of the machine's library that sets the text; another may break lines elsewhere.

    Raises PangoMissing.
    """
    check_renderer()
    return str(_libraries().pango.pango_version())


def drawn(maker: Callable[..., str | bytes], inputs: Sequence[Any]) -> bytes:
    """What a maker makes of its inputs, as PDF where that is HTML. Raises as the maker does, PangoMissing."""
    laid = maker(*inputs)
    return pdf_of(laid) if isinstance(laid, str) else laid


def pdf_of(html: str) -> bytes:
    """The same HTML gives the same bytes. Raises PangoMissing."""
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
