// twin: fieldsheet/plan/onrail.py
// The head and its rail: how the horizon rolls, what passes near by.

import { looksOf, rollDeg, viewDeg } from "./aim.js";
import { positionAt } from "./move.js";
import { axisAt, largest, moment } from "./scene.js";
import { clipPx } from "./tracked.js";

const RADIANS = Math.PI / 180;
export const LEVEL_ERROR_DEG = 0.5;
const SAG_DEG = 0.1;
const RING_DEG = 60;

/** How the horizon lies in the picture: {rolls, worst, swing_deg}; see the twin. @param {Scene} scene */
export function lean(scene) {
  const { base } = scene.lens;
  const swing_deg = swingDeg(scene);
  if (base === null) return { rolls: [], worst: null, swing_deg };
  const roll = (/** @type {number} */ at) => rollDeg(...axisAt(scene, at), base);
  const [roll_deg, frame] = largest(
    scene.looked.map(({ frame: at, gaze }) => [rollDeg(gaze.axis_deg, gaze.tilt_deg, base), at]),
  );
  const rolls = scene.path.settings.map((setting) => roll(setting.frame));
  return { rolls, worst: { ...moment(scene, frame), roll_deg }, swing_deg };
}

/** What a head out of level adds to the roll over the frames that may show the horizon; why, see the twin. @param {Scene} scene */
function swingDeg({ lens, looked }) {
  const highest = Math.sin(Math.min(viewDeg(lens)[1] / 2, RING_DEG) * RADIANS);
  const arrows = looked
    .map(({ gaze }) => gaze.forward)
    .filter(([, , up]) => Math.abs(up) < highest)
    .map(([east, north]) => [east, north].map((part) => part / (east * east + north * north)));
  let most = 0;
  for (const [east, north] of arrows) {
    for (const other of arrows) most = Math.max(most, (other[0] - east) ** 2 + (other[1] - north) ** 2);
  }
  return LEVEL_ERROR_DEG * Math.sqrt(most);
}

/**
 * How far something foreground_m ahead at frame 1 is shifted by the way of the rail; null where nothing is.
 * @param {Scene} scene
 */
export function foreground({ brief, path, lens }) {
  const metres = brief.foreground_m;
  const looks = looksOf(brief, positionAt(path, 1));
  if (metres === null || looks === null || brief.rail === null) return null;
  const slides = path.settings.map(({ axes }) => axes.slide - path.settings[0].axes.slide);
  const [travel_mm] = largest(slides.map((slide) => [slide, 0]));
  if (travel_mm === 0) return null;
  const there = [metres * Math.sin(looks[0] * RADIANS), metres * Math.cos(looks[0] * RADIANS), 0];
  const along = alongOf(brief.rail);
  const shift_deg = apartDeg(
    there,
    there.map((part, n) => part - (along[n] * travel_mm) / 1000),
  );
  return { metres, travel_mm: Math.abs(travel_mm), shift_deg, widths: shift_deg / viewDeg(lens)[0] };
}

/**
 * What SAG_DEG of sag or twist of the rail does to the middle of the frame: {share, px}; null without one.
 * @param {Scene} scene
 */
export function sag({ brief, lens }) {
  if (brief.rail === null) return null;
  const share = (SAG_DEG * RADIANS) / (2 * lens.half_width);
  const across_px = clipPx(brief);
  return { share, px: across_px === null ? null : share * across_px };
}

/** East, north and up of the direction from the home end to the far end. @param {Rail} rail */
export function alongOf({ bearing_deg, incline_deg }) {
  const incline = incline_deg * RADIANS;
  const bearing = (bearing_deg ?? 0) * RADIANS;
  return [Math.cos(incline) * Math.sin(bearing), Math.cos(incline) * Math.cos(bearing), Math.sin(incline)];
}

/** @param {number[]} a @param {number[]} b */
function apartDeg(a, b) {
  const size = Math.hypot(...a) * Math.hypot(...b);
  const dot = a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  return size ? Math.acos(Math.min(Math.max(dot / size, -1), 1)) / RADIANS : 90;
}
