"""Eyes that are used to the dark survive the loading of a page."""

from __future__ import annotations

from tests.browsers.engine import Engine
from tests.browsers.sheets import Sheets
from tests.web.host import Host

# What stands behind the page at every frame from its first on.
PAPERS = """window.papers = [];
{
  const note = () => {
    if (document.body) window.papers.push(getComputedStyle(document.documentElement).backgroundColor);
    requestAnimationFrame(note);
  };
  requestAnimationFrame(note);
}"""
BLACK = "rgb(0, 0, 0)"


def test_night_is_black_from_the_first_frame_at_every_load_and_after_a_restart(
    sheets: Sheets, engine: Engine, host: Host
) -> None:
    engine.before(PAPERS)
    sheets.open("")
    sheets.choose_theme("day")
    engine.until("window.papers.at(-1) === 'rgb(255, 255, 255)'")
    sheets.choose_theme("night")
    engine.until(f"window.papers.at(-1) === '{BLACK}'")
    for path in ("shots/slipway/", "kit/", ""):
        sheets.open(path)
        _is_black(engine)
        sheets.reload()
        _is_black(engine)
    engine.quit()
    host.kill()
    engine.start()
    engine.before(PAPERS)
    sheets.open()
    _is_black(engine)


def _is_black(engine: Engine) -> None:
    engine.until("window.papers.length > 2")
    assert set(engine.evaluate("window.papers")) == {BLACK}
