"""What no line of paper parts."""

from __future__ import annotations

import pytest

from fieldsheet.sheet.glue import held

JOINER = "\u2060"


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("lens 70 mm, hood", ["lens", "70\u00a0mm,\u00a0hood"]),
        ("gusts above 8 m/s, thunder", ["gusts", "above", f"8\u00a0m/{JOINER}s,", "thunder"]),
        ("at 90 km/h", ["at", f"90\u00a0km/{JOINER}h"]),
        ("usable 00:26–04:44", ["usable", f"00:26–{JOINER}04:44"]),
        ("8:01 pm–8:51 pm", ["8:01", f"pm–{JOINER}8:51\u00a0pm"]),
        ("by way of S 525 mm · T +1.0°", ["by", "way", "of", "S\u00a0525\u00a0mm\u00a0·", "T\u00a0+1.0°"]),
        ("dew, 2–4 °C", ["dew,", f"2–{JOINER}4\u00a0°C"]),
        ("64 GB in 1 shot on 2 nights", ["64\u00a0GB", "in", "1\u00a0shot", "on", "2\u00a0nights"]),
        ("up, ISO 100 to 640", ["up,", "ISO\u00a0100", "to\u00a0640"]),
        ("Mon 7 June 12:35", ["Mon", "7\u00a0June", "12:35"]),
        ("and/or, 1/2000 to, go / no-go", ["and/or,", f"1/{JOINER}2000", "to,", "go", "/", "no-go"]),
        (
            "full after 9 h 8 min, 1 min 4 s",
            ["full", "after", "9\u00a0h\u00a08\u00a0min,", "1\u00a0min\u00a04\u00a0s"],
        ),
        ("287° (288° mag), ends at 258°", ["287°\u00a0(288°\u00a0mag),", "ends", "at\u00a0258°"]),
        ("down to the stop; power on", ["down", "to", "the", "stop;", "power\u00a0on"]),
        ("dust frame at f/16, f/, s", ["dust", "frame", "at", f"f/{JOINER}16,", "f/,\u00a0s"]),
    ],
)
def test_a_figure_stays_with_what_it_counts(text: str, parts: list[str]) -> None:
    """Python's own blanks would part at the one that holds, too."""
    assert held(text).split(" ") == parts
