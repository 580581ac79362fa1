// twin: fieldsheet/plan/shortages.py
// What is empty or full before the last frame, as message ids with arguments.

import { caution } from "./planned.js";
import { CABIN_WH } from "./supplies.js";
import { LATEST_SHARE, latestFrame, secondReserve, swappedAt } from "./swaps.js";
import { msOf } from "./timing.js";

function rigOf({ power }) {
  return power.supplies.find(({ id }) => id === "rig");
}

function moment({ frame, time }) {
  return { frame, clock: time.utc_ms };
}

/** The rig's pack at its reserve before the end, and nothing swapped for it. */
function packEmpty(planned) {
  const rig = rigOf(planned);
  if (!rig || rig.reserve === null || planned.power.swap !== null) return [];
  const { name, usable_wh: usable, rated_wh } = rig.packs[0];
  const needed = rig.total_wh;
  const cabin = (rated_wh * needed) / usable <= CABIN_WH ? "cabin.within" : "cabin.over";
  return [caution("no-go", "pack-empty", { name, usable, needed, enough: rig.enough_mah, ...moment(rig.reserve), cabin })];
}

/** A range that a person gave, where one of the packs does not last over all of it. */
function swapAgainstPacks(planned) {
  const rig = rigOf(planned);
  const { swap, timing } = planned;
  if (!rig || swap === null || rig.packs.length < 2) return [];
  const [first, second] = rig.packs;
  const until = Math.floor(swap.until.frame);
  const given_wh = swappedAt(rig.used_wh, until);
  const found = [];
  if (rig.reserve !== null && given_wh > first.usable_wh * LATEST_SHARE) {
    const late = given_wh > first.usable_wh;
    const { frame: reserve, clock: reserve_clock } = moment(rig.reserve);
    const args = { until, clock: swap.until.time.utc_ms, name: first.name, reserve, reserve_clock };
    args.latest = latestFrame(rig);
    found.push(caution(late ? "no-go" : "mind", late ? "swap-late" : "swap-tight", args));
  }
  const at = Math.ceil(swap.from.frame);
  const name = second.name;
  const ends = secondReserve(rig, at);
  const at_best = secondReserve(rig, until);
  if (at_best !== null) {
    const args = { name, at: until, frame: at_best, clock: msOf(timing, at_best), usable: second.usable_wh };
    found.push(caution("no-go", "swap-short", args));
  } else if (ends !== null) {
    let earliest = at;
    while (secondReserve(rig, earliest) !== null) earliest += 1;
    found.push(caution("mind", "swap-early", { name, at, frame: ends, clock: msOf(timing, ends), earliest }));
  }
  return found;
}

/** The camera's battery or the heater's pack at its reserve before the end. */
function ownEmpty({ power }) {
  return power.supplies
    .filter(({ id, reserve }) => id !== "rig" && reserve !== null)
    .map(({ id, packs, total_wh: needed, reserve }) =>
      caution(id === "camera" ? "no-go" : "mind", `${id}-empty`, { usable: packs[0].usable_wh, needed, ...moment(reserve) }),
    );
}

/** Peak current kills first: a pack that cannot give it switches off. */
function peakOver(planned) {
  const rig = rigOf(planned);
  if (!rig || rig.peak_w === null) return [];
  const weak = rig.packs.filter(({ output_w }) => output_w < rig.peak_w);
  return weak.slice(0, 1).map(({ name, output_w: output }) => caution("no-go", "peak-over", { name, peak: rig.peak_w, output }));
}

/** Below what was measured nobody knows what a pack gives. */
function tooCold({ power: { temperature_c: degrees, supplies } }) {
  return supplies.flatMap(({ id, packs }) => {
    const coldest = Math.max(...packs.map(({ coldest_c }) => coldest_c));
    return degrees < coldest ? [caution("no-go", "packs-cold", { what: `supply.${id}`, degrees, coldest })] : [];
  });
}

/** The rig carries more than when its figures were measured. */
function heavier({ brief: { rig, rail } }) {
  const payload = rail?.payload_kg ?? null;
  const measured = rig.power?.payload_kg ?? null;
  if (payload === null || measured === null || payload <= measured) return [];
  return [caution("mind", "payload-measured", { payload, measured })];
}

function cardsFull({ storage, timing: { frames } }) {
  if (storage === null || storage.full === null) return [];
  const { fit, spare_gb, frame_mb, needed_gb: needed, full } = storage;
  return [caution("no-go", "cards-full", { frames, fit, short: -spare_gb, frame_mb, needed, ...moment(full) })];
}

export const CHECKS = [packEmpty, swapAgainstPacks, ownEmpty, peakOver, tooCold, heavier, cardsFull];
