// twin: fieldsheet/plan/programme.py
// What the rig is told: the shot as its file has it, or as changed by another start or interval, a way taken, a run.

import { swapEdges, swapRange } from "./acts.js";
import { mustReach } from "./anchors.js";
import { settings } from "./keyframes.js";
import { LATE_IDS, lateWay } from "./late.js";
import { pathThrough } from "./move.js";
import { foundEvents } from "./nightsky.js";
import { setBy } from "./options.js";
import { elapsedMs, msOf } from "./pace.js";
import { powerOf } from "./power.js";
import { PlanProblem } from "./problem.js";
import { WAYS_ON, newFrame, wayOn } from "./recovery.js";
import { NOTHING } from "./supplies.js";
import { swappedAt } from "./swaps.js";
import { asItRuns, counted, keyframeFrames, MOST_MS, readyFor, solve } from "./timing.js";

const LEAST_RATIO = 0.5;
const MOST_RATIO = 2;
const MOST_STOPS = 8;
const AFTER = ["start_ms", "interval_ms", "way", "run", "swapped"];
const MOST_SWAPPED = 8;

/**
 * frames are the keyframes' positions; timing is as the rig runs, told as it was told to; before: what a stop left behind.
 * @typedef {{brief: Brief, timing: Timing, frames: number[], told: Timing, before: *}} Programme
 */

/**
 * The programme of a brief by `start_ms`, `interval_ms`, `way` and `run` of the changes. Throws PlanProblem.
 * @param {Brief} brief @param {Night} night @param {Changes} changes @param {number} [stops] @returns {Programme}
 */
export function programmeOf(brief, night, changes, stops = 0) {
  const told = changes.way ? taken(brief, night, changes, stops) : solved(brief, night, changes);
  return changes.run ? running(told, night, changes.run) : told;
}

/**
 * The timing that a start is late for: with the interval that was asked for, at the planned moment.
 * @param {Brief} brief @param {Night} night @param {Changes} changes
 */
export function plannedFor(brief, night, { interval_ms }) {
  return solve(brief, night, null, interval_ms ?? null);
}

/**
 * The start [ms UTC] that changes ask for, by itself or by the way that was taken; undefined where they do not.
 * @param {Changes} changes
 */
export function lateStartMs({ way, start_ms }) {
  return way && WAYS_ON.includes(way.id) ? undefined : (way?.start_ms ?? start_ms);
}

/** @param {Brief} brief @param {Night} night @param {Changes} changes */
function solved(brief, night, { start_ms, interval_ms }) {
  const timing = solve(brief, night, start_ms ?? null, interval_ms ?? null);
  mustReach(night, timing.start_ms / 1000, timing.end_ms / 1000);
  return { brief, timing, frames: keyframeFrames(brief, night, timing), told: timing, before: NOTHING };
}

/** @param {Brief} brief @param {Night} night @param {Changes} changes @param {number} stops */
function taken(brief, night, changes, stops) {
  const way = checkedWay(changes);
  if (!LATE_IDS.includes(way.id)) return goneOn(brief, night, changes, way, stops);
  const planned = plannedFor(brief, night, changes);
  mustReach(night, planned.start_ms / 1000, planned.end_ms / 1000);
  return pinned(lateWay(brief, night, planned, way.id, /** @type {number} */ (way.start_ms)), night);
}

/** @param {Brief} brief @param {Night} night @param {Changes} changes @param {Way} way @param {number} stops */
function goneOn(brief, night, { interval_ms }, way, stops) {
  if (stops >= MOST_STOPS) throw unreadable();
  const was = programmeOf(brief, night, way.after ?? {}, stops + 1);
  const path = pathOf(was, night);
  const { frame, rolling_ms } = /** @type {Stopped} */ (way);
  const told_ms = interval_ms ?? null;
  const { way: made, rest } = wayOn(was.brief, was.timing, path, way.id, { frame, rolling_ms }, told_ms);
  const timing = readyFor(made.timing, was.timing.prepared_ms);
  const swapped = checkedSwaps(way, frame);
  const swap = swapped.length > 0 ? null : swapLeft(was, night, rest, frame);
  const on = pinned({ ...made, brief: { ...made.brief, swap }, timing }, night);
  return { ...on, before: beforeOf(was, night, path, frame, timing.start_ms, swapped) };
}

/**
 * Frames and keyframes as they are keyed in, each at the moment at which the rig comes to it.
 * @param {Programme} told @param {Night} night @param {Run} run
 */
function running(told, night, run) {
  checkRun(told.timing, run);
  const path = pathOf(told, night);
  const timing = asItRuns(told.timing, run.start_ms, run.ratio);
  mustReach(night, timing.start_ms / 1000, timing.end_ms / 1000);
  return { ...told, brief: pinnedBrief(told.brief, path.settings), timing };
}

/** @param {Pick<Programme, "brief" | "timing" | "frames">} programme @param {Night} night */
function pathOf({ brief, timing, frames }, night) {
  return pathThrough(brief, settings(brief, night, timing, frames), timing.frames);
}

/**
 * A way as a shot of its own: its keyframes at their frames, set as they are.
 * @param {Keying} way @param {Night} night
 */
function pinned(way, night) {
  mustReach(night, way.timing.start_ms / 1000, way.timing.end_ms / 1000);
  const timing = counted({ ...way.timing, asked_ms: elapsedMs(way.timing, way.timing.frames) });
  const frames = way.frames.map((frame) => Math.min(Math.max(frame, 1), timing.frames));
  const { set_to } = setBy({ ...way, frames }, night);
  return { brief: pinnedBrief(way.brief, set_to), timing, frames, told: timing, before: NOTHING };
}

/** @param {Brief} brief @param {Pick<Setting, "frame" | "axes">[]} set_to */
function pinnedBrief(brief, set_to) {
  const pin = (/** @type {BriefKeyframe} */ keyframe, /** @type {number} */ at) => ({
    ...keyframe,
    at: { frame: set_to[at].frame },
    kept: set_to[at].axes,
  });
  return { ...brief, keyframes: brief.keyframes.map(pin) };
}

/**
 * A person's own swap in what is left: one by frames is counted anew, one that is over is not there.
 * @param {Programme} was @param {Night} night @param {Rest} rest @param {number} fired
 */
function swapLeft(was, night, rest, fired) {
  const edges = swapEdges(was.brief, night, was.timing);
  if (edges === null || edges[1] <= fired) return null;
  const ats = Object.entries(was.brief.swap ?? {});
  const left = (/** @type {[string, At]} */ [key, at]) => {
    const edge = edges[key === "from" ? 0 : 1];
    return [key, "frame" in at || "fraction" in at ? { frame: newFrame(rest, edge) } : at];
  };
  return Object.fromEntries(ats.map(left));
}

/**
 * What was taken until the stop, of the packs that are then in, see the twin.
 * @param {Programme} was @param {Night} night @param {Path} path @param {number} fired @param {number} start_ms
 * @param {number[]} swapped
 */
function beforeOf(was, night, path, fired, start_ms, swapped) {
  const { brief, timing, before } = was;
  const own = swapRange(brief, night, timing);
  const { supplies, changes } = powerOf(brief, night, timing, path, foundEvents(night, timing), own, null, before);
  const used_wh = Object.fromEntries(supplies.map((supply) => [supply.id, supply.used_wh[fired]]));
  const over = changes.filter(({ until }) => until.frame <= fired).map(({ from }) => from.frame);
  const made = swapped.length > 0 ? swapped : over;
  const rig = supplies.find(({ id }) => id === "rig");
  if (rig && made.length > 0) used_wh.rig -= swappedAt(rig.used_wh, made[made.length - 1]);
  const stands_ms = start_ms - msOf(timing, fired + 1);
  return { frames: before.frames + fired, stands_ms, used_wh, packs: before.packs + made.length };
}

/** The way that changes take, which comes from a file or a code. Throws PlanProblem. @param {Changes} changes @returns {Way} */
function checkedWay({ way, start_ms }) {
  if (!way) throw unreadable();
  const is_late = LATE_IDS.includes(way.id);
  const known = is_late || WAYS_ON.includes(way.id);
  const numbers = is_late ? [way.start_ms] : [way.frame, way.rolling_ms];
  if (!known || !numbers.every(Number.isInteger)) throw unreadable();
  const { after = {} } = way;
  const is_changes = typeof after === "object" && after !== null && !Array.isArray(after);
  if (!is_changes || !Object.keys(after).every((key) => AFTER.includes(key))) throw unreadable();
  if (start_ms !== undefined && start_ms !== null)
    throw new PlanProblem("problem.way-start", { start: start_ms }, "start");
  return way;
}

/** The frames at which packs were changed before a stop, see the twin. @param {Way} way @param {number} frame */
function checkedSwaps({ after }, frame) {
  const { swapped = [] } = after ?? {};
  if (!Array.isArray(swapped) || swapped.length > MOST_SWAPPED) throw unreadable();
  const edges = [1, ...swapped, frame + 1];
  const are_in_order = edges.every((edge, at) => Number.isInteger(edge) && (at === 0 || edges[at - 1] <= edge));
  if (!are_in_order) throw unreadable();
  return swapped;
}

/** @param {Timing} timing @param {Run} run */
function checkRun(timing, run) {
  const { start_ms, ratio } = run ?? {};
  if (typeof ratio !== "number" || !(LEAST_RATIO <= ratio && ratio <= MOST_RATIO)) {
    throw new PlanProblem("problem.run-ratio", { least: LEAST_RATIO, most: MOST_RATIO }, "interval_s");
  }
  if (!Number.isInteger(start_ms) || Math.abs(start_ms - timing.start_ms) > MOST_MS) {
    throw new PlanProblem("problem.run-start", { start: timing.start_ms }, "start");
  }
}

function unreadable() {
  return new PlanProblem("problem.way-unknown", {}, "start");
}
