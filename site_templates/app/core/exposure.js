// twin: fieldsheet/plan/exposure.py
// The exposure from frame to frame, between the photographer's own two bases. How: see the twin.

import { axisOf, looksOf } from "./aim.js";
import { bands, controlOf } from "./bands.js";
import { stamp } from "./civil.js";
import { HALF_DISC_DEG } from "./events.js";
import { ev100 } from "./illuminance.js";
import { baseOf, groundLx, meteredEv, ownRun, sceneEv } from "./lit.js";
import { moonLight } from "./moon.js";
import { positionAt } from "./move.js";
import { rungsOf } from "./opened.js";
import { msOf, shortestMs } from "./pace.js";
import { PlanProblem } from "./problem.js";
import { CORE_DEG, declinationDeg, trailsOf } from "./trails.js";

/** @typedef {ReturnType<typeof bands>[number]} ClickBand as they come of bands.js, before they are rows of the plan */

export const CLICKS = 3;
const CURVE_POINTS = 48;
const MOST_SHIFT_EV = 5;
const LEAST_STOPS = 1;
const BEYOND_CLICKS = 0.55;
const CONTROLS = /** @type {const} */ (["aperture", "shutter", "iso"]);
const TURNING = ["night", "start_ms", "interval_ms", "spot", "way", "run"];
const DISC_LIT = 0.25;

/**
 * The plan's `exposure`; null where the brief has none. given: the brief before any change. Throws PlanProblem.
 * @param {Brief} given @param {Sky} sky @param {Changes} changes @param {Lit} run @param {Path} path
 * @param {Picture["inside"]} inside @returns {Exposure | null}
 */
export function exposureOf(given, sky, changes, run, path, inside) {
  const { brief, night, timing } = run;
  if (brief.exposure === null) return null;
  const asked = brief.exposure;
  const { top_ev, ladder } = asked;
  const turned_by = /** @type {Exposure["turned_by"]} */ (asked.turned_by);
  const shift_ev = shiftOf(changes);
  const fit = stretched(given, sky, changes, run);
  const targets = targetsOf(run, fit, shift_ev);
  const wanted = targets.map((target) => CLICKS * (top_ev - target));
  const rungs = atFrames(wanted, timing.frames).map((rung) => Math.min(Math.max(rung, 0), ladder.length - 1));
  const found = bands(rungs, ladder);
  const first_rung = found[0].before;
  const rows = found.map((band) => rowOf(run, band, ladder, first_rung));
  const [longest_shutter_ms, frame] = longestOf(rungsOf({ bands: rows, first_rung }), ladder);
  const base = (/** @type {"bright" | "dark"} */ name) => ({
    time: stamp(night.spans, Math.floor(fit.moments_s[name] * 1000 + 0.5)),
    ev: asked[name].ev,
  });
  const { factor, bases_stops, light_stops } = fit;
  return {
    turned_by,
    shift_ev,
    bright: base("bright"),
    dark: base("dark"),
    stretch: { factor, bases_stops, light_stops },
    stops: most(targets) - least(targets),
    steepest: steepestOf(run, targets),
    curve: tenths(targets),
    bands: rows,
    beyond: {
      bright: outside(
        run,
        wanted.map((rung) => -rung),
      ),
      dark: outside(
        run,
        wanted.map((rung) => rung - (ladder.length - 1)),
      ),
    },
    lag_ev: lagOf(rungs, found) / CLICKS,
    first_rung,
    longest_shutter_ms,
    discs: inside.flatMap((row) => discsOf(run, row)),
    trails: trailsAt(run, path, longest_shutter_ms, frame),
  };
}

/** EV at ISO 100 that a meter shows flat on the ground: {start_ev, end_ev, curve}. See the twin. @param {Lit} run */
export function lightOf(run) {
  const { night, timing } = run;
  const { exposure } = run.brief;
  if (exposure === null) {
    const [start_ev, end_ev] = [1, timing.frames].map((frame) => ev100(groundLx(night, msOf(timing, frame) / 1000)));
    return { start_ev, end_ev, curve: null };
  }
  const evs = run.samples.clear_lx.map((lx) => meteredEv(exposure, lx, exposure.sky_divisor));
  return { start_ev: evs[0], end_ev: evs[evs.length - 1], curve: tenths(evs) };
}

/** A curve as it is drawn. @param {number[]} evs */
const tenths = (evs) => evenly(evs).map((each) => Math.floor(each * 10 + 0.5) / 10);

/** @param {number[]} values */
const most = (values) => values.reduce((a, b) => Math.max(a, b));
/** @param {number[]} values */
const least = (values) => values.reduce((a, b) => Math.min(a, b));

/** Stops of exposure more (or fewer) than planned, as asked on the spot. @param {Changes} changes */
function shiftOf({ exposure_shift_ev: shift = 0 }) {
  if (!Number.isFinite(shift) || Math.abs(shift) > MOST_SHIFT_EV) {
    throw new PlanProblem("problem.shift", { most: MOST_SHIFT_EV }, "exposure");
  }
  return shift;
}

/**
 * The stretch of the shot's own night; of the night shown where its own gives none.
 * @param {Brief} given @param {Sky} sky @param {Changes} changes @param {Lit} run
 */
function stretched(given, sky, changes, run) {
  if (TURNING.some((key) => key in changes)) {
    try {
      return stretchOf(ownRun(given, sky));
    } catch (error) {
      if (!(error instanceof PlanProblem)) throw error;
    }
  }
  return stretchOf(run);
}

/** @param {Lit} run */
function stretchOf(run) {
  const exposure = /** @type {BriefExposure} */ (run.brief.exposure);
  const [bright, dark] = /** @type {const} */ (["bright", "dark"]).map((name) => {
    const [moment_s, frame] = baseOf(run, name);
    const light = meteredEv(exposure, groundLx(run.night, moment_s), 1);
    return { moment_s, light, wanted: exposure[name].ev - sceneEv(run, frame) };
  });
  const light_stops = bright.light - dark.light;
  const bases_stops = bright.wanted - dark.wanted;
  const factor = light_stops >= LEAST_STOPS ? bases_stops / light_stops : 1;
  const moments_s = { bright: bright.moment_s, dark: dark.moment_s };
  return { offset: dark.wanted - factor * dark.light, factor, bases_stops, light_stops, moments_s };
}

/**
 * EV at ISO 100 at the run's samples.
 * @param {Lit} run @param {{offset: number, factor: number}} fit @param {number} shift_ev
 */
function targetsOf(run, { offset, factor }, shift_ev) {
  const exposure = /** @type {BriefExposure} */ (run.brief.exposure);
  return run.samples.clear_lx.map((lx, place) => {
    const scene = sceneEv(run, run.samples.frames[place]);
    return offset + factor * meteredEv(exposure, lx, exposure.sky_divisor) + scene - shift_ev;
  });
}

/** Evenly spaced values at a share of their way, straight in between. @param {number[]} values @param {number} share */
function between(values, share) {
  const place = share * (values.length - 1);
  const before = Math.min(Math.floor(place), values.length - 2);
  return values[before] + (values[before + 1] - values[before]) * (place - before);
}

/** @param {number[]} values @param {number} frames */
const atFrames = (values, frames) =>
  Array.from({ length: frames }, (_, frame) => between(values, frame / (frames - 1)));
/** @param {number[]} values */
const evenly = (values) =>
  Array.from({ length: CURVE_POINTS + 1 }, (_, point) => between(values, point / CURVE_POINTS));

/** Where the target changes fastest; the first of equals. @param {Lit} run @param {number[]} targets */
function steepestOf({ night, timing, samples }, targets) {
  let fastest = 0;
  let place = 0;
  for (let number = 1; number < targets.length; number += 1) {
    const minutes = (samples.times_s[number] - samples.times_s[number - 1]) / 60;
    const change = (targets[number] - targets[number - 1]) / minutes;
    // A shade of slack, so that rounding noise on a steady change does not pick the place.
    if (Math.abs(change) > Math.abs(fastest) * (1 + 1e-6) + 1e-9) [fastest, place] = [change, number - 1];
  }
  const frame = Math.floor(samples.frames[place] + 0.5);
  return { ev_per_min: fastest, frame, time: stamp(night.spans, msOf(timing, frame)) };
}

/**
 * A band of the plan: clicks positive towards more exposure, total since frame 1.
 * @param {Pick<Lit, "brief" | "timing"> & {night: Pick<Night, "spans">}} run @param {ClickBand} band
 * @param {Rung[]} ladder @param {number} first_rung @returns {Band}
 */
function rowOf({ brief, night, timing }, band, ladder, first_rung) {
  const moves = band.clicks > 0;
  const ends = [ladder[band.before], ladder[band.after]];
  return {
    first_frame: band.first,
    last_frame: band.last,
    time: stamp(night.spans, msOf(timing, band.first)),
    control: moves ? CONTROLS[controlOf(ladder, band.before, band.before + band.way) ?? 0] : null,
    every_frames: moves ? band.every : null,
    clicks: band.way * band.clicks,
    total: band.after - first_rung,
    from: settingOf(ends[0]),
    to: settingOf(ends[1]),
    slack_ms:
      shortestMs(timing, band.first, band.last) -
      brief.camera.release_lag_ms -
      Math.max(...ends.map((rung) => rung[3])),
  };
}

/**
 * The plan's bands, made again from [first frame, every, clicks] as a page carries them.
 * @param {Brief} brief @param {Timing} timing @param {number[][]} rows @param {number} first_rung @returns {Band[]}
 */
export function bandRows(brief, timing, rows, first_rung) {
  const run = { brief, timing, night: { spans: brief.place.zone.spans } };
  const { ladder } = /** @type {BriefExposure} */ (brief.exposure);
  let before = first_rung;
  return rows.map(([first, every, clicks], n) => {
    const last = n + 1 < rows.length ? rows[n + 1][0] - 1 : timing.frames;
    const band = {
      first,
      last,
      every,
      clicks: Math.abs(clicks),
      way: clicks < 0 ? -1 : 1,
      before,
      after: before + clicks,
    };
    before += clicks;
    return rowOf(run, band, ladder, first_rung);
  });
}

/** @param {Rung} rung */
const settingOf = ([f, shutter, iso, open_ms]) => ({ f, shutter, iso, open_ms });

/**
 * [milliseconds, frame] of the longest exposure, and where it first comes.
 * @param {[number, number][]} rungs @param {Rung[]} ladder @returns {Pair}
 */
function longestOf(rungs, ladder) {
  const longest_ms = most(rungs.map(([, rung]) => ladder[rung][3]));
  return [longest_ms, (rungs.find(([, rung]) => ladder[rung][3] === longest_ms) ?? rungs[0])[0]];
}

/** By how many stops the target leaves the ladder, and at which frame first. @param {Lit} run @param {number[]} over */
function outside({ samples }, over) {
  const worst = most(over);
  if (worst <= BEYOND_CLICKS) return null;
  const first = over.findIndex((by) => by > BEYOND_CLICKS);
  return { ev: worst / CLICKS, frame: Math.floor(samples.frames[first] + 0.5) };
}

/** The most clicks by which a band is off the curve. @param {number[]} rungs @param {ClickBand[]} found */
function lagOf(rungs, found) {
  let worst = 0;
  for (const { first, last, every, clicks, way, before } of found) {
    for (let frame = first; frame <= last; frame += 1) {
      const done = Math.min(Math.floor((frame - first) / every) + 1, clicks);
      worst = Math.max(worst, Math.abs(rungs[frame - 1] - before - way * done));
    }
  }
  return worst;
}

/**
 * The first and the last frame with a bright disc in the delivered frame: none or one row.
 * @param {Lit} lit @param {Picture["inside"][number]} row
 */
function discsOf({ night, samples: { times_s } }, { body, spans }) {
  if (spans.length === 0 || !(body in HALF_DISC_DEG)) return [];
  if (body === "moon" && moonLight(night.sky, times_s[Math.floor(times_s.length / 2)])[0] < DISC_LIT) return [];
  const first_frame = Math.ceil(spans[0].from.frame);
  const last_frame = Math.floor(spans[spans.length - 1].until.frame);
  return first_frame <= last_frame ? [{ body, first_frame, last_frame }] : [];
}

/**
 * Of the core, where the shot aims at it; else of what stands in the middle of the frame.
 * @param {Lit} run @param {Path} path @param {number} open_ms @param {number} frame
 */
function trailsAt({ brief }, path, open_ms, frame) {
  const set_to = positionAt(path, frame);
  const axis = axisOf(brief, set_to);
  if (brief.keyframes.some(({ aim }) => aim?.target === "galactic core")) {
    return trailsOf(brief, CORE_DEG, true, open_ms, axis);
  }
  const looks = looksOf(brief, set_to);
  const declination_deg = looks ? declinationDeg(brief.place.latitude_deg, ...looks) : 0;
  return trailsOf(brief, declination_deg, false, open_ms, axis);
}
