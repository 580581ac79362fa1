// Six lines to read aloud when the watch goes to someone else: all that the other one must know. No page, no clock.

import { frameNow } from "../shown/clock.js";
import { isClosed } from "../list/chosen.js";
import { nextActs } from "../rolling/due.js";
import { clockToSecond } from "../takes/fired.js";
import { makeLines, placeText } from "../takes/loglines.js";
import { sentence } from "../shown/nights.js";
import { packsGone } from "../core/sheet-power.js";
import { fixed } from "../core/say.js";
import { packIn } from "../rolling/nowlines.js";
import { lasting } from "../rolling/order.js";
import { leftAfter } from "../takes/stops.js";
import { planOf } from "../takes/takefile.js";

const MOST_OPEN = 5; // nobody listens to more; the others stand in the log

/**
 * [name, text] of each line.
 * @param {Plan} plan @param {Sheet} sheet what the page shows of it
 * @param {{events: import("../takes/added.js").LogEvent[], state: import("../takes/added.js").TakeState}} take
 * @param {string[]} stops when to stop, as it is written for the place @param {number} now_ms
 * @returns {string[][]}
 */
export function sixLines(plan, sheet, { events, state }, stops, now_ms) {
  return [
    ["now", nowText(plan, state, now_ms)],
    ["next", nextText(plan, sheet, state, now_ms)],
    ["changed", changedText(plan, events)],
    ["pack", packText(plan, sheet, state)],
    ["faults", faultsText(plan, sheet, state, events)],
    ["stop if", stopText(stops, sheet)],
  ];
}

/** @param {Plan} plan @param {TakeState} state @param {number} now_ms */
function nowText({ window: window_, timing, brief }, { fired_ms }, now_ms) {
  const frame = frameNow({ window: window_, timing }, now_ms);
  const { start, end } = window_;
  if (fired_ms === null && now_ms < start.utc_ms) return `not rolling; frame 1 in ${lasting(start.utc_ms - now_ms)}`;
  if (fired_ms === null)
    return `frame 1 not kept as fired${frame === null ? "" : `; by the plan frame ${frame} of ${timing.frames}`}`;
  const fired = `frame 1 fired ${clockToSecond(fired_ms, brief.place.zone.spans)}`;
  if (frame === null) return now_ms < end.utc_ms ? fired : `all ${timing.frames} frames are through; ${fired}`;
  return `frame ${frame} of ${timing.frames}, ${lasting(end.utc_ms - now_ms)} left; ${fired}`;
}

/** @param {Plan} plan @param {Sheet} sheet @param {import("../takes/added.js").TakeState} state @param {number} now_ms */
function nextText(plan, sheet, state, now_ms) {
  const [act] = nextActs(plan, sheet, state, now_ms);
  if (!act) return "nothing more";
  const when = act.due_ms > now_ms ? `in ${lasting(act.due_ms - now_ms)}` : "due now";
  return [act.text, act.detail, act.when, when].filter((text) => text !== "").join(", ");
}

/** @param {Plan} plan @param {import("../takes/added.js").LogEvent[]} events */
function changedText(plan, events) {
  const { run, ...changes } = plan.changes;
  const changed = makeLines(events, plan).changes(changes);
  const counted_by = run && run.ratio !== 1 ? "timed by the rig's count" : "";
  return [changed, counted_by].filter((text) => text !== "").join("; ") || `nothing: as on card ${plan.revision}`;
}

/** @param {Plan} plan @param {Sheet} sheet @param {TakeState} state */
function packText(plan, sheet, { acts }) {
  const { name, swaps, of, by, at } = packIn(plan, acts);
  if (of === 0) return "not worked out for this rig";
  const known = at === null ? ": look which one is in" : `: put in at frame ${at}, before the stop${leftText(plan)}`;
  const next = plan.power.changes[swaps] ? `; to be changed in ${sheet.swaps[packsGone(plan) + swaps]}` : "";
  return `${name || `number ${packsGone(plan) + swaps + 1}`}${by && by + known}${next}`;
}

/** What the pack that was in as it stopped still had then, by the plan. @param {Plan} plan */
function leftText({ power: { supplies } }) {
  const rig = supplies.find(({ id }) => id === "rig");
  if (!rig) return "";
  const [{ usable_wh }] = rig.packs;
  return `, ${fixed(usable_wh - rig.before_wh, 1)} of ${fixed(usable_wh, 1)} Wh left then`;
}

/**
 * Marks by what they are for, musts that were passed over, warnings that nobody has closed.
 * @param {Plan} plan @param {Sheet} sheet @param {TakeState} state @param {import("../takes/added.js").LogEvent[]} events
 */
function faultsText(plan, sheet, { ticks, marks, ready, closed, changes }, events) {
  const lines = makeLines(events, planOf(events) ?? plan);
  /** @type {Map<string, string[]>} */
  const kinds = new Map();
  for (const mark of marks) {
    const kind = mark.what || "mark at";
    const places = [placeText(mark), leftAfter(mark.way, changes.way)].filter((text) => text !== "");
    kinds.set(kind, [...(kinds.get(kind) ?? []), places.join(", ")]);
  }
  const marked = [...kinds].map(([kind, places]) =>
    [kind, places.filter((place) => place !== "").join(" and ")].join(" "),
  );
  /** @type {string[]} */
  const passed = ready?.open ?? events.findLast(({ kind }) => kind === "start")?.payload.unready ?? [];
  const forced = notDone(passed.filter((item) => !ticks.has(item)).map(lines.item));
  const open = sheet.warnings.filter((_, at) => !isClosed(closed, plan, sheet, at));
  const heads = open.map(({ word, head }) => `${word}: ${head}`);
  return sentence([...marked, ...forced, ...heads].join("; ") || "none known");
}

/** @param {string[]} items */
function notDone(items) {
  const said = items.slice(0, MOST_OPEN).map((item) => `not done: ${item}`);
  const more = items.length - said.length;
  return more > 0 ? [...said, `${more} more not done`] : said;
}

/** @param {string[]} stops @param {Sheet} sheet */
function stopText(stops, { limits }) {
  const lines = [...stops, ...limits.map(({ label, clock }) => `${label} ${clock}`)];
  return lines.join("; ") || "no line is written for this place";
}
