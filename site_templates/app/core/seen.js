// twin: fieldsheet/plan/seen.py
// Where something of the sky is seen, and whether it can be seen at all.

import { skylineDeg } from "./ridge.js";
import { apparentAltitudeDeg, horizontal } from "./sky.js";

const STARS_OUT_DEG = -6;
export const BRIGHT = ["sun", "moon"];

/**
 * True azimuth and apparent altitude [deg] of a body at an instant [s UTC].
 * @param {Pick<Night, "sky" | "site">} night @param {string} body @param {number} utc_s @returns {Pair}
 */
export function seenDeg(night, body, utc_s) {
  const { altitude_deg, azimuth_deg } = horizontal(night.sky, night.site, body, utc_s);
  return [azimuth_deg, apparentAltitudeDeg(altitude_deg, night.site.air)];
}

/**
 * Whether the sun is so far down that bright stars and planets show.
 * @param {Pick<Night, "sky" | "site">} night @param {number} utc_s
 */
export function starsOut(night, utc_s) {
  return horizontal(night.sky, night.site, "sun", utc_s).altitude_deg < STARS_OUT_DEG;
}

/**
 * How far [deg] a direction is above what hides the sky there: the measured skyline, else the level.
 * @param {Site} site @param {number} azimuth_deg @param {number} altitude_deg
 */
export function overDeg({ ridge }, azimuth_deg, altitude_deg) {
  return altitude_deg - (ridge.length > 0 ? skylineDeg(ridge, azimuth_deg) : 0);
}

/**
 * Whether a body so far over what hides the sky shows, dark being what starsOut says.
 * @param {string} body @param {number} over_deg @param {boolean} dark
 */
export function isSeen(body, over_deg, dark) {
  return over_deg > 0 && (dark || BRIGHT.includes(body));
}
