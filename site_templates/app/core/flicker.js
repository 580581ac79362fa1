// twin: fieldsheet/plan/flicker.py
// What makes frame differ from frame: mains light, a lens that closes. Sources: see the twin.

import { rungsOf } from "./opened.js";
import { msOf } from "./pace.js";
import { caution } from "./planned.js";

const SEEN = 0.05;
/** @type {Record<number, string>} */
const STEADY = { 50: "1/100 or 1/50", 60: "1/60 or 1/30" };

/** The first frame whose shutter catches mains light in parts of its swell. @param {Planned} planned */
function mains(planned) {
  const { mains_hz: hz } = planned.brief;
  if (hz === null) return [];
  const found = shuttersOf(planned).find(([, , seconds]) => ripple(hz, seconds) > SEEN);
  if (found === undefined) return [];
  const [frame, shutter, seconds] = found;
  const args = { frame, clock: msOf(planned.timing, frame), shutter, hz, part: ripple(hz, seconds) * 100 };
  return [caution("mind", "mains-flicker", { ...args, steady: STEADY[hz] })];
}

/**
 * Which part of a light's swell a shutter lets through as change from frame to frame.
 * @param {number} mains_hz @param {number} seconds
 */
function ripple(mains_hz, seconds) {
  const swells = 2 * mains_hz * seconds;
  const over = swells - Math.floor(swells + 0.5);
  return Math.abs(Math.sin(Math.PI * over)) / (Math.PI * swells);
}

/**
 * [frame, mark, seconds] of every shutter from its first frame on; the shot's one where none is planned.
 * @param {Planned} planned @returns {[number, string, number][]}
 */
function shuttersOf({ brief, exposure }) {
  if (exposure === null) {
    const seconds = brief.longest_shutter_ms / 1000;
    return [[1, markOf(seconds), seconds]];
  }
  return rungsOf(exposure).map(([frame, rung]) => {
    const mark = /** @type {BriefExposure} */ (brief.exposure).ladder[rung][1];
    return [frame, mark, mark.startsWith("1/") ? 1 / Number(mark.slice(2)) : Number(mark)];
  });
}

/** A shutter as it is written: 1/50, or its seconds. @param {number} seconds */
function markOf(seconds) {
  const whole_ms = Math.floor(seconds * 1000 + 0.5);
  return whole_ms < 250 ? `1/${Math.floor(1000 / whole_ms + 0.5)}` : String(whole_ms / 1000);
}

/** A lens that closes for every frame, to an aperture that it never meets twice alike. @param {Planned} planned */
function closing({ brief, exposure, timing }) {
  const { widest_f: widest } = brief.camera;
  if (widest === null || exposure === null || brief.exposure === null) return [];
  const { ladder } = brief.exposure;
  const found = rungsOf(exposure).find(([, rung]) => ladder[rung][0] !== widest);
  if (found === undefined) return [];
  const [frame, rung] = found;
  const [f] = ladder[rung];
  return [caution("mind", "aperture-flicker", { frame, clock: msOf(timing, frame), f, widest })];
}

export const CHECKS = [mains, closing];
