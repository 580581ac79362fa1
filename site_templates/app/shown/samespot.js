// Whether two spots are one on paper.

import { fixed } from "../core/say.js";

/** @typedef {{latitude_deg: number, longitude_deg: number, elevation_m: number}} Spot */

export const KEYS = /** @type {const} */ (["latitude_deg", "longitude_deg", "elevation_m"]);
const PRINTED = [4, 4, 0]; // decimals

/** Whether two spots read alike where positions are printed. @param {Spot} a @param {Spot} b */
export function isSameSpot(a, b) {
  return KEYS.every((key, at) => fixed(a[key], PRINTED[at]) === fixed(b[key], PRINTED[at]));
}
