// Whether the phone's clock was changed while a page counts by it. The browser's other clock only runs on, but on some
// phones it stands still while they sleep: a jump forward that may be sleep is not taken for a change.

import { spanText } from "../core/say.js";

const SECOND_MS = 1000;
const LEAST_MS = 2000;
const HALF_HOUR_MS = 30 * 60000;
const NEAR_MS = 3000;
const MINUTE_MS = 60000;

/** @typedef {{utc_ms: number, since_ms: number}} Reading the clock that may be changed, and the one that runs on */

/**
 * By how much the clock was changed between two readings [ms], forward positive; 0 where it was not.
 * @param {Reading} before @param {Reading} after @param {boolean} was_seen whether the page was in sight all the time
 */
function jumpMs(before, after, was_seen) {
  const by_ms = after.utc_ms - before.utc_ms - (after.since_ms - before.since_ms);
  if (Math.abs(by_ms) < LEAST_MS) return 0;
  const off_ms = Math.abs(by_ms - Math.round(by_ms / HALF_HOUR_MS) * HALF_HOUR_MS);
  const is_sleep = by_ms > 0 && !was_seen && off_ms > NEAR_MS;
  return is_sleep ? 0 : by_ms;
}

/**
 * By how much the last event of a take lies ahead of the clock [ms]; 0 where it does not: then the clock was set back
 * since, or another phone's is fast.
 * @param {import("../takes/added.js").LogEvent[]} events in order @param {number} now_ms
 */
export function aheadMs(events, now_ms) {
  const ahead_ms = (events.at(-1)?.utc_ms ?? now_ms) - now_ms;
  return ahead_ms > MINUTE_MS ? ahead_ms : 0;
}

/** What is said of a change, or of what lies ahead; "" for nothing. @param {number} by_ms @param {number} ahead_ms */
export function jumpWords(by_ms, ahead_ms) {
  const way = by_ms > 0 ? "forward" : "back";
  let what = "";
  if (by_ms !== 0) what = `This phone's clock was set ${way} by ${lengthOf(Math.abs(by_ms), SECOND_MS)}`;
  else if (ahead_ms !== 0)
    what = `What was kept last lies ${lengthOf(ahead_ms, MINUTE_MS)} ahead of this phone's clock`;
  return what === "" ? "" : `${what}: frames are counted from it. What does the rig show?`;
}

/** By its units: 0:46:00 would be heard as a time of day. What changes meanwhile is told by the minute, for it is said anew.
 *  @param {number} ms @param {number} step_ms */
function lengthOf(ms, step_ms) {
  return spanText(Math.floor(ms / step_ms) * step_ms);
}

/** Watches the clocks; asked once a second. @param {() => Reading} read */
export function makeJumps(read) {
  let before = read();
  let was_seen = true;
  let sum_ms = 0;
  document.addEventListener("visibilitychange", () => {
    was_seen = false;
  });
  return {
    /** What all changes since the last `forget` come to [ms]. */
    sum() {
      const after = read();
      sum_ms += jumpMs(before, after, was_seen);
      before = after;
      was_seen = document.visibilityState === "visible";
      return sum_ms;
    },
    forget() {
      sum_ms = 0;
    },
  };
}
