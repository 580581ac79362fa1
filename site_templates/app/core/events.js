// twin: fieldsheet/sky/events.py
// When things rise and set: a scan every ten minutes, turning points near the threshold, then halving.

import { horizontal } from "./sky.js";

/** @typedef {import("./sky.js").Sky} Sky */
/** @typedef {import("./sky.js").Site} Site */

/**
 * @typedef {object} Event a body crossing a rule's altitude upwards (1) or downwards (-1)
 * @property {string} body
 * @property {{altitude_deg: number, upper_limb: boolean}} rule the geometric altitude that the centre, or
 *   the moon's upper limb, crosses
 * @property {1 | -1} direction
 */

const SCAN_S = 600;
const NEAR_DEG = 0.1; // why: see the twin
const ZOOM_ROUNDS = 5; // each narrows tenfold: from 1200 s to 0.012 s
const ZOOM_STEPS = 20;
const HALVINGS = 26; // from 600 s to 0.00001 s

const MOON_RADIUS_KM = 1737.4; // IAU mean radius
const HORIZON_REFRACTION_DEG = 34 / 60; // the almanacs' refraction at the horizon (USNO)
const SUN_RADIUS_DEG = 16 / 60; // the almanacs' semidiameter of the sun (USNO)

const SUN_EDGE = { altitude_deg: -HORIZON_REFRACTION_DEG - SUN_RADIUS_DEG, upper_limb: false };
const CIVIL = { altitude_deg: -6, upper_limb: false };
const NAUTICAL = { altitude_deg: -12, upper_limb: false };
const ASTRONOMICAL = { altitude_deg: -18, upper_limb: false };
const MOON_EDGE = { altitude_deg: -HORIZON_REFRACTION_DEG, upper_limb: true };
const POINT = { altitude_deg: -HORIZON_REFRACTION_DEG, upper_limb: false };

/** @type {Record<string, Event>} */
export const EVENTS = {
  sunrise: { body: "sun", rule: SUN_EDGE, direction: 1 },
  sunset: { body: "sun", rule: SUN_EDGE, direction: -1 },
  "civil dawn": { body: "sun", rule: CIVIL, direction: 1 },
  "civil dusk": { body: "sun", rule: CIVIL, direction: -1 },
  "nautical dawn": { body: "sun", rule: NAUTICAL, direction: 1 },
  "nautical dusk": { body: "sun", rule: NAUTICAL, direction: -1 },
  "astronomical dawn": { body: "sun", rule: ASTRONOMICAL, direction: 1 },
  "astronomical dusk": { body: "sun", rule: ASTRONOMICAL, direction: -1 },
  moonrise: { body: "moon", rule: MOON_EDGE, direction: 1 },
  moonset: { body: "moon", rule: MOON_EDGE, direction: -1 },
  "core rise": { body: "galactic core", rule: POINT, direction: 1 },
  "core set": { body: "galactic core", rule: POINT, direction: -1 },
};

/**
 * The moments of one kind of event in [t0_s, t1_s), ascending; none is an answer.
 * @param {Sky} sky
 * @param {Site} site
 * @param {string} name a key of EVENTS
 * @param {number} t0_s POSIX UTC seconds
 * @param {number} t1_s POSIX UTC seconds
 * @returns {number[]} POSIX UTC seconds
 * @throws {Error} where the sky does not cover the window
 */
export function findEvents(sky, site, name, t0_s, t1_s) {
  const event = EVENTS[name];
  sky.mustCover(t0_s, t1_s);
  const above = (t_s) => degreesAbove(sky, site, event, t_s);
  const samples = withTurningPoints(above, scan(sky, above, t0_s, t1_s));
  const moments = [];
  for (let index = 1; index < samples.length; index += 1) {
    const from = samples[index - 1];
    const to = samples[index];
    if (to.height >= 0 !== from.height >= 0 && to.height >= 0 === event.direction > 0) {
      moments.push(halve(above, event.direction, from.t_s, to.t_s));
    }
  }
  return moments.filter((moment_s) => t0_s <= moment_s && moment_s < t1_s);
}

/** Degrees by which a body stands above an event's threshold. */
function degreesAbove(sky, site, event, t_s) {
  const { altitude_deg, distance_km } = horizontal(sky, site, event.body, t_s);
  const limb_deg = event.rule.upper_limb ? Math.asin(MOON_RADIUS_KM / distance_km) * (180 / Math.PI) : 0;
  return altitude_deg + limb_deg - event.rule.altitude_deg;
}

/** Heights at multiples of the step, from one before the window to one after it, as far as the sky reaches. */
function scan(sky, above, t0_s, t1_s) {
  const samples = [];
  for (let step = Math.floor(t0_s / SCAN_S) - 1; step <= Math.ceil(t1_s / SCAN_S) + 1; step += 1) {
    const t_s = step * SCAN_S;
    if (sky.covers(t_s, t_s)) samples.push(sampleAt(above, t_s));
  }
  return samples;
}

/** The scan, and the turning points near the threshold that lie on the other side of it. */
function withTurningPoints(above, samples) {
  const found = [...samples];
  for (let index = 1; index < samples.length - 1; index += 1) {
    // Measured away from the threshold, on whichever side: a turning point towards it is a minimum.
    const side = samples[index].height >= 0 ? 1 : -1;
    const [before, here, after] = [index - 1, index, index + 1].map((at) => samples[at].height * side);
    if (here < NEAR_DEG && here <= before && here <= after) {
      const lowest = zoom(above, side, samples[index - 1].t_s, samples[index + 1].t_s);
      if (lowest.height * side < 0) found.push(lowest);
    }
  }
  return found.sort((a, b) => a.t_s - b.t_s);
}

/** Where side * height is least between two moments. */
function zoom(above, side, first_s, last_s) {
  const lower = (a, b) => (b.height * side < a.height * side ? b : a);
  let from_s = first_s;
  let to_s = last_s;
  let best = sampleAt(above, first_s);
  for (let round = 0; round < ZOOM_ROUNDS; round += 1) {
    const step_s = (to_s - from_s) / ZOOM_STEPS;
    best = evenly(from_s, step_s).map((t_s) => sampleAt(above, t_s)).reduce(lower);
    from_s = best.t_s - step_s;
    to_s = best.t_s + step_s;
  }
  return best;
}

function evenly(from_s, step_s) {
  return Array.from({ length: ZOOM_STEPS + 1 }, (_, step) => from_s + step_s * step);
}

function sampleAt(above, t_s) {
  return { t_s, height: above(t_s) };
}

/** The one crossing, of a known direction, between two moments. */
function halve(above, direction, first_s, last_s) {
  let from_s = first_s;
  let to_s = last_s;
  for (let halving = 0; halving < HALVINGS; halving += 1) {
    const middle_s = (from_s + to_s) / 2;
    if (above(middle_s) >= 0 === direction > 0) to_s = middle_s;
    else from_s = middle_s;
  }
  return (from_s + to_s) / 2;
}
