// twin: fieldsheet/plan/meant.py
// A keyframe meant for an event: how far off it falls, and what puts it there.

import { nearestEvent, occurrences, wholeSecond } from "./anchors.js";
import { DAY_S, stamp } from "./civil.js";
import { RIDGE_EVENTS } from "./events.js";
import { frameAt, msOf } from "./pace.js";
import { caution } from "./planned.js";
import { PlanProblem } from "./problem.js";
import { MINUTE_MS, MOST_MS, keyframeFrames, solve, toMinute } from "./timing.js";

const ENOUGH_MS = 3 * MINUTE_MS;
const TRIES = 6;

/**
 * The event nearest to a keyframe that is meant for it, and what would put it there; null for another; see the twin.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @param {number[]} frames @param {number} index
 * @returns {PlanKeyframe["meant"]}
 */
export function meantOf(brief, night, timing, frames, index) {
  const anchor = brief.keyframes[index].meant_for;
  if (anchor === null) return null;
  const here_ms = msOf(timing, frames[index]);
  const event_ms = eventMs(night, anchor, here_ms);
  const mends = { start: null, end: null, split: null };
  if (event_ms === null) return { ...anchor, time: null, off_ms: null, ...mends, ...nearestOf(night, anchor, here_ms) };
  const off = { ...anchor, time: stamp(night.spans, event_ms), off_ms: here_ms - event_ms };
  if ("kept" in brief.keyframes[index]) return { ...off, ...mends };
  return {
    ...off,
    start: startOf(brief, night, timing, index, event_ms),
    end: endOf(brief, night, timing, index, event_ms),
    split: splitOf(brief, timing, frames, index, event_ms),
  };
}

/**
 * Keyframes that fall by more than ENOUGH_MS off what they are meant for, with the least that mends it.
 * @param {Planned} planned
 */
export function offEvent({ meant, timing }) {
  return meant.flatMap((row, index) => {
    if (row === null) return [];
    const { event, offset_s, time, off_ms, before, after } = row;
    const args = { number: index + 1, meant: { event, offset_s } };
    if (time === null || off_ms === null) return [caution("mind", "meant-never", { ...args, before, after })];
    if (Math.abs(off_ms) <= ENOUGH_MS) return [];
    const off = {
      off: toMinute(Math.abs(off_ms)),
      clock: time.utc_ms,
      side: off_ms > 0 ? "when.after" : "when.before",
    };
    return [caution("mind", "meant-off", { ...args, ...off, mend: mendOf(timing, row, index + 1) })];
  });
}

/** @param {Night} night @param {EventAt} anchor */
const isRidgeless = (night, { event }) => event in RIDGE_EVENTS && night.site.ridge.length === 0;

/** @param {Night} night @param {EventAt} anchor @param {number} around_ms @returns {number | null} */
function eventMs(night, anchor, around_ms) {
  if (isRidgeless(night, anchor)) return null;
  const middle_s = around_ms / 1000 - anchor.offset_s;
  const found = occurrences(night, anchor.event, middle_s - DAY_S / 2, middle_s + DAY_S / 2);
  const moments = found.map((at_s) => (wholeSecond(at_s) + anchor.offset_s) * 1000);
  const off = (/** @type {number} */ ms) => Math.abs(ms - around_ms);
  return moments.length === 0 ? null : moments.reduce((best, ms) => (off(ms) < off(best) ? ms : best));
}

/** @param {Night} night @param {EventAt} anchor @param {number} around_ms */
function nearestOf(night, anchor, around_ms) {
  if (isRidgeless(night, anchor)) return { before: null, after: null };
  const middle_s = around_ms / 1000 - anchor.offset_s;
  const [before, after] = /** @type {const} */ ([-1, 1]).map((way) =>
    nearestEvent(night, anchor.event, middle_s + (way * DAY_S) / 2, way),
  );
  return { before, after };
}

/**
 * The whole minute of a start with which the keyframe falls nearest to the event.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @param {number} index @param {number} event_ms
 */
function startOf(brief, night, timing, index, event_ms) {
  const { at } = brief.keyframes[index];
  const keeps = brief.end === null ? "frames" : "end";
  if (!("frame" in at) && !("fraction" in at)) return null;
  const moves = keeps === "end" && "fraction" in at ? 1 - at.fraction : 1;
  if (moves === 0) return null;
  let tried = timing;
  let best = timing;
  for (let round = 0; round < TRIES; round += 1) {
    const start_ms = Math.floor((tried.start_ms - offMs(at, tried, event_ms) / moves) / MINUTE_MS + 0.5) * MINUTE_MS;
    if (start_ms === tried.start_ms) break;
    const moved = orNull(() => solve(brief, night, start_ms));
    if (moved === null) return null;
    tried = moved;
    if (Math.abs(offMs(at, tried, event_ms)) < Math.abs(offMs(at, best, event_ms))) best = tried;
  }
  // A shot that starts late cannot start earlier.
  if (best.start_ms < timing.start_ms && timing.anchor_start_ms < timing.start_ms) return null;
  const offer = offerOf(brief, night, best, index, event_ms);
  return offer && { time: stamp(night.spans, best.start_ms), ...offer, keeps };
}

/**
 * The end, by whole frames, with which the keyframe falls nearest to the event.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @param {number} index @param {number} event_ms
 */
function endOf(brief, night, timing, index, event_ms) {
  const { at } = brief.keyframes[index];
  if (!("fraction" in at) || at.fraction === 0) return null;
  const { fraction } = at;
  const frames = Math.floor(1 + (frameAt(timing, event_ms) - 1) / fraction + 0.5);
  if (frames < 2) return null;
  const ended = { ...timing, frames, end_ms: msOf(timing, frames + 1) };
  if (ended.end_ms - ended.start_ms > MOST_MS) return null;
  const offer = offerOf(brief, night, ended, index, event_ms);
  return offer && { time: stamp(night.spans, ended.end_ms), ...offer };
}

/**
 * What a timing comes to; null where the keyframe stays off, or others then lie outside the shot.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @param {number} index @param {number} event_ms
 */
function offerOf(brief, night, timing, index, event_ms) {
  const off_ms = offMs(/** @type {OnShot} */ (brief.keyframes[index].at), timing, event_ms);
  const holds = Math.abs(off_ms) <= ENOUGH_MS && orNull(() => keyframeFrames(brief, night, timing)) !== null;
  return holds ? { frames: timing.frames, off_ms } : null;
}

/** @param {OnShot} at @param {Timing} timing @param {number} event_ms */
function offMs(at, timing, event_ms) {
  return msOf(timing, "frame" in at ? at.frame : 1 + at.fraction * (timing.frames - 1)) - event_ms;
}

/** @template T @param {() => T} task @returns {T | null} */
function orNull(task) {
  try {
    return task();
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    return null;
  }
}

/**
 * Where in the shot the event falls; null for its first and last keyframe, and beyond a neighbour.
 * @param {Brief} brief @param {Timing} timing @param {number[]} frames @param {number} index @param {number} event_ms
 */
function splitOf({ rig }, timing, frames, index, event_ms) {
  if (index === 0 || index === frames.length - 1) return null;
  const frame = frameAt(timing, event_ms);
  if (!(frames[index - 1] < frame && frame < frames[index + 1])) return null;
  const is_fixed = frames.length === 3 && rig.keyframes?.middle === "halfway";
  return { frame, share: (frame - 1) / (timing.frames - 1), free: !is_fixed };
}

/**
 * What changes least of all that there is, as a message.
 * @param {Timing} timing @param {NonNullable<PlanKeyframe["meant"]>} meant @param {number} number
 */
function mendOf(timing, { start, end, split }, number) {
  if (split?.free) return { id: "mend.free", args: { number, frame: split.frame } };
  const moved = [
    ...(start ? [{ name: "start", edge: start, by_ms: Math.abs(start.time.utc_ms - timing.start_ms) }] : []),
    ...(end ? [{ name: "end", edge: end, by_ms: Math.abs(end.time.utc_ms - timing.end_ms) }] : []),
  ];
  if (moved.length > 0) {
    const { name, edge, by_ms } = moved.reduce((best, row) => (row.by_ms < best.by_ms ? row : best));
    return { id: `mend.${name}`, args: { by: toMinute(by_ms), to: edge.time.utc_ms, frames: edge.frames } };
  }
  if (split) return { id: "mend.split", args: { frame: split.frame, share: split.share * 100 } };
  return { id: "mend.lost", args: {} };
}
