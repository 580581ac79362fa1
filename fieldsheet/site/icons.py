"""The mark on the home screen: a bar of dusk, dark to the right, and a heavy tick. Drawn, not stored."""

from __future__ import annotations

import functools
import io

from PIL import Image, ImageDraw

STEPS = 8  # flat tones, as on the printed strip
FINER = 4  # drawn larger and reduced, so that the slanted stroke is smooth
GREYS = 16  # as many as the smooth edges want, half the bytes of 256
PAPER, INK = 255, 12
PLAIN, MASKED = 0.10, 0.22  # margin as a share of the side; a mask may cut everything outside a circle of 0.8


@functools.cache
def icons() -> dict[str, bytes]:
    """File name -> PNG bytes."""
    return {
        "icon-192.png": _draw(192, PLAIN),
        "icon-512.png": _draw(512, PLAIN),
        "icon-maskable-512.png": _draw(512, MASKED),
    }


def _draw(side: int, margin: float) -> bytes:
    """A square PNG of `side` pixels, in grey."""
    full = side * FINER
    low, high = full * margin, full * (1 - margin)
    span = high - low
    image = Image.new("L", (full, full), PAPER)
    pen = ImageDraw.Draw(image)
    for step in range(STEPS):
        tone = PAPER + (INK - PAPER) * step // (STEPS - 1)
        left, right = (low + span * edge / STEPS for edge in (step, step + 1))
        pen.rectangle((left, low, right, low + span * 0.34), fill=tone)
    line = round(span * 0.035)
    pen.rectangle((low, low, high, low + span * 0.34), outline=INK, width=line)
    tick = [(low + span * x, low + span * y) for x, y in ((0.18, 0.72), (0.40, 0.92), (0.84, 0.48))]
    pen.line(tick, fill=INK, width=round(span * 0.13), joint="curve")
    out = io.BytesIO()
    small = image.resize((side, side), Image.Resampling.BOX)
    small.quantize(GREYS, dither=Image.Dither.NONE).save(out, "PNG", optimize=True)
    return out.getvalue()
