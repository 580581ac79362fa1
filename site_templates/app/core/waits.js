// twin: fieldsheet/plan/waits.py
// Keyframes are set before their target stands there: how far off it then is; and where it stands by a landmark.

import { axisOf, insideFrame, lensOf, looksOf, wrapDeg } from "./aim.js";
import { siteOf } from "./anchors.js";
import { isSeen, overDeg, seenDeg, starsOut } from "./seen.js";

export const FIXED = ["north pole", "south pole"];
const FARTHEST_DEG = 45;
const RADIANS = Math.PI / 180;

/**
 * Where a keyframe's body stands now [s UTC] beside its place then; null for an aim that does not move.
 * @param {Pick<Night, "sky" | "site">} night @param {Aim | null} aim @param {number} then_s @param {number} now_s
 */
export function waits(night, aim, then_s, now_s) {
  if (aim === null || aim.target === undefined || FIXED.includes(aim.target)) return null;
  const [azimuth, altitude] = seenDeg(night, aim.target, now_s);
  const [azimuth_then, altitude_then] = seenDeg(night, aim.target, then_s);
  const seen = isSeen(aim.target, overDeg(night.site, azimuth, altitude), starsOut(night, now_s));
  return { right_deg: wrapDeg(azimuth - azimuth_then), up_deg: altitude - altitude_then, seen };
}

/**
 * The same for keyframe `index` (from 0) of a plan, at an instant [s UTC] that its sky covers.
 * @param {Plan} plan @param {Sky} sky @param {number} index @param {number} utc_s
 */
export function waitsAt(plan, sky, index, utc_s) {
  const night = { sky, site: siteOf(plan.brief.place) };
  if (index >= plan.keyframes.length) return null; // not of what is left after a stop
  const { aim, time } = plan.keyframes[index];
  return waits(night, aim, time.utc_ms / 1000, utc_s);
}

/**
 * Where a keyframe's aim (or the middle of its frame) stands from the nearest landmark; null without one.
 * Where none is near, what pan zero looks at stands in for one; how high that is nobody said.
 * @param {Brief} brief @param {Setting} setting @returns {PlanKeyframe["landmark"]}
 */
export function besideLandmark(brief, setting) {
  const axis = axisOf(brief, setting.axes);
  const { azimuth_deg: aimed_deg } = setting;
  const aimed = /** @type {Pair} */ ([aimed_deg, setting.altitude_deg]);
  const looks = aimed_deg !== null ? aimed : looksOf(brief, setting.axes);
  if (looks === null) return null;
  const near = brief.place.landmarks
    .map((mark) => ({ mark, apart: apartDeg(looks, [mark.bearing_deg, mark.altitude_deg]) }))
    .filter(({ apart }) => apart <= FARTHEST_DEG);
  if (near.length === 0) return besideZero(brief, looks);
  const { name, bearing_deg, altitude_deg } = near.reduce((best, one) => (one.apart < best.apart ? one : best)).mark;
  const spot = axis && insideFrame(bearing_deg, altitude_deg, axis[0], axis[1], lensOf(brief));
  const [x, y] = spot ?? [null, null];
  return { name, right_deg: wrapDeg(looks[0] - bearing_deg), up_deg: looks[1] - altitude_deg, x, y };
}

/** @param {Brief} brief @param {Pair} looks */
function besideZero({ zero_sighting, zero_bearing_deg }, looks) {
  if (!zero_sighting) return null;
  return { name: zero_sighting, right_deg: wrapDeg(looks[0] - zero_bearing_deg), up_deg: null, x: null, y: null };
}

/** Degrees between two directions, each [azimuth, altitude]. @param {number[]} a @param {number[]} b */
export function apartDeg(a, b) {
  const high = a[1] * RADIANS;
  const low = b[1] * RADIANS;
  const level = Math.cos(high) * Math.cos(low) * Math.cos((a[0] - b[0]) * RADIANS);
  return Math.acos(Math.min(Math.max(Math.sin(high) * Math.sin(low) + level, -1), 1)) / RADIANS;
}
