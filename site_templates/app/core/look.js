// twin: fieldsheet/plan/look.py
// How the move will look in the clip: how fast the picture passes, and where its speed jumps.

import { lensOf, viewDeg } from "./aim.js";
import { positionAt } from "./move.js";
import { within } from "./opened.js";
import { CLIP_PX } from "./trails.js";

const RADIAN = Math.PI / 180;

/**
 * The speed of the picture after its fastest frame, and the largest change of speed; null for one that stands still.
 * @param {Brief} brief @param {Pair[]} turns @returns {Look | null}
 */
export function lookOf(brief, turns) {
  const [fastest, fastest_frame] = largestOf(turns.map(([across, up]) => Math.hypot(across, up)));
  if (fastest_frame === null) return null;
  const changes = turns.slice(1).map(([across, up], at) => Math.hypot(across - turns[at][0], up - turns[at][1]));
  const [change, change_after] = largestOf(changes);
  const [rate, scale] = brief.fps;
  const frame_widths_per_s = (fastest * rate) / scale / viewDeg(lensOf(brief))[0];
  return {
    turn_deg: fastest,
    fastest_frame,
    frame_widths_per_s,
    seconds_per_frame_width: 1 / frame_widths_per_s,
    largest_change: { share: change / fastest, frame: change_after && change_after + 1 },
  };
}

/**
 * What turning while it exposes does to a frame; null where the rig or the picture stands still.
 * @param {Brief} brief @param {Pair[]} turns @param {Timing} timing @param {Opens} opens
 */
export function exposed(brief, turns, timing, opens) {
  const none = { blur_px: null, blur_frame: null, shutter_angle_deg: null };
  if (brief.rig.motion !== "continuous") return none;
  const shares = sharesOf(timing, opens);
  const [turned, blur_frame] = largestOf(turns.map(([across, up], at) => Math.hypot(across, up) * shares[at]));
  if (blur_frame === null) return none;
  const blur_px = ((turned * RADIAN * brief.camera.focal_mm) / Math.max(...brief.frame_mm)) * CLIP_PX;
  return { blur_px, blur_frame, shutter_angle_deg: 360 * shares[blur_frame - 1] };
}

/**
 * The share of its interval that the shutter is open, of every frame.
 * @param {Pick<Timing, "segments" | "frames">} given @param {Opens} opens
 */
function sharesOf({ segments, frames }, opens) {
  return segments.flatMap(({ first_frame, interval_ms }, index) => {
    const last = (segments[index + 1]?.first_frame ?? frames + 1) - 1;
    const here = within(opens, first_frame, last);
    return here.flatMap(([first, open_ms], at) =>
      Array((here[at + 1]?.[0] ?? last + 1) - first).fill(open_ms / interval_ms),
    );
  });
}

/**
 * Degrees across and up by which the optical axis turns after every frame but the last.
 * @param {Brief} brief @param {Path} path @param {number} frames @returns {Pair[]}
 */
export function turnsOf(brief, path, frames) {
  if (path.warp === null) return [];
  /** @type {Pair[]} */
  const turns = [];
  let [pan, tilt] = axisAt(brief, path, 1);
  for (let frame = 2; frame <= frames; frame += 1) {
    const [next_pan, next_tilt] = axisAt(brief, path, frame);
    turns.push([(next_pan - pan) * Math.cos(((tilt + next_tilt) / 2) * RADIAN), next_tilt - tilt]);
    [pan, tilt] = [next_pan, next_tilt];
  }
  return turns;
}

/** @param {Brief} brief @param {Path} path @param {number} frame @returns {Pair} */
function axisAt(brief, path, frame) {
  const axes = positionAt(path, frame);
  return [axes.pan ?? 0, axes.tilt ?? brief.tilt_deg ?? 0];
}

/**
 * The largest of some values and its number from 1, the first of equals; [0, null] where all are 0.
 * @param {number[]} values @returns {[number, number | null]}
 */
function largestOf(values) {
  let largest = 0;
  /** @type {number | null} */
  let number = null;
  values.forEach((value, index) => {
    // A shade of slack, so that rounding noise on a steady move does not pick the frame.
    if (value > largest * (1 + 1e-6) + 1e-9) [largest, number] = [value, index + 1];
  });
  return [largest, number];
}
