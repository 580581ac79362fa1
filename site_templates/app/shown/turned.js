// What the page shows otherwise than it is printed, in words for the line under its title.

import { clock, word } from "../core/say.js";
import { runsText } from "../core/sheet-phases.js";

/**
 * A way to go on that was taken: of a late start, or after a stop (after: what was in force before it).
 * @typedef {{id: string, start_ms?: number, frame?: number, rolling_ms?: number, after?: *}} Way
 */

/** @type {Object<string, string>} */
const NAMES = {
  night: "night",
  start_ms: "start",
  spot: "spot",
  exposure_shift_ev: "exposure",
  interval_ms: "interval",
};

/** What is asked for, one after another: "night and spot"; "" for nothing of this kind. @param {object} asked */
export function notPrinted(asked) {
  const names = Object.keys(NAMES).filter((key) => key in asked);
  return names.map((key) => NAMES[key]).join(" and ");
}

/** The way that was taken, in words; "" for none. @param {Way | undefined} way @param {Plan} plan that comes of it */
export function takenText(way, { brief, window: { start } }) {
  if (!way) return "";
  const at = clock(start.utc_ms, brief.place.zone.spans);
  const what = word(`option.${way.id}`);
  return way.frame === undefined
    ? `Late start ${at} taken. ${what}.`
    : `Going on after frame ${way.frame}, from ${at}. ${what}.`;
}

/** How the rig is seen to run; "" where it is not, or as planned. @param {Plan} plan */
export function runningText(plan) {
  const { run } = plan.changes;
  if (!run) return "";
  return run.ratio === 1 ? "Timed from when frame 1 fired." : `As the rig runs: ${runsText(plan)}.`;
}
