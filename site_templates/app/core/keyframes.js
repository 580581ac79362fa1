// twin: fieldsheet/plan/keyframes.py
// What each keyframe is set to: axis values that a hand can set, pan without jumps.

import { aimAt, lensOf, panZeroDeg, placeInFrame, wrapDeg } from "./aim.js";
import { msOf } from "./pace.js";
import { PlanProblem } from "./problem.js";
import { seenDeg } from "./seen.js";

const TRACK_STEPS = 24;
const TURNS = [0, -1, 1, -2, 2];

/**
 * True azimuth and apparent altitude [deg] of what a keyframe aims at, at an instant [ms UTC].
 * @param {Aim} aim @param {Night} night @param {number} utc_ms @returns {Pair}
 */
function directionDeg(aim, night, utc_ms) {
  if (aim.target === undefined) return [aim.bearing_deg, aim.altitude_deg];
  return seenDeg(night, aim.target, utc_ms / 1000);
}

/**
 * The values to set at each keyframe, rounded to what the rig's scales allow; one that is `kept` stands at those.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @param {number[]} frames @returns {Setting[]}
 */
export function settings(brief, night, timing, frames) {
  const axes = frames.map((frame, index) => axesOf(brief, index, night, msOf(timing, frame)));
  if (axes.length > 0 && "pan" in brief.rig.axes) {
    unwrapped(brief, night, timing, frames, axes).forEach((pan, index) => {
      axes[index].pan = pan;
    });
  }
  return frames.map((frame, index) => setting(brief, index, night, msOf(timing, frame), frame, axes[index]));
}

/**
 * Axis values in the order of the rig's axes; pan in [-180, 180) as yet.
 * @param {Brief} brief @param {number} index @param {Night} night @param {number} utc_ms @returns {Axes}
 */
function axesOf(brief, index, night, utc_ms) {
  const keyframe = brief.keyframes[index];
  if ("kept" in keyframe) return { ...keyframe.kept };
  const given = { ...keyframe.axes };
  if (keyframe.aim !== null) [given.pan, given.tilt] = panTilt(brief, index, night, utc_ms);
  return Object.fromEntries(
    Object.entries(brief.rig.axes).map(([name, axis]) => [name, toStep(given[name], axis.step)]),
  );
}

/** @param {Brief} brief @param {number} index @param {Night} night @param {number} utc_ms @returns {Pair} */
function panTilt(brief, index, night, utc_ms) {
  const aim = /** @type {Aim} */ (brief.keyframes[index].aim);
  const [azimuth, altitude] = directionDeg(aim, night, utc_ms);
  const pointed = aimAt(azimuth, altitude, aim.x, aim.y, lensOf(brief));
  if (pointed === null) {
    throw new PlanProblem("problem.aim", { number: index + 1, altitude, x: aim.x, y: aim.y }, `keyframe.${index}.aim`);
  }
  return [wrapDeg(pointed[0] - panZeroDeg(brief)), pointed[1]];
}

/**
 * Pan at each keyframe, without jumps, and inside the axis limits if any whole turn brings it there.
 * A pan given as a number is where the hand sets it; an aimed one takes the turn that follows from the
 * keyframe before, and the first one the turn that keeps the limits, moves least and is nearest zero.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @param {number[]} frames @param {Axes[]} axes
 */
function unwrapped(brief, night, timing, frames, axes) {
  const aimed = brief.keyframes.map((keyframe) => keyframe.aim !== null && !("kept" in keyframe));
  const turns = axes.map((_, index) => (index === 0 ? 0 : turn(brief, index, night, timing, frames, axes)));
  const first = axes[0].pan;
  const near = (/** @type {number} */ a, /** @type {number} */ b) => Math.abs(a) - Math.abs(b);
  const starts = aimed[0] ? TURNS.map((whole) => first + 360 * whole).sort(near) : [first];
  const ways = starts.map((start) => {
    const pans = [start];
    for (let index = 1; index < axes.length; index += 1) {
      pans.push(aimed[index] ? pans[index - 1] + turns[index] : axes[index].pan);
    }
    return pans;
  });
  const [low, high] = reach(brief.rig.axes.pan);
  const within = ways.filter((way) => way.every((pan) => low <= pan && pan <= high));
  // The first of equals wins, as in the twin.
  return (within.length > 0 ? within : ways).reduce((best, way) => (travelMdeg(way) < travelMdeg(best) ? way : best));
}

/** The lowest and the highest position that an axis's limits, and a pan's cables, allow. @param {Axis} axis */
export function reach({ min, max, wrap_deg = null }) {
  return wrap_deg === null ? [min, max] : [Math.max(min, -wrap_deg), Math.min(max, wrap_deg)];
}

/**
 * The whole way of pan in thousandths of a degree: whole, so that rounding noise decides nothing.
 * @param {number[]} pans
 */
function travelMdeg(pans) {
  const total = pans.slice(1).reduce((sum, pan, index) => sum + Math.abs(pan - pans[index]), 0);
  return Math.floor(total * 1000 + 0.5);
}

/**
 * Degrees of pan from the keyframe before: as `turn` says, along the tracked path, or the shorter way.
 * @param {Brief} brief @param {number} index @param {Night} night @param {Timing} timing @param {number[]} frames
 * @param {Axes[]} axes
 */
function turn(brief, index, night, timing, frames, axes) {
  const change = axes[index].pan - axes[index - 1].pan;
  const keyframe = brief.keyframes[index];
  const before = brief.keyframes[index - 1];
  if (keyframe.turn === "cw") return change - 360 * Math.floor(change / 360);
  if (keyframe.turn === "ccw") return -(-change - 360 * Math.floor(-change / 360));
  const aim = keyframe.aim;
  if (aim && before.aim && "target" in aim && aim.target === before.aim.target) {
    const tracked = trackedDeg(aim, night, timing, frames[index - 1], frames[index]);
    return change + 360 * Math.floor((tracked - change) / 360 + 0.5);
  }
  return wrapDeg(change);
}

/**
 * Degrees through which the target's azimuth runs between two frame positions, turns included.
 * @param {Aim} aim @param {Night} night @param {Timing} timing @param {number} first @param {number} last
 */
function trackedDeg(aim, night, timing, first, last) {
  let total = 0;
  let [azimuth] = directionDeg(aim, night, msOf(timing, first));
  for (let step = 1; step <= TRACK_STEPS; step += 1) {
    const [following] = directionDeg(aim, night, msOf(timing, first + ((last - first) * step) / TRACK_STEPS));
    total += wrapDeg(following - azimuth);
    azimuth = following;
  }
  return total;
}

/**
 * @param {Brief} brief @param {number} index @param {Night} night @param {number} utc_ms @param {number} frame
 * @param {Axes} axes @returns {Setting}
 */
function setting(brief, index, night, utc_ms, frame, axes) {
  const aim = brief.keyframes[index].aim;
  if (aim === null) return { frame, axes, azimuth_deg: null, altitude_deg: null, x: null, y: null };
  const [azimuth, altitude] = directionDeg(aim, night, utc_ms);
  const axis_deg = panZeroDeg(brief) + axes.pan;
  const [x, y] = placeInFrame(azimuth, altitude, axis_deg, axes.tilt, lensOf(brief)) ?? [null, null];
  return { frame, axes, azimuth_deg: azimuth, altitude_deg: altitude, x, y };
}

/**
 * The nearest multiple of a scale's step; the nudge settles ties alike in both languages.
 * @param {number} value @param {number} step
 */
export function toStep(value, step) {
  return Math.floor(value / step + 0.5 + 1e-9) * step;
}
