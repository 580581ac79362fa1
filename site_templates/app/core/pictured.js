// twin: fieldsheet/plan/pictured.py
// What the picture will not show as it is meant, as message ids with arguments.

import { axisOf, directionAt, lensOf, viewDeg } from "./aim.js";
import { msOf } from "./pace.js";
import { caution } from "./planned.js";
import { around, skylineDeg } from "./ridge.js";
import { overDeg, seenDeg } from "./seen.js";
import { besideLandmark } from "./waits.js";

const ROLL_SHOWS_DEG = 0.3;
const LONG_LENS_DEG = 45;
/** @type {Record<string, number>} */
const SUNK_DEG = { sun: 0.5, moon: 0.5 };
const ALONG_TOP = [-1, -0.5, 0, 0.5, 1];

/**
 * For each keyframe whether it aims at a target that is out of sight and below the level horizon.
 * @param {Restricted} planned
 */
export function targetsDown(planned) {
  return targetsOver(planned).map(
    (over, index) => over !== null && over < 0 && (planned.settings[index].altitude_deg ?? 0) < 0,
  );
}

/** For each keyframe how far [deg] its target is in sight; null where it aims at none. @param {Restricted} planned */
function targetsOver({ brief, night, settings }) {
  return settings.map(({ azimuth_deg, altitude_deg }, index) => {
    const aim = brief.keyframes[index].aim;
    if (aim?.target === undefined || azimuth_deg === null || altitude_deg === null) return null;
    return overDeg(night.site, azimuth_deg, altitude_deg) + (SUNK_DEG[aim.target] ?? 0);
  });
}

/** A target below the level horizon, or behind the measured skyline. @param {Restricted} planned */
export function outOfSight(planned) {
  const down = targetsDown(planned);
  return targetsOver(planned).flatMap((over, index) => {
    if (over === null || over >= 0) return [];
    const { azimuth_deg, altitude_deg, frame } = /** @type {Aimed} */ (planned.settings[index]);
    const target = planned.brief.keyframes[index].aim?.target;
    const args = { number: index + 1, target, clock: msOf(planned.timing, frame) };
    if (down[index]) return [caution("no-go", "below-horizon", { ...args, below: -altitude_deg })];
    const skyline = skylineDeg(planned.night.site.ridge, azimuth_deg);
    return [caution("no-go", "behind-skyline", { ...args, altitude: altitude_deg, skyline })];
  });
}

/** A keyframe whose frame ends below the measured skyline all along its upper edge. @param {Planned} planned */
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

/**
 * The sun in the delivered frame of a shot that is not aimed at it, from the first frame that shows it.
 * @param {Planned} planned
 */
function sunInFrame(planned) {
  const { brief, night, picture } = planned;
  if (brief.keyframes.some(({ aim }) => aim?.target === "sun")) return [];
  return picture.inside
    .filter(({ body, spans }) => body === "sun" && spans.length > 0)
    .map(({ spans: [{ from }] }) => {
      const clock = from.time.utc_ms;
      const [, altitude] = seenDeg(night, "sun", clock / 1000);
      return caution("mind", "sun-in-frame", { frame: Math.ceil(from.frame), clock, altitude });
    });
}

/** A head that follows its rail: the horizon rolls with the pan, and that shows. @param {Planned} planned */
function leans({ picture }) {
  const { worst } = picture.lean;
  if (worst === null || Math.abs(worst.roll_deg) <= ROLL_SHOWS_DEG) return [];
  const { frame, time, roll_deg } = worst;
  return [caution("mind", "leans", { frame, clock: time.utc_ms, roll: Math.abs(roll_deg) })];
}

/** A long lens on a rail: what the rail gives shows. @param {Planned} planned */
function sags({ brief, picture: { sag } }) {
  if (sag === null || viewDeg(lensOf(brief))[0] >= LONG_LENS_DEG) return [];
  return [caution("mind", "sags", { share: sag.share * 100 })];
}

/** The first frames with an end of the rail, a leg of it, the rig's shadow. @param {Planned} planned */
function ownRig({ brief, picture }) {
  const { ends, legs, shadow } = picture.own_rig;
  const first = (/** @type {FrameTime} */ { frame, time }) => ({ frame, clock: time.utc_ms });
  const thrown = shadow && { body: shadow.body, length: shadow.length_m, height: brief.lens_height_m };
  return [
    ...(ends ? [caution("mind", "own-rig", { ...first(ends), end: `rail-end.${ends.end}` })] : []),
    ...(legs ? [caution("mind", "own-legs", { ...first(legs), leg: legs.leg })] : []),
    ...(shadow ? [caution("mind", "own-shadow", { ...first(shadow), ...thrown })] : []),
  ];
}

/**
 * Keyframes are set long before their target stands there; a landmark near it gives a sighting too.
 * @param {Planned} planned
 */
function noSighting({ brief, settings }) {
  if ("spot_m" in brief.place) return []; // no sighting counts at another spot, which is said on its own
  return brief.keyframes.flatMap(({ aim, sighting }, index) => {
    if (sighting || besideLandmark(brief, settings[index]) !== null) return [];
    const number = index + 1;
    if (!aim || !("target" in aim)) return [caution("mind", "no-proof", { number })];
    return [caution("mind", "no-sighting", { number, target: aim.target })];
  });
}

export const CHECKS = [outOfSight, noSky, sunInFrame, leans, sags, ownRig, noSighting];
