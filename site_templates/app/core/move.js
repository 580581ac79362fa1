// twin: fieldsheet/plan/move.py
// Positions of every axis at every frame: through the keyframes as the rig joins them, with hold and ease.

import { slopes, smooth, straight } from "./joins.js";
import { PlanProblem } from "./problem.js";

/**
 * s of a frame under a warp: still up to `first` and from `last` on; eases are lengths in frames.
 * @param {Warp} warp @param {number} frame
 */
export function warpS(warp, frame) {
  const span = warp.last - warp.first;
  const u = frame - warp.first;
  const top = 1 / (span - warp.ease_in / 2 - warp.ease_out / 2);
  if (u <= 0) return 0;
  if (u >= span) return 1;
  if (u < warp.ease_in) return (top * u * u) / (2 * warp.ease_in);
  if (u <= span - warp.ease_out) return top * (u - warp.ease_in / 2);
  return 1 - (top * (span - u) * (span - u)) / (2 * warp.ease_out);
}

/**
 * The warp of a shot; throws PlanProblem where holds and eases leave no frame to move in.
 * @param {Pair} hold @param {Pair} ease @param {number} frames
 */
export function warpOf(hold, ease, frames) {
  const first = Math.max(1, hold[0]);
  const last = frames + 1 - Math.max(1, hold[1]);
  if (last <= first || ease[0] + ease[1] > last - first) {
    const over = Math.max(1, ease[0] + ease[1]) - (last - first);
    const args = { hold: hold[0] + hold[1], ease: ease[0] + ease[1], frames, over, least: frames + over };
    throw new PlanProblem("problem.no-room", args, "ease_frames");
  }
  return { first, last, ease_in: ease[0], ease_out: ease[1] };
}

/**
 * [number of the keyframe, from 0, that a real frame is on the way to, share of that way].
 * @param {Warp} warp @param {number[]} knots @param {number} frame @returns {Pair}
 */
export function between(warp, knots, frame) {
  const s = warpS(warp, frame);
  let k = 1;
  while (k < knots.length - 1 && s > knots[k]) k += 1;
  return [k, (s - knots[k - 1]) / (knots[k] - knots[k - 1])];
}

/**
 * The path through the keyframes (fewer than two stand still: no warp); throws PlanProblem for one inside a hold.
 * @param {Brief} brief @param {Setting[]} settings @param {number} frames @returns {Path}
 */
export function pathThrough(brief, settings, frames) {
  if (settings.length < 2) return { warp: null, knots: [], settings, slopes: null };
  const warp = warpOf(brief.hold, brief.ease, frames);
  const knots = settings.map((setting) => warpS(warp, setting.frame));
  for (let index = 1; index < knots.length; index += 1) {
    if (knots[index] <= knots[index - 1]) {
      const at = knots[index] >= 1 ? index - 1 : index;
      const args = { number: at + 1, frame: settings[at].frame, first: warp.first, last: warp.last };
      throw new PlanProblem("problem.keyframe-in-hold", args, `keyframe.${at}.at`);
    }
  }
  if (brief.rig.joins === "straight") return { warp, knots, settings, slopes: null };
  const curves = Object.keys(settings[0].axes).map((name) => [
    name,
    slopes(
      knots,
      settings.map(({ axes }) => axes[name]),
    ),
  ]);
  return { warp, knots, settings, slopes: Object.fromEntries(curves) };
}

/** Position of every axis at a (real) frame. @param {Path} path @param {number} frame @returns {Axes} */
export function positionAt(path, frame) {
  if (path.warp === null) return path.settings.length > 0 ? { ...path.settings[0].axes } : {};
  const [k, share] = between(path.warp, path.knots, frame);
  const way = path.knots[k] - path.knots[k - 1];
  const before = path.settings[k - 1].axes;
  const after = path.settings[k].axes;
  if (share === 1) return { ...after };
  const value = (/** @type {string} */ name) => {
    if (path.slopes === null) return straight(share, before[name], after[name]);
    const slopes_at = path.slopes[name];
    return smooth(share, before[name], after[name], slopes_at[k - 1], slopes_at[k], way);
  };
  return Object.fromEntries(Object.keys(before).map((name) => [name, value(name)]));
}

/**
 * A shot's stages, in order: {segment, last, steps}, the frames of one interval and the largest steps after them.
 * @param {Path} path @param {Pick<Timing, "segments" | "frames">} given @returns {Stage[]}
 */
export function staged(path, { segments, frames }) {
  return segments.map((segment, index) => {
    const end = segments[index + 1]?.first_frame ?? frames + 1;
    return { segment, last: end - 1, steps: largestSteps(path, Math.min(end, frames), segment.first_frame) };
  });
}

/** The largest steps of a whole shot, by axis; the first of equals wins. @param {Stage[]} stages */
export function largestOf(stages) {
  return stages
    .map(({ steps }) => steps)
    .reduce((largest, steps) =>
      Object.fromEntries(Object.entries(largest).map(([name, step]) => [name, larger(step, steps[name])])),
    );
}

/** @param {Step} step @param {Step} other */
function larger(step, other) {
  // A shade of slack, so that rounding noise on a steady move does not pick the frame.
  return Math.abs(other.step) > Math.abs(step.step) * (1 + 1e-9) + 1e-12 ? other : step;
}

/**
 * For each axis the largest move between two frames, from `first` to `frames`, and the frame before it.
 * @param {Path} path @param {number} frames @param {number} first @returns {Steps}
 */
function largestSteps(path, frames, first) {
  let position = positionAt(path, first);
  const largest = Object.fromEntries(Object.keys(position).map((name) => [name, { step: 0, frame: first }]));
  if (path.warp === null) return largest;
  for (let frame = first + 1; frame <= frames; frame += 1) {
    const following = positionAt(path, frame);
    for (const [name, value] of Object.entries(following)) {
      largest[name] = larger(largest[name], { step: value - position[name], frame: frame - 1 });
    }
    position = following;
  }
  return largest;
}

/**
 * Seconds that an axis needs from rest to rest: the closed form of a trapezoidal (or triangular) move.
 * @param {number} distance @param {number} speed_max @param {number} acceleration_max
 */
export function travelS(distance, speed_max, acceleration_max) {
  const way = Math.abs(distance);
  if (way < (speed_max * speed_max) / acceleration_max) return 2 * Math.sqrt(way / acceleration_max);
  return way / speed_max + speed_max / acceleration_max;
}

/**
 * The highest speed, in the axis's unit a second, that an axis gets to on its way through a shot.
 * @param {Brief} brief @param {string} name @param {Stage[]} stages
 */
export function topSpeed(brief, name, stages) {
  if (brief.rig.motion === "continuous") return Math.max(...stages.map((stage) => speedIn(stage, name)));
  const { speed_max, acceleration_max } = brief.rig.axes[name];
  const step = Math.max(...stages.map(({ steps }) => Math.abs(steps[name].step)));
  return Math.min(speed_max, Math.sqrt(step * acceleration_max));
}

/**
 * The speed, in its unit a second, at which an axis that never stops makes its largest step of a stage.
 * @param {Stage} stage @param {string} name
 */
export function speedIn({ steps, segment }, name) {
  return (Math.abs(steps[name].step) * 1000) / segment.interval_ms;
}

/** Seconds until the last of several axes stands still again. @param {Axes} distances @param {RigAxes} axes */
export function slowestS(distances, axes) {
  return Math.max(
    0,
    ...Object.entries(distances).map(([name, distance]) =>
      travelS(distance, axes[name].speed_max, axes[name].acceleration_max),
    ),
  );
}
