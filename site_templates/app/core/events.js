// twin: fieldsheet/sky/events.py
// When things rise, stand highest and set: a scan every ten minutes, turning points near the threshold, then
// halving.

import { PLANETS } from "./bodies.js";
import { horizontal, hourAngleDeg } from "./sky.js";
import { STARS } from "./stars.js";

/** @typedef {import("./sky.js").Sky} Sky */
/** @typedef {import("./sky.js").Site} Site */

/**
 * @typedef {object} Rule
 * @property {number} altitude_deg geometric
 * @property {boolean} upper_limb whether it is the moon's upper limb that counts, and not the centre
 */

/**
 * @typedef {object} Crossing a body crossing a rule's altitude upwards (1) or downwards (-1)
 * @property {string} body
 * @property {Rule} rule
 * @property {1 | -1} direction
 */

/**
 * @typedef {object} Highest a body's upper transit, if it stands above a rule's altitude there
 * @property {string} body
 * @property {Rule} rule
 */

/**
 * @typedef {object} Joint the moment from which (1), or until which (-1), all parts have come to hold
 * @property {Crossing[]} parts
 * @property {1 | -1} direction
 */

/** @typedef {Crossing | Highest | Joint} Event */

const SCAN_S = 600;
const NEAR_DEG = 0.1; // why: see the twin
const ZOOM_ROUNDS = 5; // each narrows tenfold: from 1200 s to 0.012 s
const ZOOM_STEPS = 20;
const HALVINGS = 26; // from 600 s to 0.00001 s, where the twin cuts into twenty six times

const MOON_RADIUS_KM = 1737.4; // IAU mean radius
const HORIZON_REFRACTION_DEG = 34 / 60; // the almanacs' refraction at the horizon (USNO)
const SUN_RADIUS_DEG = 16 / 60; // the almanacs' semidiameter of the sun (USNO)

const SUN_EDGE = { altitude_deg: -HORIZON_REFRACTION_DEG - SUN_RADIUS_DEG, upper_limb: false };
const CIVIL = { altitude_deg: -6, upper_limb: false };
const NAUTICAL = { altitude_deg: -12, upper_limb: false };
const ASTRONOMICAL = { altitude_deg: -18, upper_limb: false };
const MOON_EDGE = { altitude_deg: -HORIZON_REFRACTION_DEG, upper_limb: true };
const POINT = { altitude_deg: -HORIZON_REFRACTION_DEG, upper_limb: false };

const CORE_USABLE = [
  { body: "sun", rule: { altitude_deg: -15, upper_limb: false }, direction: -1 },
  { body: "galactic core", rule: { altitude_deg: 10, upper_limb: false }, direction: 1 },
  { body: "moon", rule: MOON_EDGE, direction: -1 },
];

/**
 * The events that are always listed; eventNamed knows more.
 * @type {Record<string, Event>}
 */
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
  "core highest": { body: "galactic core", rule: POINT },
  "core usable": { parts: CORE_USABLE, direction: 1 },
  "core unusable": { parts: CORE_USABLE, direction: -1 },
};

/**
 * The events of single bodies, which are sought when somebody names them.
 * @type {Record<string, Event>}
 */
export const NAMED_EVENTS = {
  "sun highest": { body: "sun", rule: SUN_EDGE },
  "moon highest": { body: "moon", rule: MOON_EDGE },
  ...ofPoints("rise", { direction: 1 }),
  ...ofPoints("set", { direction: -1 }),
  ...ofPoints("highest", {}),
};

function ofPoints(what, more) {
  const points = [...PLANETS, ...Object.keys(STARS)];
  return Object.fromEntries(points.map((body) => [`${body} ${what}`, { body, rule: POINT, ...more }]));
}

/**
 * The event of a name, of EVENTS or of NAMED_EVENTS.
 * @param {string} name
 * @returns {Event}
 * @throws {Error} for any other name
 */
export function eventNamed(name) {
  if (Object.hasOwn(EVENTS, name)) return EVENTS[name];
  if (Object.hasOwn(NAMED_EVENTS, name)) return NAMED_EVENTS[name];
  throw new Error(`no event of the sky is called ${name}`);
}

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
  const times_s = scan(sky, t0_s, t1_s);
  return momentsOf(sky, site, event, times_s).filter((moment_s) => t0_s <= moment_s && moment_s < t1_s);
}

function momentsOf(sky, site, event, times_s) {
  if ("parts" in event) return changes(sky, site, event, times_s);
  if (!("direction" in event)) return transits(sky, site, event, times_s);
  return crossings(heightOf(sky, site, event), times_s, event.direction > 0, event.direction < 0);
}

function crossings(above, times_s, upwards, downwards) {
  const samples = withTurningPoints(above, times_s.map((t_s) => sampleAt(above, t_s)));
  const moments = [];
  for (let index = 1; index < samples.length; index += 1) {
    const [from, to] = [samples[index - 1], samples[index]];
    const up = to.height >= 0;
    if (up !== from.height >= 0 && (up ? upwards : downwards)) {
      moments.push(halve((t_s) => above(t_s) >= 0 === up, from.t_s, to.t_s));
    }
  }
  return moments;
}

/** Where the hour angle comes up to 0; at the lower transit it leaps down, from 180 to -180. */
function transits(sky, site, event, times_s) {
  const angle = (t_s) => hourAngleDeg(sky, site, event.body, t_s);
  const angles = times_s.map(angle);
  const moments = [];
  for (let index = 1; index < times_s.length; index += 1) {
    if (angles[index - 1] < 0 && angles[index] >= 0) {
      moments.push(halve((t_s) => angle(t_s) >= 0, times_s[index - 1], times_s[index]));
    }
  }
  const above = heightOf(sky, site, event);
  return moments.filter((t_s) => above(t_s) >= 0);
}

/** The crossings of all parts cut time into pieces; in each, all parts hold throughout or they do not. */
function changes(sky, site, event, times_s) {
  const heights = event.parts.map((part) => heightOf(sky, site, part));
  const moments = heights.flatMap((above) => crossings(above, times_s, true, true)).sort((a, b) => a - b);
  const ends = [times_s[0], ...moments, times_s[times_s.length - 1]];
  const held = ends.slice(1).map((end_s, index) => {
    const inside_s = (ends[index] + end_s) / 2;
    return event.parts.every((part, at) => heights[at](inside_s) >= 0 === part.direction > 0);
  });
  const begins = event.direction > 0;
  return moments.filter((_, index) => held[index] !== begins && held[index + 1] === begins);
}

/** A function of time: the degrees by which a body stands above a rule's altitude. */
function heightOf(sky, site, { body, rule }) {
  return (t_s) => {
    const { altitude_deg, distance_km } = horizontal(sky, site, body, t_s);
    const limb_deg = rule.upper_limb ? Math.asin(MOON_RADIUS_KM / distance_km) * (180 / Math.PI) : 0;
    return altitude_deg + limb_deg - rule.altitude_deg;
  };
}

/** Multiples of the step, from one before the window to one after it, as far as the sky reaches. */
function scan(sky, t0_s, t1_s) {
  const times_s = [];
  for (let step = Math.floor(t0_s / SCAN_S) - 1; step <= Math.ceil(t1_s / SCAN_S) + 1; step += 1) {
    const t_s = step * SCAN_S;
    if (sky.covers(t_s, t_s)) times_s.push(t_s);
  }
  return times_s;
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

/** The moment between two from which something has passed. */
function halve(passed, first_s, last_s) {
  let from_s = first_s;
  let to_s = last_s;
  for (let halving = 0; halving < HALVINGS; halving += 1) {
    const middle_s = (from_s + to_s) / 2;
    if (passed(middle_s)) to_s = middle_s;
    else from_s = middle_s;
  }
  return (from_s + to_s) / 2;
}
