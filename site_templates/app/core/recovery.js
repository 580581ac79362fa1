// twin: fieldsheet/plan/recovery.py
// A shot that stopped: what to do, and the ways to go on from there.

import { stamp } from "./civil.js";
import { sceneEv } from "./lit.js";
import { toStep } from "./keyframes.js";
import { pathThrough, positionAt } from "./move.js";
import { forbiddenWay, option, tried, without } from "./options.js";
import { frameAt, intervalAt, msOf } from "./pace.js";
import { PlanProblem } from "./problem.js";
import { clipMs, MINUTE_MS, MOST_MS, restarted } from "./timing.js";
import { SIDEREAL_DAY_S } from "./trails.js";

/**
 * @typedef {ReturnType<typeof stopOf>} Stop
 * @typedef {{first: number, frames: number, start_ms: number, whole?: boolean}} Going
 * @typedef {{why: string, args?: Args}} Gone
 * @typedef {{brief: Brief, frames: number, first: number, per_frame: number}} Rest
 * @typedef {Rest & {settings: Setting[]}} Left
 */

const MINUTES = [5, 15];
const SAME = 1e-6;
export const WAYS_ON = ["second", "move", "move-kept", "sky"];
const UNAIMED = { azimuth_deg: null, altitude_deg: null, x: null, y: null };
const OWN = { at: { frame: 1 }, meant_for: null, aim: null, turn: null, sighting: null };

/**
 * What to do after frame n, the last that was fired, and ways to go on; stopped: {frame, rolling_ms}. Throws
 *   PlanProblem.
 * @param {Shot} shot @param {Path} path @param {Stopped} stopped
 */
export function recoveryOf(shot, path, stopped) {
  const { brief, night, timing } = shot;
  const stop = stopOf(brief, timing, path, stopped);
  const { frame, rolls_ms, due } = stop;
  return {
    frame,
    frames: timing.frames,
    shot_ms: clipMs(brief, frame),
    stands: positionAt(path, frame),
    rolls: stamp(night.spans, rolls_ms),
    gap_ms: rolls_ms - msOf(timing, frame + 1),
    missed: due - frame - 1,
    keying: MINUTES.map((minutes) => Math.ceil((minutes * MINUTE_MS) / intervalAt(timing, frame))),
    steps: stepsOf(brief),
    options: WAYS_ON.map((id) => tried(id, () => optionOf(shot, stop, id))),
  };
}

/**
 * {way, rest}: the option of that id, one of WAYS_ON, as it is keyed in; told_ms: with another interval to begin with.
 * Throws PlanProblem for a stop that cannot be, or a way that cannot.
 * @param {Brief} brief @param {Timing} timing @param {Path} path @param {string} id @param {Stopped} stopped
 * @param {number | null} told_ms
 */
export function wayOn(brief, timing, path, id, stopped, told_ms) {
  const stop = stopOf(brief, timing, path, stopped);
  const going = goingOf(stop, id);
  if ("why" in going) throw forbiddenWay(id, going.why, going.args);
  return keyedIn(stop, id, going, told_ms);
}

/**
 * A shot as it stopped after a frame; it rolls again at an instant, when the old frame `due` comes.
 * @param {Brief} brief @param {Timing} timing @param {Path} path @param {Stopped} stopped
 */
function stopOf(brief, timing, path, stopped) {
  const { frame, rolls_ms } = checked(timing, stopped);
  return {
    brief,
    timing,
    path,
    frame,
    rolls_ms,
    due: Math.max(frame + 1, Math.ceil(frameAt(timing, rolls_ms) - SAME)),
  };
}

/**
 * The frame and when it rolls again, not before the next one was due.
 * @param {Timing} timing @param {Stopped} stopped
 */
function checked(timing, { frame, rolling_ms }) {
  const last = timing.frames - 1;
  if (!(frame >= 1 && frame <= last && Number.isInteger(frame))) {
    throw new PlanProblem("problem.stopped-frame", { frame, last }, "frames");
  }
  const stood_ms = msOf(timing, frame);
  const due_ms = msOf(timing, frame + 1);
  const latest_ms = timing.start_ms + MOST_MS - (timing.end_ms - due_ms);
  if (!(stood_ms <= rolling_ms && rolling_ms <= latest_ms)) {
    const args = { rolling: rolling_ms, frame, stood: stood_ms, latest: latest_ms };
    throw new PlanProblem("problem.stopped-rolling", args, "start");
  }
  return { frame, rolls_ms: Math.max(rolling_ms, due_ms) };
}

/** Messages of what to do first, in order: what runs down is held; truth comes before a move. @param {Brief} brief */
function stepsOf({ rig, rail }) {
  if (Object.keys(rig.axes).length === 0) return ["step.cause", "step.fire"];
  const truth = `step.${rig.position_after_power_loss ?? "unknown"}`;
  return [...(rail?.incline_deg ? ["step.hold"] : []), "step.cause", truth, "step.level", "step.key", "step.fire"];
}

/**
 * {first, frames, start_ms, whole}: the old move from a frame of it on, in so many new ones; or {why, args}. A second
 * clip, the move going on where it stood, with all frames or up to the planned end, the sky going on.
 * @param {Stop} stop @param {string} id @returns {Going | Gone}
 */
function goingOf({ timing, path, frame, rolls_ms, due }, id) {
  const { frames } = timing;
  if (id === "move") return { first: frame + 1, frames: frames - frame, start_ms: rolls_ms };
  const is_kept = id === "move-kept";
  const left = is_kept ? Math.floor(frames + 1 - frameAt(timing, rolls_ms) + SAME) : frames - due + 1;
  if (left < 2) return { why: "recovery.over", args: { end: timing.end_ms } };
  if (is_kept && left === frames - frame) return { why: "recovery.same" };
  if (is_kept) return { first: frame + 1, frames: left, start_ms: rolls_ms };
  if (id === "sky" && path.warp === null) return { why: "recovery.still" };
  return { first: due, frames: left, start_ms: msOf(timing, due), whole: id === "second" };
}

/** @param {Shot} shot @param {Stop} stop @param {string} id @returns {TriedOn | Untried} */
function optionOf(shot, stop, id) {
  const { brief, timing, path, frame } = stop;
  const going = goingOf(stop, id);
  if ("why" in going) return without(id, going.why, going.args);
  const { way, rest } = keyedIn(stop, id, going, null);
  const { first, frames, start_ms, whole } = going;
  const before = positionAt(path, frame);
  const after = positionAt(path, first);
  return {
    ...option(shot, way, id, MINUTES),
    before: frame,
    whole_ms: clipMs(brief, whole ? frames : frame + frames),
    sky_deg: ((start_ms - msOf(timing, frame + 1)) / 1000 / SIDEREAL_DAY_S) * 360,
    jump: Object.fromEntries(Object.keys(after).map((name) => [name, after[name] - before[name]])),
    skipped: first - frame - 1,
    differs: differsOf(rest, path),
  };
}

/**
 * With another interval the end is kept, and frames follow; but for the way that has them all.
 * @param {Pick<Stop, "brief" | "timing" | "path">} stop @param {string} id @param {Going} going
 * @param {number | null} told_ms @returns {{way: Keying, rest: Left}}
 */
function keyedIn({ brief, timing, path }, id, { first, frames, start_ms, whole = false }, told_ms) {
  const to = restarted(timing, start_ms, told_ms !== null && id !== "move" ? null : frames, told_ms); // changes keep to their moments
  if (to.frames < 2) throw forbiddenWay(id, "recovery.over", { end: timing.end_ms });
  const rest = restOf(brief, path, timing.frames, first, to.frames, whole);
  const rounded = (/** @type {[string, number]} */ [name, value]) => [name, toStep(value, brief.rig.axes[name].step)];
  const kept = rest.settings.map(({ axes }) => Object.fromEntries(Object.entries(axes).map(rounded)));
  const positions = rest.settings.map((setting) => setting.frame);
  return { way: { brief: rest.brief, timing: to, frames: positions, kept, keyed: kept.map(() => "set") }, rest };
}

/**
 * The old move's frames from `first` on as a new move of so many frames; whole: a clip of its own.
 * @param {Brief} brief @param {Path} path @param {number} all_frames @param {number} first @param {number} frames
 * @param {boolean} whole @returns {Left}
 */
function restOf(brief, path, all_frames, first, frames, whole) {
  const per_frame = frames > 1 ? (all_frames - first) / (frames - 1) : 1;
  const rest = { brief, frames, first, per_frame };
  if (path.warp === null || frames < 2 || first >= path.warp.last) return still(rest, path);
  const through = throughLeft(rest, path);
  const clip = { ...through, brief: { ...through.brief, hold: brief.hold, ease: brief.ease } };
  return whole && runs(clip) ? clip : through;
}

/** The new frame of a frame of the old move. @param {Pick<Rest, "first" | "per_frame">} rest @param {number} frame */
export const newFrame = ({ first, per_frame }, frame) => 1 + (frame - first) / per_frame;
/** @param {Pick<Rest, "first" | "per_frame">} rest @param {number} frame */
const oldFrame = ({ first, per_frame }, frame) => first + (frame - 1) * per_frame;

/**
 * Nothing is left to move: the last keyframe, if the shot has any, is where it stands.
 * @param {Rest} rest @param {Path} path @returns {Left}
 */
function still(rest, path) {
  const { brief, frames } = rest;
  const keyframes = brief.keyframes.slice(-1).map((keyframe) => setTo(keyframe, positionAt(path, rest.first)));
  const settings = path.settings.slice(-1).map((setting) => ({
    ...setting,
    frame: Math.min(Math.max(newFrame(rest, setting.frame), 1), frames),
  }));
  return { ...rest, brief: { ...brief, hold: [0, 0], ease: [0, 0], keyframes }, settings };
}

/**
 * From where it stands through the keyframes that are left, or that the rig would have of itself.
 * @param {Rest} rest @param {Path} path @returns {Left}
 */
function throughLeft(rest, path) {
  const { brief, first, frames } = rest;
  const halfway = 1 + (frames - 1) / 2;
  const left = path.settings.flatMap(({ frame, axes }, at) =>
    frame > first + SAME ? [{ keyframe: brief.keyframes[at], axes, frame: newFrame(rest, frame) }] : [],
  );
  if (left.length === 2 && brief.rig.keyframes?.middle === "halfway") {
    left[0] = { ...left[0], axes: positionAt(path, oldFrame(rest, halfway)), frame: halfway };
  }
  const own = { ...OWN, scene_ev: sceneEv({ brief, ...path }, first) };
  const points = [{ keyframe: own, axes: positionAt(path, first), frame: 1 }, ...left];
  const keyframes = points.map(({ keyframe, axes }) => setTo(keyframe, axes));
  const settings = points.map(({ axes, frame }) => ({ ...UNAIMED, axes, frame }));
  return { ...rest, brief: { ...brief, ...edgesOf(rest, /** @type {Warp} */ (path.warp)), keyframes }, settings };
}

/**
 * A keyframe with other axis values, whatever it was kept at.
 * @param {Omit<BriefKeyframe, "axes"> & {axes?: Axes}} keyframe @param {Axes} axes @returns {BriefKeyframe}
 */
function setTo({ kept: _, ...keyframe }, axes) {
  return { ...keyframe, axes };
}

/**
 * Hold and ease of what is left, as they are keyed in: no more of an ease-out than there are frames.
 * @param {Rest} rest @param {Warp} warp @returns {{hold: Pair, ease: Pair}}
 */
function edgesOf({ brief: { hold, ease }, frames, first }, warp) {
  if (first < warp.first) return { hold: [warp.first - first + 1, hold[1]], ease };
  const ease_in = first === warp.first ? ease[0] : 0;
  const moves = frames - Math.max(1, hold[1]);
  return { hold: [1, hold[1]], ease: [ease_in, Math.max(Math.min(ease[1], moves - ease_in), 0)] };
}

/** @param {Left} rest */
function runs({ brief, settings, frames }) {
  try {
    pathThrough(brief, settings, frames);
    return true;
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    return false;
  }
}

/**
 * For each axis how far, at worst, the new move is from the old: {off, frame}, by the new count.
 * @param {Left} rest @param {Path} path
 */
function differsOf(rest, path) {
  const to = pathThrough(rest.brief, rest.settings, rest.frames);
  const worst = Object.fromEntries(Object.keys(positionAt(to, 1)).map((name) => [name, { off: 0, frame: 1 }]));
  for (let frame = 1; frame <= rest.frames; frame += 1) {
    const old = positionAt(path, oldFrame(rest, frame));
    for (const [name, value] of Object.entries(positionAt(to, frame))) {
      const off = value - old[name];
      if (Math.abs(off) > Math.abs(worst[name].off) * (1 + 1e-9) + 1e-9) worst[name] = { off, frame };
    }
  }
  return worst;
}
