// twin: fieldsheet/plan/tracked.py
// A target that two neighbouring keyframes share: its way through the frame.

import { placeInFrame } from "./aim.js";
import { msOf } from "./pace.js";
import { axisAt, framesOf, largest, moment } from "./scene.js";
import { seenDeg } from "./seen.js";

const DRAWN = 16;
const BLIND = 9;

/**
 * For each two neighbouring keyframes with one target how it strays from its intended place; see the twin.
 * @param {Scene} scene
 */
export function tracked(scene) {
  const aims = scene.brief.keyframes.map(({ aim }) => (aim?.target === undefined ? null : aim));
  return aims.slice(1).flatMap((next, index) => {
    const aim = aims[index];
    return aim && next && aim.target === next.target ? [between(scene, index, aim, next)] : [];
  });
}

/** @param {Scene} scene @param {number} index @param {Tracked} aim @param {Tracked} next */
function between(scene, index, aim, next) {
  const [first, last] = [index, index + 1].map((at) => scene.path.settings[at].frame);
  const strays = (/** @type {number} */ frame) => {
    const spot = spotOf(scene, aim.target, frame);
    if (spot === null) return [0, 0, BLIND];
    const share = (frame - first) / (last - first);
    const right = (spot[0] - aim.x - (next.x - aim.x) * share) / 2;
    const up = (spot[1] - aim.y - (next.y - aim.y) * share) / 2;
    return [right, up, Math.hypot(right, (up * scene.lens.half_height) / scene.lens.half_width)];
  };
  const [, frame] = largest(framesOf(scene, first, last).map((at) => [strays(at)[2], at]));
  const [right, up, off] = strays(frame);
  const share = off === BLIND ? null : off;
  const across_px = clipPx(scene.brief);
  const px = across_px === null || share === null ? null : share * across_px;
  const even = Array.from({ length: DRAWN + 1 }, (_, part) => first + ((last - first) * part) / DRAWN);
  return {
    number: index + 1,
    target: aim.target,
    worst: { ...moment(scene, frame), right, up, share, px },
    path: even.map((at) => cut(spotOf(scene, aim.target, at))),
  };
}

/** Pixels across the delivered frame; null where nobody gave the camera's. @param {Brief} brief */
export function clipPx({ camera, frame_mm }) {
  return camera.pixels === null ? null : (camera.pixels[0] * frame_mm[0]) / camera.sensor_mm[0];
}

/** @param {Scene} scene @param {string} body @param {number} frame */
function spotOf(scene, body, frame) {
  const [azimuth, altitude] = seenDeg(scene.night, body, msOf(scene.timing, frame) / 1000);
  return placeInFrame(azimuth, altitude, ...axisAt(scene, frame), scene.lens);
}

/** @param {Pair | null} spot */
function cut(spot) {
  return spot && spot.map((part) => Math.floor(part * 1000 + 0.5) / 1000);
}
