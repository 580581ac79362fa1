"""The strip of a card: every moment is on it, and no label touches another, a leader, or the edge."""

from __future__ import annotations

from itertools import combinations
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldsheet.cards.metrics import measure
from fieldsheet.sheet.strip import Drawing, Manner, draw_strip
from fieldsheet.sheet.strip_sides import Box
from fieldsheet.sheet.svg import TYPE
from tests.cards.sample import moment, sample
from tests.long import tries

SVG = "{http://www.w3.org/2000/svg}"
WIDTH = 134.0
ROUNDING = 0.011  # the drawing's coordinates are hundredths of a millimetre
MEASURE = measure(10, False)

TIDES = ["high tide", "low tide", "wet line", "exit closes"]

words = st.lists(
    st.text(st.sampled_from("abcdehiklmnoprstuvwxyzABKW<&"), min_size=1, max_size=11), min_size=1, max_size=3
).map(" ".join)
clocks = st.builds("{:02d}:{:02d}".format, st.integers(0, 23), st.integers(0, 59))


@st.composite
def strips(draw: st.DrawFn) -> dict[str, Any]:
    frames = draw(st.integers(2, 5000))
    at = st.floats(1, frames)
    sky = st.builds(moment, st.just("sky"), st.just("event"), at, words, clocks)
    keys = st.builds(
        moment,
        st.just("hand"),
        st.just("keyframe"),
        at,
        st.sampled_from(["K1", "K2", "K5"]),
        clocks,
        st.sampled_from(["START", "MIDDLE", "END", ""]),
    )
    acts = st.builds(
        moment, st.just("hand"), st.just("act"), at, words, clocks, st.one_of(st.just(""), words)
    )
    tides = st.builds(moment, st.just("sky"), st.just("tide"), at, st.sampled_from(TIDES), clocks)
    limits = st.builds(
        moment, st.just("hand"), st.just("act"), at, st.sampled_from(["turn back", "gate"]), clocks
    )
    ends = st.builds(
        moment, st.just("hand"), st.just("act"), at, st.sampled_from(["swap from", "swap until"]), clocks
    )
    turned = ["shutter slower", "ISO up", "ISO down", "shutter faster"]
    clicks = st.builds(moment, st.just("hand"), st.just("exposure"), at, st.sampled_from(turned), clocks)
    moments = [
        *draw(st.lists(clicks, max_size=4)),
        *draw(st.lists(sky, max_size=9)),
        *draw(st.lists(tides, max_size=4)),
        *draw(st.lists(keys, max_size=5)),
        *draw(st.lists(acts, max_size=3)),
        *draw(st.lists(limits, max_size=5)),
        *draw(st.lists(ends, max_size=3)),
    ]
    step = draw(st.integers(max(1, frames // 20), frames))
    return {
        "frames": frames,
        "ruler": list(range(step, frames + 1, step)),
        "tones": draw(st.lists(st.floats(0, 1), min_size=48, max_size=48)),
        "moments": draw(st.permutations(moments)),
    }


manners = st.builds(Manner, st.lists(st.integers(0, 12), max_size=5), st.booleans(), st.booleans())
PLAIN, LOW = Manner(), Manner(low=True)


def drawn(strip: dict[str, Any], manner: Manner = PLAIN) -> Drawing:
    return draw_strip(strip, MEASURE, WIDTH, "the shot", manner)


def texts(drawing: Drawing) -> list[tuple[str, Box]]:
    """Every text of the drawing with its ink box, measured with the font's own advances."""
    out = []
    for node in ElementTree.fromstring(drawing.markup).iter(SVG + "text"):
        left, base, text = float(node.attrib["x"]), float(node.attrib["y"]), node.text or ""
        assert float(node.attrib["font-size"]) == pytest.approx(TYPE, abs=0.005)
        right = left + MEASURE(text, node.attrib["font-weight"] == "600")
        out.append((text, Box(left, base - 0.74 * TYPE, right, base + 0.21 * TYPE)))
    return out


def lines(drawing: Drawing) -> list[list[tuple[float, float]]]:
    """Every line's points, leaders and ticks among them."""
    nodes = ElementTree.fromstring(drawing.markup).iter(SVG + "polyline")
    return [
        [(float(x), float(y)) for x, y in (pair.split(",") for pair in node.attrib["points"].split())]
        for node in nodes
    ]


def distance(a: Box, b: Box) -> float:
    """How far apart two boxes are along the axis that separates them; negative where they overlap."""
    return max(a.left - b.right, b.left - a.right, a.top - b.bottom, b.top - a.bottom)


@settings(max_examples=tries(50))
@given(strips(), manners)
def test_every_moment_has_its_tick_and_its_words(strip: dict[str, Any], manner: Manner) -> None:
    drawing = drawn(strip, manner)
    assert sorted(id(tick.moment) for tick in drawing.ticks) == sorted(id(one) for one in strip["moments"])
    starts = [points[end][0] for points in lines(drawing) for end in (0, -1)]
    written = " ".join(text for text, _ in texts(drawing)).replace("\u00a0", " ")
    squeezed = written.replace(" ", "")
    for tick in drawing.ticks:
        one = tick.moment
        assert tick.x == pytest.approx((one["frame"] - 1) / (strip["frames"] - 1) * WIDTH)
        assert any(abs(x - tick.x) <= 0.36 for x in starts)
        name = one["label"]
        if sum(other.box == tick.box for other in drawing.ticks) > 1 and tick.box:
            name = name.removesuffix(" from").removesuffix(" until")
        assert name.replace(" ", "") in squeezed
        assert one["clock"] in written
        if tick.box is None:
            assert f"{int(one['frame'])} {name} {one['clock']}" in written


@settings(max_examples=tries(50))
@given(strips(), manners)
def test_labels_stand_a_millimetre_apart_inside_the_drawing(strip: dict[str, Any], manner: Manner) -> None:
    drawing = drawn(strip, manner)
    boxes = list({tick.box for tick in drawing.ticks if tick.box})
    for box in boxes:
        assert box.left >= -1e-6 and box.top >= -1e-6
        assert box.right <= drawing.width + 1e-6 and box.bottom <= drawing.height + 1e-6
    for a, b in combinations(boxes, 2):
        assert distance(a, b) >= 1.0 - 1e-6


@settings(max_examples=tries(50))
@given(strips(), manners)
def test_no_text_touches_another_text_or_the_edge(strip: dict[str, Any], manner: Manner) -> None:
    drawing = drawn(strip, manner)
    found = texts(drawing)
    for _, box in found:
        assert box.left >= -ROUNDING and box.right <= drawing.width + ROUNDING
        assert box.top >= -ROUNDING and box.bottom <= drawing.height + ROUNDING
    for (one, a), (other, b) in combinations(found, 2):
        assert distance(a, b) >= -ROUNDING, (one, other)


@settings(max_examples=tries(50))
@given(strips(), manners)
def test_no_leader_runs_through_a_label(strip: dict[str, Any], manner: Manner) -> None:
    drawing = drawn(strip, manner)
    boxes = [tick.box for tick in drawing.ticks if tick.box]
    for points in lines(drawing):
        for (x0, y0), (x1, y1) in zip(points, points[1:], strict=False):
            for n in range(41):
                x, y = x0 + (x1 - x0) * n / 40, y0 + (y1 - y0) * n / 40
                assert not any(
                    box.left + 0.02 < x < box.right - 0.02 and box.top + 0.02 < y < box.bottom - 0.02
                    for box in boxes
                )


@settings(max_examples=tries(50))
@given(strips(), manners)
def test_no_leader_slants_through_the_stroke_of_a_moment_named_below(
    strip: dict[str, Any], manner: Manner
) -> None:
    drawing = drawn(strip, manner)
    strokes = [
        points
        for points in lines(drawing)
        if len(points) == 2 and abs(points[1][1] - points[0][1] - 0.9) < 0.02
    ]
    assert len(strokes) >= sum(tick.box is None for tick in drawing.ticks)
    for points in lines(drawing):
        for (x0, y0), (x1, y1) in zip(points, points[1:], strict=False):
            if x0 != x1 and y0 != y1:
                assert all(max(y0, y1) < stroke[0][1] or min(y0, y1) > stroke[1][1] for stroke in strokes)


@settings(max_examples=tries(50))
@given(strips())
def test_a_low_drawing_says_the_same_in_no_more_height(strip: dict[str, Any]) -> None:
    low, airy = drawn(strip, LOW), drawn(strip)
    assert low.height <= airy.height
    assert low.below == airy.below and len(low.ticks) == len(airy.ticks)


def test_crowded_labels_of_the_sky_stand_in_one_line_in_the_low_drawing() -> None:
    strip = sample()["strip"]
    names = ("sunset", "core rise", "moonset", "astron.")
    strip["moments"] = [
        moment("sky", "event", 1 + 20 * n, name, f"20:{10 + n}") for n, name in enumerate(names)
    ]
    assert drawn(strip, LOW).height < drawn(strip).height
    assert len({tick.box.top for tick in drawn(strip, LOW).ticks if tick.box}) == 1


def test_four_of_the_sky_keep_labels_by_rank_and_the_others_are_named_below() -> None:
    drawing = drawn(sample()["strip"])
    labelled = [tick.moment["label"] for tick in drawing.ticks if tick.box and tick.moment["side"] == "sky"]
    assert labelled == ["sunset", "core rise", "nautical", "astron."]
    assert [line.replace("\u00a0", " ") for line in drawing.below] == ["frame 353 civil 21:16"]


def test_a_moment_named_below_is_a_short_tick_and_a_labelled_one_runs_through_the_tones() -> None:
    drawing = drawn(sample()["strip"])
    for tick in drawing.ticks:
        if tick.moment["side"] == "sky":
            at = [points for points in lines(drawing) if abs(points[0][0] - points[-1][0]) < 0.01]
            here = [points for points in at if abs(points[0][0] - tick.x) < 0.01]
            ruled = [abs(points[0][1] - points[-1][1]) for points in here]
            assert (max(ruled) < 1.0) == (tick.box is None), tick.moment["label"]


def test_a_span_without_a_whole_frame_in_it_names_none() -> None:
    strip = sample()["strip"]
    strip["moments"] = swap(121.2, 121.8)
    assert "frames" not in " ".join(text for text, _ in texts(drawn(strip)))
    strip["moments"] = swap(120.2, 301.8)
    assert "frames 121–301" in " ".join(text for text, _ in texts(drawn(strip)))


def test_up_to_four_of_the_sky_need_no_line_below() -> None:
    strip = sample()["strip"]
    strip["moments"] = [one for one in strip["moments"] if one["label"] != "civil"]
    assert drawn(strip).below == ()


def test_a_label_stands_over_its_tick_where_there_is_room() -> None:
    strip = sample()["strip"]
    strip["moments"] = [moment("sky", "event", 300, "sunset", "20:45")]
    (tick,) = drawn(strip).ticks
    assert tick.box is not None
    assert (tick.box.left + tick.box.right) / 2 == pytest.approx(tick.x)


def swap(first: float, last: float) -> list[dict[str, Any]]:
    return [
        moment("hand", "act", first, "swap from", "20:06"),
        moment("hand", "act", last, "swap until", "21:00", "full pack"),
    ]


def test_the_two_ends_of_a_swap_share_a_label_at_a_bracket_between_them() -> None:
    strip = sample()["strip"]
    strip["moments"] = swap(121, 301)
    drawing = drawn(strip)
    first, last = drawing.ticks
    assert first.box == last.box and first.box is not None
    x0, x1 = first.x, last.x
    assert (first.box.left + first.box.right) / 2 == pytest.approx((x0 + x1) / 2)
    (bracket,) = (points for points in lines(drawing) if len(points) == 4)
    assert [x for x, _ in bracket] == pytest.approx([x0, x0, x1, x1], abs=0.01)
    assert bracket[0][1] == bracket[3][1] < bracket[1][1] == bracket[2][1] < first.box.top
    said = " ".join(text for text, _ in texts(drawing))
    assert all(words in said for words in ("swap", "20:06–21:00", "frames 121–301", "full pack"))


@pytest.mark.parametrize(
    "moments",
    [swap(121, 301)[:1], swap(121, 301)[1:], swap(301, 121), swap(121, 301) + swap(400, 500)],
    ids=["only from", "only until", "until before from", "two of each"],
)
def test_ends_that_make_no_span_keep_labels_of_their_own(moments: list[dict[str, Any]]) -> None:
    strip = sample()["strip"] | {"moments": moments}
    drawing = drawn(strip)
    assert len({tick.box for tick in drawing.ticks}) == len(moments)
    assert not [points for points in lines(drawing) if len(points) == 4 and points[0][1] == points[3][1]]


def test_leaders_cross_a_bracket_at_a_right_angle_only() -> None:
    """A key in the middle of a swap hangs from the bar, not from the bracket."""
    strip = sample()["strip"]
    hand = [one for one in strip["moments"] if one["side"] == "hand"]
    strip["moments"] = [*hand, *swap(300, 460)]
    drawing = drawn(strip)
    (bracket,) = (points for points in lines(drawing) if len(points) == 4 and points[0][1] == points[3][1])
    low, edge = bracket[1][1], bracket[0][1]
    for points in lines(drawing):
        for (x0, y0), (x1, y1) in zip(points, points[1:], strict=False):
            if x0 != x1 and y0 != y1 and max(y0, y1) > edge:
                assert min(y0, y1) > low
    starts = {points[0] for points in lines(drawing)}
    assert any(x == pytest.approx(382.5 / 765 * WIDTH, abs=0.01) and y == edge for x, y in starts)


def test_the_water_that_closes_the_way_keeps_its_label_before_the_shades_of_dusk() -> None:
    strip = sample()["strip"]
    strip["moments"] += [
        moment("sky", "tide", 410, "wet line", "21:33"),
        moment("sky", "tide", 560, "exit closes", "22:18"),
        moment("sky", "tide", 600, "high tide", "22:30"),
    ]
    labelled = [one.moment["label"] for one in drawn(strip).ticks if one.box and one.moment["side"] == "sky"]
    assert labelled == ["sunset", "wet line", "exit closes", "high tide"]


@pytest.mark.parametrize("keys", [0, 1])
def test_a_shot_with_hardly_a_keyframe_has_its_strip(keys: int) -> None:
    strip = sample()["strip"]
    hand = [one for one in strip["moments"] if one["side"] == "hand"]
    strip["moments"] = [one for one in strip["moments"] if one["side"] == "sky"] + hand[:keys]
    drawing = drawn(strip)
    assert len(drawing.ticks) == len(strip["moments"])


def test_tones_are_flat_steps_from_light_to_dark() -> None:
    strip = sample()["strip"]
    svg = ElementTree.fromstring(drawn(strip).markup)
    fills = [node.attrib["fill"] for node in svg.iter(SVG + "rect") if float(node.attrib["height"]) == 3.4]
    levels = [int(fill[1:3], 16) for fill in fills]
    assert len(levels) == len({round(tone, 9) for tone in strip["tones"]})
    assert levels == sorted(levels, reverse=True) and levels[0] > 240 and levels[-1] < 16
    assert not {node.tag for node in svg.iter()} & {SVG + "linearGradient", SVG + "radialGradient"}


def test_a_crowded_ruler_prints_every_so_many_numbers_and_ticks_them_all() -> None:
    strip = sample()["strip"] | {"frames": 5000, "ruler": list(range(50, 5000, 50)), "moments": []}
    drawing = drawn(strip)
    numbers = [int(text) for text, _ in texts(drawing)]
    step = numbers[0]
    assert numbers == list(range(step, numbers[-1] + 1, step)) and step > 50
    assert 5000 - numbers[-1] < 2 * step
    ticks = [points for points in lines(drawing) if points[0][0] == points[-1][0]]
    assert len(ticks) == len(strip["ruler"])


def test_a_number_at_the_end_of_the_ruler_keeps_off_the_one_before() -> None:
    """Moved in from the edge, 912 would stand in 855."""
    strip = sample()["strip"] | {"frames": 912, "ruler": list(range(57, 913, 57)), "moments": []}
    numbers = [text for text, _ in texts(drawn(strip))]
    assert numbers[-1] == "855" and len(numbers) == 15


def test_more_moments_than_the_strip_can_hold_are_refused_in_words() -> None:
    strip = sample()["strip"]
    strip["moments"] = [
        moment("hand", "act", n + 1, "a long act with a long name", "20:00") for n in range(120)
    ]
    with pytest.raises(ValueError, match="120 moments do not fit on one side of a strip 134 mm wide"):
        drawn(strip)
