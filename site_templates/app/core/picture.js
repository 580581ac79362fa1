// twin: fieldsheet/plan/picture.py
// What is in the frame over the whole shot.

import { insideFrame, wrapDeg } from "./aim.js";
import { galacticPole } from "./galaxy.js";
import { clockOf, stamp } from "./civil.js";
import { azimuthAlong, raysOf, shows } from "./gaze.js";
import { inside } from "./inside.js";
import { moonLight } from "./moon.js";
import { inFrame } from "./nightsky.js";
import { foreground, lean, sag } from "./onrail.js";
import { ownRig } from "./ownrig.js";
import { msOf } from "./pace.js";
import { around } from "./ridge.js";
import { axisAt, lookedAt, moment } from "./scene.js";
import { seenDeg, starsOut } from "./seen.js";
import { tracked } from "./tracked.js";

const SIDE = [-1, -0.75, -0.5, -0.25, 0, 0.25, 0.5, 0.75, 1];
/** @type {Pair[]} */
const BORDER = SIDE.flatMap((at) => [
  [at, -1],
  [at, 1],
  [-1, at],
  [1, at],
]);
const HOUR_S = 3600;
const HAIR = 1e-6;
const POLES = [
  [0, 0, 1],
  [0, 0, -1],
];

/**
 * The plan's `picture`: what is tracked, what is inside, how it leans, what to keep out of it.
 * @param {Shown} bare @returns {Picture}
 */
export function picture(bare) {
  const scene = { ...bare, looked: lookedAt(bare) };
  return {
    tracked: tracked(scene),
    inside: inside(scene),
    lean: lean(scene),
    foreground: foreground(scene),
    sag: sag(scene),
    own_rig: ownRig(scene),
    keep_out: keepOut(scene),
    views: viewsOf(scene),
  };
}

/**
 * All azimuths that the lens sees, clockwise {from_deg, to_deg, by_hour}; both null for all round; see the twin.
 * @param {Scene} scene
 */
function keepOut(scene) {
  const { spans } = scene.night;
  const rays = raysOf(scene.lens, BORDER);
  let turned = 0;
  const sides = scene.looked.map(({ frame, gaze }) => {
    // The azimuth of its middle, which never jumps: why, see the twin.
    turned += wrapDeg(azimuthAlong(gaze, [0, 0, 1]) - gaze.axis_deg - turned - HAIR) + HAIR;
    return { ms: msOf(scene.timing, frame), ends: sidesOf(gaze, gaze.axis_deg + turned, scene.lens, rays) };
  });
  const by_hour = hoursOf(scene).map(([from_ms, until_ms]) => {
    const after = sides.findIndex(({ ms }) => ms > from_ms);
    const beyond = sides.findIndex(({ ms }) => ms >= until_ms);
    const within = sides.slice((after < 0 ? sides.length : after) - 1, beyond < 0 ? sides.length : beyond + 1);
    return { from: stamp(spans, from_ms), until: stamp(spans, until_ms), ...sectorOf(within) };
  });
  return { ...sectorOf(sides), by_hour };
}

/**
 * The azimuths [deg] between which the lens sees at a frame, in the turn of its own axis.
 * @param {Gaze} gaze @param {number} axis_deg of its middle @param {Lens} lens @param {Vector[]} rays @returns {Pair}
 */
function sidesOf(gaze, axis_deg, lens, rays) {
  if (rays.length === 0 || POLES.some((pole) => shows(gaze, lens, pole))) return [axis_deg - 180, axis_deg + 180];
  let [least, most] = [180, -180];
  for (const ray of rays) {
    const aside = wrapDeg(azimuthAlong(gaze, ray) - axis_deg);
    least = Math.min(least, aside);
    most = Math.max(most, aside);
  }
  return [axis_deg + least, axis_deg + most];
}

/** @param {{ends: number[]}[]} sides */
function sectorOf(sides) {
  const from_deg = Math.min(...sides.map(({ ends }) => ends[0]));
  const to_deg = Math.max(...sides.map(({ ends }) => ends[1]));
  if (to_deg - from_deg >= 360) return { from_deg: null, to_deg: null };
  return { from_deg: around(from_deg), to_deg: around(to_deg) };
}

/**
 * The window cut where the place's clock strikes the hour [ms UTC].
 * @param {Pick<Scene, "night" | "timing">} scene @returns {Pair[]}
 */
function hoursOf({ night, timing }) {
  /** @type {Pair[]} */
  const hours = [];
  for (let from_ms = timing.start_ms; from_ms < timing.end_ms; ) {
    const left_s = HOUR_S - (clockOf(night.spans, from_ms / 1000) % HOUR_S);
    const until_ms = Math.min((Math.floor(from_ms / 1000) + left_s) * 1000, timing.end_ms);
    hours.push([from_ms, until_ms]);
    from_ms = until_ms;
  }
  return hours;
}

/**
 * What the drawings need of the sky: one a keyframe, or the two ends of what stands still; see the twin.
 * @param {Scene} scene @returns {View[]}
 */
function viewsOf(scene) {
  const { brief, night, path, timing } = scene;
  if (path.settings.length > 0) return path.settings.map(({ frame }) => viewOf(scene, frame));
  return [1, timing.frames].map((frame) => {
    const at = moment(scene, frame);
    const in_frame = inFrame(brief, night, {}, at.time.utc_ms / 1000, null);
    return { ...at, in_frame, ...viewOf(scene, frame) };
  });
}

/**
 * What the drawing of a frame needs of the sky: {pole, moon}; see the twin.
 * @param {Scene} scene @param {number} frame
 */
function viewOf(scene, frame) {
  const { night } = scene;
  const t_s = msOf(scene.timing, frame) / 1000;
  const pole = starsOut(night, t_s) ? galacticPole(night.sky, night.site, t_s) : null;
  const shown = insideFrame(...seenDeg(night, "moon", t_s), ...axisAt(scene, frame), scene.lens) !== null;
  return { pole, moon: shown ? { lit: moonLight(night.sky, t_s)[0], sun: seenDeg(night, "sun", t_s) } : null };
}
