// twin: fieldsheet/plan/opened.py
// How long the shutter is open at each frame: opens are [frame from which on, milliseconds], the first at frame 1.

import { frameAt, msOf } from "./pace.js";

/** [frame that it comes before, place on the ladder before, after] of every click of an exposure. */
export function rungClicks({ bands, first_rung }) {
  return bands.flatMap(({ first_frame, every_frames, clicks, total }) => {
    const before = first_rung + total - clicks;
    const way = clicks > 0 ? 1 : -1;
    return Array.from({ length: Math.abs(clicks) }, (_, number) => [
      first_frame + every_frames * number,
      before + way * number,
      before + way * (number + 1),
    ]);
  });
}

/** [frame from which on, place on the ladder] of all settings that a planned exposure stands at. */
export function rungsOf(exposure) {
  return [[1, exposure.first_rung], ...rungClicks(exposure).map(([frame, , after]) => [frame, after])];
}

/** As the exposure is planned; the longest shutter at every frame where it is not. */
export function opensOf(brief, exposure) {
  if (exposure === null) return [[1, brief.longest_shutter_ms]];
  const opens = [];
  for (const [frame, rung] of rungsOf(exposure)) {
    const open_ms = brief.exposure.ladder[rung][3];
    if (opens.at(-1)?.[0] === frame) opens.pop();
    if (opens.at(-1)?.[1] !== open_ms) opens.push([frame, open_ms]);
  }
  return opens;
}

/** What of them lies in the frames from first to last, the first of them at first. */
export function within(opens, first, last) {
  return [[first, openAt(opens, first)], ...opens.filter(([frame]) => first < frame && frame <= last)];
}

/** Milliseconds that the shutter is open at a frame. */
export function openAt(opens, frame) {
  return opens.findLast(([first]) => first <= frame)[1];
}

/** The same at the same moments, counted in another timing's frames. */
export function carriedOver(opens, timing, to) {
  const carried = [];
  for (const [frame, open_ms] of opens) {
    const first = Math.max(1, Math.ceil(frameAt(to, msOf(timing, frame))));
    if (carried.at(-1)?.[0] === first) carried.pop();
    carried.push([carried.length > 0 ? first : 1, open_ms]);
  }
  return carried;
}
