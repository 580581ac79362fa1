// twin: fieldsheet/plan/supplies.py
// Watt-hours of rig, camera and heater by phase, and what their packs give.

import { stamp } from "./civil.js";
import { curveAt } from "./curve.js";
import { driveS, wayBack } from "./drives.js";
import { positionAt } from "./move.js";
import { elapsedMs, msOf } from "./pace.js";
import { SHARES } from "./schedule.js";

/** @typedef {ReturnType<typeof drawOf>} Draw */

const HOUR_MS = 3600000;
const GRAVITY = 9.80665;
export const CABIN_WH = 100;
const ASKED_WH = 160;
const STEP_MAH = 100;
const LINE = 8;

/** What was shot before frame 1, see the twin: nothing, where the shot did not stop and go on. */
export const NOTHING = { frames: 0, stands_ms: 0, used_wh: {}, packs: 0 };

/** What a rig that says what it takes draws at the incline of the shot's rail. @param {Brief} brief */
function drawOf({ rig, rail }) {
  const power = /** @type {NonNullable<Rig["power"]>} */ (rig.power);
  const rises = rail === null ? 0 : rail.incline_deg;
  const ratio = (/** @type {number[][]} */ pairs) => (rises ? curveAt(pairs, Math.abs(rises)) : 1);
  return {
    electronics_w: power.electronics_w,
    holding_w: power.holding_w * ratio(power.holding),
    rises,
    moving_wh: power.moving_wh,
    up: ratio(power.up),
    down: ratio(power.down),
  };
}

/** Wh of going from one setting of the axes to another. @param {Draw} draw @param {Axes} before @param {Axes} after */
function movedWh(draw, before, after) {
  let total = 0;
  for (const [name, value] of Object.entries(before)) {
    const way = after[name] - value;
    const along = way * draw.rises > 0 ? draw.up : draw.down;
    total += Math.abs(way) * draw.moving_wh[name] * (name === "slide" ? along : 1);
  }
  return total;
}

/** The three draws [Wh] over a time. @param {Draw} draw @param {number} lasts_ms @param {number} moving_wh */
function phaseOf(draw, lasts_ms, moving_wh) {
  return {
    electronics_wh: (draw.electronics_w * lasts_ms) / HOUR_MS,
    holding_wh: (draw.holding_w * lasts_ms) / HOUR_MS,
    moving_wh,
  };
}

/**
 * What the rig takes from the first drive to the end, and its packs; null where it says nothing of it.
 * @param {Brief} brief @param {Pick<Night, "spans">} night @param {Timing} timing @param {Path} path
 * @param {Before} before @returns {Supply | null}
 */
export function rigSupply(brief, night, timing, path, before) {
  const { power } = brief.rig;
  if (power === null) return null;
  const draw = drawOf(brief);
  const [shot_wh, moving_wh] = shooting(draw, timing, path);
  const setup = before.frames > 0 ? againOf(brief, draw, path, before.stands_ms) : setupOf(brief, draw, path);
  const back = backOf(brief, draw, path);
  const phase = phaseOf(draw, elapsedMs(timing, timing.frames), moving_wh);
  const before_wh = before.used_wh.rig ?? 0;
  const ready_wh = before_wh + totalOf(setup) + totalOf(back);
  const used_wh = shot_wh.map((used) => ready_wh + used);
  const run_wh = totalOf(back) + totalOf(phase);
  const left = power.packs.slice(Math.min(before.packs, power.packs.length - 1));
  const packs = left.map((pack) => packOf(pack, brief.temperature_c));
  const reserve = reserveFrame(used_wh, packs[0].usable_wh);
  const total_wh = used_wh[used_wh.length - 1];
  return {
    id: "rig",
    phases: { setup, back, shooting: phase },
    before_wh,
    total_wh,
    run_wh,
    lift_wh: liftWh(brief, draw, timing, path),
    peak_w: power.peak_w === null ? null : power.peak_w * Math.max(draw.up, draw.down),
    packs: packs.map((pack) => ({ ...pack, runs: pack.usable_wh / run_wh })),
    reserve: atFrame(night, timing, reserve),
    enough_mah: reserve && enoughMah(left[0], packs[0], total_wh),
    used_wh,
  };
}

/**
 * What takes its Wh from a pack of its own, that had given so much: frames_wh by the frame, the rest by the time.
 * @param {string} id @param {Brief} brief @param {Pick<Night, "spans">} night @param {Timing} timing
 * @param {Supply["phases"]["shooting"]} needs @param {FiledPack} pack @param {number} before_wh @returns {Supply}
 */
function ownSupply(id, brief, night, timing, needs, pack, before_wh) {
  const total_wh = totalOf(needs);
  const held = packOf(pack, brief.temperature_c);
  const lasts_ms = elapsedMs(timing, timing.frames);
  const by_frame_wh = needs.frames_wh ?? 0;
  const used_wh = Array.from(
    { length: timing.frames + 1 },
    (_, frame) =>
      before_wh +
      (by_frame_wh * frame) / timing.frames +
      ((total_wh - by_frame_wh) * elapsedMs(timing, frame)) / lasts_ms,
  );
  const reserve = atFrame(night, timing, reserveFrame(used_wh, held.usable_wh));
  return {
    id,
    phases: { shooting: needs },
    before_wh,
    total_wh: before_wh + total_wh,
    packs: [held],
    reserve,
    used_wh,
  };
}

/**
 * The camera's own battery, fresh before the first frame of all; it idles while the shot stands.
 * @param {Brief} brief @param {Pick<Night, "spans">} night @param {Timing} timing @param {Before} before
 * @returns {Supply | null}
 */
export function cameraSupply(brief, night, timing, before) {
  const { battery } = brief.camera;
  if (battery === null) return null;
  const needs = {
    frames_wh: timing.frames * battery.frame_wh,
    idle_wh: (battery.idle_w * elapsedMs(timing, timing.frames)) / HOUR_MS,
  };
  const before_wh = (before.used_wh.camera ?? 0) + (battery.idle_w * before.stands_ms) / HOUR_MS;
  return ownSupply("camera", brief, night, timing, needs, battery.pack, before_wh);
}

/**
 * The dew heater, on from the first frame of all.
 * @param {Brief} brief @param {Pick<Night, "spans">} night @param {Timing} timing @param {Before} before
 * @returns {Supply | null}
 */
export function heaterSupply(brief, night, timing, before) {
  const { heater } = brief;
  if (heater === null) return null;
  const needs = { heating_wh: (heater.heater_w * elapsedMs(timing, timing.frames)) / HOUR_MS };
  const before_wh = (before.used_wh.heater ?? 0) + (heater.heater_w * before.stands_ms) / HOUR_MS;
  return ownSupply("heater", brief, night, timing, needs, heater.pack, before_wh);
}

/**
 * The frame in which more than usable_wh was taken since from_wh was; null where it never is.
 * @param {number[]} used_wh @param {number} usable_wh @param {number} [from_wh]
 */
export function reserveFrame(used_wh, usable_wh, from_wh = 0) {
  const frame = used_wh.findIndex((used) => used - from_wh > usable_wh);
  return frame < 0 ? null : frame || 1;
}

/**
 * A supply with the points of its line only, evenly from frame 1 to the end, to 0.001 Wh.
 * @param {Supply} supply @returns {Supply}
 */
export function thinned(supply) {
  const used = supply.used_wh;
  const points = Array.from({ length: LINE + 1 }, (_, n) => used[Math.floor((n * (used.length - 1)) / LINE + 0.5)]);
  return { ...supply, used_wh: points.map((point) => Math.floor(point * 1000 + 0.5) / 1000) };
}

/**
 * mAh of the same cells that would hold needed_wh above the reserve, in whole steps.
 * @param {RigPack} pack @param {Supply["packs"][number]} held @param {number} needed_wh
 */
function enoughMah(pack, held, needed_wh) {
  const mah = (((needed_wh / held.usable_wh) * pack.rated_wh) / pack.cell_v) * 1000;
  return Math.ceil(mah / STEP_MAH - 1e-9) * STEP_MAH;
}

/**
 * [Wh used when so many frames are over, none to all; Wh of the moving among them].
 * @param {Draw} draw @param {Timing} timing @param {Path} path @returns {[number[], number]}
 */
function shooting(draw, timing, path) {
  const still_w = draw.electronics_w + draw.holding_w;
  let moving_wh = 0;
  let here = positionAt(path, 1);
  const used = [0];
  for (let frame = 1; frame <= timing.frames; frame += 1) {
    if (frame < timing.frames && path.warp !== null) {
      const after = positionAt(path, frame + 1);
      moving_wh += movedWh(draw, here, after);
      here = after;
    }
    used.push((still_w * elapsedMs(timing, frame)) / HOUR_MS + moving_wh);
  }
  return [used, moving_wh];
}

/**
 * From the first drive: every axis once through its full way and back, then from keyframe to keyframe.
 * @param {Brief} brief @param {Draw} draw @param {Path} path
 */
function setupOf(brief, draw, path) {
  const ends = (/** @type {"min" | "max"} */ key) =>
    Object.fromEntries(Object.entries(brief.rig.axes).map(([name, axis]) => [name, axis[key]]));
  const moving_wh = movedWh(draw, ends("min"), ends("max")) + movedWh(draw, ends("max"), ends("min"));
  return phaseOf(draw, Object.fromEntries(SHARES).level * brief.setup_ms, keyedWh(brief, draw, path, moving_wh));
}

/**
 * From a stop until it rolls: it stands, and is driven from keyframe to keyframe.
 * @param {Brief} brief @param {Draw} draw @param {Path} path @param {number} stands_ms
 */
function againOf(brief, draw, path, stands_ms) {
  return phaseOf(draw, stands_ms, keyedWh(brief, draw, path, 0));
}

/**
 * from_wh, and the Wh of going from keyframe to keyframe in the order in which they are set.
 * @param {Brief} brief @param {Draw} draw @param {Path} path @param {number} from_wh
 */
function keyedWh({ order }, draw, path, from_wh) {
  const stops = path.settings.map(({ axes }) => axes);
  if (order === "last-to-first") stops.reverse();
  return stops.slice(1).reduce((wh, after, index) => wh + movedWh(draw, stops[index], after), from_wh);
}

/**
 * The way from the last keyframe to the first, where they are set first-to-last.
 * @param {Brief} brief @param {Draw} draw @param {Path} path
 */
function backOf(brief, draw, path) {
  const { settings } = path;
  if (brief.order === "last-to-first" || settings.length < 2) return phaseOf(draw, 0, 0);
  const stops = wayBack(brief.rig.axes, settings);
  let moving_wh = 0;
  for (let index = 1; index < stops.length; index += 1) moving_wh += movedWh(draw, stops[index - 1], stops[index]);
  return phaseOf(draw, driveS(brief.rig.axes, stops) * 1000, moving_wh);
}

/**
 * m*g*h of the climbing in the shot; null where nothing climbs, or where the payload is not known.
 * @param {Brief} brief @param {Draw} draw @param {Timing} timing @param {Path} path
 */
function liftWh({ rail, rig }, draw, timing, path) {
  const payload_kg = rail?.payload_kg ?? rig.power?.payload_kg ?? null;
  if (!draw.rises || payload_kg === null || path.warp === null) return null;
  let climbed_mm = 0;
  for (let frame = 1; frame < timing.frames; frame += 1) {
    const way = positionAt(path, frame + 1).slide - positionAt(path, frame).slide;
    if (way * draw.rises > 0) climbed_mm += Math.abs(way);
  }
  const height_m = (climbed_mm / 1000) * Math.sin((Math.abs(draw.rises) * Math.PI) / 180);
  return (payload_kg * GRAVITY * height_m) / 3600;
}

/**
 * What a pack gives above its reserve at this temperature, and how it may fly.
 * @param {FiledPack | RigPack} pack @param {number} temperature_c
 */
function packOf(pack, temperature_c) {
  const usable_wh = pack.rated_wh * pack.efficiency * curveAt(pack.cold, temperature_c) * (1 - pack.reserve);
  const asked = pack.rated_wh <= ASKED_WH ? "cabin.asked" : "cabin.never";
  return {
    name: /** @type {string | null} */ (pack.name),
    rated_wh: pack.rated_wh,
    usable_wh,
    coldest_c: pack.cold[0][0],
    output_w: "output_w" in pack ? pack.output_w : null,
    cabin: pack.rated_wh <= CABIN_WH ? "cabin.free" : asked,
  };
}

/**
 * @param {Pick<Night, "spans">} night @param {Timing} timing @param {number | null} frame @returns {FrameTime | null}
 */
function atFrame(night, timing, frame) {
  return frame === null ? null : { frame, time: stamp(night.spans, msOf(timing, frame)) };
}

/** The sum of parts, added in their order. @param {Record<string, number | undefined>} parts */
export function totalOf(parts) {
  return Object.values(parts).reduce((/** @type {number} */ total, part = 0) => total + part, 0);
}
