// twin: fieldsheet/sky/find.py
// When things happen in the sky: crossings of a threshold, of a measured skyline, of the meridian.

import { clearanceDeg, eventNamed, overSkylineDeg, partDeg, partsAt, radiusDeg } from "./events.js";
import { RIDGE_NEAR_DEG, nearSkyline, withSights } from "./ridge.js";
import { SCAN_S, crossings, halve, scanSteps } from "./scan.js";
import { horizontal, hourAngleDeg } from "./sky.js";

/** @typedef {import("./sky.js").Sky} Sky */
/** @typedef {import("./sky.js").Site} Site */
/** @typedef {import("./events.js").Part} Part @typedef {import("./events.js").Highest} Highest @typedef {import("./events.js").Joint} Joint */

export const NEAR_DEG = 0.1; // why: see the twin

/**
 * The moments of one kind of event in [t0_s, t1_s), ascending; none is an answer.
 * @param {Sky} sky
 * @param {Site} site
 * @param {string} name a name that eventNamed knows
 * @param {number} t0_s POSIX UTC seconds
 * @param {number} t1_s POSIX UTC seconds
 * @returns {number[]} POSIX UTC seconds
 * @throws {Error} where the sky does not cover the window
 */
export function findEvents(sky, site, name, t0_s, t1_s) {
  const event = eventNamed(name);
  sky.mustCover(t0_s, t1_s);
  const moments = momentsOf(sky, site, event, scanSteps(sky, t0_s, t1_s, SCAN_S));
  return moments.filter((moment_s) => t0_s <= moment_s && moment_s < t1_s);
}

/** @param {Sky} sky @param {Site} site @param {SkyEvent} event @param {number[]} times_s */
function momentsOf(sky, site, event, times_s) {
  if ("parts" in event) return changes(sky, site, event, times_s);
  if (!("direction" in event)) return transits(sky, site, event, times_s);
  return crossingsOf(sky, site, event, times_s, event.direction > 0, event.direction < 0);
}

/**
 * Where a part comes to hold, or ceases to: above a rule's altitude, or over the skyline.
 * @param {Sky} sky @param {Site} site @param {Part} part @param {number[]} times_s @param {boolean} upwards
 * @param {boolean} downwards
 */
function crossingsOf(sky, site, part, times_s, upwards, downwards) {
  if (!("rule" in part)) return passings(sky, site, part.body, times_s, upwards, downwards);
  return crossings((t_s) => clearanceDeg(sky, site, part, t_s), times_s, NEAR_DEG, upwards, downwards);
}

/**
 * Where a body comes over the skyline or goes behind it; without a measured one nowhere.
 * @param {Sky} sky @param {Site} site @param {string} body @param {number[]} times_s @param {boolean} over
 * @param {boolean} behind
 */
function passings(sky, site, body, times_s, over, behind) {
  if (site.ridge.length === 0) return [];
  const coarse = times_s.map((t_s) => {
    const { altitude_deg, azimuth_deg, distance_km } = horizontal(sky, site, body, t_s);
    return { t_s, azimuth_deg, limb_deg: altitude_deg + radiusDeg(body, distance_km) };
  });
  const near_s = nearSkyline(coarse, site);
  if (near_s.length === 0) return [];
  const steps_s = withSights((t_s) => horizontal(sky, site, body, t_s).azimuth_deg, site.ridge, near_s);
  return crossings((t_s) => overSkylineDeg(sky, site, body, t_s), steps_s, RIDGE_NEAR_DEG, over, behind);
}

/**
 * Where the hour angle comes up to 0; at the lower transit it leaps down, from 180 to -180.
 * @param {Sky} sky @param {Site} site @param {Highest} event @param {number[]} times_s
 */
function transits(sky, site, event, times_s) {
  const angle = (/** @type {number} */ t_s) => hourAngleDeg(sky, site, event.body, t_s);
  const angles = times_s.map(angle);
  const moments = [];
  for (let index = 1; index < times_s.length; index += 1) {
    if (angles[index - 1] < 0 && angles[index] >= 0) {
      moments.push(halve((t_s) => angle(t_s) >= 0, times_s[index - 1], times_s[index]));
    }
  }
  return moments.filter((t_s) => clearanceDeg(sky, site, event, t_s) >= 0);
}

/**
 * The crossings of all parts cut time into pieces; in each, all parts hold throughout or they do not.
 * @param {Sky} sky @param {Site} site @param {Joint} event @param {number[]} times_s
 */
function changes(sky, site, event, times_s) {
  const parts = partsAt(event.parts, site);
  const moments = parts.flatMap((part) => crossingsOf(sky, site, part, times_s, true, true)).sort((a, b) => a - b);
  const ends = [times_s[0], ...moments, times_s[times_s.length - 1]];
  const held = ends.slice(1).map((end_s, index) => {
    const inside_s = (ends[index] + end_s) / 2;
    return parts.every((part) => partDeg(sky, site, part, inside_s) >= 0 === part.direction > 0);
  });
  const begins = event.direction > 0;
  return moments.filter((_, index) => held[index] !== begins && held[index + 1] === begins);
}
