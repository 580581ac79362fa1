// twin: fieldsheet/sky/grazes.py
// Where a body turns back so near to a threshold that nobody can say whether it crosses it.

import { clearanceDeg, eventNamed } from "./events.js";
import { NEAR_DEG } from "./find.js";
import { SCAN_S, sampled, scanSteps, turningPoints } from "./scan.js";

const GRAZE_DEG = 0.01;

/**
 * The turns in [t0_s, t1_s) within GRAZE_DEG of the altitude of a crossing, ascending.
 * @param {import("./sky.js").Sky} sky
 * @param {import("./sky.js").Site} site
 * @param {string} name of an event that is a crossing of an altitude
 * @param {number} t0_s POSIX UTC seconds
 * @param {number} t1_s POSIX UTC seconds
 * @returns {{moment_s: number, margin_deg: number}[]} margin: above the altitude, below 0 under it
 * @throws {Error} where the sky does not cover the window
 */
export function findGrazes(sky, site, name, t0_s, t1_s) {
  const crossing = /** @type {import("./events.js").Crossing} */ (eventNamed(name));
  sky.mustCover(t0_s, t1_s);
  const curve = (/** @type {number} */ t_s) => clearanceDeg(sky, site, crossing, t_s);
  return turningPoints(curve, sampled(curve, scanSteps(sky, t0_s, t1_s, SCAN_S)), NEAR_DEG)
    .map(({ turn }) => ({ moment_s: turn.t_s, margin_deg: turn.value }))
    .filter(({ moment_s, margin_deg }) => Math.abs(margin_deg) < GRAZE_DEG && t0_s <= moment_s && moment_s < t1_s);
}
