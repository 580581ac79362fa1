// twin: fieldsheet/sky/events.py
// What happens in the sky: which body crosses which threshold, and how far from it it is. find.js says when.

import { PLANETS } from "./bodies.js";
import { skylineDeg } from "./ridge.js";
import { apparentAltitudeDeg, horizontal } from "./sky.js";
import { STARS } from "./stars.js";

/** @typedef {import("./sky.js").Sky} Sky */
/** @typedef {import("./sky.js").Site} Site */

/**
 * @typedef {object} Rule
 * @property {number} altitude_deg geometric
 * @property {boolean} upper_limb whether it is the moon's upper limb that counts, and not the centre
 * @property {boolean} horizon whether it is the horizon's, which lies lower where a sea is looked over
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
 * @property {Part[]} parts
 * @property {1 | -1} direction
 */

/**
 * @typedef {object} Passing a body's upper limb coming over the measured skyline (1) or going behind it (-1)
 * @property {string} body
 * @property {1 | -1} direction
 */

/** @typedef {Crossing | Passing} Part @typedef {Crossing | Highest | Joint | Passing} Event */

const MOON_RADIUS_KM = 1737.4; // IAU mean radius
const HORIZON_REFRACTION_DEG = 34 / 60; // the almanacs' refraction at the horizon (USNO)
const SUN_RADIUS_DEG = 16 / 60; // the almanacs' semidiameter of the sun (USNO)
const MOON_MEAN_KM = 384400;

/** Half of a disc where the distance of the moment is not asked for. */
/** @type {Record<string, number>} */
export const HALF_DISC_DEG = { sun: SUN_RADIUS_DEG, moon: (Math.asin(MOON_RADIUS_KM / MOON_MEAN_KM) * 180) / Math.PI };

const SUN_EDGE = horizon(SUN_RADIUS_DEG, false);
const MOON_EDGE = horizon(0, true);
const POINT = horizon(0, false);
const CIVIL = at(-6);
const NAUTICAL = at(-12);
const ASTRONOMICAL = at(-18);

/** @type {Part[]} */
const CORE_USABLE = [
  { body: "sun", rule: at(-15), direction: -1 },
  { body: "galactic core", rule: at(10), direction: 1 },
  { body: "galactic core", direction: 1 },
  { body: "moon", rule: MOON_EDGE, direction: -1 },
];

/** @param {number} altitude_deg @returns {Rule} */
function at(altitude_deg) {
  return { altitude_deg, upper_limb: false, horizon: false };
}

/** @param {number} radius_deg @param {boolean} upper_limb @returns {Rule} */
function horizon(radius_deg, upper_limb) {
  return { altitude_deg: -HORIZON_REFRACTION_DEG - radius_deg, upper_limb, horizon: true };
}

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
 * The events of a site with a measured skyline; at another they never come.
 * @type {Record<string, Event>}
 */
export const RIDGE_EVENTS = {
  "sun behind ridge": { body: "sun", direction: -1 },
  "sun over ridge": { body: "sun", direction: 1 },
  "moon behind ridge": { body: "moon", direction: -1 },
  "moon over ridge": { body: "moon", direction: 1 },
  "core behind ridge": { body: "galactic core", direction: -1 },
  "core over ridge": { body: "galactic core", direction: 1 },
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

/** @param {string} what @param {{direction?: 1 | -1}} more @returns {Record<string, Event>} */
function ofPoints(what, more) {
  const points = [...PLANETS, ...Object.keys(STARS)];
  return Object.fromEntries(points.map((body) => [`${body} ${what}`, { body, rule: POINT, ...more }]));
}

const EVERY_EVENT = { ...EVENTS, ...RIDGE_EVENTS, ...NAMED_EVENTS };

/**
 * The event of a name, of EVENTS, RIDGE_EVENTS or NAMED_EVENTS.
 * @param {string} name
 * @returns {Event}
 * @throws {Error} for any other name
 */
export function eventNamed(name) {
  if (Object.hasOwn(EVERY_EVENT, name)) return EVERY_EVENT[name];
  throw new Error(`no event of the sky is called ${name}`);
}

/**
 * Degrees by which a body stands above the altitude of its rule, at POSIX UTC seconds.
 * @param {Sky} sky @param {Site} site @param {Crossing | Highest} event @param {number} t_s
 */
export function clearanceDeg(sky, site, { body, rule }, t_s) {
  const { altitude_deg, distance_km } = horizontal(sky, site, body, t_s);
  const limb_deg = rule.upper_limb ? moonRadiusDeg(distance_km) : 0;
  return altitude_deg + limb_deg - (rule.horizon ? rule.altitude_deg - site.dip_deg : rule.altitude_deg);
}

/**
 * Degrees by which a body's upper limb is seen above the measured skyline.
 * @param {Sky} sky @param {Site} site @param {string} body @param {number} t_s
 */
export function overSkylineDeg(sky, site, body, t_s) {
  const { altitude_deg, azimuth_deg, distance_km } = horizontal(sky, site, body, t_s);
  const limb_deg = altitude_deg + radiusDeg(body, distance_km);
  return apparentAltitudeDeg(limb_deg, site.air) - skylineDeg(site.ridge, azimuth_deg);
}

/**
 * Degrees by which a part's body stands above what it crosses.
 * @param {Sky} sky @param {Site} site @param {Crossing | Passing} part @param {number} t_s
 */
export function partDeg(sky, site, part, t_s) {
  return "rule" in part ? clearanceDeg(sky, site, part, t_s) : overSkylineDeg(sky, site, part.body, t_s);
}

/**
 * Degrees that the core has in hand to be usable, below 0 where it is not, at POSIX UTC seconds.
 * @param {Sky} sky @param {Site} site @param {number} t_s
 */
export function usableMarginDeg(sky, site, t_s) {
  return Math.min(...partsAt(CORE_USABLE, site).map((part) => part.direction * partDeg(sky, site, part, t_s)));
}

/**
 * The parts that count at a site: where nobody measured a skyline, nothing is behind it.
 * @param {Part[]} parts @param {Site} site
 */
export function partsAt(parts, site) {
  return parts.filter((part) => "rule" in part || site.ridge.length > 0);
}

/**
 * How far a body's upper limb stands above its centre: as at its horizon events.
 * @param {string} body @param {number} distance_km
 */
export function radiusDeg(body, distance_km) {
  if (body === "moon") return moonRadiusDeg(distance_km);
  return body === "sun" ? SUN_RADIUS_DEG : 0;
}

/** @param {number} distance_km */
function moonRadiusDeg(distance_km) {
  return Math.asin(MOON_RADIUS_KM / distance_km) * (180 / Math.PI);
}
