// twin: fieldsheet/plan/swaps.py
// When the rig's pack is changed while the shot runs: a range, early and in light, well before the reserve.

import { stamp } from "./civil.js";
import { starsOut } from "./seen.js";
import { reserveFrame } from "./supplies.js";
import { frameAt, msOf } from "./timing.js";

export const LATEST_SHARE = 0.8;
const LEAST_MS = 10 * 60000;
const QUIET_FRAMES = 3;

/** [first, last] frame between which a swap lets two packs last to the end; null where there are none, or no need. */
function possibleRange(supply) {
  const { used_wh: used, packs } = supply;
  if (supply.reserve === null || packs.length < 2) return null;
  const total = used[used.length - 1];
  const early = used.findIndex((wh) => total - wh <= packs[1].usable_wh) + 1;
  const late = latestFrame(supply);
  return early < late ? [early, late] : null;
}

/** The last frame, from 1, at which the first pack has given no more than it should before a swap. */
export function latestFrame({ used_wh, packs }) {
  const most_wh = packs[0].usable_wh * LATEST_SHARE;
  return Math.max(used_wh.slice(0, -1).findLastIndex((wh) => wh <= most_wh), 0) + 1;
}

/** The best part of the possible range, {from, until: {frame, time}}: in light, away from keyframes. */
export function advisedSwap(night, timing, found, keyframes, supply) {
  const possible = possibleRange(supply);
  if (possible === null) return null;
  const whole = inLight(night, timing, found, possible);
  const pieces = quiet(whole, keyframes);
  const widest = pieces.reduce((best, piece) => (piece[1] - piece[0] > best[1] - best[0] ? piece : best), pieces[0] ?? whole);
  const [first, last] = pieces.find((piece) => lastsMs(timing, piece) >= LEAST_MS) ?? widest;
  const at = (frame) => ({ frame, time: stamp(night.spans, msOf(timing, frame)) });
  return { from: at(first), until: at(last) };
}

/** What is used [Wh] when the pack is changed at a frame. */
export function swappedAt(used_wh, frame) {
  return used_wh[Math.min(Math.max(Math.floor(frame) - 1, 0), used_wh.length - 1)];
}

/** The frame in which the second pack, put in at a frame, reaches its reserve; null where it lasts. */
export function secondReserve({ packs, used_wh }, frame) {
  return reserveFrame(used_wh, packs[1].usable_wh, swappedAt(used_wh, frame));
}

/** The part of a range before civil dusk or after civil dawn, where that leaves time enough. */
function inLight(night, timing, found, possible) {
  const [first, last] = possible;
  const [from_ms, until_ms] = possible.map((frame) => msOf(timing, frame));
  const dark = starsOut(night, from_ms / 1000);
  const edge = dark ? "civil dawn" : "civil dusk";
  const at = found.find(([ms, name]) => name === edge && from_ms < ms && ms < until_ms);
  if (at === undefined) return possible;
  const frame = frameAt(timing, at[0]);
  const light = dark ? [Math.ceil(frame), last] : [first, Math.floor(frame)];
  return lastsMs(timing, light) >= LEAST_MS ? light : possible;
}

/** The pieces of a range between the keyframes, without the frames around them. */
function quiet([first, last], keyframes) {
  const inside = keyframes.filter((key) => first - QUIET_FRAMES <= key && key <= last + QUIET_FRAMES);
  const stops = [first - 1 - QUIET_FRAMES, ...inside, last + 1 + QUIET_FRAMES];
  return stops
    .slice(1)
    .map((after, n) => [
      Math.max(first, Math.floor(stops[n]) + QUIET_FRAMES + 1),
      Math.min(last, Math.ceil(after) - QUIET_FRAMES - 1),
    ])
    .filter((piece) => piece[0] < piece[1]);
}

function lastsMs(timing, [first, last]) {
  return (last - first) * timing.interval_ms;
}
