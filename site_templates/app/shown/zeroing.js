// Pan is zeroed on what stands in the sky: where each light stands now, and what pan reads when it looks there.
// On the phone alone: fieldsheet/sky/observe.py gives the same places (tests/web/test_zero.py).

import { aimAt, lensOf, panZeroDeg, wrapDeg } from "../core/aim.js";
import { siteOf } from "../core/anchors.js";
import { PLANETS } from "../core/bodies.js";
import { moonLight } from "../core/moon.js";
import { MOON_BY_DAY } from "../core/nightsky.js";
import { skylineDeg } from "../core/ridge.js";
import { isSeen, seenDeg, starsOut } from "../core/seen.js";
import { STARS } from "../core/stars.js";

/** Mean visual magnitudes: Mallama and Hilton (2018), from memory; sun, and moon at the quarters: from memory. */
/** @type {Record<string, number>} */
const MAGNITUDES = { sun: -26.7, moon: -10, mercury: 0.23, venus: -4.14, mars: 0.71, jupiter: -2.2, saturn: 0.46 };

/** Heights to sight at: lower there is haze, higher a bearing is blunt (an error of level grows with the tangent). */
const BEST_DEG = [15, 50];
const STEEP_DEG = 65;

/**
 * @typedef {object} Light
 * @property {string} body
 * @property {number} azimuth_deg true
 * @property {number} altitude_deg apparent
 * @property {number | null} magnetic_deg its bearing by compass, null where no declination is known
 * @property {number | null} pan_deg what pan reads there, to the rig's step; null beyond its limits
 */

/**
 * What is up and shows at an instant [s UTC] that the sky covers, brightest first.
 * @param {Brief} brief @param {Sky} sky @param {number} utc_s @returns {Light[]}
 */
export function lightsAt(brief, sky, utc_s) {
  const night = { sky, site: siteOf(brief.place) };
  const dark = starsOut(night, utc_s);
  return byBrightness()
    .map((body) => ({ body, at: seenDeg(night, body, utc_s) }))
    .filter(({ body, at }) => isSeen(body, at[1], dark) && isOverRidge(night.site, at))
    .filter(({ body }) => body !== "moon" || moonLight(sky, utc_s)[0] >= MOON_BY_DAY)
    .map(({ body, at: [azimuth_deg, altitude_deg] }) => ({
      body,
      azimuth_deg,
      altitude_deg,
      magnetic_deg: magneticDeg(brief.place.declination, azimuth_deg),
      pan_deg: panOn(brief, azimuth_deg, altitude_deg),
    }));
}

/**
 * Those to zero pan on, a sharp bearing with a landmark near it first, each half as it came; why: in words, why none.
 * @param {Light[]} lights
 */
export function toZeroOn(lights) {
  const low = lights.filter(({ altitude_deg }) => altitude_deg <= STEEP_DEG);
  const within = low.filter(({ pan_deg }) => pan_deg !== null);
  const is_best = (/** @type {Light} */ { altitude_deg }) => BEST_DEG[0] <= altitude_deg && altitude_deg <= BEST_DEG[1];
  const sorted = [...within.filter(is_best), ...within.filter((light) => !is_best(light))];
  return { lights: sorted, why: whyNone(lights, low, within) };
}

/** @param {Light[]} lights @param {Light[]} low @param {Light[]} within */
function whyNone(lights, low, within) {
  if (lights.length === 0) return "nothing bright enough is up";
  if (within.length > 0) return "";
  if (low.length === 0) return `all that is up stands above ${STEEP_DEG}°, too steep for a bearing`;
  const all = low.length === lights.length ? "" : "stands too steep or ";
  return `all that is up ${all}lies beyond pan's reach`;
}

/** Where nobody measured a skyline, nothing is behind it. @param {Site} site @param {Pair} row */
function isOverRidge({ ridge }, [azimuth_deg, altitude_deg]) {
  return ridge.length === 0 || altitude_deg > skylineDeg(ridge, azimuth_deg);
}

function byBrightness() {
  const magnitude = (/** @type {string} */ body) => MAGNITUDES[body] ?? STARS[body].magnitude;
  return ["sun", "moon", ...PLANETS, ...Object.keys(STARS)].sort((a, b) => magnitude(a) - magnitude(b));
}

/** @param {Place["declination"]} declination @param {number} azimuth_deg */
function magneticDeg(declination, azimuth_deg) {
  if (!declination) return null;
  const turned = azimuth_deg - declination.deg;
  return turned - 360 * Math.floor(turned / 360);
}

/**
 * Pan's reading with a direction in the middle of the frame, the one nearest zero within its limits.
 * @param {Brief} brief @param {number} azimuth_deg @param {number} altitude_deg
 */
function panOn(brief, azimuth_deg, altitude_deg) {
  const { min, max, step } = brief.rig.axes.pan;
  const aimed = aimAt(azimuth_deg, altitude_deg, 0, 0, lensOf(brief));
  if (aimed === null) return null;
  const ahead = wrapDeg(aimed[0] - panZeroDeg(brief));
  const readings = [ahead, ahead - 360, ahead + 360].map((reading) => Math.floor(reading / step + 0.5) * step);
  const within = readings.filter((reading) => min <= reading && reading <= max);
  return within.length > 0 ? within.reduce((best, one) => (Math.abs(one) < Math.abs(best) ? one : best)) : null;
}
