"""The log of a take: only added to, joined in any order, kept on the disk, read by every tab."""

from __future__ import annotations

import json
import random
from itertools import accumulate, groupby
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from playwright.sync_api import BrowserContext, Page, expect

from tests.long import tries
from tests.site.sample import sample_site
from tests.web.host import Host
from tests.web.soon import soon

Event = dict[str, Any]
ITEMS = ["cap", "interval", "remote"]
VALUES = ["", "18 s", "20 s"]
CHANGES: list[dict[str, Any]] = [
    {},
    {"night": "2027-06-10"},
    {"way": {"id": "frames", "start_ms": 7}},
    {"way": {"id": "as-set", "start_ms": 7}},
    {"way": {"id": "move", "frame": 12, "rolling_ms": 9}, "night": "2027-06-10"},
]
AXIS = {"axis": st.sampled_from(["pan", "tilt"]), "value": st.sampled_from(["", "12.5"])}
MARK = {"what": "plane", "frame": 4, "file": "0004"}
LOG = 'const log = await (await import("/app/takes/log.js")).openLog(name);'


def event(device: str, counter: int, utc_ms: int, kind: str, payload: Any) -> Event:
    return {
        "take": "t1", "shot": "slipway", "device": device, "counter": counter, "utc_ms": utc_ms, "kind": kind,
        "payload": payload,
    }  # fmt: skip


keys = st.builds(lambda device, counter: f"{device}:{counter}", st.sampled_from("ABC"), st.integers(1, 6))
bodies: st.SearchStrategy[tuple[str, Any]] = st.one_of(
    st.tuples(
        st.just("tick"),
        st.fixed_dictionaries({"item": st.sampled_from(ITEMS), "value": st.sampled_from(VALUES)}),
    ),
    st.tuples(st.just("untick"), st.fixed_dictionaries({"events": st.lists(keys, max_size=2)})),
    st.tuples(st.just("changes"), st.fixed_dictionaries({"changes": st.sampled_from(CHANGES)})),
    st.tuples(
        st.just("field"),
        st.fixed_dictionaries({"item": st.sampled_from(ITEMS), "value": st.sampled_from(VALUES)}),
    ),
    st.tuples(
        st.just("as-set"),
        st.fixed_dictionaries({"keyframe": st.integers(0, 1), **AXIS}),
    ),
    st.tuples(st.just("photo"), st.fixed_dictionaries({"keyframe": st.integers(0, 1), "bytes": st.just(9)})),
    st.tuples(st.just("start"), st.fixed_dictionaries({"utc_ms": st.none() | st.integers(1, 3)})),
    st.tuples(st.just("end"), st.just({})),
    st.tuples(st.just("undo"), st.fixed_dictionaries({"events": st.lists(keys, min_size=1, max_size=3)})),
    st.tuples(st.just("count"), st.fixed_dictionaries({"frame": st.integers(1, 3)})),
    st.tuples(st.just("mark"), st.sampled_from([MARK, *({**MARK, "of": number} for number in range(1, 7))])),
    st.tuples(st.just("note"), st.just({"text": "ice on the rail"})),
    st.tuples(
        st.just("act"),
        st.fixed_dictionaries(
            {"act": st.sampled_from(["swap.1", "end"])}, optional={"text": st.sampled_from(["", "It leans"])}
        ),
    ),
    st.tuples(st.just("ready"), st.just({"open": ["cap"], "forced": True})),
    st.tuples(st.just("watch"), st.fixed_dictionaries({"who": st.sampled_from(["Runa", "Ode"])})),
    st.tuples(st.just("name"), st.fixed_dictionaries({"name": st.sampled_from(["old", "new"])})),
    st.tuples(st.just("joined"), st.just({"via": "code", "from": "B", "events": 3})),
    st.tuples(st.sampled_from(["constructor", "__proto__", "of a later version"]), st.just({"x": 1})),
)
UNDONE = ["start", "count", "mark", "note", "act", "ready", "watch"]
events = st.builds(
    lambda device, counter, utc_ms, body: event(device, counter, utc_ms, *body),
    st.sampled_from("ABC"), st.integers(1, 6), st.integers(0, 3), bodies,
)  # fmt: skip
logs = st.lists(events, max_size=12, unique_by=lambda one: (one["device"], one["counter"]))


def key(one: Event) -> str:
    return f"{one['device']}:{one['counter']}"


def parts(log: list[Event]) -> tuple[list[Event], list[Event], list[Event]]:
    """Three overlapping parts of one log, as three phones might hold them."""
    dice = random.Random(len(log))
    first, second, third = ([one for one in log if dice.random() < 0.6] for _ in range(3))
    return first, second, third


MERGES = """async ([a, b, c]) => {
  const {merge} = await import("/app/takes/added.js");
  return [merge(a, b), merge(b, a), merge(merge(a, b), c), merge(a, merge(b, c)), merge(a, a), merge(a, [])];
}"""


@settings(max_examples=tries(80))
@given(logs)
def test_joining_logs_is_a_union_in_any_order(pure: Page, log: list[Event]) -> None:
    a, b, c = parts(log)
    ab, ba, ab_c, a_bc, aa, a_alone = pure.evaluate(MERGES, [a, b, c])
    assert ab == ba
    assert ab_c == a_bc
    assert aa == a_alone
    assert sorted(map(key, ab)) == sorted({key(one) for one in a + b})
    assert all(one in a + b for one in ab)


REDUCE = """async (logs) => {
  const {reduce} = await import("/app/takes/added.js");
  const plain = (state) => Object.fromEntries(Object.entries(state).map(([key, part]) =>
    [key, part instanceof Map ? Object.fromEntries(part) : part]));
  return logs.map(reduce).map(plain);
}"""


def _asked(before: dict[str, Any], one: Event) -> dict[str, Any]:
    """The changes in force with an event."""
    changes: dict[str, Any] = one["payload"]["changes"] if one["kind"] == "changes" else before
    return changes


def _same(ordered: list[Event], parts: list[Any], asked: list[dict[str, Any]]) -> list[Event]:
    """The events of the last run of equal parts, and of those before that it goes on with: the same, and left
    on the night on which it was gone back to.
    """
    runs = [list(run) for _, run in groupby(range(len(ordered)), lambda n: json.dumps(parts[n]))]
    chosen = runs[-1:]
    for run in reversed(runs[:-1]):
        first = chosen[0][0]
        if parts[run[0]] == parts[first] and asked[run[-1]].get("night") == asked[first].get("night"):
            chosen.insert(0, run)
    return [ordered[n] for run in chosen for n in run]


def expected_state(log: list[Event]) -> dict[str, Any]:
    """The rules once more, written as sets: who was named by an untick, which tick stands last."""
    named = {name for one in log if one["kind"] == "untick" for name in one["payload"]["events"]}
    ordered = sorted(log, key=lambda one: (one["counter"], one["utc_ms"], one["device"]))
    changes = [one["payload"]["changes"] for one in ordered if one["kind"] == "changes"]
    undone = {name for one in log if one["kind"] == "undo" for name in one["payload"]["events"]}
    marks = {key(one): one for one in ordered if one["kind"] == "mark"}
    named_marks = {
        f"{one['device']}:{one['payload']['of']}"
        for one in marks.values()
        if one["payload"].get("of", one["counter"]) < one["counter"]
    }
    begun: dict[str, Any] = {}
    asked = list(accumulate(ordered, _asked, initial=begun))[1:]
    ways = [one.get("way") for one in asked]
    keyed = [None if way and way["id"] == "as-set" else way for way in ways]
    programme = _same(ordered, keyed, asked)
    stops = [way if way and "frame" in way else None for way in ways]
    of_stop = _same(ordered, stops, asked)

    ticks: dict[str, Any] = {}
    for at, one in enumerate(ordered):
        if one["kind"] == "tick" and key(one) not in named:
            item, value = one["payload"]["item"], one["payload"]["value"]
            held = {"night": asked[at].get("night"), "spot": asked[at].get("spot"), "stop": stops[at]}
            keys = [*ticks.get(item, {"keys": []})["keys"], key(one)]
            by_whom = {"utc_ms": one["utc_ms"], "device": one["device"]}
            ticks[item] = {"value": value, **held, **by_whom, "keys": keys}

    def kept(kind: str, of: list[Event]) -> list[Event]:
        return [one for one in of if one["kind"] == kind and key(one) not in undone]

    def by(one: Event) -> dict[str, Any]:
        return {"utc_ms": one["utc_ms"], "device": one["device"], "key": key(one)}

    def tapped_ms(one: Event) -> int:
        of = one["payload"].get("of", one["counter"])
        first = marks.get(f"{one['device']}:{of}") if of < one["counter"] else None
        return tapped_ms(first) if first else one["utc_ms"]

    def closes(one: Event) -> bool:
        return bool(one["payload"].get("text"))

    def newest(kind: str, of: list[Event]) -> dict[str, Any] | None:
        standing = kept(kind, of)
        return {**standing[-1]["payload"], **by(standing[-1])} if standing else None

    def numbered(of: list[Event]) -> list[dict[str, Any]]:
        return [{**one["payload"], "utc_ms": one["utc_ms"], "key": key(one)} for one in of]

    starts = [one["payload"]["utc_ms"] for one in kept("start", programme)]
    ended = any(one["kind"] == "end" for one in log)
    fields = {one["payload"]["item"]: one["payload"]["value"] for one in ordered if one["kind"] == "field"}
    as_set = {
        f"{one['payload']['keyframe']}.{one['payload']['axis']}": one["payload"]["value"]
        for one in of_stop
        if one["kind"] == "as-set"
    }
    photos = {str(one["payload"]["keyframe"]): key(one) for one in of_stop if one["kind"] == "photo"}
    return {
        "ticks": ticks,
        "fields": fields,
        "as_set": as_set,
        "photos": photos,
        "fired_ms": starts[-1] if starts else None,
        "changes": changes[-1] if changes else {},
        "ended": ended,
        "counts": numbered(kept("count", programme)),
        "acts": {one["payload"]["act"]: by(one) for one in kept("act", programme) if not closes(one)},
        "closed": {one["payload"]["act"]: by(one) for one in kept("act", ordered) if closes(one)},
        "ready": newest("ready", programme),
        "marks": [
            {**MARK, "way": ways[ordered.index(one)], **by(one), "utc_ms": tapped_ms(one)}
            for one in kept("mark", ordered)
            if key(one) not in named_marks
        ],
        "notes": [{**one["payload"], **by(one)} for one in kept("note", ordered)],
        "watch": newest("watch", ordered),
        "names": {one["device"]: one["payload"]["name"] for one in ordered if one["kind"] == "name"},
        "joined": numbered([one for one in ordered if one["kind"] == "joined"]),
    }


@settings(max_examples=tries(80))
@given(logs, st.randoms(use_true_random=False))
def test_the_state_follows_from_the_events_whatever_their_order(
    pure: Page, log: list[Event], dice: random.Random
) -> None:
    shuffled = log[:]
    dice.shuffle(shuffled)
    expected = expected_state(log)
    assert pure.evaluate(REDUCE, [log, shuffled, log + shuffled]) == [expected] * 3


def ticked(page: Page, log: list[Event], item: str, value: str) -> bool:
    done: bool = page.evaluate(
        """async ([log, item, value]) => {
          const {isDone, reduce} = await import("/app/takes/added.js");
          return isDone(reduce(log), item, value); }""",
        [log, item, value],
    )
    return done


TICK_18 = event("A", 1, 10, "tick", {"item": "interval", "value": "18 s"})
TICK_20 = event("A", 2, 20, "tick", {"item": "interval", "value": "20 s"})


@pytest.mark.parametrize(
    ("log", "value", "done"),
    [
        ([], "18 s", False),
        ([TICK_18], "18 s", True),
        ([TICK_18], "20 s", False),  # another night wants another interval: open again
        ([TICK_18, TICK_20], "20 s", True),
        ([TICK_18, TICK_20], "18 s", False),  # back again, but 20 s is what the rig now holds
        ([TICK_18, event("A", 2, 20, "untick", {"events": ["A:1"]})], "18 s", False),
        # Another phone ticked without knowing of the untick: its tick was not named, and stands.
        (
            [
                TICK_18,
                event("A", 2, 20, "untick", {"events": ["A:1"]}),
                event("B", 2, 15, "tick", {"item": "interval", "value": "18 s"}),
            ],
            "18 s",
            True,
        ),
        # A clock set back between two ticks does not turn their order round.
        ([TICK_18, event("A", 2, 5, "tick", {"item": "interval", "value": "20 s"})], "20 s", True),
    ],
)
def test_a_tick_counts_for_the_value_it_confirmed(
    pure: Page, log: list[Event], value: str, done: bool
) -> None:
    assert ticked(pure, log, "interval", value) is done


ROUND = f"""async (name) => {{ {LOG}
  const take = await log.beginTake("slipway", {{frames: 766}}, {{night: "2027-06-10"}});
  const tick = (item) => log.append(take, "tick", {{item, value: ""}});
  await Promise.all(["cap", "interval", "remote"].map(tick));
  await log.append(take, "end", {{}});
  const other = await log.beginTake("slipway", {{frames: 700}});
  const elsewhere = await log.beginTake("jetty", {{frames: 1}});
  return {{take, other, elsewhere, events: await log.events(take), takes: await log.takes("slipway"),
    open: await log.openTakes()}};
}}"""


AT_ONCE = f"""async (name) => {{ {LOG}
  return Promise.all([1, 2, 3].map((frames) => log.beginTake("slipway", {{frames}})));
}}"""


def test_a_shot_has_one_open_take_however_many_tabs_begin_it(modules_page: Page) -> None:
    other = modules_page.context.new_page()
    other.goto(modules_page.url)
    begun = modules_page.evaluate(AT_ONCE, "at-once") + other.evaluate(AT_ONCE, "at-once")
    assert len(set(begun)) == 1


def test_what_is_appended_is_read_back_in_order_and_a_take_carries_its_plan(modules_page: Page) -> None:
    said = modules_page.evaluate(ROUND, "round")
    kinds = [one["kind"] for one in said["events"]]
    assert kinds == ["take", "tick", "tick", "tick", "end"]
    assert [one["counter"] for one in said["events"]] == [1, 2, 3, 4, 5]
    assert said["events"][0]["payload"] == {"plan": {"frames": 766}, "changes": {"night": "2027-06-10"}}
    assert {one["shot"] for one in said["events"]} == {"slipway"}
    assert len({one["device"] for one in said["events"]}) == 1
    ended = {one["take"]: one["ended"] for one in said["takes"]}
    assert ended == {said["take"]: True, said["other"]: False}
    assert {(one["take"], one["shot"]) for one in said["open"]} == {
        (said["other"], "slipway"),
        (said["elsewhere"], "jetty"),
    }


STRICT = f"""async (name) => {{
  const asked = [];
  const before = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (...args) {{
    const work = before.apply(this, args);
    if (work.mode === "readwrite") asked.push(work.durability);
    return work;
  }};
  {LOG}
  await log.append(await log.beginTake("slipway", {{}}), "tick", {{item: "cap", value: ""}});
  return asked;
}}"""


def test_every_write_asks_for_the_disk(modules_page: Page) -> None:
    asked = modules_page.evaluate(STRICT, "strict")
    assert len(asked) >= 3 and set(asked) == {"strict"}


def test_two_tabs_write_one_log_without_losing_an_event(phone: BrowserContext, host: Host) -> None:
    # One tab hears of the other's writing; both count on from the same events.
    host.sites["/"] = sample_site()
    first, second = phone.new_page(), phone.new_page()
    for tab in (first, second):
        tab.goto(host.url("/"))
        expect(tab.locator("#offline")).to_have_attribute("data-stored", "ready")
    take = first.evaluate(f'async (name) => {{ {LOG} return log.beginTake("slipway", {{}}); }}', "tabs")
    second.evaluate(
        f"async (name) => {{ {LOG} window.heard = 0; log.onChange(() => window.heard++); }}", "tabs"
    )
    write = f"""async ([name, take]) => {{ {LOG}
      window.writing = Promise.all([...Array(20).keys()].map((n) =>
        log.append(take, "tick", {{item: `item ${{n}}`, value: ""}}))); }}"""
    for tab in (first, second):
        tab.evaluate(write, ["tabs", take])
    for tab in (first, second):
        tab.evaluate("window.writing.then(() => 0)")
    read = f"async ([name, take]) => {{ {LOG} return log.events(take); }}"
    seen = [tab.evaluate(read, ["tabs", take]) for tab in (first, second)]
    assert seen[0] == seen[1]
    assert [one["counter"] for one in seen[0]] == list(range(1, 42))
    soon(second, lambda: second.evaluate("window.heard >= 20"), True)


THROW = "() => {{ throw new DOMException('no', '{}'); }}"
FAULTS = {
    "full": (f"IDBObjectStore.prototype.add = {THROW.format('QuotaExceededError')};", "storage is full"),
    "refused": (f"IDBFactory.prototype.open = {THROW.format('SecurityError')};", "store anything"),
    "unknown take": ("", "not on this phone"),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_what_could_not_be_kept_is_said_in_words(modules_page: Page, fault: str) -> None:
    deed, words = FAULTS[fault]
    said = modules_page.evaluate(
        f"""async (name) => {{
          {deed}
          try {{ {LOG} await log.append("no such take", "tick", {{item: "cap", value: ""}}); return "kept"; }}
          catch (error) {{ return (await import("/app/takes/log.js")).logWords(error); }}
        }}""",
        json.dumps(fault),
    )
    assert said.startswith("Not kept:") and words in said


def test_the_first_tick_asks_the_browser_to_keep_the_store(modules_page: Page) -> None:
    asked = modules_page.evaluate(
        f"""async (name) => {{
          let asked = 0;
          StorageManager.prototype.persist = async () => {{ asked += 1; return false; }};
          {LOG}
          const take = await log.beginTake("slipway", {{}});
          const counts = [asked];
          for (const item of ["cap", "remote"]) {{
            await log.append(take, "tick", {{item, value: ""}});
            counts.push(asked);
          }}
          return counts; }}""",
        "persist",
    )
    assert asked == [0, 1, 1]
