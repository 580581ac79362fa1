// twin: fieldsheet/plan/options.py
// A way to go on when the night goes otherwise: what is keyed in and what comes of it.

import { limits } from "./acts.js";
import { axisOf, directionAt, lensOf, placeInFrame } from "./aim.js";
import { mustReach } from "./anchors.js";
import { budgetOf } from "./budget.js";
import { forbidden, tooFastAxes } from "./cautions.js";
import { stamp } from "./civil.js";
import { gapMs } from "./keyed.js";
import { settings } from "./keyframes.js";
import { pathThrough, staged } from "./move.js";
import { carriedOver } from "./opened.js";
import { msOf, toldMs } from "./pace.js";
import { PlanProblem } from "./problem.js";
import { seenDeg } from "./seen.js";
import { clipMs } from "./timing.js";
import { apartDeg } from "./waits.js";

const SAME = 1e-6;

/**
 * @typedef {{brief: Brief, night: *, timing: Timing, opens: *}} Shot as it was planned
 * @typedef {{brief: Brief, timing: Timing, frames: number[], kept: *[], keyed: string[]}} Way as it would be keyed in, see the twin
 */

/**
 * A way with all its figures; `why` is the message of what it fails by. Throws PlanProblem.
 * @param {Shot} shot @param {Keying} way @param {string} id @param {number[]} minutes @returns {Tried}
 */
export function option(shot, way, id, minutes) {
  const { brief, timing } = way;
  const { night } = shot;
  mustReach(night, timing.start_ms / 1000, timing.end_ms / 1000);
  const { aimed, set_to } = setBy(way, night);
  const path = pathThrough(brief, set_to, timing.frames);
  const budget = budgetOf(brief, timing, path, carriedOver(shot.opens, shot.timing, timing));
  return {
    id,
    why: whyNot(brief, budget, staged(path, timing)),
    minutes,
    frames: timing.frames,
    interval_ms: timing.keyed_ms,
    gap_ms: gapMs(brief, timing.keyed_ms),
    segments: timing.segments.map((segment) => {
      const interval_ms = toldMs(timing, segment);
      return { first_frame: segment.first_frame, interval_ms, gap_ms: gapMs(brief, interval_ms) };
    }),
    dwell_ms: budget.dwell_ms,
    hold: brief.hold,
    ease: brief.ease,
    start: stamp(night.spans, timing.start_ms),
    end: stamp(night.spans, timing.end_ms),
    later_ms: timing.end_ms - shot.timing.end_ms,
    clip_ms: clipMs(brief, timing.frames),
    slack_ms: budget.slack_ms,
    sun_deg: [timing.start_ms, timing.end_ms].map((ms) => seenDeg(night, "sun", ms / 1000)[1]),
    keyframes: set_to.map((setting, index) => keyframeOf(night, way, index, setting, aimed[index])),
    troubles: forbidden({ brief, night, timing, settings: set_to, limited: limits(brief, night, timing) }),
  };
}

/**
 * {aimed, set_to}: each keyframe as it would be aimed at its moment, and as it is set.
 * @param {Pick<Keying, "brief" | "timing" | "frames" | "kept">} way @param {Night} night
 */
export function setBy({ brief, timing, frames, kept }, night) {
  const aimed = settings(brief, night, timing, frames);
  return { aimed, set_to: aimed.map((here, at) => (kept[at] === null ? here : stands(brief, here, kept[at]))) };
}

/**
 * What `make` gives, or the option with the reason why it comes to no shot.
 * @param {string} id @template T @param {() => T} make
 * @returns {T | Untried}
 */
export function tried(id, make) {
  try {
    return make();
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    return without(id, `${error.id}.found`, error.args);
  }
}

/**
 * An option that there is no sense in, with its reason.
 * @param {string} id @param {string} why @param {Args} [args] @returns {Untried}
 */
export function without(id, why, args = {}) {
  return { id, why: { id: why, args } };
}

/**
 * The problem of taking an option that there is no sense in.
 * @param {string} id @param {string} why @param {Args} [args]
 */
export function forbiddenWay(id, why, args = {}) {
  return new PlanProblem("problem.way", { way: `option.${id}`, why: { id: why, args } }, "start");
}

/** The message of what a keyframe is called among so many. @param {number} number @param {number} last */
export function nameOf(number, last) {
  if (last === 1) return "keyframe.only";
  if (number === 1) return "keyframe.start";
  if (number === last) return "keyframe.end";
  return last === 3 ? "keyframe.middle" : "keyframe.between";
}

/**
 * The keyframe of a moment with other axis values than it would be aimed with.
 * @param {Brief} brief @param {Setting} here @param {Axes} axes @returns {Setting}
 */
function stands(brief, here, axes) {
  if (here.azimuth_deg === null) return { ...here, axes };
  const [axis_deg, tilt_deg] = /** @type {Pair} */ (axisOf(brief, axes));
  const spot = placeInFrame(
    here.azimuth_deg,
    /** @type {number} */ (here.altitude_deg),
    axis_deg,
    tilt_deg,
    lensOf(brief),
  );
  const [x, y] = spot ?? [null, null];
  return { ...here, axes, x, y };
}

/** @param {Brief} brief @param {Fit} budget @param {Stage[]} stages */
function whyNot(brief, { slack_ms, needed_ms, interval_ms }, stages) {
  if (slack_ms < 0) {
    return { id: "option.short", args: { short: -slack_ms, interval: interval_ms, needed: needed_ms } };
  }
  const [fast] = tooFastAxes(brief, stages);
  return fast ? { id: "option.too-fast", args: { axis: fast[0] } } : null;
}

/**
 * @param {Night} night @param {Keying} way @param {number} index @param {Setting} setting @param {Setting} aimed
 * @returns {Tried["keyframes"][number]}
 */
function keyframeOf(night, { brief, timing, frames, kept, keyed }, index, setting, aimed) {
  const { aim } = brief.keyframes[index];
  const followed = aim?.target === undefined ? null : aim;
  return {
    number: index + 1,
    name: nameOf(index + 1, frames.length),
    rig_number: brief.order === "last-to-first" ? frames.length - index : index + 1,
    nearest_frame: Math.floor(setting.frame + 0.5),
    time: stamp(night.spans, msOf(timing, setting.frame)),
    axes: setting.axes,
    keyed: keyed[index],
    target: followed && followed.target,
    off: followed && offOf(brief, followed, setting),
    aimed: followed && kept[index] !== null ? aimedOtherwise(aimed.axes, setting.axes) : null,
  };
}

/**
 * How far a target is off its intended place, in degrees and as a share of the frame's width.
 * @param {Brief} brief @param {Tracked} aim @param {Setting} setting @returns {Tried["keyframes"][number]["off"]}
 */
function offOf(brief, aim, { axes, azimuth_deg, altitude_deg, x, y }) {
  const [axis_deg, tilt_deg] = /** @type {Pair} */ (axisOf(brief, axes));
  const lens = lensOf(brief);
  // Null where the lens shows nothing: no plan of a catalog aims there, a file from elsewhere may.
  const meant = directionAt(aim.x, aim.y, axis_deg, tilt_deg, lens);
  const up = (((y ?? 0) - aim.y) * lens.half_height) / lens.half_width;
  return {
    deg: /** @type {number} */ (meant && apartDeg(meant, /** @type {Pair} */ ([azimuth_deg, altitude_deg]))),
    share: x === null ? null : Math.hypot(x - aim.x, up) / 2,
  };
}

/**
 * The values aimed anew, pan in the turn nearest to what is kept; null where they are the same.
 * @param {Axes} aimed @param {Axes} kept
 */
function aimedOtherwise(aimed, kept) {
  const turn = 360 * Math.floor((kept.pan - aimed.pan) / 360 + 0.5);
  const axes = { ...aimed, pan: aimed.pan + turn };
  return sameAxes(axes, kept) ? null : axes;
}

/** Whether a hand would set both alike. @param {Axes} axes @param {Axes} others */
export function sameAxes(axes, others) {
  return Object.entries(others).every(([name, value]) => Math.abs(axes[name] - value) < SAME);
}
