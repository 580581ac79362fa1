// twin: fieldsheet/plan/unseen.py
// Stars, planets and poles that the shot never shows, as message ids with arguments.

import { msOf } from "./pace.js";
import { caution } from "./planned.js";
import { BRIGHT, overDeg, seenDeg, starsOut } from "./seen.js";

const STEP_S = 60;
const RULED_OTHERWISE = [...BRIGHT, "galactic core"];

/**
 * Each target that no minute of the shot shows, by the first keyframe aimed at it, and when it shows.
 * @param {Planned} planned
 */
export function unseen({ brief, night, timing, settings }) {
  const targets = brief.keyframes.map(({ aim }) => aim?.target);
  return targets.flatMap((target, index) => {
    if (target === undefined || targets.indexOf(target) < index || RULED_OTHERWISE.includes(target)) return [];
    const in_shot_s = minutes(timing.start_ms / 1000, timing.end_ms / 1000);
    if (in_shot_s.some((at_s) => shows(night, target, at_s))) return [];
    const at_s = msOf(timing, settings[index].frame) / 1000;
    const [altitude, sun] = [target, "sun"].map((body) => seenDeg(night, body, at_s)[1]);
    return [caution("mind", "unseen", { number: index + 1, target, altitude, sun, spans: shown(night, target) })];
  });
}

/**
 * When in the night a star, planet or pole shows: [from, until] [ms UTC], its first and last minute.
 * @param {Night} night @param {string} body
 */
function shown(night, body) {
  const spans = /** @type {Pair[]} */ ([]);
  for (const at_s of minutes(night.from_s, night.until_s)) {
    const last = spans.at(-1);
    if (!shows(night, body, at_s)) continue;
    if (last?.[1] === (at_s - STEP_S) * 1000) last[1] = at_s * 1000;
    else spans.push([at_s * 1000, at_s * 1000]);
  }
  return spans.filter(([from, until]) => from < until); // a single one is no span
}

/** Instants so far apart, and the last one. @param {number} from_s @param {number} until_s */
function minutes(from_s, until_s) {
  const steps = Math.ceil((until_s - from_s) / STEP_S);
  return Array.from({ length: steps + 1 }, (_, step) => Math.min(from_s + step * STEP_S, until_s));
}

/**
 * Whether it stands over what hides the sky, and the sun so low that bright stars are out.
 * @param {Night} night @param {string} body @param {number} at_s
 */
function shows(night, body, at_s) {
  return starsOut(night, at_s) && overDeg(night.site, ...seenDeg(night, body, at_s)) > 0;
}
