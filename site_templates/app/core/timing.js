// twin: fieldsheet/plan/timing.py
// Window, interval and frames of a shot, in whole milliseconds.

import { following, isDoubled, opening } from "./anchors.js";
import { settableMs } from "./keyed.js";
import { elapsedMs, frameAt, msOf, paced, toldMs } from "./pace.js";
import { PlanProblem } from "./problem.js";

export const MINUTE_MS = 60000;
const MOST_FRAMES = 100000;
export const MOST_MS = 24 * 3600000;

/**
 * Keyframes and phases are looked up after anchor_start_ms; anchored are the events that start, end and phases hang on,
 * doubled those of start and end whose clock time comes twice; asked_ms is the duration that was asked for; phases: the
 * opening interval, then the changes of it that were asked for, as they are keyed in: the segments have how the rig
 *   runs;
 * ready_ms: the start that all is got ready for, where that is another. Throws PlanProblem for too few frames, or too
 *   many.
 * @param {Counted} timing @returns {Timing}
 */
export function counted(timing) {
  const { frames } = timing;
  const { interval_ms } = timing.segments[0];
  if (frames < 2 || frames > MOST_FRAMES) {
    throw new PlanProblem("problem.frames", { frames, most: MOST_FRAMES, interval: interval_ms }, "interval_s");
  }
  if (elapsedMs(timing, frames) > MOST_MS) {
    throw new PlanProblem("problem.too-long", { frames, interval: interval_ms }, "frames");
  }
  return timed(timing);
}

/** The same with what follows from its segments. @param {Counted} timing @returns {Timing} */
function timed(timing) {
  const [first] = timing.segments;
  const { start_ms, interval_ms } = first;
  const edges = { end_ms: msOf(timing, timing.frames + 1), last_ms: msOf(timing, timing.frames) };
  const keyed = { keyed_ms: toldMs(timing, first), prepared_ms: timing.ready_ms ?? start_ms };
  return { ...timing, start_ms, interval_ms, ...edges, ...keyed };
}

/** The same, got ready for another start [ms UTC]. @param {Timing} timing @param {number} ready_ms */
export function readyFor(timing, ready_ms) {
  return timed({ ...timing, ready_ms });
}

/**
 * What the brief leaves open among start, end, duration, interval and frames; exactly three are given. Then with
 *   another
 * opening interval, then with another start, where these are asked for.
 * @param {Brief} brief @param {Night} night @param {number | null} start_change_ms @param {number | null} [interval_ms]
 */
export function solve(brief, night, start_change_ms, interval_ms = null) {
  const solved = fromBrief(brief, night);
  const planned = interval_ms === null ? solved : atInterval(brief, solved, interval_ms);
  if (start_change_ms === null) return planned;
  return startedAt(brief, planned, start_change_ms);
}

/**
 * The edge that the brief gives under `key`, searched in the night or after a start; null if it gives none.
 * @param {Brief} brief @param {Night} night @param {"start" | "end"} key @param {number | null} start_ms
 * @returns {{ms: number, anchored: FoundEvent[], doubled: string[]} | null}
 */
function edgeOf(brief, night, key, start_ms) {
  const anchor = brief[key];
  if (anchor === null) return null;
  const at_s = start_ms === null ? opening(night, anchor, key) : following(night, anchor, start_ms / 1000, key);
  const doubled = !("event" in anchor) && isDoubled(night, at_s) ? [key] : [];
  return { ms: at_s * 1000, anchored: anchoredOn(anchor, at_s), doubled };
}

/** The event that an anchor, which comes to an instant [s UTC], hangs on. @param {Anchor} anchor @param {number} at_s @returns {FoundEvent[]} */
function anchoredOn(anchor, at_s) {
  return "event" in anchor ? [[(at_s - anchor.offset_s) * 1000, anchor.event]] : [];
}

/** @param {Brief} brief @param {Night} night */
function fromBrief(brief, night) {
  const start = edgeOf(brief, night, "start", null);
  const start_ms = start ? toMinute(start.ms) : null;
  const end = edgeOf(brief, night, "end", start_ms);
  const duration_ms = duration(brief, start_ms, end ? end.ms : null);
  const begins_ms = start_ms ?? toMinute(/** @type {{ms: number}} */ (end).ms - duration_ms);
  const edges = [start, end].filter((edge) => edge !== null);
  const opening_ms =
    brief.interval_ms ?? settableMs(brief, Math.ceil(duration_ms / /** @type {number} */ (brief.frames)));
  const later = brief.phases.map((phase, index) => phaseOf(phase, night, begins_ms, index));
  const phases = [{ interval_ms: opening_ms, at_ms: null, frame: 1 }, ...later];
  const timing = counted({
    ...paced(begins_ms, phases, brief.frames, begins_ms + duration_ms),
    anchor_start_ms: begins_ms,
    anchored: [...edges, ...later].flatMap(({ anchored }) => anchored),
    doubled: edges.flatMap(({ doubled }) => doubled),
    asked_ms: duration_ms,
    phases,
  });
  return withAsked(brief, timing);
}

/**
 * A change of interval and the event that it hangs on.
 * @param {Brief["phases"][number]} phase @param {Night} night @param {number} start_ms @param {number} index
 * @returns {Phase & {anchored: FoundEvent[]}}
 */
function phaseOf({ from, interval_ms }, night, start_ms, index) {
  if ("frame" in from) return { interval_ms, at_ms: null, frame: from.frame, anchored: [] };
  try {
    const at_s = following(night, from, start_ms / 1000, `phase.${index}.from`);
    return { interval_ms, at_ms: at_s * 1000, frame: null, anchored: anchoredOn(from, at_s) };
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    return { interval_ms, at_ms: null, frame: null, anchored: [] };
  }
}

/** Where frames are given, those of later phases make the duration. @param {Brief} brief @param {Timing} timing */
function withAsked({ interval_ms, frames }, timing) {
  return interval_ms === null || frames === null ? timing : { ...timing, asked_ms: elapsedMs(timing, frames) };
}

/**
 * Another start: a given end stays and costs frames; else all frames are kept and the end moves.
 * @param {Brief} brief @param {Timing} planned @param {number} start_ms
 */
function startedAt(brief, planned, start_ms) {
  const doubled = planned.doubled.filter((key) => key !== "start");
  const { end_ms } = planned;
  if (brief.end === null) {
    const late = restarted(planned, start_ms, planned.frames);
    const moved_ms = late.end_ms - late.start_ms - end_ms + planned.start_ms;
    return counted({ ...late, doubled, asked_ms: planned.asked_ms + moved_ms });
  }
  if (start_ms >= end_ms) throw new PlanProblem("problem.start-after-end", { start: start_ms, end: end_ms }, "start");
  const asked_ms = planned.asked_ms + planned.start_ms - start_ms;
  return counted({ ...restarted(planned, start_ms, null), doubled, asked_ms });
}

/**
 * Another opening interval: a given window stays and frames follow; else all are kept and the end moves.
 * @param {Brief} brief @param {Timing} planned @param {number} interval_ms
 */
function atInterval(brief, planned, interval_ms) {
  mustBeSettable(brief, interval_ms);
  const frames = brief.end === null && brief.duration_ms === null ? planned.frames : null;
  const anew = restarted(planned, planned.start_ms, frames, interval_ms, planned.start_ms + planned.asked_ms);
  return counted(frames === null ? anew : { ...anew, asked_ms: elapsedMs(anew, frames) });
}

/**
 * Throws PlanProblem for an interval that cannot be keyed into the rig; it names those around it.
 * @param {Brief} brief @param {number} interval_ms
 */
function mustBeSettable(brief, interval_ms) {
  const least_ms = settableMs(brief, 0);
  const is_number = Number.isInteger(interval_ms);
  if (is_number && least_ms <= interval_ms && interval_ms <= MOST_MS && settableMs(brief, interval_ms) === interval_ms)
    return;
  if (!is_number || !(least_ms < interval_ms && interval_ms < MOST_MS)) {
    throw new PlanProblem("problem.interval-range", { least: least_ms, most: MOST_MS }, "interval_s");
  }
  const above = settableMs(brief, interval_ms);
  const args = { interval: interval_ms, below: above - brief.rig.interval_step_ms, above };
  throw new PlanProblem("problem.interval-step", args, "interval_s");
}

/**
 * Another start [ms UTC], so many frames or (null) all until the end, and perhaps another opening interval; the later
 * phases keep to their moments, also those that are asked for by a frame. end_ms: another end than the last frame's.
 * @param {Timing} timing @param {number} start_ms @param {number | null} frames @param {number | null} [opening_ms]
 * @param {number} [end_ms]
 */
export function restarted(timing, start_ms, frames, opening_ms = null, end_ms = timing.end_ms) {
  const moved = timing.phases.map((phase, number) =>
    number === 0 || phase.frame === null ? phase : { ...phase, at_ms: msOf(timing, phase.frame), frame: null },
  );
  const repaced = (/** @type {Phase[]} */ phases) =>
    timed({ ...timing, phases, ...paced(start_ms, phases, frames, end_ms) });
  const begun = repaced(moved);
  return opening_ms === null ? begun : repaced(toldFirst(begun, opening_ms));
}

/**
 * The phases with another interval to begin with: that of the phase which is in force at frame 1.
 * @param {Timing} timing @param {number} interval_ms
 */
function toldFirst({ phases, segments }, interval_ms) {
  return phases.map((phase, number) => (number === segments[0].phase ? { ...phase, interval_ms } : phase));
}

/**
 * [frames at the interval that the shot begins with, instant [ms UTC] at which it changes or ends].
 * @param {Timing} timing @returns {Pair}
 */
export function openingOf({ segments, frames, end_ms }) {
  return segments.length > 1 ? [segments[1].first_frame - 1, segments[1].start_ms] : [frames, end_ms];
}

/**
 * The same start with other phases: the frames that are given, or as many as the window takes.
 * @param {Brief} brief @param {Timing} timing @param {Phase[]} phases
 */
export function rephased(brief, timing, phases) {
  const frames = brief.frames === null ? null : timing.frames;
  return timed({ ...timing, phases, ...paced(timing.start_ms, phases, frames, timing.start_ms + timing.asked_ms) });
}

/**
 * [number, whether one written after it begins before it] of the phases that have no frame in the shot, see the twin.
 * @param {Timing} timing @returns {[number, boolean][]}
 */
export function lackingPhases({ segments, start_ms, end_ms, frames, phases }) {
  const runs = (/** @type {number} */ number) => segments.some(({ phase }) => phase === number);
  return phases.flatMap(({ at_ms, frame }, number) => {
    if (number === 0 || runs(number) || (at_ms !== null && at_ms <= start_ms)) return [];
    const comes = frame === null ? at_ms !== null && at_ms < end_ms : frames >= frame;
    return [[number, comes && number < segments[segments.length - 1].phase]];
  });
}

/**
 * The same frames in every segment from another start on, the opening ones at another interval.
 * @param {Timing} timing @param {number} start_ms @param {number} interval_ms
 */
export function quickened(timing, start_ms, interval_ms) {
  const segments = [{ ...timing.segments[0], start_ms, interval_ms }];
  timing.segments.slice(1).forEach((after, index) => {
    const last = segments[index];
    const count = after.first_frame - last.first_frame;
    segments.push({ ...after, start_ms: last.start_ms + count * last.interval_ms });
  });
  return timed({ ...timing, segments, phases: toldFirst(timing, interval_ms) });
}

/**
 * The same frames as the rig has been seen to run, to whole milliseconds a frame; what it is told stays as it was.
 * @param {Timing} timing @param {number} start_ms @param {number} ratio
 */
export function asItRuns(timing, start_ms, ratio) {
  /** @type {Segment[]} */
  const segments = [];
  for (const segment of timing.segments) {
    const before = segments.at(-1);
    const at_ms = before ? before.start_ms + (segment.first_frame - before.first_frame) * before.interval_ms : start_ms;
    segments.push({ ...segment, start_ms: at_ms, interval_ms: Math.floor(segment.interval_ms * ratio + 0.5) });
  }
  const ran = timed({ ...timing, segments, ready_ms: timing.prepared_ms });
  return { ...ran, asked_ms: elapsedMs(ran, ran.frames) };
}

/** @param {Brief} brief @param {number | null} start_ms @param {number | null} end_ms */
function duration(brief, start_ms, end_ms) {
  if (brief.duration_ms !== null) return brief.duration_ms;
  if (start_ms !== null && end_ms !== null) return end_ms - start_ms;
  return /** @type {number} */ (brief.interval_ms) * /** @type {number} */ (brief.frames);
}

/**
 * Real frame position of each keyframe, ascending inside 1..frames, each at a frame of its own; else PlanProblem.
 * @param {Brief} brief @param {Night} night @param {Timing} timing
 */
export function keyframeFrames(brief, night, timing) {
  const frames = brief.keyframes.map(({ at }, index) => frameOf(at, night, timing, `keyframe.${index}.at`));
  frames.forEach((frame, index) => {
    const earliest = index > 0 ? frames[index - 1] : 0;
    if (earliest < frame && frame <= timing.frames && frame >= 1) return;
    const whole = frame <= earliest ? Math.floor(frame) : Math.ceil(frame);
    const args = { number: index + 1, clock: msOf(timing, frame), frame: whole };
    const limits = { after: Math.max(earliest, 1), frames: timing.frames };
    throw new PlanProblem("problem.keyframe-outside", { ...args, ...limits }, `keyframe.${index}.at`);
  });
  const keyed = frames.map((frame) => Math.floor(frame + 0.5));
  keyed.forEach((frame, index) => {
    if (index === 0 || frame !== keyed[index - 1]) return;
    throw new PlanProblem(
      "problem.keyframes-meet",
      { before: index, number: index + 1, frame },
      `keyframe.${index}.at`,
    );
  });
  return frames;
}

/**
 * [ms UTC, name] of the events that start, end and keyframes hang on, inside the window or not.
 * @param {Brief} brief @param {Timing} timing @param {number[]} frames @returns {FoundEvent[]}
 */
export function anchorEvents(brief, timing, frames) {
  const met = brief.keyframes.flatMap(({ at }, index) =>
    "event" in at ? anchoredOn(at, msOf(timing, frames[index]) / 1000) : [],
  );
  return [...timing.anchored, ...met];
}

/**
 * Real frame position that a place on the shot means, inside 1..frames or not.
 * @param {At} at @param {Night} night @param {Timing} timing @param {string} key
 */
export function frameOf(at, night, timing, key) {
  if ("frame" in at) return at.frame;
  if ("fraction" in at) return 1 + at.fraction * (timing.frames - 1);
  return frameAt(timing, following(night, at, timing.anchor_start_ms / 1000, key) * 1000);
}

/** How long a clip of so many frames plays [ms]. @param {Pick<Brief, "fps">} brief @param {number} frames */
export function clipMs({ fps: [rate, scale] }, frames) {
  return Math.floor((frames * 1000 * scale) / rate + 0.5);
}

/** To the nearest whole minute. @param {number} ms */
export function toMinute(ms) {
  return Math.floor((ms + MINUTE_MS / 2) / MINUTE_MS) * MINUTE_MS;
}
