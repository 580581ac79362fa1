"""The upright run strip: every moment is there, no label touches another, all stay inside."""

from __future__ import annotations

from random import Random
from typing import Any

from playwright.sync_api import Page

from tests.long import tries

SEED = 7
STRIPS = 60
GAP_PX = 1.0

DRAW = """async (strips) => {
  const {drawStrip} = await import('/app/shown/strip.js');
  const style = document.createElement('link');
  style.rel = 'stylesheet';
  style.href = '/app/strip.css';
  document.head.append(style);
  await new Promise((done) => { style.onload = done; });
  return strips.map(([strip, now]) => {
    const keyframes = strip.moments.filter(({kind}) => kind === 'keyframe');
    const lines = keyframes.map(() => 'S 1060 mm · P −174.9° · T +74.9°');
    const drawing = drawStrip(strip, lines, now, strip);
    document.body.replaceChildren(drawing);
    const view = drawing.viewBox.baseVal;
    const boxes = [...drawing.querySelectorAll('text:not(.ruler)')].map((text) => {
      const {x, y, width, height} = text.getBBox();
      return {text: text.textContent, x, y, width, height};
    });
    return {view: [view.width, view.height], boxes, leaders: drawing.querySelectorAll('.leader').length};
  });
}"""


def _strip(rng: Random) -> dict[str, Any]:
    """A strip with 0 to 7 keyframes, acts, events of the sky and tides, crowded at one moment or spread."""
    frames = rng.choice([2, 40, 753, 20_000])
    crowd = rng.uniform(1, frames)
    counts = {"event": rng.randrange(0, 13), "tide": rng.randrange(0, 4)}
    counts |= {"keyframe": rng.randrange(0, 8), "act": rng.randrange(0, 5), "exposure": rng.randrange(0, 5)}
    moments = [
        {
            "side": "sky" if kind in ("event", "tide") else "hand",
            "kind": kind,
            "frame": rng.choice([crowd, rng.uniform(1, frames)]),
            "label": rng.choice(LABELS[kind]),
            "clock": rng.choice(["23:59", "23:59 +1245"]),
            "detail": "MIDDLE" if kind == "keyframe" else "",
        }
        for kind, count in counts.items()
        for _ in range(count)
    ]
    moments.sort(key=lambda moment: moment["frame"])
    return {"frames": frames, "ruler": [], "tones": [rng.random() for _ in range(48)], "moments": moments}


LABELS = {
    "event": ["nautical", "moonset", "core unusable", "Rigil Kentaurus highest", "astronomical dawn"],
    "tide": ["high tide", "exit closes"],
    "keyframe": ["K7"],
    "act": ["swap from", "swap until", "turn back", "gate closes"],
    "exposure": ["shutter slower", "ISO up", "aperture narrower"],
}


def _apart(a: dict[str, Any], b: dict[str, Any]) -> bool:
    across = a["x"] + a["width"] <= b["x"] or b["x"] + b["width"] <= a["x"]
    upright = a["y"] + a["height"] <= b["y"] + GAP_PX or b["y"] + b["height"] <= a["y"] + GAP_PX
    return bool(across or upright)


def test_labels_stand_apart_inside_the_drawing_and_none_is_dropped(modules_page: Page) -> None:
    rng = Random(SEED)
    strips = [_strip(rng) for _ in range(tries(STRIPS))]
    nows = [rng.choice([None, rng.randint(1, strip["frames"])]) for strip in strips]
    drawn = modules_page.evaluate(DRAW, list(zip(strips, nows, strict=True)))
    for number, (strip, drawing) in enumerate(zip(strips, drawn, strict=True)):
        width, height = drawing["view"]
        boxes = drawing["boxes"]
        is_now = nows[number] is not None
        assert drawing["leaders"] == len(strip["moments"]) + is_now, f"strip {number} of seed {SEED}"
        assert [box["text"] for box in boxes].count("now") == is_now
        clocks = sum(box["text"].count("23:59") for box in boxes)
        assert clocks == len(strip["moments"]), f"strip {number}: a moment lacks its clock"
        for box in boxes:
            inside = box["x"] >= 0 and box["x"] + box["width"] <= width and box["y"] >= 0
            assert inside and box["y"] + box["height"] <= height, (
                f"strip {number}: {box} leaves {width} x {height}"
            )
        for index, box in enumerate(boxes):
            for other in boxes[index + 1 :]:
                assert _apart(box, other), f"strip {number} of seed {SEED}: {box} touches {other}"
