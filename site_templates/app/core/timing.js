// twin: fieldsheet/plan/timing.py
// Window, interval and frames of a shot, in whole milliseconds.

import { following, isDoubled, opening } from "./anchors.js";
import { settableMs } from "./keyed.js";
import { PlanProblem } from "./problem.js";

export const MINUTE_MS = 60000;
const MOST_FRAMES = 100000;
const MOST_MS = 24 * 3600000;

/**
 * Frame n starts at start_ms + (n - 1) x interval_ms; keyframe anchors are looked up after anchor_start_ms; anchored
 * are the events that start and end hang on, doubled those of the two whose clock time comes twice; asked_ms is the
 * duration that was asked for.
 */
function makeTiming({ start_ms, interval_ms, frames, anchor_start_ms, anchored, doubled, asked_ms }) {
  if (frames < 2 || frames > MOST_FRAMES) {
    throw new PlanProblem("problem.frames", { frames, most: MOST_FRAMES, interval: interval_ms }, "interval_s");
  }
  if (frames * interval_ms > MOST_MS) {
    throw new PlanProblem("problem.too-long", { frames, interval: interval_ms }, "frames");
  }
  const end_ms = start_ms + frames * interval_ms;
  return { start_ms, interval_ms, frames, anchor_start_ms, anchored, doubled, asked_ms, end_ms };
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

/** The edge that the brief gives under `key`, searched in the night or after a start; null if it gives none. */
function edgeOf(brief, night, key, start_ms) {
  const anchor = brief[key];
  if (anchor === null) return null;
  const at_s = start_ms === null ? opening(night, anchor, key) : following(night, anchor, start_ms / 1000, key);
  if ("event" in anchor) {
    return { ms: at_s * 1000, anchored: [[(at_s - anchor.offset_s) * 1000, anchor.event]], doubled: [] };
  }
  return { ms: at_s * 1000, anchored: [], doubled: isDoubled(night, at_s) ? [key] : [] };
}

function fromBrief(brief, night) {
  const start = edgeOf(brief, night, "start", null);
  let start_ms = start ? toMinute(start.ms) : null;
  const end = edgeOf(brief, night, "end", start_ms);
  const duration_ms = duration(brief, start_ms, end ? end.ms : null);
  if (start_ms === null) start_ms = toMinute(end.ms - duration_ms);
  const edges = [start, end].filter((edge) => edge !== null);
  return makeTiming({
    ...divided(brief, duration_ms),
    start_ms,
    anchor_start_ms: start_ms,
    anchored: edges.flatMap(({ anchored }) => anchored),
    doubled: edges.flatMap(({ doubled }) => doubled),
    asked_ms: duration_ms,
  });
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
  const asked_ms = planned.asked_ms + (brief.end !== null ? planned.start_ms - start_ms : 0);
  return makeTiming({ ...planned, start_ms, frames, doubled, asked_ms });
}

function duration(brief, start_ms, end_ms) {
  if (brief.duration_ms !== null) return brief.duration_ms;
  if (start_ms !== null && end_ms !== null) return end_ms - start_ms;
  return brief.interval_ms * brief.frames;
}

/** The one of interval and frames that the brief leaves open follows from the duration. */
function divided(brief, duration_ms) {
  let { interval_ms, frames } = brief;
  if (interval_ms === null) interval_ms = settableMs(brief, Math.ceil(duration_ms / frames));
  if (frames === null) frames = Math.floor(duration_ms / interval_ms);
  return { interval_ms, frames };
}

/** Real frame position of each keyframe, ascending inside 1..frames; else PlanProblem. */
export function keyframeFrames(brief, night, timing) {
  const frames = brief.keyframes.map(({ at }, index) => frameOf(at, night, timing, `keyframe.${index}.at`));
  frames.forEach((frame, index) => {
    const earliest = index > 0 ? frames[index - 1] : 0;
    if (earliest < frame && frame <= timing.frames && frame >= 1) return;
    const args = { number: index + 1, clock: msOf(timing, frame), frame };
    const limits = { after: Math.max(earliest, 1), frames: timing.frames };
    throw new PlanProblem("problem.keyframe-outside", { ...args, ...limits }, `keyframe.${index}.at`);
  });
  return frames;
}

/** [ms UTC, name] of the events that start, end and keyframes hang on, inside the window or not. */
export function anchorEvents(brief, timing, frames) {
  const met = brief.keyframes.flatMap(({ at }, index) =>
    "event" in at ? [[msOf(timing, frames[index]) - at.offset_s * 1000, at.event]] : [],
  );
  return [...timing.anchored, ...met];
}

/** Real frame position that a place on the shot means, inside 1..frames or not. */
export function frameOf(at, night, timing, key) {
  if ("frame" in at) return at.frame;
  if ("fraction" in at) return 1 + at.fraction * (timing.frames - 1);
  return frameAt(timing, following(night, at, timing.anchor_start_ms / 1000, key) * 1000);
}

function toMinute(ms) {
  return Math.floor((ms + MINUTE_MS / 2) / MINUTE_MS) * MINUTE_MS;
}
