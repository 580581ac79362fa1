// twin: fieldsheet/plan/gaze.py
// The camera in the world at a frame: along what it looks, what it shows. Vectors are east, north and up.

import { plateAxes, rayOf } from "./aim.js";

const RADIANS = Math.PI / 180;

/**
 * The camera's own axes of length one, at an azimuth and tilt [deg] over the head's plate.
 * @param {Pair} row @param {Lens} lens @returns {Gaze}
 */
export function gazeOf([azimuth_deg, tilt_deg], lens) {
  const plate = plateAxes(lens.base);
  const world = (/** @type {number[]} */ own) =>
    [0, 1, 2].map((n) => own[0] * plate[0][n] + own[1] * plate[1][n] + own[2] * plate[2][n]);
  const [azimuth, tilt] = [azimuth_deg * RADIANS, tilt_deg * RADIANS];
  const [sin, cos] = [Math.sin(azimuth), Math.cos(azimuth)];
  return {
    axis_deg: azimuth_deg,
    tilt_deg,
    right: world([cos, -sin, 0]),
    up: world([-Math.sin(tilt) * sin, -Math.sin(tilt) * cos, Math.cos(tilt)]),
    forward: world([Math.cos(tilt) * sin, Math.cos(tilt) * cos, Math.sin(tilt)]),
  };
}

/**
 * Whether the delivered frame shows what stands that way.
 * @param {Gaze} gaze @param {Lens} lens @param {number[]} towards
 */
export function shows(gaze, lens, towards) {
  const right = dot(gaze.right, towards);
  const up = dot(gaze.up, towards);
  const forward = dot(gaze.forward, towards);
  const across = Math.hypot(right, up);
  if (across === 0) return forward > 0;
  if (lens.projection === "rectilinear" && forward <= 0) return false;
  const size = sizeOf(lens.projection, across, forward);
  return Math.abs(right) * size <= lens.half_width * across && Math.abs(up) * size <= lens.half_height * across;
}

/**
 * How far from the middle of the sensor, over the focal length.
 * @param {string} projection @param {number} across @param {number} forward
 */
function sizeOf(projection, across, forward) {
  if (projection === "rectilinear") return across / forward;
  const theta = Math.atan2(across, forward);
  return projection === "equidistant" ? theta : 2 * Math.sin(theta / 2);
}

/**
 * The rays of places of the frame, those left out where the lens is blind.
 * @param {Lens} lens @param {number[][]} places @returns {Vector[]}
 */
export function raysOf(lens, places) {
  return places.map(([x, y]) => rayOf(lens, x, y)).filter((ray) => ray !== null);
}

/** The azimuth [deg] of the way that a ray of the lens goes. @param {Gaze} gaze @param {number[]} ray */
export function azimuthAlong({ right, up, forward }, [x, y, z]) {
  const east = x * right[0] + y * up[0] + z * forward[0];
  const north = x * right[1] + y * up[1] + z * forward[1];
  return Math.atan2(east, north) / RADIANS;
}

/** East, north and up of a direction. @param {number} azimuth_deg @param {number} altitude_deg @returns {Vector} */
export function vectorOf(azimuth_deg, altitude_deg) {
  const level = Math.cos(altitude_deg * RADIANS);
  const azimuth = azimuth_deg * RADIANS;
  return [level * Math.sin(azimuth), level * Math.cos(azimuth), Math.sin(altitude_deg * RADIANS)];
}

/** @param {number[]} a @param {number[]} b */
function dot(a, b) {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
