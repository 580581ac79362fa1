// twin: fieldsheet/plan/schedule.py
// Working back from frame 1, and how late one may be.

import { settableMs } from "./keyed.js";
import { MINUTE_MS, openingOf } from "./timing.js";

/** @type {[string, number][]} */
export const SHARES = [
  ["on-site", 1],
  ["level", 0.6],
  ["stored", 0.25],
  ["focus", 0.15],
  ["go", 0.08],
];
const LEAST_PACE = [4, 5];

/**
 * [id, ms UTC] in order of time: by when each thing is done, so that frame 1 can fire; whole minutes.
 * @param {Brief} brief @param {number} start_ms @returns {[string, number][]}
 */
export function deadlines(brief, start_ms) {
  const { approach_ms } = brief.place;
  const times = SHARES.map(
    ([name, share]) => /** @type {[string, number]} */ ([name, minuteBefore(start_ms - share * brief.setup_ms)]),
  );
  return approach_ms === null ? times : [["leave", minuteBefore(times[0][1] - approach_ms)], ...times];
}

/** By when [ms UTC] the last keyframe is stored. @param {Brief} brief @param {number} start_ms */
export function storedMs(brief, start_ms) {
  return Object.fromEntries(deadlines(brief, start_ms)).stored;
}

/**
 * When [ms UTC] somebody sets out for the shot, or is on site where the way there is not known.
 * @param {Brief} brief @param {number} start_ms
 */
export function leavesMs(brief, start_ms) {
  return deadlines(brief, start_ms)[0][1];
}

/**
 * The interval [ms] that a late start may go down to; null where frames are missed anyway.
 * @param {Brief} brief @param {Timing} timing @param {Fit} budget
 */
export function lateIntervalMs(brief, timing, budget) {
  if (budget.slack_ms < 0) return null;
  const [frames] = openingOf(timing);
  const needed = budget.stages.filter(({ first_frame }) => first_frame <= frames).map(({ needed_ms }) => needed_ms);
  const least_ms = Math.max(...needed, Math.ceil((timing.interval_ms * LEAST_PACE[0]) / LEAST_PACE[1]));
  return Math.min(settableMs(brief, least_ms), timing.interval_ms);
}

/**
 * The last start [ms UTC, whole minutes] that keeps end and frames at a shorter opening interval.
 * @param {Timing} timing @param {number} interval_ms
 */
export function latestStartMs(timing, interval_ms) {
  const [frames, until_ms] = openingOf(timing);
  return Math.max(timing.start_ms, minuteBefore(until_ms - frames * interval_ms));
}

/** @param {number} ms */
function minuteBefore(ms) {
  return Math.floor(ms / MINUTE_MS) * MINUTE_MS;
}
