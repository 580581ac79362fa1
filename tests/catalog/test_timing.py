"""Neither too little nor too much about time: every combination of the five keys."""

from __future__ import annotations

from itertools import combinations

import pytest

from .conftest import Folder

SHOT = "shots/slipway.toml"
WRITTEN = {
    "start": 'start = "sunset - 1h15m"',
    "end": 'end = "astronomical dusk + 40m"',
    "duration": 'duration = "3h50m"',
    "interval_s": "interval_s = 18",
    "frames": "frames = 700",
}
# Three of the five, a start or an end among them, and an interval or a number of frames.
FITTING = {
    ("start", "end", "interval_s"),
    ("start", "end", "frames"),
    ("start", "duration", "interval_s"),
    ("start", "duration", "frames"),
    ("start", "interval_s", "frames"),
    ("end", "duration", "interval_s"),
    ("end", "duration", "frames"),
    ("end", "interval_s", "frames"),
}
COMBINATIONS = [keys for count in range(6) for keys in combinations(WRITTEN, count)]
MISFITS = [keys for keys in COMBINATIONS if keys and keys not in FITTING]


def say(sample: Folder, *lines: str) -> None:
    """Lines 11 to 13 of the sample shot, which hold its timing, give way to these."""
    text = (sample.path / SHOT).read_text("utf-8").split("\n")
    assert text[10].startswith("start") and text[12].startswith("interval_s")
    sample.write(SHOT, "\n".join([*text[:10], *lines, *text[13:]]))


@pytest.mark.parametrize("keys", COMBINATIONS, ids="+".join)
def test_exactly_the_fitting_combinations_are_taken(sample: Folder, keys: tuple[str, ...]) -> None:
    say(sample, *(WRITTEN[key] for key in keys))
    problems = sample.problems()
    assert len(problems) == (0 if keys in FITTING else 1)
    assert all(problem.line is not None for problem in problems)


@pytest.mark.parametrize("keys", MISFITS, ids="+".join)
def test_the_way_out_that_is_told_is_one(sample: Folder, keys: tuple[str, ...]) -> None:
    say(sample, *(WRITTEN[key] for key in keys))
    right = sample.problems()[0].right
    named = [key for key in WRITTEN if key in right]
    assert named
    assert any(tuple(key for key in WRITTEN if key in kept) in FITTING for kept in changed(set(keys), named))


def changed(keys: set[str], named: list[str]) -> list[set[str]]:
    """What may come of adding or removing one or two of the named keys."""
    some = [set(few) for count in (1, 2) for few in combinations(named, count)]
    mended = [keys ^ few for few in some]
    return mended + [(keys | few) - {key} for few in some for key in keys]


TOLD = [
    (
        ["start", "end", "duration", "interval_s"],
        (
            "14: interval_s: found start (line 11), end (line 12), duration (line 13) "
            "and interval_s (line 14); right: three of them: remove duration, end or start"
        ),
    ),
    (
        ["start", "end", "interval_s", "frames"],
        (
            "14: frames: found start (line 11), end (line 12), interval_s (line 13) and frames (line 14); "
            "right: three of them: remove frames, interval_s, end or start"
        ),
    ),
    (
        ["start", "end", "duration", "interval_s", "frames"],
        (
            "15: frames: found start (line 11), end (line 12), duration (line 13), "
            "interval_s (line 14) and frames (line 15); "
            "right: three of them: remove two, such as duration and frames"
        ),
    ),
    (
        ["start", "end", "duration"],
        (
            "13: duration: found start (line 11), end (line 12) and duration (line 13); "
            "right: interval_s or frames in place of one of them"
        ),
    ),
    (
        ["duration", "interval_s", "frames"],
        (
            "13: frames: found duration (line 11), interval_s (line 12) and frames (line 13); "
            "right: start or end in place of one of them"
        ),
    ),
    (
        ["start", "end"],
        "12: end: found only start (line 11) and end (line 12); right: one more: add interval_s or frames",
    ),
    (
        ["start"],
        (
            "11: start: found only start (line 11); "
            "right: two more: add end with interval_s, end with frames or duration with interval_s"
        ),
    ),
    (
        [],
        "1: start: found no start, end, duration, interval_s or frames; right: three of them",
    ),
]


@pytest.mark.parametrize(("keys", "message"), TOLD, ids=["+".join(keys) for keys, _ in TOLD])
def test_lines_that_disagree_are_named(sample: Folder, keys: list[str], message: str) -> None:
    say(sample, *(WRITTEN[key] for key in keys))
    assert sample.told() == [f"{SHOT}:{message}"]


OTHER = [
    (
        ['start = "sunset"', "interval_s = 18", "frames = 700", "clip_s = 28"],
        (
            "14: clip_s: found both frames (line 13) and clip_s (line 14); "
            "right: only one: remove frames or clip_s"
        ),
    ),
    (
        ['start = "sunset"', 'end = "sunset + 1h"', "interval_s = 18", "clip_s = 28"],
        (
            "14: clip_s: found start (line 11), end (line 12), interval_s (line 13) and clip_s (line 14); "
            "right: three of them: remove clip_s, interval_s, end or start"
        ),
    ),
    (
        ['start = "sunset"', 'duration = "20s"', "interval_s = 18"],
        "12: duration: found 1 frame; right: time for at least 2 frames",
    ),
    (
        ['start = "sunset"', "interval_s = 18", "clip_s = 0.04"],
        "13: clip_s: found 1 frame; right: time for at least 2 frames",
    ),
    (
        ['start = "sunset"', 'duration = "3h"', "clip_s = 0.04"],
        "13: clip_s: found 1 frame; right: time for at least 2 frames",
    ),
    (
        ['start = "sunset"', "interval_s = 60", "frames = 1500"],
        "13: frames: found 1500 frames at 60 s, which is 25 h; right: at most 24 h",
    ),
    (
        ['start = "sunset"', "interval_s = 18.001", 'end = "sunset + 3h"'],
        (
            "12: interval_s: found 18.001; "
            "right: 18.0 or 18.5: rigs/rail-and-head.toml takes steps of 0.5 s (interval_step_s)"
        ),
    ),
]


UNKNOWN = "found a key that nothing reads; right:"
MISSPELT = [
    # The key that is told already makes the three whole.
    (
        ["start = 'sunset'", "end = 'sunset + 3h'", "interval = 18"],
        ["13: interval: {} interval_s, in seconds"],
    ),
    (["start = 'sunset'", "interval_s = 18", "clip = 30"], ["13: clip: {} clip_s, in seconds"]),
    # Three stand without it.
    (
        ["start = 'sunset'", "end = 'sunset + 3h'", "interval_min = 1", "frames = 700"],
        ["13: interval_min: {} interval_s, in seconds"],
    ),
    # Neither: the rule speaks of the keys that are there, with their lines.
    (
        ["start = 'sunset'", "end = 'sunset + 3h'", "duration = '3h'", "interval = 18"],
        [
            (
                "13: duration: found start (line 11), end (line 12) and duration (line 13); "
                "right: interval_s or frames in place of one of them"
            ),
            "14: interval: {} interval_s, in seconds",
        ],
    ),
    (
        ["interval = 18"],
        [
            "1: start: found no start, end, duration, interval_s or frames; right: three of them",
            "11: interval: {} interval_s, in seconds",
        ],
    ),
]


@pytest.mark.parametrize(("lines", "messages"), MISSPELT)
def test_a_misspelt_key_is_told_once_and_never_by_the_rule(
    sample: Folder, lines: list[str], messages: list[str]
) -> None:
    say(sample, *lines)
    assert sample.told() == [f"{SHOT}:{message.format(UNKNOWN)}" for message in messages]


@pytest.mark.parametrize(("lines", "message"), OTHER)
def test_amounts_that_cannot_be_shot_are_told(sample: Folder, lines: list[str], message: str) -> None:
    sample.edit(SHOT, "ease_frames = 40 ", "ease_frames = 0 ")
    say(sample, *lines)
    assert sample.told() == [f"{SHOT}:{message}"]


@pytest.mark.parametrize(
    ("fps", "clip_s", "frames"),
    [
        # 30 s at 25 are 750 frames; at 30000/1001 a second, 30 s need one more than 899.1.
        ("25", "30", 750),
        ("29.97", "30", 900),
        ("'30000/1001'", "10.01", 300),
        ("23.976", "12.5", 300),
        ("24", "12.5", 300),
        ("24", "12.501", 301),
    ],
)
def test_a_clip_length_becomes_whole_frames_at_the_exact_rate(
    sample: Folder, fps: str, clip_s: str, frames: int
) -> None:
    sample.edit(SHOT, "fps = 25\n", f"fps = {fps}\n")
    say(sample, 'start = "sunset"', "interval_s = 18", f"clip_s = {clip_s}")
    brief = sample.read().brief("slipway")
    assert brief["frames"] == frames
    assert brief["duration_ms"] is None
