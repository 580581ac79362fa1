// twin: fieldsheet/plan/budget.py
// What has to fit into one interval, at the worst frame.

import { dwellMs, gapMs, settableMs } from "./keyed.js";
import { largestSteps, pathThrough, slowestS } from "./move.js";
import { PlanProblem } from "./problem.js";

const SECOND_MS = 1000;
const TENTH_MS = 100;
const MEND_TRIES = 40;

/** Milliseconds of each part, their need, the slack that the interval leaves, and what would just fit. */
export function intervalBudget(brief, steps, interval_ms) {
  const { camera, rig } = brief;
  const { release_lag_ms: lag_ms, ready_ms } = camera;
  const open_ms = lag_ms + brief.longest_shutter_ms;
  const dwell_ms = dwellMs(brief);
  let move_ms = 0;
  let settle_ms = 0;
  let needed_ms = open_ms + ready_ms;
  let longest_ms = interval_ms - ready_ms;
  if (dwell_ms !== null) {
    const distances = Object.fromEntries(Object.entries(steps).map(([name, step]) => [name, step.step]));
    move_ms = Math.ceil(slowestS(distances, rig.axes) * SECOND_MS - 1e-6);
    settle_ms = rig.settle_ms;
    needed_ms = Math.max(needed_ms, dwell_ms + move_ms + settle_ms);
    const waits_ms = rig.waits_for_camera ? ready_ms : 0;
    longest_ms = Math.min(longest_ms, down(interval_ms - move_ms - settle_ms, SECOND_MS) - waits_ms);
  }
  return {
    shutter_ms: brief.longest_shutter_ms,
    release_lag_ms: lag_ms,
    camera_ready_ms: ready_ms,
    dwell_ms,
    gap_ms: gapMs(brief, interval_ms),
    move_ms,
    settle_ms,
    needed_ms,
    slack_ms: interval_ms - needed_ms,
    shortest_interval_ms: settableMs(brief, needed_ms),
    longest_shutter_ms: Math.max(down(longest_ms - lag_ms, TENTH_MS), 0),
  };
}

/**
 * The shortest interval that really works, from shortest_ms up, or null where none does: where the window is
 * given, a longer interval means fewer frames, hence longer steps.
 */
export function mendedIntervalMs(brief, timing, path, shortest_ms) {
  let interval_ms = shortest_ms;
  for (let tries = 0; tries < MEND_TRIES; tries += 1) {
    let { frames } = timing;
    if (brief.frames === null) frames = Math.floor((timing.end_ms - timing.start_ms) / interval_ms);
    if (frames < 2) return null;
    const steps = stepsIn(brief, path, timing.frames, frames);
    if (steps === null) return null;
    const budget = intervalBudget(brief, steps, interval_ms);
    if (budget.slack_ms >= 0) return interval_ms;
    interval_ms = Math.max(budget.shortest_interval_ms, interval_ms + brief.rig.interval_step_ms);
  }
  return null;
}

/** The largest steps of the same move in another number of frames; null where it does not fit in. */
function stepsIn(brief, path, frames, to_frames) {
  const settings = path.settings.map((setting) => ({
    ...setting,
    frame: 1 + ((setting.frame - 1) * (to_frames - 1)) / (frames - 1),
  }));
  try {
    return largestSteps(pathThrough(brief, settings, to_frames), to_frames);
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    return null;
  }
}

function down(ms, step_ms) {
  return Math.floor(ms / step_ms) * step_ms;
}
