"""The entries of a take that come from another phone: all or none, none over another, told of once."""

from __future__ import annotations

from playwright.sync_api import Page

JOIN = """async () => {
  const {openLog} = await import("/app/takes/log.js");
  const log = await openLog("joining");
  const at = (device, counter, payload = {}) => (
    {take: "t", shot: "slipway", device, counter, utc_ms: 1, kind: "note", payload});
  const told = (count) => [{take: "t", kind: "joined", payload: {count}}];
  const tried = (events, own) => log.join(events, own).then((count) => count, (error) => error.name);
  const counts = [];
  counts.push(await tried([at("A", 1), at("A", 2), at("B", 2)], told));
  counts.push(await tried([at("A", 1, {text: "another"}), at("A", 3)], told));
  counts.push(await tried([at("A", 1), at("A", 3)], told));
  counts.push(await tried([at("A", 4), at("C", 1)], () => [{take: "not here", kind: "end", payload: {}}]));
  counts.push(await tried([at("A", 4), {...at("C", 1), counter: undefined}], told));
  const kept = (await log.events("t")).map(({device, counter, kind, payload}) =>
    [device === log.device ? "here" : device, counter, kind, payload]);
  return [counts, kept]; }"""


def test_events_join_all_or_none_never_over_another_and_are_told_of_once(modules_page: Page) -> None:
    counts, kept = modules_page.evaluate(JOIN)
    assert counts == [3, 1, 0, "NoTakeError", "DataError"]
    assert sorted(kept, key=lambda one: (one[0], one[1])) == [
        ["A", 1, "note", {}],
        ["A", 2, "note", {}],
        ["A", 3, "note", {}],
        ["B", 2, "note", {}],
        ["here", 3, "joined", {"count": 3}],
        ["here", 4, "joined", {"count": 1}],
    ]
