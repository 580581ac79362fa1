// twin: fieldsheet/plan/shortages.py
// What is empty or full before the last frame, as message ids with arguments.

import { msOf } from "./pace.js";
import { caution } from "./planned.js";
import { CABIN_WH } from "./supplies.js";
import { LATEST_SHARE, LEAST_MS, STEEP_MS, isSteep, lastFrame, packReserve, swappedAt, togetherWh } from "./swaps.js";

/** @param {Planned} planned */
function rigOf({ power }) {
  return power.supplies.find(({ id }) => id === "rig");
}

/** @param {FrameTime} at */
function moment({ frame, time }) {
  return { frame, clock: time.utc_ms };
}

/**
 * Set-up and way back leave nothing of the first pack, or too little to change it in good time.
 * @param {Planned} planned
 */
function packSetup(planned) {
  const rig = rigOf(planned);
  if (!rig || !spentBySetup(planned, rig)) return [];
  const { name, usable_wh: usable } = rig.packs[0];
  return [caution("no-go", "pack-setup", { name, usable, setup: rig.used_wh[0], ...enoughOf(rig) })];
}

/**
 * The rig's pack at its reserve before the end, and no swap for it that lets all of them last.
 * @param {Planned} planned
 */
function packEmpty(planned) {
  const rig = rigOf(planned);
  if (!rig || rig.reserve === null || planned.power.changes.length > 0 || spentBySetup(planned, rig)) return [];
  const { name, usable_wh } = rig.packs[0];
  const many = planned.brief.rig.power?.can_swap;
  const usable = many ? togetherWh(rig.packs) : usable_wh;
  const args = {
    name,
    usable,
    needed: rig.total_wh,
    ...enoughOf(rig),
    ...moment(rig.reserve),
    count: rig.packs.length,
  };
  return [caution("no-go", many ? "packs-empty" : "pack-empty", args)];
}

/**
 * Whether the first pack would have to be changed before the first frames are over.
 * @param {Planned} planned @param {Supply} supply
 */
function spentBySetup({ brief }, { reserve, used_wh, packs }) {
  const share = brief.rig.power?.can_swap ? LATEST_SHARE : 1;
  return reserve !== null && lastFrame(used_wh, packs[0].usable_wh * share) === 1;
}

/** The first pack that would last to the end, and whether it may ride in the cabin. @param {Supply} supply */
function enoughOf({ packs: [{ usable_wh, rated_wh }], total_wh, enough_mah: enough }) {
  return { enough, cabin: (rated_wh * total_wh) / usable_wh <= CABIN_WH ? "cabin.within" : "cabin.over" };
}

/**
 * A range that a person gave, where one of the packs does not last over all of it, nor is changed again.
 * @param {Planned} planned
 */
function swapAgainstPacks(planned) {
  const rig = rigOf(planned);
  const { swap, timing } = planned;
  if (!rig || swap === null || rig.packs.length < 2) return [];
  const [first, second] = rig.packs;
  const until = Math.floor(swap.until.frame);
  const given_wh = swappedAt(rig.used_wh, until);
  const found = [];
  const tight = given_wh > first.usable_wh * LATEST_SHARE;
  let best = until;
  if (rig.reserve !== null && tight && !spentBySetup(planned, rig)) {
    best = lastFrame(rig.used_wh, first.usable_wh * LATEST_SHARE);
    const late = given_wh > first.usable_wh;
    const { frame: reserve, clock: reserve_clock } = moment(rig.reserve);
    const args = { until, clock: swap.until.time.utc_ms, name: first.name, reserve, reserve_clock, latest: best };
    found.push(caution(late ? "no-go" : "mind", late ? "swap-late" : "swap-tight", args));
  }
  if (planned.power.changes.length > 1) return found;
  const at = Math.ceil(swap.from.frame);
  const name = second.name;
  const ends = packReserve(rig, 1, at);
  const at_best = packReserve(rig, 1, best);
  if (at_best !== null) {
    const args = { name, at: best, frame: at_best, clock: msOf(timing, at_best), usable: second.usable_wh };
    found.push(caution("no-go", "swap-short", args));
  } else if (ends !== null) {
    let earliest = at;
    while (packReserve(rig, 1, earliest) !== null) earliest += 1;
    found.push(caution("mind", "swap-early", { name, at, frame: ends, clock: msOf(timing, ends), earliest }));
  }
  return found;
}

/** A range that a person gave, in which the exposure is clicked all the time. @param {Planned} planned */
function swapSteep({ swap, timing, exposure }) {
  if (swap === null) return [];
  const [from, until] = [Math.ceil(swap.from.frame), Math.floor(swap.until.frame)];
  if (!isSteep(timing, [from, until], exposure)) return [];
  return [caution("mind", "swap-steep", { from, until, click: STEEP_MS, least: LEAST_MS })];
}

/** The camera's battery or the heater's pack at its reserve before the end. @param {Planned} planned */
function ownEmpty({ power }) {
  return power.supplies
    .filter(({ id }) => id !== "rig")
    .flatMap(({ id, packs, total_wh: needed, reserve }) => {
      if (reserve === null) return [];
      const args = { usable: packs[0].usable_wh, needed, ...moment(reserve) };
      return [caution(id === "camera" ? "no-go" : "mind", `${id}-empty`, args)];
    });
}

/** Peak current kills first: a pack that cannot give it switches off. @param {Planned} planned */
function peakOver(planned) {
  const rig = rigOf(planned);
  const peak = rig?.peak_w ?? null;
  if (!rig || peak === null) return [];
  const weak = rig.packs.filter(({ output_w }) => (output_w ?? 0) < peak);
  return weak.slice(0, 1).map(({ name, output_w: output }) => caution("no-go", "peak-over", { name, peak, output }));
}

/** Below what was measured nobody knows what a pack gives. @param {Planned} planned */
function tooCold({ power: { temperature_c: degrees, supplies } }) {
  return supplies.flatMap(({ id, packs }) => {
    const coldest = Math.max(...packs.map(({ coldest_c }) => coldest_c));
    return degrees < coldest ? [caution("no-go", "packs-cold", { what: `supply.${id}`, degrees, coldest })] : [];
  });
}

/** The rig carries more than when its figures were measured. @param {Planned} planned */
function heavier({ brief: { rig, rail } }) {
  const payload = rail?.payload_kg ?? null;
  const measured = rig.power?.payload_kg ?? null;
  if (payload === null || measured === null || payload <= measured) return [];
  return [caution("mind", "payload-measured", { payload, measured })];
}

/** @param {Planned} planned */
function cardsFull({ storage, timing: { frames } }) {
  if (storage === null || storage.full === null) return [];
  const { fit, spare_gb, frame_mb, needed_gb: needed, full } = storage;
  return [caution("no-go", "cards-full", { frames, fit, short: -spare_gb, frame_mb, needed, ...moment(full) })];
}

export const CHECKS = [
  packSetup,
  packEmpty,
  swapAgainstPacks,
  swapSteep,
  ownEmpty,
  peakOver,
  tooCold,
  heavier,
  cardsFull,
];
