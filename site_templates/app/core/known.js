// twin: fieldsheet/plan/known.py
// When each need of a shot is judged, and what is lacking to judge it: {found: the id of its words, ...their arguments}.

import { TIDES, occurrences, opening, wholeSecond } from "./anchors.js";
import { DAY_S, localDay } from "./civil.js";
import { RIDGE_EVENTS } from "./events.js";
import { msOf } from "./pace.js";
import { PlanProblem } from "./problem.js";
import { MINUTE_MS, frameOf } from "./timing.js";

const NO_TIDE = "found.no-tide";
const NO_RIDGE = "found.no-ridge";
/** With these nobody can tell whether the need is met; with any other lack it is not. */
export const NOT_KNOWN = [NO_TIDE, NO_RIDGE];
const TWICE_A_DAY = ["high tide", "low tide"];

/**
 * {ms, lack}: a position in the shot, or an anchor of the night as `start` is one; ms null where there is none.
 * @param {At | null} at @param {Night} night @param {Timing} timing @returns {{ms: number | null, lack: Args}}
 */
export function momentOf(at, night, timing) {
  if (at === null) return { ms: null, lack: {} };
  if ("frame" in at || "fraction" in at) return inShot(at, night, timing);
  if ("event" in at) return ofEvent(at, night);
  try {
    return { ms: opening(night, at, "needs") * 1000, lack: {} };
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    return { ms: null, lack: { found: "found.no-moment" } };
  }
}

/** @param {At} at @param {Night} night @param {Timing} timing */
function inShot(at, night, timing) {
  const frame = frameOf(at, night, timing, "needs");
  if (frame > timing.frames) return { ms: null, lack: { found: "found.no-frame", frames: timing.frames } };
  return { ms: msOf(timing, frame), lack: {} };
}

/**
 * The first of the night: what a table does not tell of may have come before it.
 * @param {EventAt} at @param {Night} night
 */
function ofEvent(at, night) {
  const events = occurrences(night, at.event, night.from_s, night.until_s);
  const lack = unknown(night, at.event, daysOf(night, night.from_s, events[0] ?? night.until_s - 1));
  if (lack === null && events.length > 0) return { ms: (wholeSecond(events[0]) + at.offset_s) * 1000, lack: {} };
  return { ms: null, lack: lack ?? { found: "found.no-moment" } };
}

/**
 * Why nobody can tell whether an event comes on some days, by their numbers; null where it is known.
 * @param {Night} night @param {string} event @param {number[]} days @returns {{found: string} | null}
 */
export function unknown(night, event, days) {
  if (event in RIDGE_EVENTS && night.site.ridge.length === 0) return { found: NO_RIDGE };
  return TIDES.includes(event) && !days.every((day) => tells(night, event, day)) ? { found: NO_TIDE } : null;
}

/**
 * Whether the table of tides covers a day: by a line of that kind if it comes every day, else by any.
 * @param {Night} night @param {string} kind @param {number} day
 */
function tells({ tides, spans }, kind, day) {
  const counts = (/** @type {string} */ each) => each === kind || !TWICE_A_DAY.includes(kind);
  return tides.some(([at_s, each]) => localDay(spans, at_s) === day && counts(each));
}

/**
 * The numbers of the days that a stretch of time [s UTC] touches, its ends included.
 * @param {Night} night @param {number} from_s @param {number} last_s
 */
function daysOf({ spans }, from_s, last_s) {
  const first = localDay(spans, from_s);
  return Array.from({ length: localDay(spans, last_s) - first + 1 }, (_, step) => first + step);
}

/**
 * The days on which something lies within so many ms of a moment, read to the minute.
 * @param {Night} night @param {number} at_ms @param {number} within_ms
 */
export function daysAround(night, at_ms, within_ms) {
  const far_ms = within_ms + MINUTE_MS / 2;
  return daysOf(night, (at_ms - far_ms) / 1000, (at_ms + far_ms) / 1000);
}

/**
 * The days on which the night has clock times of a range: two of them, where they are not the same.
 * @param {Night} night @param {number} first_s @param {number} last_s
 */
export function daysBetween({ day, rule }, first_s, last_s) {
  const next = rule === "night" ? day + 1 : day;
  const [first, last] = [first_s, last_s].map((clock_s) => (clock_s < DAY_S / 2 ? next : day));
  const begins_after_it_ends = first > last || (first === last && first_s > last_s);
  return begins_after_it_ends ? [day, next] : [first, last];
}
