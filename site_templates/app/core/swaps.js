// twin: fieldsheet/plan/swaps.py
// When the rig's packs are changed while the shot runs: ranges, early and in light, well before the reserve.

import { stamp } from "./civil.js";
import { frameAt, msOf } from "./pace.js";
import { starsOut } from "./seen.js";
import { reserveFrame } from "./supplies.js";

/** @typedef {ReturnType<typeof busyFrames>} Busy */

export const LATEST_SHARE = 0.8;
export const LEAST_MS = 10 * 60000;
const QUIET_FRAMES = 3;
export const STEEP_MS = 2 * 60000;
const WIDEST_SHARE = 0.4;
const STAYS_SHARE = 0.2;

/**
 * Ranges of frames in which hands or eyes are needed elsewhere: {rig, steep}.
 * @param {Timing} timing @param {number[]} stops @param {Exposure | null} exposure
 * @returns {{rig: Pair[], steep: Pair[]}}
 */
export function busyFrames(timing, stops, exposure) {
  const rig = stops.map(
    (stop) => /** @type {Pair} */ ([Math.ceil(stop) - QUIET_FRAMES, Math.floor(stop) + QUIET_FRAMES]),
  );
  const clicks = (exposure?.bands ?? []).flatMap(({ first_frame, every_frames, clicks: count }) =>
    Array.from({ length: Math.abs(count) }, (_, n) => first_frame + n * (every_frames ?? 0)),
  );
  const steep = clicks
    .slice(1)
    .map((after, n) => /** @type {Pair} */ ([clicks[n] - 1, after]))
    .filter(([before, after]) => msOf(timing, after) - msOf(timing, before + 1) < STEEP_MS);
  return { rig, steep };
}

/**
 * Whether a range that would be long enough has no part of that length without a steep band.
 * @param {Timing} timing @param {Pair} part @param {Exposure | null} exposure
 */
export function isSteep(timing, part, exposure) {
  const longest = Math.max(
    0,
    ...free(part, busyFrames(timing, [], exposure).steep).map((piece) => lastsMs(timing, piece)),
  );
  return lastsMs(timing, part) >= LEAST_MS && longest < LEAST_MS;
}

/**
 * The ranges in which packs are changed one after another, those given first; the fewest that do.
 * @param {Night} night @param {Timing} timing @param {FoundEvent[]} found @param {Busy} busy @param {Supply} supply
 * @param {Pair[]} given @returns {Pair[]}
 */
export function advisedSwaps(night, timing, found, busy, supply, given) {
  const best = (/** @type {Pair} */ possible) => bestPart(night, timing, found, busy, possible);
  const chains = [];
  for (let count = given.length + 1; count < supply.packs.length; count += 1) {
    const chain = chainOf(supply, count, given, best);
    if (chain !== null) chains.push(chain);
  }
  const is_calm = (/** @type {Pair[]} */ chain) => chain.every((part) => lastsMs(timing, part) >= LEAST_MS);
  return chains.find(is_calm) ?? chains[0] ?? given;
}

/**
 * {from, until, reserve: {frame, time}} of the swap to pack `number`, the first being 0.
 * @param {Night} night @param {Timing} timing @param {Supply | null} supply @param {number} number @param {Pair} range
 * @returns {Power["changes"][number]}
 */
export function changeOf(night, timing, supply, number, [from, until]) {
  const known = supply !== null && number < supply.packs.length;
  const at = (/** @type {number} */ frame) => ({ frame, time: stamp(night.spans, msOf(timing, frame)) });
  const reserve = known ? packReserve(supply, number, Math.ceil(from)) : null;
  return { from: at(from), until: at(until), reserve: reserve === null ? null : at(reserve) };
}

/** The last frame, from 1, at which no more is used. @param {number[]} used_wh @param {number} most_wh */
export function lastFrame(used_wh, most_wh) {
  return (
    Math.max(
      used_wh.slice(0, -1).findLastIndex((wh) => wh <= most_wh),
      0,
    ) + 1
  );
}

/** What is used [Wh] when the pack is changed at a frame. @param {number[]} used_wh @param {number} frame */
export function swappedAt(used_wh, frame) {
  return used_wh[Math.min(Math.max(Math.floor(frame) - 1, 0), used_wh.length - 1)];
}

/**
 * The frame in which a pack, put in at a frame, reaches its reserve; null where it lasts.
 * @param {Supply} supply @param {number} number @param {number} frame
 */
export function packReserve({ packs, used_wh }, number, frame) {
  return reserveFrame(used_wh, packs[number].usable_wh, swappedAt(used_wh, frame));
}

/**
 * What packs give one after another, changed well before their reserves [Wh].
 * @param {Pick<Supply["packs"][number], "usable_wh">[]} packs
 */
export function togetherWh(packs) {
  const most = packs.slice(0, -1).reduce((total, { usable_wh }) => total + usable_wh * LATEST_SHARE, 0);
  return most + packs[packs.length - 1].usable_wh;
}

/**
 * So many changes, each in the best part of what the ones before leave; null where that is nothing.
 * @param {Supply} supply @param {number} count @param {Pair[]} given @param {(possible: Pair) => Pair} best
 */
function chainOf(supply, count, given, best) {
  const chain = [...given];
  while (chain.length < count) {
    const possible = possibleRange(supply, chain, count);
    if (possible === null) return null;
    chain.push(best(possible));
  }
  return chain;
}

/**
 * The frames in which the next of `count` changes lets all packs last, whenever it is made in them.
 * @param {Supply} supply @param {Pair[]} before @param {number} count @returns {Pair | null}
 */
function possibleRange({ used_wh: used, packs }, before, count) {
  const here = before.length;
  const previous = before[here - 1];
  const since_wh = previous ? swappedAt(used, previous[0]) : 0;
  const gives_wh = packs[here].usable_wh;
  const spare_wh = since_wh + togetherWh(packs.slice(here, count + 1)) - used[used.length - 1];
  if (spare_wh < 0) return null;
  let late_wh = since_wh + gives_wh * LATEST_SHARE;
  let early_wh = late_wh - spare_wh / (count - here);
  if (previous) early_wh = Math.max(early_wh, swappedAt(used, previous[1]) + gives_wh * STAYS_SHARE);
  if (here + 1 < count) {
    late_wh = Math.min(late_wh, Math.max(early_wh, used[0]) + packs[here + 1].usable_wh * WIDEST_SHARE);
  }
  const early = used.slice(0, -1).findIndex((wh) => wh >= early_wh);
  const last = lastFrame(used, late_wh);
  return early >= 0 && early + 1 < last ? [early + 1, last] : null;
}

/**
 * The first part of a range that is long enough: in light and quiet, else quiet, else away from keyframes.
 * @param {Night} night @param {Timing} timing @param {FoundEvent[]} found @param {Busy} busy @param {Pair} possible
 * @returns {Pair}
 */
function bestPart(night, timing, found, busy, possible) {
  const light = inLight(night, timing, found, possible);
  const taken = [...busy.rig, ...busy.steep];
  const pieces = [...free(light, taken), ...free(possible, taken), ...free(light, busy.rig)];
  const long = pieces.find((piece) => lastsMs(timing, piece) >= LEAST_MS);
  if (long) return long;
  const open = free(light, busy.rig);
  return open.reduce(
    (widest, piece) => (piece[1] - piece[0] > widest[1] - widest[0] ? piece : widest),
    open[0] ?? light,
  );
}

/**
 * The part of a range before civil dusk or after civil dawn, where that leaves time enough.
 * @param {Night} night @param {Timing} timing @param {FoundEvent[]} found @param {Pair} possible @returns {Pair}
 */
function inLight(night, timing, found, possible) {
  const [first, last] = possible;
  const [from_ms, until_ms] = possible.map((frame) => msOf(timing, frame));
  const dark = starsOut(night, from_ms / 1000);
  const edge = dark ? "civil dawn" : "civil dusk";
  const at = found.find(([ms, name]) => name === edge && from_ms < ms && ms < until_ms);
  if (at === undefined) return possible;
  const frame = frameAt(timing, at[0]);
  /** @type {Pair} */
  const light = dark ? [Math.ceil(frame), last] : [first, Math.floor(frame)];
  return lastsMs(timing, light) >= LEAST_MS ? light : possible;
}

/**
 * The pieces of a range, of two frames or more, that nothing takes.
 * @param {Pair} range @param {Pair[]} taken @returns {Pair[]}
 */
function free([first, end], taken) {
  const stops = [...taken].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  /** @type {Pair[]} */
  const pieces = [];
  let start = first;
  for (const [low, high] of [...stops, [end + 1, end + 1]]) {
    if (start < Math.min(low - 1, end)) pieces.push([start, Math.min(low - 1, end)]);
    start = Math.max(start, high + 1);
  }
  return pieces;
}

/** @param {Timing} timing @param {Pair} row */
function lastsMs(timing, [first, last]) {
  return msOf(timing, last) - msOf(timing, first);
}
