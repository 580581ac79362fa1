// twin: fieldsheet/plan/plan.py
// plan(brief, sky, changes): one shot on one night, whole.  Pure: no clock, no storage, no page.

import { nightOf } from "./anchors.js";
import { intervalBudget, mendedIntervalMs } from "./budget.js";
import { warnings } from "./cautions.js";
import { isoDate, stamp } from "./civil.js";
import { EVENTS, findEvents } from "./events.js";
import { settings } from "./keyframes.js";
import { tone } from "./light.js";
import { largestSteps, pathThrough, slowestS } from "./move.js";
import { horizontal } from "./sky.js";
import { anchorEvents, frameAt, keyframeFrames, msOf, solve } from "./timing.js";

export const FORMAT = "fieldsheet plan";
export const VERSION = 1;
const TONES = 48;

/** The whole plan of a shot; changes may hold `night` (date) and `start_ms` (ms UTC). Throws PlanProblem. */
export function plan(brief, sky, changes) {
  const night = nightOf(brief, sky, { ...brief.night, date: changes.night ?? brief.night.date });
  const timing = solve(brief, night, changes.start_ms ?? null);
  const frames = keyframeFrames(brief, night, timing);
  const set_to = settings(brief, night, timing, frames);
  const path = pathThrough(brief, set_to, timing.frames);
  const steps = largestSteps(path, timing.frames);
  const budget = intervalBudget(brief, steps, timing.interval_ms);
  if (budget.slack_ms < 0) {
    budget.shortest_interval_ms = mendedIntervalMs(brief, timing, path, budget.shortest_interval_ms);
  }
  const events = eventsOf(night, timing, anchorEvents(brief, timing, frames));
  const keyframes = keyframesOf(brief, night, timing, set_to);
  const { id, title, latitude_deg, longitude_deg } = brief.place;
  return {
    format: FORMAT,
    version: VERSION,
    shot: brief.shot,
    place: { id, title, latitude_deg, longitude_deg },
    changes,
    window: windowOf(brief, night, timing),
    timing: timingOf(brief, timing),
    sky: { events, tones: tonesOf(night, timing) },
    keyframes,
    move: moveOf(brief, set_to, steps, path.warp),
    interval_budget: budget,
    moments: momentsOf(events, keyframes, timing),
    warnings: warnings({ brief, night, timing, settings: set_to, path, steps, budget }),
    brief,
  };
}

function windowOf(brief, night, timing) {
  const last_ms = timing.end_ms - timing.interval_ms;
  const closes_ms = last_ms + brief.camera.release_lag_ms + brief.longest_shutter_ms;
  return {
    night: isoDate(night.day),
    start: stamp(night.spans, timing.start_ms),
    end: stamp(night.spans, timing.end_ms),
    last_frame: stamp(night.spans, last_ms),
    last_shutter_closes: stamp(night.spans, closes_ms),
  };
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

/** Every event of the sky in the window, and those that the shot hangs on, in order of time. */
function eventsOf(night, timing, anchors) {
  const order = Object.keys(EVENTS);
  const inside = order.flatMap((name) =>
    findEvents(night.sky, night.site, name, timing.start_ms / 1000, timing.end_ms / 1000).map((t_s) => ({
      name,
      ms: Math.trunc(t_s + 0.5) * 1000,
    })),
  );
  const anchored = anchors.map(([ms, name]) => ({ name, ms }));
  const each = new Map([...inside, ...anchored].map((event) => [`${event.ms} ${event.name}`, event]));
  return [...each.values()]
    .sort((a, b) => a.ms - b.ms || order.indexOf(a.name) - order.indexOf(b.name))
    .map(({ name, ms }) => ({ event: name, time: stamp(night.spans, ms), frame: frameAt(timing, ms) }));
}

/** Tone of the light in the middle of each of TONES equal parts of the window. */
function tonesOf(night, timing) {
  const span_ms = timing.end_ms - timing.start_ms;
  return Array.from({ length: TONES }, (_, part) => {
    const t_s = (timing.start_ms + (span_ms * (part + 0.5)) / TONES) / 1000;
    return tone(horizontal(night.sky, night.site, "sun", t_s).altitude_deg);
  });
}

function keyframesOf(brief, night, timing, set_to) {
  const last = set_to.length;
  const reverse = brief.order === "last-to-first";
  return set_to.map((setting, index) => ({
    number: index + 1,
    name: nameOf(index + 1, last),
    rig_number: reverse ? last - index : index + 1,
    frame: setting.frame,
    nearest_frame: Math.floor(setting.frame + 0.5),
    time: stamp(night.spans, msOf(timing, setting.frame)),
    axes: setting.axes,
    aim: brief.keyframes[index].aim,
    azimuth_deg: setting.azimuth_deg,
    altitude_deg: setting.altitude_deg,
    x: setting.x,
    y: setting.y,
    sighting: brief.keyframes[index].sighting,
  }));
}

function nameOf(number, last) {
  if (number === 1) return "keyframe.start";
  if (number === last) return "keyframe.end";
  return last === 3 ? "keyframe.middle" : "keyframe.between";
}

/** Order of setting, the largest step of each axis, and the way back that setting first-to-last costs. */
function moveOf(brief, set_to, steps, warp) {
  const numbers = set_to.map((_, index) => index + 1);
  const reverse = brief.order === "last-to-first";
  const first = set_to[0].axes;
  const back = Object.fromEntries(
    Object.entries(set_to[set_to.length - 1].axes).map(([name, value]) => [name, first[name] - value]),
  );
  return {
    order: brief.order,
    set_order: reverse ? numbers.reverse() : numbers,
    first_moving_frame: warp.first,
    last_moving_frame: warp.last,
    largest_step: steps,
    travel_back: reverse ? null : back,
    travel_back_s: reverse ? 0 : slowestS(back, brief.rig.axes),
  };
}

/** What lies along the run strip: the sky's doings on one side, the hand's on the other, by frame. */
function momentsOf(events, keyframes, timing) {
  const sky = events
    .filter(({ frame }) => frame >= 1 && frame <= timing.frames)
    .map(({ event, frame, time }) => ({ side: "sky", kind: "event", id: `event.${event}`, frame, time }));
  const hand = keyframes.map(({ number, frame, time }) => ({
    side: "hand",
    kind: "keyframe",
    id: "moment.keyframe",
    args: { number },
    frame,
    time,
  }));
  return [...sky, ...hand].sort((a, b) => a.frame - b.frame);
}
