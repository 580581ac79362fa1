"""The pictures of the README, from a built demo: build/take-pictures calls it with the site and a folder.

The phone's clock, the browser's size and the number of greys are fixed, so that only what looks otherwise
changes a picture.
"""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pypdfium2
from PIL import Image
from playwright.sync_api import Browser, Page, expect, sync_playwright

from tests.web.conftest import chromium_path, new_phone
from tests.web.host import Host
from tests.web.killable import FLAGS

HERE = "/saltings/"
SHOT = "shots/slipway/"
EVENING, FIRED, SWAPPED, ROLLING = (
    f"2027-06-05T{clock}+01:00" for clock in ("18:30:00", "19:36:00", "20:12:00", "21:33:10")
)
COLOURS = 24
CARD_WIDTH_PX = 880


def main(site: Path, folder: Path) -> None:
    """Writes the pictures into the folder."""
    folder.mkdir(parents=True, exist_ok=True)
    host = Host()
    host.sites = {HERE: {path.relative_to(site).as_posix(): path.read_bytes() for path in _files(site)}}
    with sync_playwright() as running:
        browser = running.chromium.launch(executable_path=chromium_path(), args=FLAGS)
        pictures = {
            "phone-day.png": _before(browser, host),
            "phone-strip.png": _strip(browser, host),
            "phone-night.png": _rolling(browser, host),
            "card-front.png": _card(site / "cards" / "slipway.pdf"),
        }
        browser.close()
    host.kill()
    for name, picture in pictures.items():
        _small(picture).save(folder / name, optimize=True)
        print(f"{folder / name}: {(folder / name).stat().st_size} bytes")


def _files(site: Path) -> list[Path]:
    return sorted(path for path in site.rglob("*") if path.is_file())


def _before(browser: Browser, host: Host) -> Image.Image:
    """The shot's page on its evening, in the day theme."""
    page = _opened(browser, host, EVENING, "Day")
    return _seen(page)


def _strip(browser: Browser, host: Host) -> Image.Image:
    """Its light, acts and sky by the frame, in the dark theme."""
    page = _opened(browser, host, EVENING, "Dark")
    page.get_by_role("link", name="Tonight").tap()
    return _seen(page)


def _rolling(browser: Browser, host: Host) -> Image.Image:
    """The same two hours after frame 1, the pack swapped, in the night theme."""
    page = _opened(browser, host, FIRED, "Night")
    page.get_by_role("button", name="Frame 1 fired now").first.tap()
    expect(page.get_by_role("button", name="MARK")).to_be_visible()
    for clock, act in ((SWAPPED, "Swap to pack"), (ROLLING, "Rig count")):
        page.clock.set_fixed_time(clock)
        page.reload()
        done = page.get_by_role("button", name=f"Done: {act}").first
        done.tap()
        expect(done).to_be_hidden()
    page.reload()
    expect(page.get_by_role("button", name="MARK")).to_be_visible()
    return _seen(page)


def _opened(browser: Browser, host: Host, clock: str, theme: str) -> Page:
    page = new_phone(browser).new_page()
    page.clock.set_fixed_time(clock)
    page.goto(host.url(HERE + SHOT))
    expect(page.locator("#offline")).to_have_attribute("data-stored", "ready")
    page.get_by_role("button", name=theme, exact=True).tap()
    page.evaluate("scrollTo(0, 0)")
    return page


def _seen(page: Page) -> Image.Image:
    page.wait_for_timeout(500)  # until type and drawings are there
    picture = Image.open(io.BytesIO(page.screenshot()))
    page.context.close()
    return picture


def _card(pdf: Path) -> Image.Image:
    """The front of the first card."""
    document = pypdfium2.PdfDocument(pdf)
    front = document[0]
    drawn: Image.Image = front.render(scale=CARD_WIDTH_PX / front.get_width()).to_pil()
    return drawn


def _small(picture: Image.Image) -> Image.Image:
    return picture.convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
