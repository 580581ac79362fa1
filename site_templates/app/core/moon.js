// twin: fieldsheet/sky/moon.py
// How much of the moon is lit, and what that phase is called. Where the figures come from: see the twin.

/** @typedef {import("./sky.js").Sky} Sky */

const OBLIQUITY_RAD = (23.4392911 * Math.PI) / 180;
const ECLIPTIC_POLE = [0, -Math.sin(OBLIQUITY_RAD), Math.cos(OBLIQUITY_RAD)];

const NEW_UP_TO = 0.02;
const QUARTER_WITHIN = 0.05;

/**
 * The part of the moon's disc that is lit, 0 to 1, and whether it grows.
 * @param {Sky} sky
 * @param {number} t_s POSIX UTC seconds
 * @returns {[number, boolean]}
 */
export function moonLight(sky, t_s) {
  const moon = sky.vectorKm("moon", t_s);
  const sun = sky.vectorKm("sun", t_s);
  const toSun = sun.map((value, axis) => value - moon[axis]);
  const cosine = -dot(moon, toSun) / Math.sqrt(dot(moon, moon) * dot(toSun, toSun));
  const eastward = dot(cross(sun, moon), sky.direction(ECLIPTIC_POLE, t_s));
  return [(1 + cosine) / 2, eastward > 0];
}

/**
 * How far the moon stands from the sun [deg] and from the Earth's centre [km].
 * @param {Sky} sky @param {number} t_s @returns {Pair}
 */
export function moonElongation(sky, t_s) {
  const moon = sky.vectorKm("moon", t_s);
  const sun = sky.vectorKm("sun", t_s);
  const distance_km = Math.sqrt(dot(moon, moon));
  const cosine = dot(moon, sun) / (distance_km * Math.sqrt(dot(sun, sun)));
  return [(Math.acos(Math.min(Math.max(cosine, -1), 1)) * 180) / Math.PI, distance_km];
}

/** @param {number[]} a @param {number[]} b */
function dot(a, b) {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/** @param {number[]} a @param {number[]} b */
function cross(a, b) {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

/**
 * The name of a phase.
 * @param {number} fraction the lit part of the disc
 * @param {boolean} waxing whether it grows
 * @returns {string}
 */
export function phaseId(fraction, waxing) {
  if (fraction < NEW_UP_TO) return "new";
  if (fraction > 1 - NEW_UP_TO) return "full";
  if (Math.abs(fraction - 0.5) <= QUARTER_WITHIN) return waxing ? "first quarter" : "last quarter";
  return `${waxing ? "waxing" : "waning"} ${fraction < 0.5 ? "crescent" : "gibbous"}`;
}
