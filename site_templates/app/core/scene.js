// twin: fieldsheet/plan/scene.py
// What the picture is worked out from: a shot as it moves and looks, {brief, night, timing, path, lens}.

import { axisOf } from "./aim.js";
import { stamp } from "./civil.js";
import { gazeOf } from "./gaze.js";
import { positionAt } from "./move.js";
import { msOf } from "./pace.js";

const FRAMES_LOOKED_AT = 240; // why: see the twin

/**
 * Azimuth and tilt [deg] of the optical axis over the head's plate at a (real) frame.
 * @param {Pick<Scene, "brief" | "path">} scene @param {number} frame @returns {Pair}
 */
export function axisAt({ brief, path }, frame) {
  return /** @type {Pair} */ (axisOf(brief, positionAt(path, frame))); // a rig without tilt has been given one
}

/**
 * The camera in the world at a (real) frame.
 * @param {Pick<Scene, "brief" | "path" | "lens">} scene @param {number} frame
 */
export function gazeAt(scene, frame) {
  return gazeOf(axisAt(scene, frame), scene.lens);
}

/** The frames that are looked at over the whole shot, each {frame, gaze}. @param {Shown} scene */
export function lookedAt(scene) {
  return framesOf(scene).map((frame) => ({ frame, gaze: gazeAt(scene, frame) }));
}

/**
 * Whole frames from one to another, all of them or FRAMES_LOOKED_AT + 1 evenly.
 * @param {Pick<Scene, "timing">} scene @param {number} [first] @param {number} [last]
 */
export function framesOf({ timing }, first = 1, last = timing.frames) {
  const start = Math.floor(first + 0.5);
  const end = Math.floor(last + 0.5);
  const parts = Math.max(1, Math.min(end - start, FRAMES_LOOKED_AT));
  return Array.from({ length: parts + 1 }, (_, part) => Math.floor(start + ((end - start) * part) / parts + 0.5));
}

/**
 * A (real) frame with its instant: {frame, time}.
 * @param {Pick<Scene, "night" | "timing">} scene @param {number} frame
 */
export function moment({ night, timing }, frame) {
  return { frame, time: stamp(night.spans, msOf(timing, frame)) };
}

/**
 * Of [value, frame] the one largest in size; the first of those that differ by rounding noise alone. @template {number[]} T
 * @param {T[]} rows @returns {T}
 */
export function largest(rows) {
  return rows.reduce((found, row) => (Math.abs(row[0]) > Math.abs(found[0]) * (1 + 1e-6) + 1e-9 ? row : found));
}
