// twin: fieldsheet/sky/galaxy.py
// How the plane of the galaxy stands over a place: the arch of the Milky Way.

import { apparentAltitudeDeg } from "./sky.js";

/** @typedef {import("./sky.js").Sky} Sky */
/** @typedef {import("./sky.js").Site} Site */

const DEG = 180 / Math.PI;
// The north pole of the galactic system of the IAU (1958), in the ICRS: ESA SP-1200, volume 1 (1997), 1.5.3.
const POLE_RA = 192.85948 / DEG;
const POLE_DEC = 27.12825 / DEG;
const POLE = [Math.cos(POLE_DEC) * Math.cos(POLE_RA), Math.cos(POLE_DEC) * Math.sin(POLE_RA), Math.sin(POLE_DEC)];

/**
 * Where the plane meets the level horizon, left and right as one faces its highest point, and that.
 * @param {Sky} sky
 * @param {Site} site
 * @param {number} t_s POSIX UTC seconds
 * @returns {{left_deg: number, right_deg: number, top_azimuth_deg: number, top_deg: number}} azimuths [0, 360);
 *   top_deg is apparent
 */
export function galacticArch(sky, site, t_s) {
  const [east, north, up] = poleOf(sky, site, t_s);
  // The highest point lies opposite to that pole of the two which is up.
  const away = up >= 0 ? -1 : 1;
  const top_azimuth_deg = compassDeg(Math.atan2(away * east, away * north) * DEG);
  const top_deg = Math.atan2(Math.sqrt(east * east + north * north), Math.abs(up)) * DEG;
  return {
    left_deg: compassDeg(top_azimuth_deg - 90),
    right_deg: compassDeg(top_azimuth_deg + 90),
    top_azimuth_deg,
    top_deg: Math.min(apparentAltitudeDeg(top_deg, site.air), 90),
  };
}

/**
 * True azimuth, [0, 360), and geometric altitude [deg] of the galaxy's north pole.
 * @param {Sky} sky @param {Site} site @param {number} t_s @returns {[number, number]}
 */
export function galacticPole(sky, site, t_s) {
  const [east, north, up] = poleOf(sky, site, t_s);
  const level = Math.sqrt(east * east + north * north);
  return [compassDeg(Math.atan2(east, north) * DEG), Math.atan2(up, level) * DEG];
}

/** East, north and up of the galaxy's north pole. @param {Sky} sky @param {Site} site @param {number} t_s */
function poleOf(sky, site, t_s) {
  const pole = sky.direction(POLE, t_s);
  return [site.east, site.north, site.up].map((axis) => along(axis, pole));
}

/** @param {number[]} axis @param {number[]} vector */
function along(axis, vector) {
  return axis[0] * vector[0] + axis[1] * vector[1] + axis[2] * vector[2];
}

/** [0, 360) from [-180, 450). @param {number} angle_deg */
function compassDeg(angle_deg) {
  const positive = angle_deg < 0 ? angle_deg + 360 : angle_deg;
  return positive >= 360 ? positive - 360 : positive;
}
