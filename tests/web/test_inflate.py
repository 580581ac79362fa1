"""What browsers of before 2023 unpack by hand: any zlib stream, and nothing that is none."""

from __future__ import annotations

import base64
import zlib
from random import Random

from playwright.sync_api import Page

from tests.long import tries

SEED = 1951
STRATEGIES = (zlib.Z_DEFAULT_STRATEGY, zlib.Z_HUFFMAN_ONLY, zlib.Z_RLE, zlib.Z_FIXED)
MOST = 300_000
INFLATE = """async ([streams, most]) => {
  const {inflate} = await import("/app/keep/inflate.js");
  const bytes = (text) => Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));
  const text = (some) => btoa(some.reduce((all, byte) => all + String.fromCharCode(byte), ""));
  return streams.map((stream) => {
    try { return text(inflate(bytes(stream), most)); } catch (error) { return error.message; }
  });
}"""


def _data(rng: Random) -> bytes:
    """Noise, text of few signs, or what repeats itself near and far."""
    size = rng.choice([0, 1, 2, 258, 300, 5000, 66_000])
    few = bytes(rng.randrange(256) for _ in range(rng.choice([1, 2, 30, 256])))
    if rng.random() < 0.5:
        return bytes(rng.choices(few, k=size))
    piece = bytes(rng.choices(few, k=rng.choice([3, 200, 30_000])))
    return (piece * (size // len(piece) + 1))[:size]


def _packed(data: bytes, level: int, strategy: int) -> bytes:
    packer = zlib.compressobj(level, zlib.DEFLATED, 15, 9, strategy)
    return packer.compress(data) + packer.flush()


def _inflated(page: Page, streams: list[bytes], most: int = MOST) -> list[str]:
    sent = [base64.b64encode(stream).decode() for stream in streams]
    got: list[str] = page.evaluate(INFLATE, [sent, most])
    return got


def test_streams_of_every_level_and_strategy_come_out_as_they_went_in(modules_page: Page) -> None:
    rng = Random(SEED)
    datas = [_data(rng) for _ in range(tries(80))]
    streams = [_packed(data, rng.randrange(10), rng.choice(STRATEGIES)) for data in datas]
    kinds = {stream[2] >> 1 & 3 for stream in streams}
    assert kinds == {0, 1, 2}, "stored, fixed and dynamic codes are all met"
    assert _inflated(modules_page, streams) == [base64.b64encode(data).decode() for data in datas]


def test_what_is_cut_altered_or_longer_than_allowed_is_refused(modules_page: Page) -> None:
    rng = Random(SEED)
    data = bytes(rng.choices(b"frames and keyframes", k=4000))
    sound = _packed(data, 9, zlib.Z_DEFAULT_STRATEGY)
    cut = [sound[:size] for size in range(0, len(sound), 7)]
    altered = []
    for _ in range(tries(300)):
        at = rng.randrange(len(sound))
        altered.append(sound[:at] + bytes([sound[at] ^ 1 << rng.randrange(8)]) + sound[at + 1 :])
    noise = [b"\x78\x9c" + rng.randbytes(60) for _ in range(tries(200))]
    for got in _inflated(modules_page, [*cut, *altered, *noise]):
        assert got == "what was packed is damaged"
    bomb = zlib.compress(bytes(MOST + 1), 9)
    assert _inflated(modules_page, [bomb, sound]) == [
        "what was packed is damaged",
        base64.b64encode(data).decode(),
    ]
