// twin: fieldsheet/plan/arch.py
// How the Milky Way stands at both ends of the window.

import { galacticArch } from "./galaxy.js";
import { starsOut } from "./seen.js";

/**
 * The arch at the first frame and at the end: {start, end}, null where the stars are not out.
 * @param {Night} night @param {Timing} timing
 */
export function arch(night, timing) {
  return { start: archAt(night, timing.start_ms / 1000), end: archAt(night, timing.end_ms / 1000) };
}

/** @param {Night} night @param {number} t_s */
function archAt(night, t_s) {
  return starsOut(night, t_s) ? galacticArch(night.sky, night.site, t_s) : null;
}
