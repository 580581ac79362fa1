// twin: fieldsheet/sky/bodies.py
// The bodies one can aim at or wait for. Where the stars' figures come from stands in the twin.

import { STARS } from "./stars.js";

/**
 * @typedef {object} StarRow a star as the catalogue has it, at J1991.25
 * @property {string} name
 * @property {number} magnitude
 * @property {number} ra_deg
 * @property {number} dec_deg
 * @property {number} pm_ra_mas a year, times cos(declination)
 * @property {number} pm_dec_mas a year
 */

/**
 * @typedef {object} StarPlace
 * @property {[number, number, number]} place along the ICRS axes, of length one
 * @property {[number, number, number]} motion_per_s
 */

export const PLANETS = ["mercury", "venus", "mars", "jupiter", "saturn"];

/** The celestial poles of date, along the axes of a pack. @type {Record<string, number[]>} */
export const POLES = { "north pole": [0, 0, 1], "south pole": [0, 0, -1] };

/** Every body that a sky knows, in the order in which they are listed. */
export const BODIES = ["sun", "moon", "galactic core", ...PLANETS, ...Object.keys(POLES), ...Object.keys(STARS)];

/** J1991.25 (JD 2448349.0625 TT) in TAI seconds since 1970-01-01 TAI. */
export const STAR_EPOCH_TAI_S = 670598967.816;

const RADIAN = Math.PI / 180;
const RAD_PER_S_OF_MAS_PER_YEAR = ((1 / 3600000) * RADIAN) / (365.25 * 86400);

/**
 * @param {StarRow} row
 * @returns {StarPlace}
 */
function starPlace(row) {
  const sinRa = Math.sin(row.ra_deg * RADIAN);
  const cosRa = Math.cos(row.ra_deg * RADIAN);
  const sinDec = Math.sin(row.dec_deg * RADIAN);
  const cosDec = Math.cos(row.dec_deg * RADIAN);
  const east = row.pm_ra_mas * RAD_PER_S_OF_MAS_PER_YEAR;
  const north = row.pm_dec_mas * RAD_PER_S_OF_MAS_PER_YEAR;
  return {
    place: [cosDec * cosRa, cosDec * sinRa, sinDec],
    motion_per_s: [-sinRa * east - sinDec * cosRa * north, cosRa * east - sinDec * sinRa * north, cosDec * north],
  };
}

/** @type {Map<string, StarPlace>} */
export const STAR_PLACES = new Map(Object.entries(STARS).map(([name, row]) => [name, starPlace(row)]));
