"""Which of the sky's moments keep a label on a card's strip: first what the shot itself hangs on."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.cards.metrics import measure
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sheet.strip import Drawing, Manner, draw_strip
from fieldsheet.sheet.told import hangs_on
from tests.cards.sample import moment, sample

EVENTS = {
    "sunset": "sunset",
    "moonrise": "moonrise",
    "civil dusk": "civil",
    "low tide": "low tide",
    "core rise": "core rise",
    "nautical dusk": "nautical",
    "astronomical dusk": "astron.",
    "core usable": "core usable",
}
NOON = {"clock_s": 43_200}


def drawn(strip: dict[str, Any], first: list[int]) -> Drawing:
    return draw_strip(strip, measure(10, False), 134.0, "the shot", Manner(first))


def on(event: str) -> dict[str, Any]:
    return {"event": event, "offset_s": -600}


def brief(**changes: Any) -> dict[str, Any]:
    """What of a brief its times hang on: by the clock, but for `changes`."""
    place = {"turn_back": None, "gate_closes": None, "check_in": None}
    place |= {key: changes.pop(key) for key in [*changes] if key in place}
    times: dict[str, Any] = {"start": NOON, "end": NOON, "keyframes": [], "phases": [], "swap": None}
    return {**times, "place": place} | changes


@pytest.mark.parametrize(
    ("shot", "labelled"),
    [
        (brief(), ["sunset", "low tide", "astron.", "core usable"]),
        (brief(start=on("civil dusk")), ["sunset", "civil", "low tide", "core usable"]),
        (brief(end=on("nautical dusk")), ["sunset", "low tide", "nautical", "core usable"]),
        (brief(end=None, start=on("moonrise")), ["sunset", "moonrise", "low tide", "core usable"]),
        (brief(keyframes=[{"at": {"fraction": 0.5}}, {"at": on("core rise")}]),
         ["sunset", "low tide", "core rise", "core usable"]),
        (brief(swap={"from": on("civil dusk"), "until": on("nautical dusk")}),
         ["sunset", "civil", "low tide", "nautical"]),
        (brief(phases=[{"from": on("moonrise"), "interval_ms": 25_000}]),
         ["sunset", "moonrise", "low tide", "core usable"]),
        (brief(turn_back=on("core rise"), gate_closes=on("moonrise")),
         ["sunset", "moonrise", "low tide", "core rise"]),
        (brief(check_in={"at": on("moonrise"), "with": "M."}),
         ["sunset", "moonrise", "low tide", "core usable"]),
        (brief(start=on("civil dusk"), end=on("core rise"), keyframes=[{"at": on("moonrise")}],
               turn_back=on("nautical dusk"), swap={"from": on("sunset"), "until": on("sunset")}),
         ["moonrise", "civil", "core rise", "nautical"]),
    ],
    ids=["clock", "start", "end", "start alone", "keyframe", "swap", "phase", "limits", "check-in", "more"],
)  # fmt: skip
def test_what_the_shot_hangs_on_has_the_first_claim_on_a_label(
    shot: dict[str, Any], labelled: list[str]
) -> None:
    moments = [
        moment("sky", "tide" if "tide" in label else "event", 90.0 * n + 20, label, f"20:{10 + n}")
        for n, label in enumerate(EVENTS.values())
    ]
    strip = sample()["strip"] | {"moments": moments}
    drawing = drawn(strip, hangs_on(shot, [*EVENTS]))
    assert [tick.moment["label"] for tick in drawing.ticks if tick.box] == labelled
    assert len(drawing.ticks) == len(moments)


def test_the_water_that_cuts_off_the_way_keeps_its_label_before_what_the_shot_hangs_on() -> None:
    strip = sample()["strip"]
    strip["moments"] += [moment("sky", "tide", 560, "exit closes", "22:18")]
    names = [one["label"] for one in strip["moments"]]
    first = [names.index(name) for name in ("civil", "core rise", "nautical", "astron.")]
    labelled = [one.moment["label"] for one in drawn(strip, first).ticks if one.box]
    assert [name for name in labelled if name[0] != "K"] == ["civil", "core rise", "nautical", "exit closes"]


def test_the_demo_labels_what_its_dusk_shot_hangs_on(demo_plan: dict[str, Any]) -> None:
    moments = demo_plan["moments"]
    hung = [moments[n]["id"] for n in make_sheet(demo_plan)["hangs_on"]]
    assert hung == ["sunset", "astronomical dusk"]
