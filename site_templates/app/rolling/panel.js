// What the top of the page says: what is next, when, and which frame; before frame 1 and after the last what is due.
// No page, no clock.

import { frameNow } from "../shown/clock.js";
import { clockToSecond } from "../takes/fired.js";
import { leftOf, lengthCell } from "./order.js";

const HOUR_MS = 3600 * 1000;
const EVENING_MS = 12 * HOUR_MS;
const SOON_MS = 15 * 60000;

/**
 * @typedef {"" | "before" | "rolling" | "ended"} Phase "" where the shot is not tonight's
 * @typedef {{phase: Phase, when: string, what: string, detail: string, cells: string[][], then: string,
 *   doable: import("./due.js").Act | null, due: "" | "due" | "loud", fires: boolean}} Panel
 *   cells: see touch/cells.js; doable: the act that can be said to be done; fires: whether frame 1 may be near
 */

/** @param {Plan} plan as it runs @param {import("../takes/added.js").TakeState} state @param {number} now_ms @returns {Phase} */
export function phaseOf({ window: { start, end, last_shutter_closes: last } }, { fired_ms }, now_ms) {
  if (fired_ms !== null) return now_ms < last.utc_ms ? "rolling" : "ended";
  return start.utc_ms - EVENING_MS <= now_ms && now_ms < end.utc_ms ? "before" : "";
}

/**
 * @param {Plan} plan as it runs @param {Sheet} sheet @param {import("../takes/added.js").TakeState} state
 * @param {import("./due.js").Act[]} acts what is next, in order @param {number} now_ms
 * @returns {Panel}
 */
export function panelOf(plan, sheet, state, acts, now_ms) {
  const phase = phaseOf(plan, state, now_ms);
  if (phase === "rolling") return rolling(plan, acts, now_ms);
  if (phase === "ended") return ended(plan, state, acts, now_ms);
  return { ...NOTHING, phase, ...(phase === "before" ? before(plan, sheet, acts, now_ms) : {}) };
}

/** @type {Panel} */
export const NOTHING = {
  phase: "",
  when: "",
  what: "",
  detail: "",
  cells: [],
  then: "",
  doable: null,
  due: "",
  fires: false,
};

/** @param {Plan} plan @param {import("./due.js").Act[]} acts @param {number} now_ms @returns {Panel} */
function rolling(plan, [next, after], now_ms) {
  const frame = ["frame now", `${frameNow(plan, now_ms) ?? 1}`, `of ${plan.timing.frames}`];
  if (!next) return { ...NOTHING, phase: "rolling", cells: [frame] };
  return {
    ...NOTHING,
    phase: "rolling",
    when: [urgency(next, now_ms), next.when].filter((text) => text !== "").join(", "),
    what: next.text,
    detail: next.detail,
    cells: [leftOf(next, now_ms), frame],
    ...{ then: after ? thenText(after, now_ms) : "", doable: next.hand ? next : null, due: dueness(next, now_ms) },
  };
}

/** @param {import("./due.js").Act} act @param {number} now_ms */
function urgency({ due_ms, until_ms }, now_ms) {
  if (now_ms < due_ms) return "next";
  return now_ms < until_ms ? "now" : "overdue";
}

/** @param {import("./due.js").Act} act @param {number} now_ms */
function dueness({ due_ms, loud, hand }, now_ms) {
  if (now_ms < due_ms || !hand) return "";
  return loud ? "loud" : "due";
}

/** @param {import("./due.js").Act} act @param {number} now_ms */
function thenText(act, now_ms) {
  const [name, , after, left] = leftOf(act, now_ms);
  const about = left.replace(/min .*/, "min"); // no second is wanted of what comes after the next
  return `then ${[name, about, after].join(" ").trim()}: ${act.text}`;
}

/**
 * @param {Plan} plan @param {Sheet} sheet @param {import("./due.js").Act[]} acts @param {number} now_ms
 * @returns {Partial<Panel>}
 */
function before({ window: { start, late } }, sheet, acts, now_ms) {
  const fires = now_ms >= start.utc_ms - SOON_MS;
  const latest = ["latest start", sheet.numbers.latest_start];
  if (now_ms >= start.utc_ms) {
    const is_late = late !== null && now_ms >= late.start.utc_ms;
    const what = is_late ? "First frame not fired: later than the latest start" : "First frame not fired";
    return { what, cells: [lengthCell("late by", now_ms - start.utc_ms), latest], due: "due", fires };
  }
  const first = lengthCell(`first frame ${sheet.numbers.first_frame},\u00a0in`, start.utc_ms - now_ms);
  const [next] = acts;
  const deadline =
    next?.kind === "deadline" ? [lengthCell(`${next.text} ${next.when},\u00a0in`, next.due_ms - now_ms)] : [];
  return { cells: [...deadline, first], then: latest.join(" "), fires };
}

/**
 * @param {Plan} plan @param {TakeState} state @param {import("./due.js").Act[]} acts @param {number} now_ms
 * @returns {Panel}
 */
function ended({ window: window_, brief, timing }, { marks }, acts, now_ms) {
  const closed = clockToSecond(window_.last_shutter_closes.utc_ms, brief.place.zone.spans);
  const [next] = acts;
  return {
    ...NOTHING,
    phase: "ended",
    ...{ what: `Ended ${closed}`, detail: "last shutter closed" },
    cells: [
      ["frames", `${timing.frames}`, timing.frames_before > 0 ? `after ${timing.frames_before}` : ""],
      ["marks", `${marks.length}`],
    ],
    ...{ then: next ? thenText(next, now_ms).replace("then", "next") : "", doable: next ?? null },
    due: next ? dueness(next, now_ms) : "",
  };
}
