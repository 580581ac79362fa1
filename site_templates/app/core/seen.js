// twin: fieldsheet/plan/seen.py
// Where something of the sky is seen, and whether it can be seen at all.

import { apparentAltitudeDeg, horizontal } from "./sky.js";

const STARS_OUT_DEG = -6;
const BRIGHT = ["sun", "moon"];

/** True azimuth and apparent altitude [deg] of a body at an instant [s UTC]. */
export function seenDeg(night, body, utc_s) {
  const { altitude_deg, azimuth_deg } = horizontal(night.sky, night.site, body, utc_s);
  return [azimuth_deg, apparentAltitudeDeg(altitude_deg, night.site.air)];
}

/** Whether the sun is so far down that bright stars and planets show. */
export function starsOut(night, utc_s) {
  return horizontal(night.sky, night.site, "sun", utc_s).altitude_deg < STARS_OUT_DEG;
}

/** Whether a body at an apparent altitude shows, dark being what starsOut says. */
export function isSeen(body, altitude_deg, dark) {
  return altitude_deg > 0 && (dark || BRIGHT.includes(body));
}
