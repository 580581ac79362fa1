// twin: fieldsheet/plan/cautions.py
// What breaks in rig and timing, as message ids with arguments, worst first.

import { swapEdges, swapMissedMs } from "./acts.js";
import { wrapDeg } from "./aim.js";
import { spanAt } from "./civil.js";
import { CHECKS as EXPOSING } from "./exposing.js";
import { CHECKS as FLICKER } from "./flicker.js";
import { CHECKS as OUTDOORS, OF_THE_PLACE } from "./outdoors.js";
import { CHECKS as PICTURED, outOfSight } from "./pictured.js";
import { settableMs } from "./keyed.js";
import { offEvent } from "./meant.js";
import { speedIn } from "./move.js";
import { intervalAt, msOf } from "./pace.js";
import { caution } from "./planned.js";
import { beyondCables, beyondLimits } from "./reaches.js";
import { CHECKS as SHORTAGES } from "./shortages.js";
import { MINUTE_MS, lackingPhases } from "./timing.js";
import { unseen } from "./unseen.js";

const HALF_TURN_DEG = 180;
const PAN_S = 7;
const CLEARLY = 5 / 7;
const LONG_SHOT_MS = 12 * 3600000;
const ZONE_GAP_H = 3.5;

/** What forbids a shot before anything but its keyframes is worked out: each a "no-go". @param {Restricted} placed */
export function forbidden(placed) {
  return [beyondLimits, beyondCables, outOfSight, ...OF_THE_PLACE].flatMap((check) => check(placed));
}

/** Every limit that this plan breaks ("no-go") or that should be minded ("mind"). @param {Planned} planned */
export function warnings(planned) {
  const checks = [
    beyondLimits,
    beyondCables,
    shortInterval,
    tooFast,
    phases,
    fastPicture,
    loadOver,
    unseen,
    ...PICTURED,
    longWay,
    offEvent,
    ...OUTDOORS,
    swapLost,
    ...SHORTAGES,
    ...EXPOSING,
    ...FLICKER,
    endsLate,
    longShot,
    zoneFar,
    doubledClocks,
    assumedFigures,
  ];
  const found = checks.flatMap((check) => check(planned));
  return [...found.filter(({ level }) => level === "no-go"), ...found.filter(({ level }) => level !== "no-go")];
}

/** @param {Planned} planned */
function shortInterval({ brief, budget, timing }) {
  if (budget.slack_ms >= 0) return [];
  let id = budget.dwell_ms === null ? "interval-short-moving" : "interval-short";
  if (budget.longest_shutter_ms === 0) id = "interval-short-of-all";
  if (budget.shortest_interval_ms === null) id = "move-too-long";
  const works = settableMs(brief, budget.needed_ms);
  const args = { interval: budget.interval_ms, short: -budget.slack_ms, works, frames: timing.frames };
  return [caution("no-go", id, { ...args, ...budget })];
}

/** @param {Planned} planned */
function tooFast({ brief, stages, timing }) {
  return tooFastAxes(brief, stages).map(([name, needed, frame]) => {
    const axis = brief.rig.axes[name];
    const args = { axis: name, frame, unit: `after.${axis.unit}`, needed, given: axis.speed_max };
    const works = settableMs(brief, Math.ceil((intervalAt(timing, frame) * needed) / axis.speed_max));
    const mends = { works, frames: timing.frames, part: (axis.speed_max / needed) * 100 };
    return caution("no-go", "too-fast", { ...args, ...mends });
  });
}

/** @param {Planned} planned */
function fastPicture({ brief, look }) {
  if (look === null || look.seconds_per_frame_width >= PAN_S * CLEARLY) return [];
  const { seconds_per_frame_width: seconds, fastest_frame: frame } = look;
  const [rate, scale] = brief.fps;
  return [caution("mind", "fast-picture", { seconds, frame, fps: rate / scale, least: PAN_S })];
}

/**
 * [axis, speed needed in units a second] where it is too much for a rig that moves all the time.
 * @param {Brief} brief @param {Stage[]} stages @returns {[string, number, number][]}
 */
export function tooFastAxes(brief, stages) {
  if (brief.rig.motion !== "continuous") return [];
  return Object.entries(brief.rig.axes).flatMap(([name, { speed_max }]) => {
    const fastest = stages.reduce((a, b) => (speedIn(b, name) > speedIn(a, name) ? b : a));
    const needed = speedIn(fastest, name);
    return needed > speed_max ? [[name, needed, fastest.steps[name].frame]] : [];
  });
}

/** A change of interval that does not come on this night. @param {Planned} planned */
function phases({ timing }) {
  return lackingPhases(timing).map(([phase, is_ended]) =>
    caution("mind", is_ended ? "phase-ended" : "phase-outside", { phase, interval: timing.phases[phase].interval_ms }),
  );
}

/** A pan given as a number goes where the number says, also the long way round. @param {Planned} planned */
function longWay({ brief, settings }) {
  if (!("pan" in brief.rig.axes)) return [];
  return settings.slice(1).flatMap((after, index) => {
    const before = settings[index].axes.pan;
    const turn = after.axes.pan - before;
    if (Math.abs(turn) <= HALF_TURN_DEG || brief.keyframes[index + 1].aim !== null) return [];
    const short = wrapDeg(turn);
    const args = { number: index + 2, turn: Math.abs(turn), short: Math.abs(short), instead: before + short };
    return [caution("mind", "long-way", args)];
  });
}

/** A rail's rating falls with its angle; between measured angles it is taken as straight. @param {Planned} planned */
function loadOver({ brief: { rail, rig } }) {
  if (rail === null || rail.payload_kg === null || rig.load_kg === null) return [];
  const incline = Math.abs(rail.incline_deg);
  const allowed = between(rig.load_kg, incline);
  if (rail.payload_kg <= allowed) return [];
  return [caution("no-go", "load", { payload: rail.payload_kg, allowed, incline })];
}

/**
 * The value at x on the straight lines through ascending pairs; at their ends the end's value.
 * @param {number[][]} pairs @param {number} x
 */
function between(pairs, x) {
  for (let index = 1; index < pairs.length; index += 1) {
    const [[x0, y0], [x1, y1]] = [pairs[index - 1], pairs[index]];
    if (x <= x1) return y0 + ((y1 - y0) * Math.max(x - x0, 0)) / (x1 - x0);
  }
  return pairs[pairs.length - 1][1];
}

/** A swap that cannot be, on this night or on any. @param {Planned} planned */
function swapLost({ brief, night, timing, swap }) {
  if (brief.swap === null || swap !== null) return [];
  const edges = swapEdges(brief, night, timing);
  const until = swapMissedMs(brief.swap, night, timing);
  if (until !== null) return [caution("mind", "swap-missed", { until, start: timing.start_ms })];
  if (edges === null || edges[1] > edges[0]) return [caution("mind", "swap-outside", { frames: timing.frames })];
  return [caution("no-go", "swap-reversed", { from: msOf(timing, edges[0]), until: msOf(timing, edges[1]) })];
}

/** The rig's steps made the interval longer than the window that was asked for allows. @param {Planned} planned */
function endsLate({ timing: { start_ms, end_ms, asked_ms, interval_ms } }) {
  const late = end_ms - start_ms - asked_ms;
  if (late < MINUTE_MS) return [];
  const args = { late, end: end_ms, interval: interval_ms, frames: Math.floor(asked_ms / interval_ms) };
  return [caution("mind", "ends-late", args)];
}

/** @param {Planned} planned */
function longShot({ timing: { start_ms, end_ms } }) {
  if (end_ms - start_ms <= LONG_SHOT_MS) return [];
  return [caution("mind", "long-shot", { duration: end_ms - start_ms, start: start_ms, end: end_ms })];
}

/** The zone's offset against the sun's own time at this longitude, 15 degrees an hour. @param {Planned} planned */
function zoneFar({ brief, night, timing }) {
  const longitude = brief.place.longitude_deg;
  const zone_h = spanAt(night.spans, timing.start_ms / 1000)[1] / 3600;
  let gap = zone_h - longitude / 15;
  gap -= 24 * Math.floor((gap + 12) / 24);
  if (Math.abs(gap) <= ZONE_GAP_H) return [];
  const args = { hours: Math.abs(gap), zone_offset: zone_h, longitude, sun_offset: longitude / 15 };
  return [caution("mind", "zone-far", args)];
}

/** @param {Planned} planned */
function doubledClocks({ timing }) {
  /** @type {Record<string, number>} */
  const clocks = { start: timing.start_ms, end: timing.end_ms };
  return timing.doubled.map((key) => caution("mind", "clock-doubled", { which: `edge.${key}`, clock: clocks[key] }));
}

/** Figures that nobody has measured yet; a plan that came in a code does not tell of them. @param {Planned} planned */
function assumedFigures({ brief: { assumed } }) {
  return assumed ? [caution("mind", "assumed", assumed)] : [];
}
