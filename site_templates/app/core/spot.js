// twin: fieldsheet/plan/spot.py
// The same shot from another spot than the catalog's place: what still holds there.

import { PlanProblem } from "./problem.js";

const EARTH_M = 6371000;
export const DECLINATION_M = 50000;
/** @type {Record<keyof Spot, Pair>} */
const RANGES = { latitude_deg: [-90, 90], longitude_deg: [-180, 180], elevation_m: [-500, 9000] };
const RAD = Math.PI / 180;

/**
 * The brief with its place at `changes.spot`, if there is one; throws PlanProblem for a spot not on Earth.
 * @param {Brief} brief @param {Changes} changes
 */
export function atSpot(brief, changes) {
  const spot = changes.spot ?? null;
  if (spot === null) return brief;
  const { place } = brief;
  const given = Object.entries(RANGES).map(([key, ends]) => [key, within(spot[/** @type {keyof Spot} */ (key)], ends)]);
  if (given.some(([, value]) => value === null)) throw new PlanProblem("problem.spot", {}, "place");
  const spot_m = distanceM(place, spot);
  const dropped = { horizon: [], sea_horizon_m: null, landmarks: [], spot_m };
  if (spot_m > DECLINATION_M) Object.assign(dropped, { declination: null, no_declination: null });
  const keyframes = brief.keyframes.map((keyframe) => ({ ...keyframe, sighting: null }));
  return { ...brief, place: { ...place, ...Object.fromEntries(given), ...dropped }, zero_sighting: null, keyframes };
}

/**
 * Metres between two positions along a sphere of the Earth's mean radius, by the haversine formula.
 * @param {Pick<Spot, "latitude_deg" | "longitude_deg">} a @param {Pick<Spot, "latitude_deg" | "longitude_deg">} b
 */
export function distanceM(a, b) {
  const up = Math.sin(((b.latitude_deg - a.latitude_deg) * RAD) / 2);
  const across = Math.sin(((b.longitude_deg - a.longitude_deg) * RAD) / 2);
  const level = Math.cos(a.latitude_deg * RAD) * Math.cos(b.latitude_deg * RAD);
  return 2 * EARTH_M * Math.asin(Math.min(1, Math.sqrt(up * up + level * across * across)));
}

/** The value if it is a number in a range, else null. @param {unknown} value @param {number[]} range */
function within(value, [low, high]) {
  return typeof value === "number" && low <= value && value <= high ? value : null;
}
