// twin: fieldsheet/plan/move.py
// Positions of every axis at every frame: through the keyframes as the rig joins them, with hold and ease.

import { slopes, smooth, straight } from "./joins.js";
import { PlanProblem } from "./problem.js";

/** s of a frame under a warp: still up to `first` and from `last` on; eases are lengths in frames. */
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

/** The warp of a shot; throws PlanProblem where holds and eases leave no frame to move in. */
export function warpOf(hold, ease, frames) {
  const first = Math.max(1, hold[0]);
  const last = frames + 1 - Math.max(1, hold[1]);
  if (last <= first || ease[0] + ease[1] > last - first) {
    const args = { hold: hold[0] + hold[1], ease: ease[0] + ease[1], frames };
    throw new PlanProblem("problem.no-room", args, "ease_frames");
  }
  return { first, last, ease_in: ease[0], ease_out: ease[1] };
}

/** The path through the keyframes (fewer than two stand still: no warp); throws PlanProblem for one inside a hold. */
export function pathThrough(brief, settings, frames) {
  if (settings.length < 2) return { warp: null, knots: [], settings, slopes: null };
  const warp = warpOf(brief.hold, brief.ease, frames);
  const knots = settings.map((setting) => warpS(warp, setting.frame));
  for (let index = 1; index < knots.length; index += 1) {
    if (knots[index] <= knots[index - 1]) {
      const args = { number: index + 1, frame: settings[index].frame };
      throw new PlanProblem("problem.keyframe-in-hold", args, `keyframe.${index}.at`);
    }
  }
  if (brief.rig.joins === "straight") return { warp, knots, settings, slopes: null };
  const curves = Object.keys(settings[0].axes).map((name) => [name, slopes(knots, settings.map(({ axes }) => axes[name]))]);
  return { warp, knots, settings, slopes: Object.fromEntries(curves) };
}

/** Position of every axis at a (real) frame. */
export function positionAt(path, frame) {
  if (path.warp === null) return path.settings.length > 0 ? { ...path.settings[0].axes } : {};
  const s = warpS(path.warp, frame);
  let k = 1;
  while (k < path.knots.length - 1 && s > path.knots[k]) k += 1;
  const way = path.knots[k] - path.knots[k - 1];
  const share = (s - path.knots[k - 1]) / way;
  const before = path.settings[k - 1].axes;
  const after = path.settings[k].axes;
  if (share === 1) return { ...after };
  const value = (name) => {
    if (path.slopes === null) return straight(share, before[name], after[name]);
    const slopes_at = path.slopes[name];
    return smooth(share, before[name], after[name], slopes_at[k - 1], slopes_at[k], way);
  };
  return Object.fromEntries(Object.keys(before).map((name) => [name, value(name)]));
}

/** For each axis the largest move between two frames and the frame after which it happens; the first of equals wins. */
export function largestSteps(path, frames) {
  let position = positionAt(path, 1);
  const largest = Object.fromEntries(Object.keys(position).map((name) => [name, { step: 0, frame: 1 }]));
  if (path.warp === null) return largest;
  for (let frame = 2; frame <= frames; frame += 1) {
    const following = positionAt(path, frame);
    for (const [name, value] of Object.entries(following)) {
      const step = value - position[name];
      // A shade of slack, so that rounding noise on a steady move does not pick the frame.
      if (Math.abs(step) > Math.abs(largest[name].step) * (1 + 1e-9) + 1e-12) {
        largest[name] = { step, frame: frame - 1 };
      }
    }
    position = following;
  }
  return largest;
}

/** Seconds that an axis needs from rest to rest: the closed form of a trapezoidal (or triangular) move. */
function travelS(distance, speed_max, acceleration_max) {
  const way = Math.abs(distance);
  if (way < (speed_max * speed_max) / acceleration_max) return 2 * Math.sqrt(way / acceleration_max);
  return way / speed_max + speed_max / acceleration_max;
}

/** The speed, in the axis's unit a second, that an axis gets to on a step from one frame to the next. */
export function topSpeed(brief, name, step, interval_ms) {
  const { speed_max, acceleration_max } = brief.rig.axes[name];
  if (brief.rig.motion === "continuous") return (Math.abs(step) * 1000) / interval_ms;
  return Math.min(speed_max, Math.sqrt(Math.abs(step) * acceleration_max));
}

/** Seconds until the last of several axes stands still again. */
export function slowestS(distances, axes) {
  return Math.max(
    0,
    ...Object.entries(distances).map(([name, distance]) =>
      travelS(distance, axes[name].speed_max, axes[name].acceleration_max),
    ),
  );
}
