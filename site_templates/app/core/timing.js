// twin: fieldsheet/plan/timing.py
// Window, interval and frames of a shot, in whole milliseconds.

import { following, isDoubled, opening } from "./anchors.js";
import { PlanProblem } from "./problem.js";

const MINUTE_MS = 60000;
const MOST_FRAMES = 100000;

/** Frame n starts at start_ms + (n - 1) x interval_ms; keyframe anchors are looked up after anchor_start_ms. */
function makeTiming(start_ms, interval_ms, frames, anchor_start_ms, doubled) {
  return { start_ms, interval_ms, frames, anchor_start_ms, doubled, end_ms: start_ms + frames * interval_ms };
}

/** Real frame position at an instant [ms UTC]: 1 at the start. */
export function frameAt(timing, utc_ms) {
  return 1 + (utc_ms - timing.start_ms) / timing.interval_ms;
}

/** Instant [ms UTC] of a real frame position. */
export function msOf(timing, frame) {
  return timing.start_ms + Math.trunc((frame - 1) * timing.interval_ms + 0.5);
}

/** What the brief leaves open among start, end, duration, interval and frames; exactly three are given. */
export function solve(brief, night, start_change_ms) {
  const planned = fromBrief(brief, night);
  if (start_change_ms === null) return planned;
  return startedAt(brief, planned, start_change_ms);
}

function fromBrief(brief, night) {
  let start_ms = null;
  let end_ms = null;
  const doubled = [];
  if (brief.start !== null) {
    const start_s = opening(night, brief.start, "start");
    start_ms = toMinute(start_s * 1000);
    if ("clock_s" in brief.start && isDoubled(night, start_s)) doubled.push("start");
  }
  if (brief.end !== null) {
    const end_s =
      start_ms === null ? opening(night, brief.end, "end") : following(night, brief.end, start_ms / 1000, "end");
    end_ms = end_s * 1000;
    if ("clock_s" in brief.end && isDoubled(night, end_s)) doubled.push("end");
  }
  const duration_ms = duration(brief, start_ms, end_ms);
  if (start_ms === null) start_ms = toMinute(end_ms - duration_ms);
  return divided(brief, start_ms, duration_ms, start_ms, doubled);
}

/** Another start: a given end stays and costs frames; else all frames are kept and the end moves. */
function startedAt(brief, planned, start_ms) {
  const doubled = planned.doubled.filter((key) => key !== "start");
  let { frames } = planned;
  if (brief.end !== null) {
    if (start_ms >= planned.end_ms) {
      throw new PlanProblem("problem.start-after-end", { start: start_ms, end: planned.end_ms }, "start");
    }
    frames = Math.floor((planned.end_ms - start_ms) / planned.interval_ms);
  }
  return counted(start_ms, planned.interval_ms, frames, planned.anchor_start_ms, doubled);
}

function duration(brief, start_ms, end_ms) {
  if (brief.duration_ms !== null) return brief.duration_ms;
  if (start_ms !== null && end_ms !== null) return end_ms - start_ms;
  return brief.interval_ms * brief.frames;
}

function divided(brief, start_ms, duration_ms, anchor_start_ms, doubled) {
  let { interval_ms, frames } = brief;
  if (interval_ms === null) interval_ms = upTo(Math.ceil(duration_ms / frames), brief.rig.interval_step_ms);
  if (frames === null) frames = Math.floor(duration_ms / interval_ms);
  return counted(start_ms, interval_ms, frames, anchor_start_ms, doubled);
}

function counted(start_ms, interval_ms, frames, anchor_start_ms, doubled) {
  if (frames < 2 || frames > MOST_FRAMES) {
    throw new PlanProblem("problem.frames", { frames, most: MOST_FRAMES, interval: interval_ms }, "interval_s");
  }
  return makeTiming(start_ms, interval_ms, frames, anchor_start_ms, doubled);
}

/** Real frame position of each keyframe, ascending inside 1..frames; else PlanProblem. */
export function keyframeFrames(brief, night, timing) {
  const frames = [];
  brief.keyframes.forEach((keyframe, index) => {
    const key = `keyframe.${index}.at`;
    const frame = frameOf(keyframe.at, night, timing, key);
    const earliest = frames.length > 0 ? frames[frames.length - 1] : 0;
    if (!(earliest < frame && frame <= timing.frames) || frame < 1) {
      throw new PlanProblem(
        "problem.keyframe-outside",
        {
          number: index + 1,
          clock: msOf(timing, frame),
          frame,
          after: Math.max(earliest, 1),
          frames: timing.frames,
        },
        key,
      );
    }
    frames.push(frame);
  });
  return frames;
}

/** [ms UTC, name] of the events that start, end and keyframes hang on, inside the window or not. */
export function anchorEvents(brief, night, timing) {
  const { start, end } = brief;
  const anchored = start ? [[start, opening(night, start, "start")]] : [];
  const anchor_start_s = timing.anchor_start_ms / 1000;
  if (end) {
    anchored.push([end, start ? following(night, end, anchor_start_s, "end") : opening(night, end, "end")]);
  }
  brief.keyframes.forEach(({ at }, index) => {
    if ("event" in at) anchored.push([at, following(night, at, anchor_start_s, `keyframe.${index}.at`)]);
  });
  return anchored
    .filter(([at]) => "event" in at)
    .map(([at, instant]) => [(instant - at.offset_s) * 1000, at.event]);
}

function frameOf(at, night, timing, key) {
  if ("frame" in at) return at.frame;
  if ("fraction" in at) return 1 + at.fraction * (timing.frames - 1);
  return frameAt(timing, following(night, at, timing.anchor_start_ms / 1000, key) * 1000);
}

function toMinute(ms) {
  return Math.floor((ms + MINUTE_MS / 2) / MINUTE_MS) * MINUTE_MS;
}

function upTo(value, step) {
  return Math.ceil(value / step) * step;
}
