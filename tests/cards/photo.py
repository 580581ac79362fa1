"""A card as a phone sees it outdoors: askew, grey, with a gleam on the laminate, soft and noisy."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFilter

Floats = NDArray[np.float64]

INK, PAPER = 45.0, 220.0  # grey levels out of 255
GLEAM, GLEAM_MM = 110.0, 8.0  # grey levels that the gleam adds in its middle, and the sd of its fall
NOISE = 5.0  # sd in grey levels
BLUR_PX = 1.0  # sd
TURN_DEG, TILT_DEG = 3.0, 5.0
EYE_MM = 200.0  # from the lens to the card


def photo(page: Image.Image, dpi: int, code: tuple[float, float], view: str, seed: int) -> Image.Image:
    """The page (grey) as a photograph of as many pixels.

    code: middle of what the gleam falls on, px.  view: "turned" or "tilted".  The seed decides which way,
    where the gleam lies, and the noise.
    """
    rng = np.random.default_rng(seed)
    askew = _turned(page, rng) if view == "turned" else _tilted(page, dpi, rng)
    light = INK + (PAPER - INK) * np.asarray(askew, np.float64) / 255.0
    seen = Image.fromarray(_grey(light + _gleam(page.size, dpi, code, rng)))
    soft = np.asarray(seen.filter(ImageFilter.GaussianBlur(BLUR_PX)), np.float64)
    return Image.fromarray(_grey(soft + rng.normal(0.0, NOISE, soft.shape)))


def _grey(levels: Floats) -> NDArray[np.uint8]:
    return np.clip(np.rint(levels), 0, 255).astype(np.uint8)


def _turned(page: Image.Image, rng: np.random.Generator) -> Image.Image:
    way = rng.choice((-TURN_DEG, TURN_DEG))
    return page.rotate(float(way), Image.Resampling.BICUBIC, fillcolor=255)


def _tilted(page: Image.Image, dpi: int, rng: np.random.Generator) -> Image.Image:
    """Tilted about a line through its middle, and seen from a point above that middle."""
    turn = rng.uniform(0.0, 2.0 * math.pi)
    across, along = math.cos(turn), math.sin(turn)
    sin, cos, eye = math.sin(math.radians(TILT_DEG)), math.cos(math.radians(TILT_DEG)), EYE_MM / 25.4 * dpi
    # Rows: where a point (x, y) of the card, from its middle, stands in space: x, y, and 1 - depth / eye.
    stands = np.array(
        [
            [across * across * cos + along * along, across * along * (cos - 1.0), 0.0],
            [across * along * (cos - 1.0), along * along * cos + across * across, 0.0],
            [-across * sin / eye, -along * sin / eye, 1.0],
        ]
    )
    middle = np.array([[1.0, 0.0, page.width / 2.0], [0.0, 1.0, page.height / 2.0], [0.0, 0.0, 1.0]])
    back = middle @ np.linalg.inv(stands) @ np.linalg.inv(middle)  # from the photograph to the card
    coefficients = (back / back[2, 2]).ravel()[:8].tolist()
    return page.transform(
        page.size, Image.Transform.PERSPECTIVE, coefficients, Image.Resampling.BICUBIC, fillcolor=255
    )


def _gleam(size: tuple[int, int], dpi: int, code: tuple[float, float], rng: np.random.Generator) -> Floats:
    """A soft round light whose middle lies up to 8 mm from the middle of the code, each way."""
    px_per_mm = dpi / 25.4
    x, y = np.array(code) + rng.uniform(-8.0, 8.0, 2) * px_per_mm
    columns, rows = np.arange(size[0]) - x, np.arange(size[1])[:, np.newaxis] - y
    return np.asarray(GLEAM * np.exp(-(columns**2 + rows**2) / (2.0 * (GLEAM_MM * px_per_mm) ** 2)))
