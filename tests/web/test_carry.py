"""What a code carries: the digits of a take's events are those events again, or are refused in words."""

from __future__ import annotations

import random
import uuid
import zlib
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.long import tries

Event = dict[str, Any]
ITEMS = [f"{n:06x}" for n in range(0, 4000, 57)]
SHOWN = "@"  # a tick of this value confirms what the page shows with the changes in force
TOOLS = """
  const [carry, log] =
    await Promise.all(["codes/carry", "takes/added"].map((name) => import(`/app/${name}.js`)));
  const {CodeError} = await import("/app/codes/digits.js");
  const shown = (item, changes) => item < "000400" ? "" : `v${item}${JSON.stringify(changes)}`;
  const page = {catalog: "saltings", shot: "slipway", revision: "K3F7Q2", items: ITEMS, under: (changes) => ({
    plan: {of: JSON.stringify(changes)}, planned: {frames: JSON.stringify(changes).length},
    heads: ["too late", "dew on the glass"],
    shown: (item) => ITEMS.includes(item) ? shown(item, changes) : undefined})};
  const told = (raw) => {
    let changes = {};
    return log.merge(raw, []).map((event) => {
      const {kind, payload} = event;
      if (kind === "take" || kind === "changes") changes = payload.changes ?? {};
      const plan = kind === "take" ? {plan: page.under(changes).plan} : {};
      const is_shown = kind === "tick" && payload.value === "@";
      const planned = payload.planned === "@" ? {planned: page.under(payload.changes).planned} : {};
      const value = is_shown ? {value: page.under(changes).shown(payload.item)} : {};
      return {...event, payload: {...payload, ...plan, ...planned, ...value}};
    });
  };
"""


def call(page: Page, body: str, *args: Any) -> Any:
    """Runs `body` as a function of `args` beside the tools."""
    return page.evaluate(
        f"async ([ITEMS, ...args]) => {{ {TOOLS} return ({body})(...args); }}", [ITEMS, *args]
    )


def odd_text(dice: random.Random) -> str:
    return dice.choice(
        [
            "",
            "-12.5",
            "\u2212103.25",
            "img 0412",
            "IMG_0412",
            "K\u00f6nig & <b>",
            "\u96e8 \U0001f327",
            "=1+1",
            "a" * 60,
            "\ud83d",
        ]
    )


def odd_value(dice: random.Random, depth: int = 2) -> Any:
    if depth and dice.random() < 0.4:
        keys = ["night", "way", "zeta", "__a", "0"]
        if dice.random() < 0.5:
            return [odd_value(dice, depth - 1) for _ in range(dice.randrange(4))]
        return {key: odd_value(dice, depth - 1) for key in dice.sample(keys, dice.randrange(4))}
    return dice.choice([None, True, False, 0, -1, 2**49, 1812220560123, 1 / 3, -0.5, 1e30, odd_text(dice)])


def odd_changes(dice: random.Random) -> dict[str, Any]:
    some: dict[str, Any] = {
        "night": "2027-06-10",
        "start_ms": 1812220560000,
        "exposure_shift_ev": dice.choice([1 / 3, -2 / 3]),
        "spot": {"latitude_deg": 50.123456, "longitude_deg": -5.5, "elevation_m": 12},
        "way": {"id": "second", "frame": 612, "rolling_ms": 1812230560000},
    }
    return {key: some[key] for key in dice.sample(sorted(some), dice.randrange(3))}


def payload_of(dice: random.Random, kind: str, keys: list[str]) -> dict[str, Any]:
    item = dice.choice([*ITEMS[: 2 + dice.randrange(40)], "not here"])
    named: dict[str, Any] = {"events": dice.sample(keys, min(len(keys), dice.randrange(3)))}
    made: dict[str, Any] = {
        "tick": {
            "item": item,
            "value": dice.choice([SHOWN, SHOWN, odd_text(dice)]) if item in ITEMS else "x",
        },
        "untick": named,
        "undo": named,
        "changes": {"changes": odd_changes(dice)},
        "field": {"item": item, "value": odd_text(dice)},
        "as-set": {
            "keyframe": dice.randrange(4),
            "axis": dice.choice(["pan", "roll"]),
            "value": odd_text(dice),
        },
        "photo": {"keyframe": dice.randrange(4), "bytes": dice.randrange(10**6)},
        "start": {"utc_ms": dice.choice([None, 1812220560000])},
        "count": {"frame": dice.randint(1, 900)},
        "mark": {
            "what": dice.choice(["", "plane", "kites"]),
            "frame": dice.choice([None, 7, 612]),
            "file": odd_text(dice),
            **({"of": dice.randint(1, 30)} if dice.random() < 0.5 else {}),
        },
        "note": {"text": odd_text(dice)},
        "act": {"act": dice.choice(["exposure.251", "compare.20:30", "end", "a.b.c", ".", "swap."])},
        "ready": {"open": dice.sample(ITEMS, dice.randrange(3)), "forced": dice.random() < 0.5},
        "reads": {"frame": None, "f": "2.8", "shutter": "1/30", "iso": "100"},
        "watch": {"who": odd_text(dice)},
        "name": {"name": odd_text(dice)},
        "joined": {"via": "code", "from": "elsewhere", "events": 12},
        "end": {},
        "a-newer-one": {"odd": odd_value(dice)},
    }[kind]
    if kind == "changes" and dice.random() < 0.7:
        made["planned"] = dice.choice([SHOWN, {"frames": 7}])
    if kind == "act" and dice.random() < 0.5:
        made["text"] = dice.choice(["too late", "dew on the glass", odd_text(dice)])
    if dice.random() < 0.1:
        made["more"] = odd_value(dice)
    return made


KINDS = ["tick"] * 8 + [
    "mark",
    "mark",
    "note",
    "untick",
    "undo",
    "field",
    "field",
    "as-set",
    "photo",
    "start",
]
KINDS += ["count", "act", "act", "ready", "reads", "watch", "name", "joined", "changes", "a-newer-one"]


def random_log(dice: random.Random, most: int) -> list[Event]:
    """As phones write one: each event counts on from what its phone knew, and their clocks differ."""
    take = dice.choice(
        [str(uuid.UUID(int=dice.getrandbits(128))), f"{dice.getrandbits(128):032x}", "by-hand"]
    )
    phones = [str(uuid.UUID(int=dice.getrandbits(128))) for _ in range(dice.randint(1, 3))]
    known = dict.fromkeys(phones, 0)
    log: list[Event] = []
    for n in range(dice.randint(1, most)):
        phone = phones[0] if n == 0 else dice.choice(phones)
        if dice.random() < 0.5:
            known[phone] = max(known.values())
        known[phone] += 1
        kind = "take" if n == 0 else "end" if dice.random() < 0.01 else dice.choice(KINDS)
        keys = [f"{event['device']}:{event['counter']}" for event in log]
        payload = {"changes": odd_changes(dice)} if n == 0 else payload_of(dice, kind, keys)
        log.append(
            {"take": take, "shot": "slipway", "device": phone, "counter": known[phone],
             "utc_ms": 1812220560123 + dice.randrange(-(10**6), 10**7), "kind": kind, "payload": payload}
        )  # fmt: skip
    return log


ROUND = """(logs) => logs.map((raw) => {
  const events = told(raw);
  const digits = carry.digitsOf(events, 2, page);
  if (digits.length > 3000) return null;
  return {digits, events, back: carry.logFrom(digits, page)};
})"""


def test_the_events_of_any_log_come_out_of_its_digits_as_they_went_in(pure: Page) -> None:
    dice = random.Random(20)
    logs = [random_log(dice, most) for most in (3, 12, 30) for _ in range(tries(18))]
    rounds = [found for found in call(pure, ROUND, logs) if found]
    assert len(rounds) > 50
    kinds = {event["kind"] for found in rounds for event in found["events"]}
    assert kinds >= set(KINDS) | {"take"}
    for found in rounds:
        assert found["back"]["events"] == found["events"]
        assert found["back"]["left"] == 2
        digits = found["digits"]
        assert digits[0] == "1" and int(digits[1:11]) == zlib.crc32(digits[11:].encode())


FITTED = """(logs, most) => logs.map((raw) => {
  const events = told(raw);
  const found = carry.digitsWithin(events, most, page);
  if (found === null) return null;
  const plain = (state) => Object.fromEntries(Object.entries(state).map(([key, part]) =>
    [key, part instanceof Map ? Object.fromEntries(part) : part]));
  const back = carry.logFrom(found.digits, page);
  const all = log.merge(back.events, events);
  const states = [plain(log.reduce(events)), plain(log.reduce(back.events))];
  const again = log.merge(events, back.events);
  return {events, left: found.left, size: found.digits.length, back, all, again, states};
})"""
LESS = {
    "marks",
    "notes",
    "photos",
    "joined",
}  # what may stay behind; taken back and written over is not in the state


def test_what_does_not_fit_stays_in_the_file_and_the_union_has_each_event_once(pure: Page) -> None:
    dice = random.Random(21)
    logs = [random_log(dice, 40) for _ in range(tries(25))]
    most = 1000
    found = [one for one in call(pure, FITTED, logs, most) if one]
    cut = [one for one in found if one["left"]]
    assert len(found) > 12 and len(cut) > 3
    for one in found:
        assert one["size"] <= most
        assert one["all"] == one["again"] == one["events"]
        assert one["back"]["left"] == len(one["left"]) == len(one["events"]) - len(one["back"]["events"])
        full, part = one["states"]
        assert {key: full[key] for key in full if key not in LESS} == {
            key: part[key] for key in part if key not in LESS
        }
    for one in cut:
        kept_marks = [event for event in one["back"]["events"] if event["kind"] in ("mark", "note")]
        older = [event["counter"] for event in one["left"] if event["kind"] in ("mark", "note")]
        assert not kept_marks or not older or max(older) <= max(event["counter"] for event in kept_marks)


def test_a_take_of_an_evening_fits_and_costs_a_few_bytes_an_entry(pure: Page) -> None:
    """41 ticks in the order of work, the start, three marks: as a hand makes them."""
    take, phone = str(uuid.UUID(int=5)), str(uuid.UUID(int=6))
    bodies: list[tuple[str, dict[str, Any]]] = [("take", {"changes": {}}), ("name", {"name": "Mara"})]
    bodies += [("tick", {"item": item, "value": SHOWN}) for item in ITEMS[:41]]
    bodies += [("start", {"utc_ms": 1812222000000}), ("watch", {"who": "Mara"})]
    bodies += [("mark", {"what": "plane", "frame": 100 + n, "file": f"0{100 + n}"}) for n in range(3)]
    log = [
        {"take": take, "shot": "slipway", "device": phone, "counter": n + 1,
         "utc_ms": 1812220560123 + 17_321 * n, "kind": kind, "payload": payload}
        for n, (kind, payload) in enumerate(bodies)
    ]  # fmt: skip
    (found,) = call(pure, FITTED, [log], 1900)
    assert found["left"] == []
    assert found["size"] < 800, "a code of version 13 on one screen"


TRY = """(codes) => codes.map((digits) => {
  try { carry.logFrom(digits, page); return "taken"; }
  catch (error) { return error instanceof CodeError ? error.message : `${error.name}: ${error.message}`; }
})"""
SOUND = """(raw, over) => carry.digitsOf(told(raw), 0, {...page, ...over})"""


@pytest.fixture(scope="module")
def log() -> list[Event]:
    made = random_log(random.Random(9), 20)
    assert any(event["payload"].get("value") == SHOWN for event in made)
    return made


def test_any_damage_to_a_code_is_found_out(pure: Page, log: list[Event]) -> None:
    digits = call(pure, SOUND, log, {})
    assert call(pure, TRY, [digits]) == ["taken"]
    dice = random.Random(5)
    changed = [
        digits[:n] + dice.choice("0123456789".replace(digits[n], "")) + digits[n + 1 :]
        for n in range(len(digits))
    ]
    swapped = [
        digits[:n] + digits[n + 1] + digits[n] + digits[n + 2 :] for n in range(11, len(digits) - 1, 7)
    ]
    cut = [digits[:n] for n in range(0, len(digits), 9)]
    damaged = [code for code in [*changed, *swapped, *cut, digits + "0", "0" + digits] if code != digits]
    for said in call(pure, TRY, damaged):
        assert said.startswith(
            ("This code is damaged: its checksum", "This code is of version", "This is not the code")
        )


def test_what_is_no_code_of_this_page_is_refused_with_the_reason(pure: Page, log: list[Event]) -> None:
    cases = {
        "": "not the code of a take",
        "12a": "not the code of a take",
        "9" * 3001: "too long",
        "2" + "0" * 30: "of version 2, and this page reads version 1: update it first",
        call(pure, SOUND, log, {"shot": "hoist"}): "another shot",
        call(pure, SOUND, log, {"catalog": "other"}): "another site",
        call(pure, SOUND, log, {"revision": "AAAAAA"}): "revision AAAAAA, and this page is revision K3F7Q2",
        call(pure, SOUND, log, {"items": [*ITEMS, "ffffff"]}): "take in the file",
    }
    for said, right in zip(call(pure, TRY, list(cases)), cases.values(), strict=True):
        assert right in said
    (said,) = call(pure, "(raw) => (" + TRY + ")([carry.digitsOf(told(raw), 0, page)])", log[1:])
    assert "does not say how the take began" in said
    (said,) = call(pure, f"(size) => ({TRY})(['7'.repeat(size)])", 10_000_000)
    assert "too long" in said


def test_a_page_that_computes_other_values_says_so_instead_of_keeping_other_ticks(
    pure: Page, log: list[Event]
) -> None:
    said = call(
        pure,
        """(raw) => {
          const digits = carry.digitsOf(told(raw), 0, page);
          const other = (shown) => ({...page, under: (changes) => shown && {...page.under(changes), shown}});
          return [other(() => "another value"), other(null)].map((page) => {
            try { carry.logFrom(digits, page); return "taken"; }
            catch (error) { return error.message; } }); }""",
        log,
    )
    assert said == [
        "This phone computes other values than the other one: take in the file.",
        "This page cannot compute that take yet: wait until the sky is read, or take in the file.",
    ]
