// twin: fieldsheet/plan/plan.py
// plan(brief, sky, changes): one shot on one night, whole.  Pure: no clock, no storage, no page.

import { limits, moments, swapRange } from "./acts.js";
import { mustReach, nightOf } from "./anchors.js";
import { lensOf } from "./aim.js";
import { arch } from "./arch.js";
import { intervalBudget, mendedIntervalMs } from "./budget.js";
import { tooFastAxes, warnings } from "./cautions.js";
import { isoDate, stamp } from "./civil.js";
import { drives } from "./drives.js";
import { exposureOf } from "./exposure.js";
import { gapMs } from "./keyed.js";
import { settings } from "./keyframes.js";
import { makeLit } from "./lit.js";
import { exposed, lookOf } from "./look.js";
import { largestSteps, pathThrough, slowestS, topSpeed } from "./move.js";
import { core, foundEvents, grazes as grazesOf, inFrame, moon, planets, tones, usable, windowEvents } from "./nightsky.js";
import { measured } from "./needs.js";
import { picture } from "./picture.js";
import { powerOf } from "./power.js";
import { PlanProblem } from "./problem.js";
import { deadlines, lateIntervalMs, latestStartMs, storedMs } from "./schedule.js";
import { atSpot } from "./spot.js";
import { storageOf } from "./storage.js";
import { thinned } from "./supplies.js";
import { anchorEvents, keyframeFrames, msOf, solve } from "./timing.js";
import { besideLandmark, waits } from "./waits.js";

export const FORMAT = "fieldsheet plan";
export const VERSION = 1;

/** The whole plan of a shot; changes may hold `night`, `start_ms`, `spot`. Throws PlanProblem. */
export function plan(given, sky, changes) {
  const brief = atSpot(given, changes);
  const night = nightOf(brief, sky, { ...brief.night, date: changes.night ?? brief.night.date });
  const timing = solve(brief, night, changes.start_ms ?? null);
  mustReach(night, timing.start_ms / 1000, timing.end_ms / 1000);
  const frames = keyframeFrames(brief, night, timing);
  const { path, steps } = moved(brief, night, timing, frames);
  const set_to = path.settings;
  const run = makeLit(brief, night, timing, path);
  const exposure = exposureOf(given, sky, changes, run, path);
  const look = lookOf(brief, path, timing.frames);
  const budget = { ...budgetOf(brief, timing, path, steps), ...exposed(brief, look, timing.interval_ms) };
  const found = foundEvents(night, timing);
  const events = windowEvents(night, timing, found, anchorEvents(brief, timing, frames));
  const keyframes = keyframesOf(brief, night, timing, set_to);
  const swap = swapRange(brief, night, timing);
  const limited = limits(brief, night, timing);
  const power = powerOf(brief, night, timing, path, found, swap);
  const storage = storageOf(brief, night, timing);
  const needs = measured(brief, night, timing, found);
  const grazes = grazesOf(night, timing);
  const shown = picture({ brief, night, timing, path, lens: lensOf(brief) });
  const { id, title, latitude_deg, longitude_deg } = brief.place;
  return {
    format: FORMAT,
    version: VERSION,
    shot: brief.shot,
    place: { id, title, latitude_deg, longitude_deg, limits: limited },
    changes,
    window: windowOf(brief, night, timing, budget),
    timing: timingOf(brief, timing),
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
    move: moveOf(brief, timing, steps, path, look),
    interval_budget: budget,
    picture: shown,
    power: { ...power, supplies: power.supplies.map(thinned) },
    storage,
    exposure,
    moments: moments(timing, events, keyframes, power.swap, limited),
    needs,
    warnings: warnings({
      ...{ brief, night, timing, settings: set_to, path, steps, budget, found, swap, limited, needs, grazes, look },
      ...{ power, storage, exposure },
      picture: shown,
    }),
    brief,
  };
}

/** The move through the keyframes at these frame positions, and its largest steps; throws PlanProblem. */
function moved(brief, night, timing, frames) {
  const path = pathThrough(brief, settings(brief, night, timing, frames), timing.frames);
  return { path, steps: largestSteps(path, timing.frames) };
}

/** The budget of an interval, with the shortest one that really works. */
function budgetOf(brief, timing, path, steps) {
  const budget = intervalBudget(brief, steps, timing.interval_ms);
  if (budget.slack_ms >= 0) return budget;
  const shortest_interval_ms = mendedIntervalMs(brief, timing, path, budget.shortest_interval_ms);
  return { ...budget, shortest_interval_ms };
}

function windowOf(brief, night, timing, budget) {
  const last_ms = timing.end_ms - timing.interval_ms;
  const closes_ms = last_ms + brief.camera.release_lag_ms + brief.longest_shutter_ms;
  const late_ms = lateIntervalMs(brief, timing, budget);
  return {
    night: isoDate(night.day),
    start: stamp(night.spans, timing.start_ms),
    end: stamp(night.spans, timing.end_ms),
    last_frame: stamp(night.spans, last_ms),
    last_shutter_closes: stamp(night.spans, closes_ms),
    late: late_ms && lateOf(brief, night, timing, late_ms),
    deadlines: deadlines(brief, timing.start_ms).map(([id, ms]) => ({ id, time: stamp(night.spans, ms) })),
  };
}

/** The latest start, and the interval (and gap) that it takes; the planned ones where a later one fails. */
function lateOf(brief, night, timing, interval_ms) {
  const late = { ...timing, start_ms: latestStartMs(timing, interval_ms), interval_ms };
  late.end_ms = late.start_ms + late.frames * late.interval_ms;
  const last = works(brief, night, late) ? late : timing;
  return {
    start: stamp(night.spans, last.start_ms),
    interval_ms: last.interval_ms,
    gap_ms: gapMs(brief, last.interval_ms),
  };
}

/** Whether the same shot, timed otherwise, has its keyframes inside, room in its interval and time to move. */
function works(brief, night, timing) {
  try {
    const { steps } = moved(brief, night, timing, keyframeFrames(brief, night, timing));
    const fits = intervalBudget(brief, steps, timing.interval_ms).slack_ms >= 0;
    return fits && tooFastAxes(brief, steps, timing.interval_ms).length === 0;
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    return false;
  }
}

function timingOf(brief, timing) {
  const [rate, scale] = brief.fps;
  return {
    interval_ms: timing.interval_ms,
    frames: timing.frames,
    duration_ms: timing.frames * timing.interval_ms,
    fps: brief.fps,
    clip_ms: Math.floor((timing.frames * 1000 * scale) / rate + 0.5),
    segments: [{ first_frame: 1, start_ms: timing.start_ms, interval_ms: timing.interval_ms }],
  };
}

function keyframesOf(brief, night, timing, set_to) {
  const last = set_to.length;
  const reverse = brief.order === "last-to-first";
  const stored_ms = storedMs(brief, timing.start_ms);
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
      axes: setting.axes,
      aim,
      azimuth_deg: setting.azimuth_deg,
      altitude_deg: setting.altitude_deg,
      x: setting.x,
      y: setting.y,
      sighting,
      landmark: besideLandmark(brief, setting),
      waits: wait && { ...wait, time: stamp(night.spans, stored_ms) },
      in_frame: inFrame(brief, night, setting, ms / 1000, aim?.target),
    };
  });
}

function nameOf(number, last) {
  if (last === 1) return "keyframe.only";
  if (number === 1) return "keyframe.start";
  if (number === last) return "keyframe.end";
  return last === 3 ? "keyframe.middle" : "keyframe.between";
}

/** Order of setting, what each axis does, how it looks, and the way back that setting first-to-last costs. */
function moveOf(brief, timing, steps, path, look) {
  const set_to = path.settings;
  const numbers = set_to.map((_, index) => index + 1);
  const reverse = brief.order === "last-to-first" || set_to.length < 2;
  const ends = reverse ? [] : Object.entries(set_to[set_to.length - 1].axes);
  const back = Object.fromEntries(ends.map(([name, value]) => [name, set_to[0].axes[name] - value]));
  const set_order = reverse ? numbers.reverse() : numbers;
  const way = Object.entries(steps).map(([name, step]) => [
    name,
    { ...step, top_speed: topSpeed(brief, name, step.step, timing.interval_ms) },
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
    travel_back_s: slowestS(back, brief.rig.axes),
  };
}
