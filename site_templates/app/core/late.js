// twin: fieldsheet/plan/late.py
// A start that comes late: ways to go on, by what must be keyed in again.

import { stamp } from "./civil.js";
import { settableMs } from "./keyed.js";
import { settings } from "./keyframes.js";
import { forbiddenWay, option, sameAxes, tried, without } from "./options.js";
import { PlanProblem } from "./problem.js";
import { keyframeFrames, MOST_MS, openingOf, quickened, restarted } from "./timing.js";
import { FIXED } from "./waits.js";

/** @type {Record<string, number[]>} */
const MINUTES = { "as-set": [0, 0], frames: [1, 2], interval: [1, 2], first: [5, 10], all: [15, 20] };

export const LATE_IDS = Object.keys(MINUTES);

/**
 * Ways to go on after a first frame [ms UTC] later than the planned one; null where it is not.
 * @param {Shot} shot @param {number} start_ms
 */
export function lateOf(shot, start_ms) {
  const { brief, night, timing: planned } = shot;
  if (start_ms <= planned.start_ms) return null;
  const makers = makersOf(brief, night, planned, start_ms);
  const made = (/** @type {[string, () => Keying | string]} */ [id, make]) => {
    const way = make();
    return typeof way === "string" ? without(id, way) : option(shot, way, id, MINUTES[id]);
  };
  return {
    late_ms: start_ms - planned.start_ms,
    start: stamp(night.spans, start_ms),
    frames: planned.frames,
    interval_ms: planned.keyed_ms,
    options: Object.entries(makers).map((one) => tried(one[0], () => made(one))),
  };
}

/**
 * The option of that id, one of LATE_IDS, as it is keyed in; PlanProblem where it cannot be.
 * @param {Brief} brief @param {Night} night @param {Timing} planned @param {string} id @param {number} start_ms
 */
export function lateWay(brief, night, planned, id, start_ms) {
  if (!(planned.start_ms < start_ms && start_ms < planned.start_ms + MOST_MS)) {
    throw new PlanProblem("problem.way-when", { start: start_ms, planned: planned.start_ms }, "start");
  }
  const way = makersOf(brief, night, planned, start_ms)[id]();
  if (typeof way === "string") throw forbiddenWay(id, way);
  return way;
}

/**
 * How each option is made, in the order of what must be keyed in again; a message where there is no sense in it.
 * @param {Brief} brief @param {Night} night @param {Timing} planned @param {number} start_ms
 * @returns {Record<string, () => Keying | string>}
 */
function makersOf(brief, night, planned, start_ms) {
  const set_at = keyframeFrames(brief, night, planned);
  const set_to = settings(brief, night, planned, set_at).map(({ axes }) => axes);
  const asSet = (/** @type {Timing} */ timing) => ({
    brief,
    timing,
    frames: set_at,
    kept: set_to,
    keyed: set_at.map(() => ""),
  });
  const after = { start: start_ms, end: planned.end_ms };

  /** Fewer frames up to the planned end; a keyframe in between may have another frame. */
  const fewer = () => {
    const timing = restarted(planned, start_ms, null);
    if (timing.frames < 2) throw new PlanProblem("problem.start-after-end", after, "start");
    const at = keyframeFrames(brief, night, timing);
    return { brief, timing, frames: at, kept: set_to, keyed: moved(brief, at, set_at) };
  };
  return {
    "as-set": () => asSet(restarted(planned, start_ms, planned.frames)),
    frames: fewer,
    interval: () => {
      const [frames, until_ms] = openingOf(planned);
      const interval_ms = settableDownMs(brief, Math.floor((until_ms - start_ms) / frames));
      if (interval_ms === null) throw new PlanProblem("problem.start-after-end", after, "start");
      return asSet(quickened(planned, start_ms, interval_ms));
    },
    first: () => {
      if (!follows(brief.keyframes.slice(0, 1))) return "late.same-first";
      const way = fewer();
      return { ...way, kept: [null, ...way.kept.slice(1)], keyed: ["set", ...way.keyed.slice(1)] };
    },
    all: () => {
      if (!follows(brief.keyframes)) return "late.same-all";
      const later = restarted(planned, start_ms, planned.frames);
      const frames = keyframeFrames(brief, night, later);
      const is = moved(brief, frames, set_at);
      const aimed = settings(brief, night, later, frames);
      const keyed = aimed.map(({ axes }, at) => (sameAxes(axes, set_to[at]) ? is[at] : "set"));
      return { brief, timing: later, frames, kept: frames.map(() => null), keyed };
    },
  };
}

/**
 * Which keyframes in between have another frame than planned, where the rig is told of it.
 * @param {Brief} brief @param {number[]} frames @param {number[]} set_at
 */
function moved({ rig }, frames, set_at) {
  const told = rig.keyframes?.middle !== "halfway";
  const between = (/** @type {number} */ at) => at > 0 && at < frames.length - 1;
  return frames.map((frame, at) => (told && between(at) && Math.abs(frame - set_at[at]) >= 0.5 ? "frame" : ""));
}

/** Whether any of these keyframes aims at what moves across the sky. @param {BriefKeyframe[]} keyframes */
function follows(keyframes) {
  return keyframes.some(({ aim }) => aim?.target !== undefined && !FIXED.includes(aim.target));
}

/**
 * The longest interval, at most so long, that can be keyed in; null where none is so short.
 * @param {Brief} brief @param {number} most_ms
 */
function settableDownMs(brief, most_ms) {
  const least_ms = settableMs(brief, 0);
  const { interval_step_ms } = brief.rig;
  return most_ms < least_ms ? null : least_ms + Math.floor((most_ms - least_ms) / interval_step_ms) * interval_step_ms;
}
