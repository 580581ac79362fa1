// twin: fieldsheet/plan/opened.py
// How long the shutter is open at each frame: opens are [frame from which on, milliseconds], the first at frame 1.

import { frameAt, msOf } from "./pace.js";

/**
 * [frame that it comes before, place on the ladder before, after] of every click of an exposure.
 * @param {Pick<Exposure, "first_rung"> & {bands: Pick<Band, "first_frame" | "every_frames" | "clicks" | "total">[]}}
 *   exposure
 * @returns {[number, number, number][]}
 */
export function rungClicks({ bands, first_rung }) {
  return bands.flatMap(({ first_frame, every_frames, clicks, total }) => {
    const before = first_rung + total - clicks;
    const way = clicks > 0 ? 1 : -1;
    return Array.from({ length: Math.abs(clicks) }, (_, number) => [
      first_frame + (every_frames ?? 0) * number,
      before + way * number,
      before + way * (number + 1),
    ]);
  });
}

/**
 * [frame from which on, place on the ladder] of all settings that a planned exposure stands at.
 * @param {Parameters<typeof rungClicks>[0]} exposure @returns {Pair[]}
 */
export function rungsOf(exposure) {
  const after = rungClicks(exposure).map(([frame, , rung]) => /** @type {Pair} */ ([frame, rung]));
  return [[1, exposure.first_rung], ...after];
}

/**
 * As the exposure is planned; the longest shutter at every frame where it is not.
 * @param {Brief} brief @param {Exposure | null} exposure @returns {Opens}
 */
export function opensOf(brief, exposure) {
  if (exposure === null) return [[1, brief.longest_shutter_ms]];
  const { ladder } = /** @type {BriefExposure} */ (brief.exposure);
  /** @type {Opens} */
  const opens = [];
  for (const [frame, rung] of rungsOf(exposure)) {
    const open_ms = ladder[rung][3];
    if (opens.at(-1)?.[0] === frame) opens.pop();
    if (opens.at(-1)?.[1] !== open_ms) opens.push([frame, open_ms]);
  }
  return opens;
}

/**
 * What of them lies in the frames from first to last, the first of them at first.
 * @param {Opens} opens @param {number} first @param {number} last @returns {Opens}
 */
export function within(opens, first, last) {
  return [[first, openAt(opens, first)], ...opens.filter(([frame]) => first < frame && frame <= last)];
}

/** Milliseconds that the shutter is open at a frame. @param {Opens} opens @param {number} frame */
function openAt(opens, frame) {
  return (opens.findLast(([first]) => first <= frame) ?? opens[0])[1];
}

/**
 * The same at the same moments, counted in another timing's frames.
 * @param {Opens} opens @param {Timing} timing @param {Timing} to @returns {Opens}
 */
export function carriedOver(opens, timing, to) {
  /** @type {Opens} */
  const carried = [];
  for (const [frame, open_ms] of opens) {
    const first = Math.max(1, Math.ceil(frameAt(to, msOf(timing, frame))));
    if (carried.at(-1)?.[0] === first) carried.pop();
    carried.push([carried.length > 0 ? first : 1, open_ms]);
  }
  return carried;
}
