// twin: fieldsheet/plan/picture.py
// What is in the frame over the whole shot.

import { directionAt, insideFrame, wrapDeg } from "./aim.js";
import { galacticPole } from "./galaxy.js";
import { inside } from "./inside.js";
import { moonLight } from "./moon.js";
import { foreground, lean, ownRig } from "./onrail.js";
import { around } from "./ridge.js";
import { axisAt, framesOf } from "./scene.js";
import { seenDeg, starsOut } from "./seen.js";
import { msOf } from "./timing.js";
import { tracked } from "./tracked.js";

const SIDE = [-1, -0.75, -0.5, -0.25, 0, 0.25, 0.5, 0.75, 1];
const BORDER = SIDE.flatMap((at) => [[at, -1], [at, 1], [-1, at], [1, at]]);
const POLES_DEG = [90, -90];

/** The plan's `picture`: what is tracked, what is inside, how it leans, what to keep out of it. */
export function picture(scene) {
  return {
    tracked: tracked(scene),
    inside: inside(scene),
    lean: lean(scene),
    foreground: foreground(scene),
    own_rig: ownRig(scene),
    keep_out: keepOut(scene),
    views: scene.path.settings.map(({ frame }) => viewOf(scene, frame)),
  };
}

/** All azimuths that the lens sees over the shot, clockwise {from_deg, to_deg}; null for all round. */
function keepOut(scene) {
  const { lens } = scene;
  const left = [];
  const right = [];
  for (const frame of framesOf(scene)) {
    const [axis_deg, tilt_deg] = axisAt(scene, frame);
    if (POLES_DEG.some((pole) => insideFrame(0, pole, axis_deg, tilt_deg, lens) !== null)) return null;
    const seen = BORDER.map(([x, y]) => directionAt(x, y, axis_deg, tilt_deg, lens)).filter((at) => at !== null);
    const aside = seen.length > 0 ? seen.map(([azimuth]) => wrapDeg(azimuth - axis_deg)) : [-180, 180];
    left.push(axis_deg + Math.min(...aside));
    right.push(axis_deg + Math.max(...aside));
  }
  const from_deg = Math.min(...left);
  const to_deg = Math.max(...right);
  return to_deg - from_deg >= 360 ? null : { from_deg: around(from_deg), to_deg: around(to_deg) };
}

/** What the drawing of a keyframe's frame needs of the sky: {pole, moon}; see the twin. */
function viewOf(scene, frame) {
  const { night } = scene;
  const t_s = msOf(scene.timing, frame) / 1000;
  const pole = starsOut(night, t_s) ? galacticPole(night.sky, night.site, t_s) : null;
  const shown = insideFrame(...seenDeg(night, "moon", t_s), ...axisAt(scene, frame), scene.lens) !== null;
  return { pole, moon: shown ? { lit: moonLight(night.sky, t_s)[0], sun: seenDeg(night, "sun", t_s) } : null };
}
