// twin: fieldsheet/plan/onrail.py
// The head and its rail: how the horizon rolls, what passes near by, whether the rail shows.

import { baseOf, insideFrame, looksOf, rollDeg, viewDeg } from "./aim.js";
import { positionAt } from "./move.js";
import { axisAt, framesOf, largest, moment } from "./scene.js";

const RADIANS = Math.PI / 180;
export const LEVEL_ERROR_DEG = 0.5;
const BEYOND_MM = 85;
const PARTS = [1, 0.75, 0.5, 0.25];
const UPRIGHT_DEG = 60;

/** How the horizon lies in the picture: {rolls, worst, swing_deg}; see the twin. */
export function lean(scene) {
  const { base } = scene.lens;
  const frames = framesOf(scene);
  const axes = frames.map((frame) => axisAt(scene, frame)[0]);
  const panned = Math.min(Math.max(...axes) - Math.min(...axes), 180);
  const swing_deg = 2 * LEVEL_ERROR_DEG * Math.sin((panned / 2) * RADIANS);
  if (base === null) return { rolls: [], worst: null, swing_deg };
  const roll = (at) => rollDeg(...axisAt(scene, at), base);
  const [roll_deg, frame] = largest(frames.map((at) => [roll(at), at]));
  const rolls = scene.path.settings.map((setting) => roll(setting.frame));
  return { rolls, worst: { ...moment(scene, frame), roll_deg }, swing_deg };
}

/** How far something foreground_m ahead at frame 1 is shifted by the way of the rail; null where nothing is. */
export function foreground({ brief, path, lens }) {
  const metres = brief.foreground_m;
  const looks = looksOf(brief, positionAt(path, 1));
  if (metres === null || looks === null || brief.rail === null) return null;
  const slides = path.settings.map(({ axes }) => axes.slide - path.settings[0].axes.slide);
  const [travel_mm] = largest(slides.map((slide) => [slide, 0]));
  if (travel_mm === 0) return null;
  const there = [metres * Math.sin(looks[0] * RADIANS), metres * Math.cos(looks[0] * RADIANS), 0];
  const along = alongOf(brief.rail);
  const shift_deg = apartDeg(there, there.map((part, n) => part - (along[n] * travel_mm) / 1000));
  return { metres, travel_mm: Math.abs(travel_mm), shift_deg, widths: shift_deg / viewDeg(lens)[0] };
}

/** The first frame that shows an end of the rail: {first}; null where nobody said how the lens stands over it. */
export function ownRig(scene) {
  const { rail, rig } = scene.brief;
  if (rig.lens_over_rail_mm === null || rail === null || Math.abs(rail.incline_deg) > UPRIGHT_DEG) return null;
  let before = null;
  for (const frame of framesOf(scene)) {
    if (endShown(scene, frame) !== null) {
      const first = before === null ? frame : firstShown(scene, before, frame);
      return { first: { ...moment(scene, first), end: endShown(scene, first) } };
    }
    before = frame;
  }
  return { first: null };
}

/** Of the frames after a hidden one up to a shown one the first that shows an end. */
function firstShown(scene, before, after) {
  let [hidden, shown] = [before, after];
  while (shown - hidden > 1) {
    const middle = Math.floor((hidden + shown) / 2);
    if (endShown(scene, middle) === null) hidden = middle;
    else shown = middle;
  }
  return shown;
}

/** The end of the rail ("home" or "far") of which a part is in the frame. */
function endShown(scene, frame) {
  const { min, max } = scene.brief.rig.axes.slide;
  const travel = positionAt(scene.path, frame).slide;
  const reach = { home: min - travel - BEYOND_MM, far: max - travel + BEYOND_MM };
  const shows = (along_mm) => insideFrame(...downTo(scene, along_mm), ...axisAt(scene, frame), scene.lens) !== null;
  const found = Object.entries(reach).find(([, reach_mm]) => PARTS.some((part) => shows(reach_mm * part)));
  return found?.[0] ?? null;
}

/** True azimuth and altitude [deg] from the lens to a point of the rail, so far from under it. */
function downTo({ brief }, along_mm) {
  const along = alongOf(brief.rail);
  const leans = baseOf(brief);
  const up = leans === null ? [0, 0, 1] : upOf(leans);
  const [east, north, height] = along.map((part, n) => part * along_mm - up[n] * brief.rig.lens_over_rail_mm);
  return [Math.atan2(east, north) / RADIANS, Math.atan2(height, Math.hypot(east, north)) / RADIANS];
}

/** East, north and up of the direction from the home end to the far end. */
function alongOf({ bearing_deg, incline_deg }) {
  const incline = incline_deg * RADIANS;
  const bearing = (bearing_deg ?? 0) * RADIANS;
  return [Math.cos(incline) * Math.sin(bearing), Math.cos(incline) * Math.cos(bearing), Math.sin(incline)];
}

/** East, north and up of what stands at right angles on a plate. */
function upOf({ bearing_deg, rise_deg }) {
  const bearing = bearing_deg * RADIANS;
  const rise = rise_deg * RADIANS;
  return [-Math.sin(rise) * Math.sin(bearing), -Math.sin(rise) * Math.cos(bearing), Math.cos(rise)];
}

function apartDeg(a, b) {
  const size = Math.hypot(...a) * Math.hypot(...b);
  const dot = a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  return size ? Math.acos(Math.min(Math.max(dot / size, -1), 1)) / RADIANS : 90;
}
