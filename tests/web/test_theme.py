"""Three themes: chosen by a tap, remembered, painted from the first frame; night is red and black only."""

from __future__ import annotations

import base64
import io
from collections.abc import Iterator
from typing import Any, Literal

import pytest
from PIL import Image
from playwright.sync_api import BrowserContext, Page, expect

from tests.site.sample import sample_site
from tests.web.host import Host
from tests.web.soon import drawn, soon

HERE = "/fs/saltings/"
PAGES = ("index.html", "shots/slipway/index.html", "nights/2027-06-05/index.html", "kit/index.html")
PAPER = {"day": (255, 255, 255), "dark": (0, 0, 0), "night": (0, 0, 0)}
# What stands behind the page at every frame that is painted before the page has loaded.
FRAMES = """window.papers = [];
const note = () => {
  if (document.body) window.papers.push(getComputedStyle(document.documentElement).backgroundColor);
  requestAnimationFrame(note);
};
requestAnimationFrame(note);"""


@pytest.fixture(scope="module")
def site() -> dict[str, bytes]:
    return sample_site()


@pytest.fixture
def page(phone: BrowserContext, host: Host, site: dict[str, bytes]) -> Iterator[Page]:
    host.sites[HERE] = site
    shown = phone.new_page()
    shown.goto(host.url(HERE))
    yield shown


def choose(page: Page, theme: str) -> None:
    page.get_by_role("button", name=theme.capitalize(), exact=True).tap()


def go(page: Page, host: Host, path: str) -> None:
    """To a page of the site; that of a shot is waited for until it is worked."""
    page.goto(host.url(HERE + path))
    if path.startswith("shots/"):
        expect(page.locator("#night")).to_be_enabled()


def picture(page: Page, whole: bool = False) -> Image.Image:
    return Image.open(io.BytesIO(page.screenshot(full_page=whole))).convert("RGB")


def test_a_choice_is_remembered_on_every_page_and_painted_from_the_first_frame(
    page: Page, host: Host
) -> None:
    page.add_init_script(FRAMES)
    host.slow_s = {"app/theme.js": 0.2, "app/style.css": 0.1}
    for theme in PAPER:
        choose(page, theme)
        for path in PAGES[:2]:
            page.goto(host.url(HERE + path), wait_until="domcontentloaded")
            assert picture(page).getpixel((0, 0)) == PAPER[theme]
            soon(page, lambda: page.evaluate("window.papers.length > 1"), True)
            assert set(page.evaluate("window.papers")) == {f"rgb{PAPER[theme]}"}
            pressed = page.locator("[data-set-theme][aria-pressed=true]")
            assert pressed.all_inner_texts() == [theme.capitalize()]


def test_without_a_choice_the_phone_says_day_or_dark(page: Page) -> None:
    choices: list[tuple[Literal["light", "dark"], str]] = [("dark", "dark"), ("light", "day")]
    for preferred, theme in choices:
        page.emulate_media(color_scheme=preferred)
        page.reload()
        assert page.locator("html").get_attribute("data-theme") == theme


def test_a_page_where_nothing_may_be_remembered_still_works(page: Page, host: Host) -> None:
    refuse = "{get() { throw new DOMException('no', 'SecurityError'); }}"
    for store in ("localStorage", "sessionStorage"):
        page.add_init_script(f"Object.defineProperty(window, '{store}', {refuse})")
    page.goto(host.url(HERE + "shots/slipway/"))
    choose(page, "night")
    assert page.locator("html").get_attribute("data-theme") == "night"
    reader = page.locator(".roles button", has_text="rigger")
    reader.tap()
    expect(reader).to_have_attribute("aria-pressed", "true")
    expect(page.locator("input[data-item]").first).to_be_enabled()


USED = """() => {
  for (const box of document.querySelectorAll("details")) box.open = true;
  for (const field of document.querySelectorAll("[type=text], [type=search]")) field.value = "8";
  for (const box of document.querySelectorAll("[type=checkbox]")) box.checked = true;
}"""


def reds(image: Image.Image, which: str = "") -> set[int]:
    """How light the reds of a picture are; any other colour fails."""
    red, *others = image.split()
    assert [band.getextrema() for band in others] == [(0, 0), (0, 0)], which
    return {level for level, count in enumerate(red.histogram()) if count}


@pytest.mark.parametrize("path", PAGES)
def test_the_night_page_is_red_and_black_and_nothing_else(page: Page, host: Host, path: str) -> None:
    """Unfolded, every box ticked, every field filled, one of them and its text chosen."""
    go(page, host, path)
    choose(page, "night")
    drawn(page)
    assert max(reds(picture(page, whole=True))) == 255
    page.evaluate(USED)
    page.keyboard.press("Tab")
    page.evaluate("document.querySelector('main input:enabled')?.select()")
    assert 255 in reds(picture(page, whole=True))


def test_at_night_no_frame_between_pages_is_anything_but_red_and_black(page: Page, host: Host) -> None:
    """Every frame that the browser composes, with a stylesheet that comes late."""
    choose(page, "night")
    drawn(page)  # else the browser's first frame may be the last one by day
    reds(picture(page), "before the first")
    session = page.context.new_cdp_session(page)
    frames: list[str] = []

    def keep(frame: dict[str, Any]) -> None:
        frames.append(frame["data"])
        session.send("Page.screencastFrameAck", {"sessionId": frame["sessionId"]})

    session.on("Page.screencastFrame", keep)
    session.send("Page.startScreencast", {"format": "png", "everyNthFrame": 1})
    host.slow_s = {"app/style.css": 0.2, "app/rows.css": 0.1}
    for path in PAGES:
        go(page, host, path)
    page.go_back()
    page.reload()
    session.send("Page.stopScreencast")
    assert len(frames) > len(PAGES)
    for number, frame in enumerate(frames):
        seen = Image.open(io.BytesIO(base64.b64decode(frame))).convert("RGB")
        reds(seen, f"frame {number} of {len(frames)}")


@pytest.mark.parametrize("theme", PAPER)
def test_printed_a_page_is_black_on_white(page: Page, host: Host, theme: str) -> None:
    page.goto(host.url(HERE + PAGES[1]))
    choose(page, theme)
    page.emulate_media(media="print")
    assert picture(page).getpixel((0, 0)) == (255, 255, 255)
    assert page.evaluate(TOKEN, "--ink") == [0, 0, 0]
    assert page.locator("button:visible:not(.fold)").count() == 0, "but names of sections"


def luminance(rgb: tuple[int, ...]) -> float:
    """Relative luminance. Source: W3C, Web Content Accessibility Guidelines 2.2, definition of that name."""
    linear = [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in (c / 255 for c in rgb)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a: tuple[int, ...], b: tuple[int, ...]) -> float:
    low, high = sorted((luminance(a), luminance(b)))
    return (high + 0.05) / (low + 0.05)


TOKEN = """(name) => {
  const probe = document.body.appendChild(document.createElement("span"));
  probe.style.setProperty("color", `var(${name})`);
  const said = getComputedStyle(probe).color.match(/[0-9]+/g).map(Number);
  probe.remove();
  return said;
}"""


TOKENS = ("ink", "paper", "rule", "soft", "done", "tone-0", "tone-1")


def test_text_stands_out_from_its_paper_and_the_strip_from_light_to_dark(page: Page) -> None:
    # W3C Web Content Accessibility Guidelines 2.2, 1.4.3: 4.5:1 for text; 1.4.6: 7:1, for day and dark.
    # A done row is dimmed, yet still to be read.
    for theme in PAPER:
        choose(page, theme)
        colours = {name: tuple(page.evaluate(TOKEN, f"--{name}")) for name in TOKENS}
        ratios = {name: contrast(colour, colours["paper"]) for name, colour in colours.items()}
        print(theme, {name: f"{ratio:.2f}" for name, ratio in ratios.items()})
        least = 4.5 if theme == "night" else 7
        assert all(ratios[name] >= least for name in ("ink", "rule", "soft"))
        assert 4.5 <= ratios["done"] < ratios["ink"]
        assert luminance(colours["tone-0"]) > luminance(colours["tone-1"])
        assert contrast(colours["tone-0"], colours["tone-1"]) > 5
        page.emulate_media(contrast="more")
        thin, soft = (tuple(page.evaluate(TOKEN, name)) for name in ("--thin", "--soft"))
        assert (thin, soft) == (colours["rule"], colours["ink"])
        page.emulate_media(contrast="no-preference")


TARGETS = "button, .rows > li > a, .item > label, .tail > a, .field input, .as-set input, select"


SMALLEST = """(targets) => {
  const seen = [...document.querySelectorAll(targets)].filter((target) => target.offsetParent);
  return [seen.length, Math.min(...seen.map((target) => target.getBoundingClientRect().height))];
}"""


def test_buttons_and_rows_suit_gloves_and_nothing_runs_off_the_side(page: Page, host: Host) -> None:
    for path in PAGES:
        go(page, host, path)
        for width in (320, 360, 412):
            page.set_viewport_size({"width": width, "height": 740})
            count, height = page.evaluate(SMALLEST, TARGETS)
            assert count >= 3 and height >= 60, (path, width)
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (path, width)


WORDS_BROKEN = """() => [...document.querySelectorAll("main :is(dt, dd, th, td, strong, .what)")]
  .filter((place) => place.offsetParent && place.textContent.trim().length > 8)
  .map((place) => [place.textContent.trim(), place.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0 && box.width < 60).map(([text]) => text)"""


@pytest.mark.parametrize("path", PAGES)
def test_text_at_twice_its_size_stays_on_the_screen_and_whole(page: Page, host: Host, path: str) -> None:
    """Resizing text to 200 % without loss: W3C, Web Content Accessibility Guidelines 2.2, 1.4.4.

    In the browser's own typeface, too, which is wider: it is shown where ours comes late.
    """
    page.set_viewport_size({"width": 360, "height": 740})
    for is_ours in (False, True):
        if is_ours:
            page.unroute("**/*.woff2")
        else:
            page.route("**/*.woff2", lambda asked: asked.abort())
        go(page, host, path)
        page.evaluate("document.documentElement.style.fontSize = '36px'")
        assert page.evaluate("document.documentElement.scrollWidth") == 360, is_ours
        assert page.evaluate(WORDS_BROKEN) == [], "columns too narrow for a word"
