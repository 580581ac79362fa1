// twin: fieldsheet/plan/budget.py
// What has to fit into one interval, at every frame and at the worst.

import { dwellMs, gapMs, readyMs, settableMs } from "./keyed.js";
import { pathThrough, slowestS, staged, travelS } from "./move.js";
import { carriedOver, within } from "./opened.js";
import { frameAt, utcMs } from "./pace.js";
import { PlanProblem } from "./problem.js";
import { rephased } from "./timing.js";

const SECOND_MS = 1000;
const TENTH_MS = 100;
const MEND_TRIES = 40;
const MOST_PHASES = 3;

/**
 * The budget at the worst frame, the first of equals, with its frame, its interval, and all stages: see the twin.
 * @param {Brief} brief @param {Timing} timing @param {Path} path @param {Opens} opens @returns {Fit}
 */
export function budgetOf(brief, timing, path, opens) {
  /** @type {ReturnType<typeof rowsOf>} */
  const rows = [];
  const differ = opens.length + timing.segments.length > 2;
  for (const row of staged(path, timing).flatMap((stage) => rowsOf(brief, stage, opens, differ))) {
    const before = rows[rows.length - 1];
    if (before?.segment !== row.segment || before.slack_ms >= 0 !== row.slack_ms >= 0) rows.push(row);
    else if (
      row.needed_ms > before.needed_ms ||
      (row.needed_ms === before.needed_ms && row.shutter_ms > before.shutter_ms)
    ) {
      rows[rows.length - 1] = { ...row, first_frame: before.first_frame };
    }
  }
  const { segment: _s, first_frame: _f, ...worst } = rows.reduce((a, b) => (b.slack_ms < a.slack_ms ? b : a));
  const stages = rows.map(({ first_frame, interval_ms, shutter_ms, needed_ms, slack_ms, longest_shutter_ms }) => ({
    ...{ first_frame, interval_ms, shutter_ms, needed_ms, slack_ms, longest_shutter_ms },
  }));
  return { ...worst, gap_ms: gapMs(brief, timing.keyed_ms), shortest_frames: timing.frames, stages };
}

/**
 * The budget wherever the exposure of a stage changes; differ: whether frames may be unlike each other.
 * @param {Brief} brief @param {Stage} stage @param {Opens} opens @param {boolean} differ
 */
function rowsOf(brief, { segment: { first_frame: segment, interval_ms }, last, steps }, opens, differ) {
  return within(opens, segment, last).map(([first_frame, open_ms]) => {
    const row = intervalBudget(brief, steps, interval_ms, open_ms);
    const waits = row.needed_ms > row.release_lag_ms + open_ms + row.camera_ready_ms;
    const frame = waits ? slowestFrame(brief, steps) : differ ? first_frame : null;
    return { ...row, segment, first_frame, frame, interval_ms };
  });
}

/**
 * The frame after which the rig takes longest; null where it stands still.
 * @param {Brief} brief @param {Steps} steps @returns {number | null}
 */
function slowestFrame(brief, steps) {
  let longest_s = 0;
  /** @type {number | null} */
  let frame = null;
  for (const [name, step] of Object.entries(steps)) {
    const { speed_max, acceleration_max } = brief.rig.axes[name];
    const takes_s = travelS(step.step, speed_max, acceleration_max);
    if (takes_s > longest_s) [longest_s, frame] = [takes_s, step.frame];
  }
  return frame;
}

/**
 * Milliseconds of each part, their need, the slack that the interval leaves, and what would just fit.
 * @param {Brief} brief @param {Steps} steps @param {number} interval_ms @param {number} open_ms
 */
function intervalBudget(brief, steps, interval_ms, open_ms) {
  const { camera, rig } = brief;
  const { release_lag_ms: lag_ms, ready_ms } = camera;
  const busy_ms = readyMs(brief, open_ms);
  const exposes = camera.noise_reduction ? 2 : 1;
  const dwell_ms = dwellMs(brief);
  let move_ms = 0;
  let settle_ms = 0;
  let needed_ms = lag_ms + open_ms + busy_ms;
  let longest_ms = Math.floor((interval_ms - ready_ms - lag_ms) / exposes);
  if (dwell_ms !== null) {
    const distances = Object.fromEntries(Object.entries(steps).map(([name, step]) => [name, step.step]));
    move_ms = Math.ceil(slowestS(distances, rig.axes) * SECOND_MS - 1e-6);
    settle_ms = rig.settle_ms;
    needed_ms = Math.max(needed_ms, dwell_ms + move_ms + settle_ms);
    const room_ms = down(interval_ms - move_ms - settle_ms, SECOND_MS) - lag_ms;
    longest_ms = Math.min(longest_ms, rig.waits_for_camera ? Math.floor((room_ms - ready_ms) / exposes) : room_ms);
  }
  return {
    shutter_ms: open_ms,
    release_lag_ms: lag_ms,
    camera_ready_ms: busy_ms,
    dwell_ms,
    gap_ms: gapMs(brief, interval_ms),
    move_ms,
    settle_ms,
    needed_ms,
    slack_ms: interval_ms - needed_ms,
    shortest_interval_ms: settableMs(brief, needed_ms),
    longest_shutter_ms: Math.max(down(longest_ms, TENTH_MS), 0),
  };
}

/**
 * {interval_ms, to}: the shortest interval that really works, from shortest_ms up, and its timing; null if none does.
 * @param {Brief} brief @param {Timing} timing @param {Path} path @param {Opens} opens @param {number} shortest_ms
 */
export function mendedTo(brief, timing, path, opens, shortest_ms) {
  const raised = (/** @type {number} */ interval_ms) =>
    timing.phases.map((phase) => ({ ...phase, interval_ms: Math.max(phase.interval_ms, interval_ms) }));
  return workable(brief, timing, path, opens, raised, shortest_ms);
}

/**
 * {interval_ms, to}: the shortest interval with which a shot of other phases fits, and its timing; null if none does.
 * @param {Brief} brief @param {Timing} timing @param {Path} path @param {Opens} opens
 * @param {(interval_ms: number) => Phase[]} phasesWith @param {number} from_ms
 */
function workable(brief, timing, path, opens, phasesWith, from_ms) {
  let interval_ms = from_ms;
  for (let tries = 0; tries < MEND_TRIES; tries += 1) {
    const to = rephased(brief, timing, phasesWith(interval_ms));
    const moved = to.frames < 2 ? null : movedPath(brief, timing, path, to);
    if (moved === null) return null;
    const budget = budgetOf(brief, to, moved, carriedOver(opens, timing, to));
    if (budget.slack_ms >= 0) return { interval_ms, to };
    interval_ms = Math.max(budget.shortest_interval_ms ?? 0, interval_ms + brief.rig.interval_step_ms);
  }
  return null;
}

/**
 * {interval_ms, to}: the shortest other interval from a frame on with which all fits, and the timing that it makes; or null.
 * @param {Brief} brief @param {Timing} timing @param {Path} path @param {Opens} opens @param {number} frame
 */
export function secondInterval(brief, timing, path, opens, frame) {
  const { segments, phases, frames } = timing;
  if (!brief.rig.interval_changes || dwellMs(brief) !== null || frame === 1) return null;
  if (phases.length > MOST_PHASES || frame < segments[segments.length - 1].first_frame) return null;
  const longest_ms = Math.max(...within(opens, frame, frames).map(([, open_ms]) => open_ms));
  const needed_ms = brief.camera.release_lag_ms + longest_ms + readyMs(brief, longest_ms);
  const followed = (/** @type {number} */ interval_ms) => [...phases, { interval_ms, at_ms: null, frame }];
  return workable(brief, timing, path, opens, followed, settableMs(brief, needed_ms));
}

/**
 * The same move where another timing has its keyframes; null where it does not fit in.
 * @param {Brief} brief @param {Timing} timing @param {Path} path @param {Timing} to
 */
function movedPath(brief, timing, path, to) {
  const settings = path.settings.map((setting, index) => {
    const { at } = brief.keyframes[index];
    if ("frame" in at) return setting;
    const frame = "fraction" in at ? 1 + at.fraction * (to.frames - 1) : frameAt(to, utcMs(timing, setting.frame));
    return { ...setting, frame };
  });
  try {
    return pathThrough(brief, settings, to.frames);
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    return null;
  }
}

/** @param {number} ms @param {number} step_ms */
function down(ms, step_ms) {
  return Math.floor(ms / step_ms) * step_ms;
}
