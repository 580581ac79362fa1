"""Takes at the desk: joined, compared with the plan, and refused with the place of the fault."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from random import Random
from typing import Any

import pytest

from fieldsheet.exchange.asrun import run_of
from fieldsheet.exchange.marks import marks_csv
from fieldsheet.exchange.report import report
from fieldsheet.exchange.takefile import Take, read_take
from fieldsheet.exchange.takes import merge, reduce
from tests.random_takes import random_take
from tests.takes import MINUTE_MS, Body, a_night, carried, clocks_back, events_of, file_of

Plan = dict[str, Any]
ANA = "7f3a90c1"


@pytest.fixture(scope="module")
def plan(demo_plan: Plan) -> Plan:
    return carried(demo_plan)


def take_of(events: list[dict[str, Any]]) -> Take:
    take = read_take("x", file_of(events))
    assert isinstance(take, Take), take
    return take


def edited(old: str, new: str) -> Callable[[Plan], bytes]:
    """The night's file with one thing otherwise."""

    def make(plan: Plan) -> bytes:
        text = json.dumps(json.loads(file_of(a_night(plan))), separators=(",", ":"))
        assert old in text
        return text.replace(old, new, 1).encode()

    return make


def with_event(kind: str, payload: dict[str, Any]) -> Callable[[Plan], bytes]:
    return lambda plan: file_of(events_of(plan, [(0, ANA, kind, payload)]))


def with_plan(key: str, value: Any) -> Callable[[Plan], bytes]:
    return lambda plan: file_of(events_of({**plan, key: value}, []))


def fixed(data: bytes) -> Callable[[Plan], bytes]:
    return lambda plan: data


def events_only(plan: Plan) -> bytes:
    return file_of(a_night(plan), events=a_night(plan)[1:])


OWN = '"plan":{"format":"fieldsheet plan","version":1,"shot":{"id":"slipway"'
FAULTS: dict[str, tuple[Callable[[Plan], bytes], str, str]] = {
    "ten megabytes": (fixed(b" " * 10_000_001), "", "more than 10 MB"),
    "cut off": (lambda plan: file_of(a_night(plan))[:-40], "", "not JSON, or was cut off"),
    "empty": (fixed(b""), "", "not JSON"),
    "not text": (fixed(b"\n\n\xff\xfe"), ":3", "not UTF-8"),
    "a list": (fixed(b"[]"), "", "something else"),
    "a foreign file": (fixed(b'{"format": "other"}'), "", "something else"),
    "a plan": (lambda plan: json.dumps(plan).encode(), "", "something else"),
    "nested without end": (fixed(b'{"a":' * 90_000), "", "nesting"),
    "nested too deep": (edited('"events":[', '"x":' + "[" * 40 + "]" * 40 + ',"events":['), "", "nesting"),
    "not a number": (edited('"version":1', '"version":NaN'), "", "beyond all logs"),
    "a key twice": (edited('"take":', '"take":"twice","take":'), "", "'take' twice"),
    "a newer version": (edited('"version":1', '"version":2'), "version", "right: version 1: update"),
    "no version": (edited('"version":1', '"version":"1"'), "version", 'version "1"'),
    "no take": (edited('"take":"5f0c2a91-take","shot"', '"take":"","shot"'), "take", '""'),
    "no events": (lambda plan: file_of(a_night(plan), events=[]), "events", "no list of events"),
    "events of something else": (lambda plan: file_of(a_night(plan), events=[7]), "event 1", "found 7"),
    "not begun": (events_only, "events", "none that began"),
    "of another shot": (lambda plan: file_of(a_night(plan), shot="jetty"), "event 1 shot", "slipway"),
    "of another take": (lambda plan: file_of(a_night(plan), take="other"), "event 1 take", "5f0c2a91-take"),
    "an event twice": (lambda plan: file_of([*a_night(plan), a_night(plan)[3]]), "event 20", "again"),
    "a stray key": (edited('"kind":"tick"', '"kind":"tick","__proto__":{}'), "event 3", "__proto__"),
    "a key of the phone's language": (with_event("later", {"__proto__": {}}), "", "'__proto__'"),
    "a counter of nothing": (edited('"counter":3', '"counter":0'), "event 3 counter", "found 0"),
    "a counter of text": (edited('"counter":3', '"counter":"3"'), "event 3 counter", '"3"'),
    "a time beyond all clocks": (
        edited('"counter":3,"utc_ms":', '"counter":3,"utc_ms":9'), "event 3 utc_ms", "4102444800000",
    ),
    "a phone of markup": (edited('"device":"b81d04e6"', '"device":"<b>"'), "device", "<b>"),
    "a kind of markup": (edited('"kind":"tick"', '"kind":"<tick>"'), "event 3 kind", "<tick>"),
    "a tick without item": (with_event("tick", {"value": ""}), "event 2 tick item", "nothing"),
    "a note too long": (with_event("note", {"text": "x" * 501}), "event 2 note text", "at most 500"),
    "a mark at frame 0": (with_event("mark", {"what": "", "frame": 0, "file": ""}), "mark frame", "found 0"),
    "a count of true": (with_event("count", {"frame": True}), "count frame", "found true"),
    "an undo of all": (with_event("undo", {"events": ["*"]}), "undo events", "a list"),
    "changes of text": (with_event("changes", {"changes": "night"}), "changes changes", "night"),
    "changes to no plan": (with_event("changes", {"changes": {}, "planned": {}}), "planned", "an object"),
    "a newer plan": (with_plan("version", 2), "event 1 take plan", "a plan of version 1"),
    "a plan without timing": (with_plan("timing", {}), "event 1 take plan", "an object"),
    "a plan without a zone": (with_plan("brief", {"rig": {"axes": {}}}), "event 1 take plan", "an object"),
    "a plan of endless numbers": (
        with_plan("keyframes", [{"frame": 1e300, "axes": {}}]), "event 1 take plan", "an object",
    ),
    "a plan of another shot": (
        edited(OWN, OWN.replace("slipway", "jetty")), "events", "a plan of the shot jetty",
    ),
}  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS)
def test_a_file_that_is_no_log_is_refused_with_the_place_of_the_fault(plan: Plan, fault: str) -> None:
    make, place, words = FAULTS[fault]
    found = read_take("night.json", make(plan))
    assert isinstance(found, list) and 0 < len(found) <= 20
    said = str(found[0])
    assert (
        said.startswith("night.json")
        and place in said.partition("found")[0].replace(".", " ")
        and words in said
    )


def test_clocks_that_go_back_on_the_way_are_told_apart_by_their_zone(plan: Plan) -> None:
    text = report(take_of(a_night(clocks_back(plan))))
    assert "watch: Ben, since 20:47:18 WET\n" in text
    assert "  21:34:00 WEST  changed: exposure +0.3 EV" in text
    assert "  20:47:18 WET  has the watch: Ben" in text
    assert all(len(line) <= 80 for line in text.splitlines())


def test_what_a_newer_version_adds_is_kept_and_passed_over(plan: Plan) -> None:
    bodies: list[Body] = [(0, ANA, "aurora", {"kp": 7}), (1, ANA, "note", {"text": "seen", "mood": ["calm"]})]
    take = take_of(events_of(plan, bodies))
    assert [event["payload"] for event in take.events[1:]] == [{"kp": 7}, {"text": "seen", "mood": ["calm"]}]
    assert "unknown (aurora)" in report(take) and "seen" in report(take)


@pytest.mark.parametrize("seed", range(8))
def test_joining_is_a_union_in_any_order(plan: Plan, seed: int) -> None:
    rng = Random(seed)
    events = random_take(rng, plan)
    a, b = ([one for one in events if rng.random() < 0.6] for _ in range(2))
    assert merge(a, b) == merge(b, a) == merge(merge(a, b), a)
    assert {one["counter"] for one in merge(a, b)} == {one["counter"] for one in a + b}
    assert reduce([*a, *b]) == reduce([*b, *a])


def test_planned_is_set_against_what_was_kept(plan: Plan) -> None:
    text = report(take_of(a_night(plan)))
    for line in (
        "kept by Ana, phone 2",
        "watch: Ben, since 21:47:18",
        "  frame 1   19:36:00  19:40:03    4 min 3 s late",
        "  K1 slide  0 mm     2 mm            +2 mm",
        "  K3 pan    −84.9°   −84.6°          +0.3°",
        "  swap 1  frames 86–251  20:16:00, frame 118",
        "    Camera battery fresh, cap off",
        "  20:23:30  143    0093  plane",
        "  22:19:12  522    0472  touched",
    ):
        assert f"{line}\n" in text
    assert "as changed: exposure +0.3 EV" in text
    assert all(len(line) <= 80 for line in text.splitlines())


def test_the_true_interval_is_between_what_the_counts_leave(plan: Plan) -> None:
    """Frames of 18.3 s, counted to the second."""
    start_ms = plan["window"]["start"]["utc_ms"]
    frames = [200, 500, 740]
    counts = [{"frame": frame, "utc_ms": round(start_ms + (frame - 0.5) * 18_300)} for frame in frames]
    run = run_of(plan["timing"], start_ms, counts)
    assert run.span is not None and run.odd == ()
    low, high = (18.0 * ratio for ratio in run.span)
    assert low <= 18.3 <= high and high - low < 0.06
    assert run_of(plan["timing"], start_ms, counts[:1]).ratio == 1  # it may as well have begun later


def test_a_count_that_fits_no_other_is_named_and_left_out(plan: Plan) -> None:
    start_ms = plan["window"]["start"]["utc_ms"]
    bodies: list[Body] = [(0.1, ANA, "start", {"utc_ms": start_ms})]
    bodies += [(minute, ANA, "count", {"frame": int(minute / 0.3) + 1}) for minute in (30.1, 60.1)]
    bodies += [(70.1, ANA, "count", {"frame": 700})]
    text = report(take_of(events_of(plan, bodies)))
    assert "left out: frame 700 at 20:46:06, which fits no other count" in text
    assert "  interval  18 s      18 s" in text


def test_another_way_to_go_on_is_a_programme_of_its_own(plan: Plan) -> None:
    start_ms = plan["window"]["start"]["utc_ms"]
    way = {"way": {"id": "second", "frame": 200, "rolling_ms": start_ms + 80 * 60_000}}
    bodies: list[Body] = [
        (0.1, ANA, "start", {"utc_ms": start_ms}),
        (70, ANA, "changes", {"changes": way}),
        (80.1, ANA, "start", {"utc_ms": start_ms + 80 * 60_000}),
    ]
    text = report(take_of(events_of(plan, bodies)))
    assert text.count("Planned against actual") == 2
    assert "  frames    753       200 likely  −553" in text
    assert "as changed: on after frame 200, from 20:56: End the clip here, begin a second" in text
    assert "what was planned after that is not in this log" in text
    planned = {**plan, "timing": {**plan["timing"], "frames": 400}}
    known = {"planned": {key: planned[key] for key in ("timing", "window", "keyframes", "power")}}
    bodies[1] = (70, ANA, "changes", {"changes": way, **known})
    text = report(take_of(events_of(plan, bodies)))
    assert "not in this log" not in text and "  frames    400  " in text


def test_a_way_that_was_tried_and_left_again_is_not_told(plan: Plan) -> None:
    """What ran before it ran on: its start and counts hold, and its table stands once."""
    start_ms = plan["window"]["start"]["utc_ms"]
    way = {"way": {"id": "second", "frame": 200, "rolling_ms": start_ms + 80 * 60_000}}
    bodies: list[Body] = [
        (-30, ANA, "changes", {"changes": {"way": {"id": "frames", "start_ms": start_ms + 60_000}}}),
        (-29, ANA, "changes", {"changes": {}}),
        (0.1, ANA, "start", {"utc_ms": start_ms}),
        (30.1, ANA, "count", {"frame": 101}),
        (70, ANA, "changes", {"changes": way}),
        (71, ANA, "changes", {"changes": {}}),
        (90.1, ANA, "act", {"act": "swap.1"}),
    ]
    take = take_of(events_of(plan, bodies))
    state = reduce(take.events)
    assert (state.fired_ms, [count["frame"] for count in state.counts]) == (start_ms, [101])
    text = report(take)
    assert text.count("Planned against actual") == 1 and "as changed" not in text
    assert "  frames    753       301 so far" in text and "21:06:06, frame 301" in text


@pytest.mark.parametrize(("id", "said"), [("as-set", "no must-do open"), ("frames", "not declared")])
def test_ready_to_roll_holds_for_a_late_start_that_keys_in_nothing(plan: Plan, id: str, said: str) -> None:
    start_ms = plan["window"]["start"]["utc_ms"]
    late = {"changes": {"way": {"id": id, "start_ms": start_ms + 20 * MINUTE_MS}}}
    planned = {key: plan[key] for key in ("timing", "window", "keyframes", "power")}
    bodies: list[Body] = [
        (-2, ANA, "ready", {"open": [], "forced": False}),
        (1, ANA, "changes", {**late, "planned": planned}),
        (20, ANA, "start", {"utc_ms": start_ms + 20 * MINUTE_MS}),
    ]
    text = report(take_of(events_of(plan, bodies)))
    assert said in text and text.count("Planned against actual") == 1


def test_a_take_that_never_fired_says_so(plan: Plan) -> None:
    text = report(take_of(events_of(plan, [])))
    assert "  frame 1   19:36:00  not kept\n" in text and "  not declared\n" in text
    assert "not ended" in text


def test_marks_go_to_post_as_a_table_in_the_order_of_the_frames(plan: Plan) -> None:
    bodies: list[Body] = [
        (50, ANA, "mark", {"what": "=cmd", "frame": 160, "file": "+1"}),
        (40, ANA, "mark", {"what": "plane, low", "frame": 130, "file": ""}),
        (-5, ANA, "mark", {"what": "", "frame": None, "file": ""}),
    ]
    table = marks_csv([take_of(events_of(plan, bodies))])
    rows = list(csv.DictReader(io.StringIO(table, newline=""), strict=True))
    assert [row["frame"] for row in rows] == ["", "130", "160"]
    assert [row["what"] for row in rows] == ["", "plane, low", "'=cmd"]
    assert rows[2]["file"] == "'+1"
    assert (
        rows[1]["utc"] == "2027-06-05T19:16:00.000Z" and rows[1]["local"] == "2027-06-05T20:16:00.000+01:00"
    )
    assert table.count("\r\n") == 4


BARE: Body = (40, ANA, "mark", {"what": "", "frame": 130, "file": ""})
NAMED: dict[str, Any] = {"what": "plane", "frame": 130, "file": ""}


@pytest.mark.parametrize(
    ("naming", "utc"),
    [
        pytest.param([("mark", {**NAMED, "of": 2})], "19:16:00", id="one entry: made at the tap"),
        pytest.param(
            [("mark", NAMED), ("undo", {"events": [f"{ANA}:2"]})], "19:17:00", id="two, of an older version"
        ),
    ],
)
def test_a_mark_that_was_named_is_one_mark_until_it_is_taken_back(
    plan: Plan, naming: list[tuple[str, dict[str, Any]]], utc: str
) -> None:
    bodies: list[Body] = [BARE, *((41, ANA, kind, payload) for kind, payload in naming)]
    table = marks_csv([take_of(events_of(plan, bodies))])
    rows = list(csv.DictReader(io.StringIO(table, newline=""), strict=True))
    assert [(row["frame"], row["what"], row["utc"]) for row in rows] == [
        ("130", "plane", f"2027-06-05T{utc}.000Z")
    ]
    assert report(take_of(events_of(plan, bodies))).count("MARK plane: frame 130\n") == 1
    bodies.append((42, ANA, "undo", {"events": [f"{ANA}:3"]}))
    assert marks_csv([take_of(events_of(plan, bodies))]).count("\r\n") == 1


def test_naming_takes_the_place_of_an_earlier_mark_of_the_same_phone_alone(plan: Plan) -> None:
    bodies: list[Body] = [
        (1, ANA, "note", {"text": "gust"}),
        (2, "b81d04e6", "mark", {**NAMED, "what": "dew"}),
        (3, ANA, "mark", {**NAMED, "of": 2}),
        (4, ANA, "mark", {**NAMED, "of": 3}),
        (5, ANA, "mark", {**NAMED, "what": "cloud", "of": 7}),
        (6, ANA, "mark", {**NAMED, "what": "touched", "of": 7}),
    ]
    state = reduce(take_of(events_of(plan, bodies)).events)
    assert [note["text"] for note in state.notes] == ["gust"]
    assert [mark["what"] for mark in state.marks] == ["dew", "plane", "plane", "cloud", "touched"]


def test_after_a_stop_a_mark_says_in_which_run_its_frame_was(plan: Plan) -> None:
    """The rig counts from 1 again; a run that was gone back to is the one that it was."""
    start_ms = plan["window"]["start"]["utc_ms"]
    way = {"way": {"id": "sky", "frame": 400, "rolling_ms": start_ms + 140 * MINUTE_MS}}
    bodies: list[Body] = [
        (0, ANA, "start", {"utc_ms": start_ms}),
        (60, ANA, "mark", {"what": "plane", "frame": 201, "file": "0201"}),
        (125, ANA, "changes", {"changes": way}),
        (126, ANA, "changes", {"changes": {}}),
        (127, ANA, "mark", {"what": "late", "frame": 424, "file": ""}),
        (128, ANA, "changes", {"changes": way}),
        (140, ANA, "start", {"utc_ms": start_ms + 140 * MINUTE_MS}),
        (143, ANA, "mark", {"what": "cloud", "frame": 11, "file": "0411"}),
    ]
    take = take_of(events_of(plan, bodies))
    rows = list(csv.DictReader(io.StringIO(marks_csv([take]), newline=""), strict=True))
    assert [(row["run"], row["frame"]) for row in rows] == [("1", "201"), ("1", "424"), ("2", "11")]
    text = report(take)
    assert "Planned against actual, run 1 of 2\n" in text and "actual, run 2 of 2\n  as changed: " in text
    assert "  clock     run  frame  file  what\n  20:36:00  1    201    0201  plane\n" in text
    assert "  21:59:00  2    11     0411  cloud\n" in text
