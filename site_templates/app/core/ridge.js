// twin: fieldsheet/sky/ridge.py
// A skyline as somebody measured it: its height all round, and where in a scan a body may pass it.

import { apparentAltitudeDeg } from "./sky.js";

/** @typedef {{t_s: number, azimuth_deg: number, limb_deg: number}} Coarse where a body stands at a step of a scan */

const RIDGE_SCAN_S = 300;
export const RIDGE_NEAR_DEG = 0.2; // why these: see the twin
const STRAY_DEG = 0.5;
const ASIDE_DEG = 4;

/**
 * The altitude of the skyline at an azimuth [0, 360): straight between its sights, through north too.
 * @param {number[][]} ridge @param {number} azimuth_deg
 */
export function skylineDeg(ridge, azimuth_deg) {
  const next = sightsUpTo(ridge, azimuth_deg);
  const [from, low_deg] = ridge[(next + ridge.length - 1) % ridge.length];
  const [to, high_deg] = ridge[next % ridge.length];
  const before = next === 0 ? from - 360 : from;
  const after = next === ridge.length ? to + 360 : to;
  if (after === before) return low_deg;
  return low_deg + ((high_deg - low_deg) * (azimuth_deg - before)) / (after - before);
}

/**
 * The steps of a fine scan where a body may pass the skyline.
 * @param {{t_s: number, azimuth_deg: number, limb_deg: number}[]} coarse twice as wide apart; limb geometric
 * @param {import("./sky.js").Site} site @returns {number[]}
 */
export function nearSkyline(coarse, site) {
  const near = coarse.slice(1).map((after, index) => comesNear(coarse[index], after, site));
  const steps_s = new Set();
  near.forEach((_, index) => {
    if (!near[index] && !near[index - 1] && !near[index + 1]) return;
    const from_s = coarse[index].t_s;
    for (const t_s of [from_s, from_s + RIDGE_SCAN_S, coarse[index + 1].t_s]) steps_s.add(t_s);
  });
  return [...steps_s];
}

/**
 * Whether a body may stand at the skyline between two steps.
 * @param {Coarse} before @param {Coarse} after @param {Site} site
 */
function comesNear(before, after, { ridge, air }) {
  const turned = nearestDeg(after.azimuth_deg - before.azimuth_deg);
  const [low_deg, high_deg] = lowestAndHighest(ridge, before.azimuth_deg + turned / 2, Math.abs(turned) > ASIDE_DEG);
  const body_low = apparentAltitudeDeg(Math.min(before.limb_deg, after.limb_deg) - STRAY_DEG, air);
  const body_high = apparentAltitudeDeg(Math.max(before.limb_deg, after.limb_deg) + STRAY_DEG, air);
  return body_low <= high_deg && body_high >= low_deg;
}

/**
 * Of the skyline about an azimuth, or of all of it.
 * @param {number[][]} ridge @param {number} azimuth_deg @param {boolean} everywhere
 */
function lowestAndHighest(ridge, azimuth_deg, everywhere) {
  const near = ridge.filter(([azimuth]) => everywhere || Math.abs(nearestDeg(azimuth - azimuth_deg)) <= ASIDE_DEG);
  const ends = everywhere ? [] : [-ASIDE_DEG, ASIDE_DEG].map((aside) => skylineDeg(ridge, around(azimuth_deg + aside)));
  const heights = [...near.map(([, altitude]) => altitude), ...ends];
  return [Math.min(...heights), Math.max(...heights)];
}

/**
 * A scan, and the moments at which an azimuth in degrees passes a sight of the ridge, ascending.
 * @param {(t_s: number) => number} azimuthDeg @param {number[][]} ridge @param {number[]} times_s
 */
export function withSights(azimuthDeg, ridge, times_s) {
  const found = new Set(times_s);
  const sights = ridge.map(([azimuth]) => azimuth);
  const passed = (/** @type {number} */ azimuth) => {
    const rounds = Math.floor(azimuth / 360);
    return sightsUpTo(ridge, azimuth - 360 * rounds) + sights.length * rounds;
  };
  let from = azimuthDeg(times_s[0]);
  for (let index = 1; index < times_s.length; index += 1) {
    const [from_s, to_s] = [times_s[index - 1], times_s[index]];
    const to = from + nearestDeg(azimuthDeg(to_s) - from);
    const rate = (to - from) / (to_s - from_s);
    const is_gap = to_s - from_s > RIDGE_SCAN_S; // the body is not near the skyline there
    const last = is_gap ? -Infinity : Math.max(passed(from), passed(to));
    for (let sight = Math.min(passed(from), passed(to)); sight < last; sight += 1) {
      const rounds = Math.floor(sight / sights.length);
      const wanted = sights[sight - rounds * sights.length] + 360 * rounds;
      const near_s = from_s + (wanted - from) / rate;
      const moment_s = near_s - nearestDeg(azimuthDeg(near_s) - wanted) / rate;
      found.add(Math.min(Math.max(moment_s, from_s), to_s));
    }
    from = to;
  }
  return [...found].sort((a, b) => a - b);
}

/** How many sights have come by an azimuth. @param {number[][]} ridge @param {number} azimuth_deg */
function sightsUpTo(ridge, azimuth_deg) {
  const after = ridge.findIndex(([azimuth]) => azimuth > azimuth_deg);
  return after < 0 ? ridge.length : after;
}

/** The same azimuth in [0, 360). @param {number} azimuth_deg */
export function around(azimuth_deg) {
  return azimuth_deg - 360 * Math.floor(azimuth_deg / 360);
}

/** The same angle between -180 and 180. @param {number} angle_deg */
function nearestDeg(angle_deg) {
  return angle_deg - 360 * Math.floor(angle_deg / 360 + 0.5);
}
