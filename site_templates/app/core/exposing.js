// twin: fieldsheet/plan/exposing.py
// What the exposure cannot do as it is meant, as message ids with arguments.

import { secondInterval } from "./budget.js";
import { CLICKS } from "./exposure.js";
import { opensOf, rungClicks, rungsOf } from "./opened.js";
import { intervalAt, msOf } from "./pace.js";
import { caution } from "./planned.js";
import { clipMs } from "./timing.js";

const FACTORS = [0.5, 1.5];
const LEAST_LIGHT_STOPS = 1;
const MOST_LAG_EV = 0.5;
const HAND_MS = 3000;

/**
 * Where a hand begins to turn a control, or turns it back, by a stop or more: {id, frame, time}. See the twin.
 * @param {Exposure | null} exposure @returns {(FrameTime & {id: string})[]}
 */
export function clickActs(exposure) {
  if (exposure === null || exposure.turned_by === "automatic") return [];
  /** @type {(FrameTime & {id: string, clicks: number})[]} */
  const stretches = [];
  for (const { control, clicks, first_frame: frame, time } of exposure.bands) {
    if (control === null) continue;
    const id = `moment.${control}-${clicks > 0 ? "more" : "less"}`;
    if (stretches.at(-1)?.id !== id) stretches.push({ id, frame, time, clicks: 0 });
    stretches[stretches.length - 1].clicks += Math.abs(clicks);
  }
  const long = stretches.filter(({ clicks }) => clicks >= CLICKS);
  return long.filter(({ id }, n) => long[n - 1]?.id !== id).map(({ id, frame, time }) => ({ id, frame, time }));
}

/** Two bases that the light between their moments does not account for. @param {Exposing} planned */
function basesApart({ exposure }) {
  const { factor, bases_stops: bases, light_stops: light } = exposure.stretch;
  const fits = light >= LEAST_LIGHT_STOPS && FACTORS[0] <= factor && factor <= FACTORS[1];
  return fits ? [] : [caution("mind", "bases-apart", { bases, light })];
}

/** Too bright for the shortest shutter, too dark for the last ISO. @param {Exposing} planned */
function beyond({ brief, exposure, timing }) {
  const { ladder } = brief.exposure;
  const ends = { bright: ladder[0], dark: ladder[ladder.length - 1] };
  return Object.entries(ends).flatMap(([end, [f, shutter, iso]]) => {
    const found = exposure.beyond[/** @type {"bright" | "dark"} */ (end)];
    if (found === null) return [];
    const args = { stops: found.ev, frame: found.frame, clock: msOf(timing, found.frame), f, shutter, iso };
    return [caution("mind", `too-${end}`, args)];
  });
}

/** Faster than a click a frame, and the interval, in whole seconds, at which that would keep up. @param {Exposing} planned */
function lags({ exposure: { lag_ev: lag, steepest }, timing }) {
  if (lag <= MOST_LAG_EV) return [];
  const works = Math.floor(60 / CLICKS / Math.abs(steepest.ev_per_min)) * 1000;
  return [caution("mind", "exposure-lags", { lag, interval: intervalAt(timing, steepest.frame), works, ...steepest })];
}

/**
 * The shutter of the night no longer fits into the interval: from which frame, and what would keep it.
 * @param {Exposing} planned
 */
function outgrows({ brief, exposure, budget, timing, path }) {
  if (budget.shortest_interval_ms === null) return [];
  const { ladder } = brief.exposure;
  const rungs = rungsOf(exposure);
  const broken = brokenOf(ladder, rungs, budget.stages);
  const shutters = ofEach(ladder, 1);
  const kept = shutters.filter((rung) => broken !== null && rung[3] <= broken.fits_ms);
  if (broken === null || kept.length === 0) return [];
  const { frame, rung, fits_ms } = broken;
  const args = {
    frame,
    clock: msOf(timing, frame),
    shutter: ladder[rung][1],
    interval: intervalAt(timing, frame),
    works: budget.shortest_interval_ms,
    works_frames: budget.shortest_frames,
    works_clip: tenths(clipMs(brief, /** @type {number} */ (budget.shortest_frames))),
    keeps: kept[kept.length - 1][1],
    ...twoIntervals(brief, timing, path, exposure, frame),
  };
  // What the shutter gives up, click by click, the ISO makes up for at the deepest point of the ramp.
  const deepest = Math.max(...rungs.map(([, after]) => after));
  const isos = ofEach(ladder, 2).map((each) => each[2]);
  const lost = shutters.filter((each) => fits_ms < each[3] && each[3] <= ladder[deepest][3]).length;
  const over = isos.indexOf(ladder[deepest][2]) + lost - isos.length + 1;
  const id = `exposure-outgrows${over > 0 ? "-all" : ""}${"second" in args ? "-two" : ""}`;
  const more = { iso: isos[isos.length - 1 + Math.min(over, 0)], stops: Math.max(over, 0) / CLICKS };
  return [caution("no-go", id, { ...args, ...more })];
}

/**
 * {frame, rung, fits_ms} of the first setting for which a stage has no time, or null.
 * @param {Rung[]} ladder @param {Pair[]} rungs @param {Budget["stages"]} stages
 */
function brokenOf(ladder, rungs, stages) {
  const frames = [...rungs.map(([frame]) => frame), ...stages.map(({ first_frame }) => first_frame)];
  for (const frame of frames.sort((a, b) => a - b)) {
    const [, rung] = rungs.findLast(([first]) => first <= frame) ?? rungs[0];
    const stage = stages.findLast(({ first_frame }) => first_frame <= frame) ?? stages[0];
    const fits_ms = stage.longest_shutter_ms;
    if (ladder[rung][3] > fits_ms) return { frame, rung, fits_ms };
  }
  return null;
}

/**
 * The other interval that keeps the exposure from a frame on, and what the shot comes to then; {} if there is none.
 * @param {Brief} brief @param {Timing} timing @param {Path} path @param {Exposure | null} exposure
 * @param {number} frame @returns {{second?: number, frames?: number, clip?: number}}
 */
function twoIntervals(brief, timing, path, exposure, frame) {
  const works = secondInterval(brief, timing, path, opensOf(brief, exposure), frame);
  if (works === null) return {};
  return { second: works.interval_ms, frames: works.to.frames, clip: tenths(clipMs(brief, works.to.frames)) };
}

/** A clip's length as it is told. @param {number} ms */
const tenths = (ms) => Math.floor(ms / 100) * 100;

/**
 * The first rung of every mark of a control, in the order of the ladder.
 * @param {Rung[]} ladder @param {number} place @returns {Rung[]}
 */
function ofEach(ladder, place) {
  return ladder.filter((rung, at) => ladder.findIndex((other) => other[place] === rung[place]) === at);
}

/** Who turns by hand does it between a closed shutter and the next frame. @param {Exposing} planned */
function handSlack({ brief, exposure, timing }) {
  if (exposure.turned_by !== "hand") return [];
  const slackOf = (/** @type {number[]} */ [frame, before]) =>
    intervalAt(timing, frame - 1) - brief.camera.release_lag_ms - brief.exposure.ladder[before][3];
  const tight = rungClicks(exposure).find((click) => click[0] > 1 && slackOf(click) < HAND_MS);
  if (tight === undefined) return [];
  const frame = tight[0] - 1;
  const args = { frame, clock: msOf(timing, frame), slack: Math.max(slackOf(tight), 0) };
  return [caution("mind", "hand-slack", { ...args, shutter: brief.exposure.ladder[tight[1]][1], least: HAND_MS })];
}

/** Only where the person said how long a trail may be. @param {Exposing} planned */
function trailsLong({ brief, exposure }) {
  const most = brief.exposure.trail_max_px;
  const { clip_px: px, open_ms: open } = exposure.trails;
  if (most === null || px <= most) return [];
  return [caution("mind", "trails-long", { px, most, open, works_s: ((open / 1000) * most) / px })];
}

/** A moon in the frame that nobody aimed at: the model follows her light, not her disc. @param {Exposing} planned */
function moonDisc({ brief, exposure, timing }) {
  if (brief.keyframes.some(({ aim }) => aim?.target === "moon")) return [];
  return exposure.discs
    .filter(({ body }) => body === "moon")
    .map(({ first_frame: frame }) => caution("mind", "moon-disc", { frame, clock: msOf(timing, frame) }));
}

const OF_EXPOSURE = [basesApart, beyond, lags, outgrows, handSlack, trailsLong, moonDisc];
export const CHECKS = OF_EXPOSURE.map(
  (check) => (/** @type {Planned} */ planned) =>
    planned.exposure === null ? [] : check(/** @type {Exposing} */ (planned)),
);
