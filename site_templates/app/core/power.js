// twin: fieldsheet/plan/power.py
// Watt-hours to the last frame: supplies, their packs, and their changes.

import { stamp } from "./civil.js";
import { elapsedMs, msOf } from "./pace.js";
import { NOTHING, cameraSupply, heaterSupply, reserveFrame, rigSupply } from "./supplies.js";
import { advisedSwaps, busyFrames, changeOf, packReserve } from "./swaps.js";

/**
 * {changes, temperature_c, supplies}: a person's own swap is the first of the changes.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @param {Path} path @param {FoundEvent[]} found
 * @param {SwapRange | null} own @param {Exposure | null} exposure @param {Before} before @returns {Omit<Power, "rest">}
 */
export function powerOf(brief, night, timing, path, found, own, exposure, before) {
  const supplies = suppliesOf(brief, night, timing, path, before);
  const { power } = brief.rig;
  const rig = power && supplies[0];
  /** @type {Pair[]} */
  const ranges = own ? [[own.from.frame, own.until.frame]] : [];
  const given = ranges.map(([first, last]) => /** @type {Pair} */ ([Math.ceil(first), Math.floor(last)]));
  if (rig && power?.can_swap && isToChange(rig, given)) {
    const stops = [
      ...path.settings.map(({ frame }) => frame),
      ...timing.segments.slice(1).map((one) => one.first_frame),
    ];
    const busy = busyFrames(timing, stops, exposure);
    ranges.push(...advisedSwaps(night, timing, found, busy, rig, given).slice(given.length));
  }
  const changes = ranges.map((part, index) => changeOf(night, timing, rig, index + 1, part));
  return { changes, temperature_c: brief.temperature_c, supplies };
}

/**
 * The supplies that the files say something of, the rig's first; no sky is asked.
 * @param {Brief} brief @param {Pick<Night, "spans">} night @param {Timing} timing @param {Path} path
 * @param {Before} [before] @returns {Supply[]}
 */
export function suppliesOf(brief, night, timing, path, before = NOTHING) {
  const supplies = [
    rigSupply(brief, night, timing, path, before),
    cameraSupply(brief, night, timing, before),
    heaterSupply(brief, night, timing, before),
  ];
  return supplies.filter((supply) => supply !== null);
}

/**
 * What the rig takes until all frames that a stop (the plan's recovery) left are made, {needed_wh, reserve}: when the
 * first pack, put in full as it stopped, is at its reserve. Null of a shot that runs through.
 * @param {Supply[]} supplies @param {Night} night @param {Timing} timing @param {Recovery | null} stop
 * @returns {Power["rest"]}
 */
export function afterStop(supplies, night, timing, stop) {
  const rig = supplies.find(({ id }) => id === "rig");
  if (!rig || stop === null) return null;
  const { electronics_wh = 0, holding_wh = 0 } = rig.phases.shooting;
  const share = stop.gap_ms / elapsedMs(timing, timing.frames);
  const stands_wh = (electronics_wh + holding_wh) * share;
  const since = rig.used_wh.slice(stop.frame).map((wh) => stands_wh + wh - rig.used_wh[stop.frame]);
  const more = reserveFrame(since, rig.packs[0].usable_wh);
  const needed_wh = since[since.length - 1];
  if (more === null) return { needed_wh, reserve: null };
  const frame = stop.frame + more;
  return { needed_wh, reserve: { frame, time: stamp(night.spans, msOf(timing, frame) + stop.gap_ms) } };
}

/**
 * Whether the pack that is in then does not last, though it be put in as late as it may.
 * @param {Supply} rig @param {Pair[]} given
 */
function isToChange(rig, given) {
  return given.length > 0 ? packReserve(rig, 1, given[0][1]) !== null : rig.reserve !== null;
}
