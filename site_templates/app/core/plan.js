// twin: fieldsheet/plan/plan.py
// plan(brief, sky, changes): one shot on one night, whole or in pieces.  Pure: no clock, no storage, no page.

import { limits, moments, swapRange } from "./acts.js";
import { nightOf } from "./anchors.js";
import { lensOf } from "./aim.js";
import { arch } from "./arch.js";
import { budgetOf, mendedTo } from "./budget.js";
import { tooFastAxes, warnings } from "./cautions.js";
import { isoDate, stamp } from "./civil.js";
import { driveS, drives, wayBack } from "./drives.js";
import { clickActs } from "./exposing.js";
import { exposureOf, lightOf } from "./exposure.js";
import { FORMAT, VERSION } from "./format.js";
import { gapMs } from "./keyed.js";
import { settings } from "./keyframes.js";
import { lateOf } from "./late.js";
import { makeLit } from "./lit.js";
import { exposed, lookOf, turnsOf } from "./look.js";
import { largestOf, pathThrough, staged, topSpeed } from "./move.js";
import {
  core,
  foundEvents,
  grazes as grazesOf,
  inFrame,
  moon,
  planets,
  tones,
  usable,
  windowEvents,
} from "./nightsky.js";
import { meantOf } from "./meant.js";
import { measured } from "./needs.js";
import { nameOf } from "./options.js";
import { carriedOver, opensOf } from "./opened.js";
import { elapsedMs, msOf, toldMs } from "./pace.js";
import { picture } from "./picture.js";
import { whole } from "./pieces.js";
import { afterStop, powerOf } from "./power.js";
import { PlanProblem } from "./problem.js";
import { lateStartMs, plannedFor, programmeOf } from "./programme.js";
import { recoveryOf } from "./recovery.js";
import { deadlines, lateIntervalMs, latestStartMs, storedMs } from "./schedule.js";
import { atSpot } from "./spot.js";
import { storageOf } from "./storage.js";
import { thinned } from "./supplies.js";
import { anchorEvents, clipMs, keyframeFrames, quickened } from "./timing.js";
import { besideLandmark, waits } from "./waits.js";

/**
 * The whole plan of a shot; changes may hold `night`, `start_ms`, `spot`, `exposure_shift_ev`, `interval_ms`,
 *   `stopped`,
 * `way`, `run`: see the twin. Throws PlanProblem.
 * @param {Brief} given @param {Sky} sky @param {Changes} changes @returns {Unnumbered}
 */
export function plan(given, sky, changes) {
  return whole(planning(given, sky, changes));
}

/**
 * The same in pieces, none of them long.
 * @param {Brief} given @param {Sky} sky @param {Changes} changes @returns {Generator<void, Unnumbered, void>}
 */
export function* planning(given, sky, changes) {
  const here = atSpot(given, changes);
  const night = nightOf(here, sky, { ...here.night, date: changes.night ?? here.night.date });
  const programme = programmeOf(here, night, changes);
  const { brief, timing, frames, before } = programme;
  const path = moved(brief, night, timing, frames);
  const set_to = path.settings;
  const run = makeLit(brief, night, timing, path);
  yield;
  const shown = picture({ brief, night, timing, path, lens: lensOf(brief) });
  yield;
  const exposure = exposureOf(given, sky, changes, run, path, shown.inside);
  const turned = turnsOf(brief, path, timing.frames);
  const opens = opensOf(brief, exposure);
  const look = lookOf(brief, turned);
  const stages = staged(path, timing);
  const budget = { ...mendedBudget(brief, timing, path, opens), ...exposed(brief, turned, timing, opens) };
  yield;
  const found = foundEvents(night, timing);
  yield;
  const events = windowEvents(night, timing, found, anchorEvents(brief, timing, frames));
  const keyframes = keyframesOf(programme, night, set_to);
  const swap = swapRange(brief, night, timing);
  const limited = limits(brief, night, timing);
  const power = powerOf(brief, night, timing, path, found, swap, exposure, before);
  const stop = changes.stopped ? recoveryOf({ brief, night, timing, opens }, path, changes.stopped) : null;
  const storage = storageOf(brief, night, timing, before.frames);
  const needs = measured(brief, night, timing, found);
  const grazes = grazesOf(night, timing);
  const { id, title, latitude_deg, longitude_deg } = brief.place;
  return {
    format: FORMAT,
    version: VERSION,
    shot: brief.shot,
    place: { id, title, latitude_deg, longitude_deg, limits: limited },
    changes,
    window: windowOf(programme, night, path, budget, opens),
    timing: timingOf(programme, changes.run),
    sky: {
      events,
      tones: tones(night, timing),
      moon: moon(night, timing, found),
      core: core(night, found),
      usable: usable(night, found),
      grazes,
      planets: planets(night, timing),
      arch: arch(night, timing),
    },
    keyframes,
    move: moveOf(brief, stages, path, look),
    interval_budget: budget,
    picture: shown,
    power: { ...power, rest: afterStop(power.supplies, night, timing, stop), supplies: power.supplies.map(thinned) },
    storage,
    exposure,
    light: lightOf(run),
    late: lateStart({ brief: here, night, timing, opens }, changes),
    recovery: stop,
    moments: moments(night, timing, events, keyframes, power.changes, limited, clickActs(exposure)),
    needs,
    warnings: warnings({
      ...{ brief, night, timing, settings: set_to, path, stages, budget, found, swap, limited, needs, grazes, look },
      ...{ power, storage, exposure, meant: keyframes.map(({ meant }) => meant) },
      picture: shown,
    }),
    brief,
  };
}

/**
 * What to do of a start that was changed to later; null of any other, and while the rig runs.
 * @param {Shot} shot @param {Changes} changes
 */
function lateStart(shot, changes) {
  const start_ms = lateStartMs(changes);
  return start_ms === undefined || changes.run ? null : lateBy(shot, changes, start_ms);
}

/**
 * The ways to start a shot late, instead of as changes have it; null for a start that is not later.
 * @param {Shot} shot @param {Changes} changes @param {number} start_ms
 */
export function lateBy(shot, changes, start_ms) {
  const planned = plannedFor(shot.brief, shot.night, changes);
  return lateOf({ ...shot, timing: planned, opens: carriedOver(shot.opens, shot.timing, planned) }, start_ms);
}

/**
 * The move through the keyframes at these frame positions; throws PlanProblem.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @param {number[]} frames
 */
export function moved(brief, night, timing, frames) {
  return pathThrough(brief, settings(brief, night, timing, frames), timing.frames);
}

/**
 * The budget of the worst frame, with the shortest interval that really works.
 * @param {Brief} brief @param {Timing} timing @param {Path} path @param {Opens} opens
 */
function mendedBudget(brief, timing, path, opens) {
  const budget = budgetOf(brief, timing, path, opens);
  if (budget.slack_ms >= 0) return budget;
  const works = mendedTo(brief, timing, path, opens, /** @type {number} */ (budget.shortest_interval_ms));
  return { ...budget, shortest_interval_ms: works && works.interval_ms, shortest_frames: works && works.to.frames };
}

/** @param {Programme} programme @param {Night} night @param {Path} path @param {Fit} budget @param {Opens} opens */
function windowOf(programme, night, path, budget, opens) {
  const { brief, timing } = programme;
  const closes_ms = timing.last_ms + brief.camera.release_lag_ms + brief.longest_shutter_ms;
  return {
    night: isoDate(night.day),
    start: stamp(night.spans, timing.start_ms),
    end: stamp(night.spans, timing.end_ms),
    last_frame: stamp(night.spans, timing.last_ms),
    last_shutter_closes: stamp(night.spans, closes_ms),
    late: latestStart(programme, night, path, budget, opens),
    deadlines: deadlines(brief, timing.prepared_ms).map(([id, ms]) => ({ id, time: stamp(night.spans, ms) })),
  };
}

/**
 * The latest start of the programme as it was told: how the rig runs shows only after it.
 * @param {Programme} programme @param {Night} night @param {Path} path @param {Fit} budget @param {Opens} opens
 * @returns {Plan["window"]["late"]}
 */
function latestStart({ brief, timing, told }, night, path, budget, opens) {
  const as_told = told === timing ? opens : carriedOver(opens, timing, told);
  const late_ms = lateIntervalMs(brief, told, told === timing ? budget : budgetOf(brief, told, path, as_told));
  return late_ms === null ? null : latestOf(brief, night, told, late_ms, as_told);
}

/**
 * The latest start, and the interval (and gap) that it takes; the planned ones where a later one fails.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @param {number} interval_ms @param {Opens} opens
 */
function latestOf(brief, night, timing, interval_ms, opens) {
  const late = quickened(timing, latestStartMs(timing, interval_ms), interval_ms);
  const last = works(brief, night, late, carriedOver(opens, timing, late)) ? late : timing;
  return {
    start: stamp(night.spans, last.start_ms),
    interval_ms: last.interval_ms,
    gap_ms: gapMs(brief, last.interval_ms),
  };
}

/**
 * Whether the same shot, timed otherwise, has its keyframes inside, room in its interval and time to move.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @param {Opens} opens
 */
function works(brief, night, timing, opens) {
  try {
    const path = moved(brief, night, timing, keyframeFrames(brief, night, timing));
    return budgetOf(brief, timing, path, opens).slack_ms >= 0 && tooFastAxes(brief, staged(path, timing)).length === 0;
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    return false;
  }
}

/**
 * interval_ms is what the rig is told to begin with; the segments have how it runs.
 * @param {Programme} programme @param {Run | undefined} run
 */
function timingOf({ brief, timing, before }, run) {
  const told_ms = timing.segments.map((segment) => toldMs(timing, segment));
  return {
    interval_ms: timing.keyed_ms,
    frames: timing.frames,
    frames_before: before.frames,
    duration_ms: elapsedMs(timing, timing.frames),
    fps: brief.fps,
    clip_ms: clipMs(brief, timing.frames),
    segments: timing.segments,
    run: run ? { start_ms: run.start_ms, ratio: run.ratio, told_ms } : null,
  };
}

/** @param {Programme} programme @param {Night} night @param {Setting[]} set_to */
function keyframesOf({ brief, timing, before }, night, set_to) {
  const last = set_to.length;
  const reverse = brief.order === "last-to-first";
  const stored_ms = before.frames > 0 ? timing.start_ms : storedMs(brief, timing.prepared_ms); // after a stop, until it rolls
  const frames = set_to.map(({ frame }) => frame);
  return set_to.map((setting, index) => {
    const { aim, sighting } = brief.keyframes[index];
    const ms = msOf(timing, setting.frame);
    const wait = waits(night, aim, ms / 1000, stored_ms / 1000);
    return {
      number: index + 1,
      name: nameOf(index + 1, last),
      rig_number: reverse ? last - index : index + 1,
      frame: setting.frame,
      nearest_frame: Math.floor(setting.frame + 0.5),
      time: stamp(night.spans, ms),
      meant: meantOf(brief, night, timing, frames, index),
      axes: setting.axes,
      aim,
      azimuth_deg: setting.azimuth_deg,
      altitude_deg: setting.altitude_deg,
      x: setting.x,
      y: setting.y,
      sighting,
      landmark: besideLandmark(brief, setting),
      waits: wait && { ...wait, time: stamp(night.spans, stored_ms) },
      in_frame: inFrame(brief, night, setting.axes, ms / 1000, aim?.target),
    };
  });
}

/**
 * Order of setting, what each axis does, how it looks, and the way back that setting first-to-last costs.
 * @param {Brief} brief @param {Stage[]} stages @param {Path} path @param {Plan["move"]["look"]} look
 */
function moveOf(brief, stages, path, look) {
  const set_to = path.settings;
  const numbers = set_to.map((_, index) => index + 1);
  const reverse = brief.order === "last-to-first" || set_to.length < 2;
  const ends = reverse ? [] : Object.entries(set_to[set_to.length - 1].axes);
  const back = Object.fromEntries(ends.map(([name, value]) => [name, set_to[0].axes[name] - value]));
  const set_order = reverse ? numbers.reverse() : numbers;
  const way = Object.entries(largestOf(stages)).map(([name, step]) => [
    name,
    { ...step, top_speed: topSpeed(brief, name, stages) },
  ]);
  return {
    joins: brief.rig.joins,
    order: brief.order,
    set_order,
    drives: drives(brief.rig.axes, set_to, set_order),
    first_moving_frame: path.warp && path.warp.first,
    last_moving_frame: path.warp && path.warp.last,
    way: Object.fromEntries(way),
    look,
    travel_back: reverse ? null : back,
    travel_back_s: reverse ? 0 : driveS(brief.rig.axes, wayBack(brief.rig.axes, set_to)),
  };
}
