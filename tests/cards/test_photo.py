"""The code of a card is read from photographs such as a phone takes outdoors, not only from clean pages."""

from __future__ import annotations

import numpy as np
import pytest
import zxingcpp
from PIL import Image

from tests.cards.pdf import card_pdf, made, picture
from tests.cards.photo import INK, NOISE, PAPER, photo
from tests.cards.sample import LINK, sample

DPI = 300


@pytest.fixture(scope="module")
def page() -> Image.Image:
    """The back of a card, with the code, as it prints."""
    return picture(made(card_pdf, sample()), 1, DPI)


@pytest.fixture(scope="module")
def middle(page: Image.Image) -> tuple[float, float]:
    """The middle of the code on the clean page, px."""
    (code,) = zxingcpp.read_barcodes(page)
    assert code.text == LINK
    corners = code.position.top_left, code.position.bottom_right
    return sum(corner.x for corner in corners) / 2, sum(corner.y for corner in corners) / 2


@pytest.mark.parametrize("view", ["turned", "tilted"])
@pytest.mark.parametrize("seed", range(5))
def test_the_code_is_read_askew_grey_under_a_gleam_soft_and_noisy(
    page: Image.Image, middle: tuple[float, float], view: str, seed: int
) -> None:
    codes = zxingcpp.read_barcodes(photo(page, DPI, middle, view, seed))
    assert [code.text for code in codes] == [LINK]


@pytest.mark.parametrize("view", ["turned", "tilted"])
def test_such_a_photograph_is_as_bad_as_it_says(
    page: Image.Image, middle: tuple[float, float], view: str
) -> None:
    """Else the test above might read clean pages."""
    seen = np.asarray(photo(page, DPI, middle, view, 0), np.float64)
    paper, ink, noise = np.median(seen), np.percentile(seen, 0.5), seen[:8].std()
    print(f"grey levels: paper {paper:.0f}, ink {ink:.0f}, noise {noise:.1f}, brightest {seen.max():.0f}")
    assert paper == pytest.approx(PAPER, abs=2.0)
    assert ink == pytest.approx(INK, abs=5.0)
    assert noise == pytest.approx(NOISE, abs=0.5)
    assert seen.max() == 255.0 > PAPER + 5.0 * NOISE, "no gleam"
