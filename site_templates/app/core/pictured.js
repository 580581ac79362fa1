// twin: fieldsheet/plan/pictured.py
// What the picture will not show as it is meant, as message ids with arguments.

import { axisOf, directionAt, insideFrame, lensOf, viewDeg } from "./aim.js";
import { positionAt } from "./move.js";
import { caution } from "./planned.js";
import { around, skylineDeg } from "./ridge.js";
import { overDeg, seenDeg } from "./seen.js";
import { msOf } from "./timing.js";
import { besideLandmark } from "./waits.js";

const SUN_SAMPLES = [48, 4000];
const BISECTIONS = 16;
const SKY_DEG_PER_MS = 15 / 3600000;
const DISC_DEG = { sun: 0.5, moon: 0.5 };
const ALONG_TOP = [-1, -0.5, 0, 0.5, 1];

/** For each keyframe whether it aims at a target that is out of sight and below the level horizon. */
export function targetsDown(planned) {
  return targetsOver(planned).map((over, index) => over !== null && over < 0 && planned.settings[index].altitude_deg < 0);
}

/** For each keyframe how far [deg] its target is in sight; null where it aims at none. */
function targetsOver({ brief, night, settings }) {
  return settings.map(({ azimuth_deg, altitude_deg }, index) => {
    const aim = brief.keyframes[index].aim;
    if (aim === null || !("target" in aim)) return null;
    return overDeg(night.site, azimuth_deg, altitude_deg) + (DISC_DEG[aim.target] ?? 0);
  });
}

/** A target below the level horizon, or behind the measured skyline. */
function outOfSight(planned) {
  const down = targetsDown(planned);
  return targetsOver(planned).flatMap((over, index) => {
    if (over === null || over >= 0) return [];
    const { azimuth_deg, altitude_deg, frame } = planned.settings[index];
    const target = planned.brief.keyframes[index].aim.target;
    const args = { number: index + 1, target, clock: msOf(planned.timing, frame) };
    if (down[index]) return [caution("no-go", "below-horizon", { ...args, below: -altitude_deg })];
    const skyline = skylineDeg(planned.night.site.ridge, azimuth_deg);
    return [caution("no-go", "behind-skyline", { ...args, altitude: altitude_deg, skyline })];
  });
}

/** A keyframe whose frame ends below the measured skyline all along its upper edge. */
function noSky({ brief, night, settings }) {
  const { ridge } = night.site;
  const lens = lensOf(brief);
  return settings.flatMap(({ axes }, index) => {
    const looks = axisOf(brief, axes);
    if (looks === null || ridge.length === 0) return [];
    const top = ALONG_TOP.map((x) => directionAt(x, 1, looks[0], looks[1], lens)).filter((at) => at !== null);
    const lacking = top.map(([azimuth, altitude]) => skylineDeg(ridge, around(azimuth)) - altitude);
    if (lacking.length === 0 || Math.min(...lacking) <= 0) return [];
    return [caution("mind", "no-sky", { number: index + 1, lacking: Math.min(...lacking) })];
  });
}

/** The sun in the delivered frame of a shot that is not aimed at it, from the first frame that shows it. */
function sunInFrame(planned) {
  const { brief, night, timing } = planned;
  if (brief.keyframes.some(({ aim }) => aim?.target === "sun")) return [];
  const samples = sunSamples(planned);
  let before = 1;
  for (let sample = 0; sample <= samples; sample += 1) {
    let frame = 1 + ((timing.frames - 1) * sample) / samples;
    if (sunShows(planned, frame)) {
      for (let cut = 0; sample > 0 && cut < BISECTIONS; cut += 1) {
        const middle = (before + frame) / 2;
        if (sunShows(planned, middle)) frame = middle;
        else before = middle;
      }
      const instant_ms = msOf(timing, frame);
      const [, altitude] = seenDeg(night, "sun", instant_ms / 1000);
      return [caution("mind", "sun-in-frame", { frame: Math.ceil(frame), clock: instant_ms, altitude })];
    }
    before = frame;
  }
  return [];
}

/** So many that neither the sky nor the head turns by more than half a frame from one to the next. */
function sunSamples({ brief, timing, settings }) {
  let turned = SKY_DEG_PER_MS * (timing.end_ms - timing.start_ms);
  settings.slice(1).forEach(({ axes }, index) => {
    for (const name of ["pan", "tilt"]) turned += Math.abs((axes[name] ?? 0) - (settings[index].axes[name] ?? 0));
  });
  const half_deg = Math.min(...viewDeg(lensOf(brief))) / 2;
  return Math.min(Math.max(Math.ceil(turned / half_deg), SUN_SAMPLES[0]), SUN_SAMPLES[1]);
}

function sunShows({ brief, night, timing, path }, frame) {
  const looks = axisOf(brief, positionAt(path, frame));
  const [azimuth, altitude] = seenDeg(night, "sun", msOf(timing, frame) / 1000);
  if (looks === null || overDeg(night.site, azimuth, altitude) <= 0) return false;
  return insideFrame(azimuth, altitude, looks[0], looks[1], lensOf(brief)) !== null;
}

/** Keyframes are set long before their target stands there; a landmark near it gives a sighting too. */
function noSighting({ brief, settings }) {
  return brief.keyframes.flatMap(({ aim, sighting }, index) => {
    if (sighting || besideLandmark(brief, settings[index]) !== null) return [];
    const number = index + 1;
    if (!aim || !("target" in aim)) return [caution("mind", "no-proof", { number })];
    return [caution("mind", "no-sighting", { number, target: aim.target })];
  });
}

export const CHECKS = [outOfSight, noSky, sunInFrame, noSighting];
