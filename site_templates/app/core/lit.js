// twin: fieldsheet/plan/lit.py
// How much light there is along a run: on the ground, and of the picture itself.

import { mustReach, nightOf } from "./anchors.js";
import { ev100, lxOf, openSkyLx } from "./illuminance.js";
import { moonElongation } from "./moon.js";
import { between, warpOf, warpS } from "./move.js";
import { utcMs } from "./pace.js";
import { horizontal } from "./sky.js";
import { frameOf, keyframeFrames, solve } from "./timing.js";

const LEAST_SAMPLES = 24;
const SAMPLE_MS = 60000;

/**
 * A run of a shot; its samples, evenly from the first frame to the last, are worked out when they are asked for.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @param {Pick<Path, "warp" | "knots">} path
 * @returns {Lit}
 */
export function makeLit(brief, night, timing, { warp, knots }) {
  /** @type {{frames: number[], times_s: number[], clear_lx: number[]} | null} */
  let samples = null;
  return {
    brief,
    night,
    timing,
    warp,
    knots,
    get samples() {
      samples ??= sampled(night, timing);
      return samples;
    },
  };
}

/** @param {Night} night @param {Timing} timing */
function sampled(night, timing) {
  const last = timing.frames;
  const longest_ms = Math.max(...timing.segments.map(({ interval_ms }) => interval_ms));
  const count = Math.max(LEAST_SAMPLES, Math.ceil(((last - 1) * longest_ms) / SAMPLE_MS));
  const frames = Array.from({ length: count + 1 }, (_, sample) => 1 + ((last - 1) * sample) / count);
  const times_s = frames.map((frame) => timeS(timing, frame));
  return { frames, times_s, clear_lx: times_s.map((t_s) => groundLx(night, t_s)) };
}

/** Instant [s UTC] of a real frame. @param {Timing} timing @param {number} frame */
function timeS(timing, frame) {
  return utcMs(timing, frame) / 1000;
}

/**
 * Stops by which the picture is brighter than the ground says: the keyframes', blended by the way.
 * @param {Pick<Lit, "brief" | "warp" | "knots">} run @param {number} frame
 */
export function sceneEv({ brief, warp, knots }, frame) {
  const scenes = brief.keyframes.map(({ scene_ev }) => scene_ev);
  if (warp === null) return scenes[0] ?? 0;
  const [k, share] = between(warp, knots, frame);
  return scenes[k - 1] + (scenes[k] - scenes[k - 1]) * share;
}

/**
 * [instant in s UTC, real frame] of the moment that a base exposure is for.
 * @param {Lit} lit @param {"bright" | "dark"} name @returns {Pair}
 */
export function baseOf({ brief, night, timing, samples }, name) {
  const { at } = /** @type {BriefExposure} */ (brief.exposure)[name];
  if (at !== null) {
    const frame = frameOf(at, night, timing, `exposure.${name}.at`);
    return [timeS(timing, frame), frame];
  }
  const best = samples.clear_lx.reduce((a, b) => (name === "bright" ? Math.max(a, b) : Math.min(a, b)));
  const place = samples.clear_lx.indexOf(best);
  return [samples.times_s[place], samples.frames[place]];
}

/**
 * The shot as its file has it, on its own night; throws PlanProblem where that gives no run.
 * @param {Brief} brief @param {Sky} sky
 */
export function ownRun(brief, sky) {
  const night = nightOf(brief, sky, brief.night);
  const timing = solve(brief, night, null);
  mustReach(night, timing.start_ms / 1000, timing.end_ms / 1000);
  const frames = keyframeFrames(brief, night, timing);
  const warp = frames.length > 1 ? warpOf(brief.hold, brief.ease, timing.frames) : null;
  return makeLit(brief, night, timing, { warp, knots: warp === null ? [] : frames.map((frame) => warpS(warp, frame)) });
}

/**
 * Illuminance [lx] of the ground by sun, moon and stars under a clear sky, at an instant [s UTC].
 * @param {Pick<Night, "sky" | "site">} night @param {number} t_s
 */
export function groundLx({ sky, site }, t_s) {
  const [sun, moon] = ["sun", "moon"].map((body) => horizontal(sky, site, body, t_s).altitude_deg);
  return openSkyLx(sun, [moon, ...moonElongation(sky, t_s)]);
}

/**
 * EV at ISO 100 of the ground, with what cloud takes and what a town's glow adds.
 * @param {BriefExposure} briefExposure @param {number} clear_lx @param {number} divisor
 */
export function meteredEv({ glow_ev }, clear_lx, divisor) {
  return ev100(clear_lx / divisor + (glow_ev === null ? 0 : lxOf(glow_ev)));
}
