// twin: fieldsheet/plan/nightsky.py
// What the sky and the sea do on the night of a shot.

import { axisOf, insideFrame, lensOf } from "./aim.js";
import { TIDES, occurrences, wholeSecond } from "./anchors.js";
import { BODIES, PLANETS } from "./bodies.js";
import { stamp } from "./civil.js";
import { EVENTS, RIDGE_EVENTS, clearanceDeg, usableMarginDeg } from "./events.js";
import { findGrazes } from "./grazes.js";
import { tone } from "./light.js";
import { moonLight, phaseId } from "./moon.js";
import { frameAt, utcMs } from "./pace.js";
import { BRIGHT, isSeen, overDeg, seenDeg, starsOut } from "./seen.js";
import { horizontal } from "./sky.js";
import { FIXED } from "./waits.js";

const TONES = 48;
const MOONRISE = /** @type {import("./events.js").Crossing} */ (EVENTS.moonrise);
export const USABLE = ["core usable", "core unusable"];
const UNSEEN_BY_DAY = ["core rise", "core highest", "core set", "core behind ridge", "core over ridge"];
const GRAZED = ["sunset", "civil dusk", "nautical dusk", "astronomical dusk", "moonset"];
export const MOON_BY_DAY = 0.05;

/**
 * In order of time, then by name.
 * @param {[number, string, ...unknown[]]} a @param {[number, string, ...unknown[]]} b
 */
function inOrder([a, name], [b, other]) {
  return a - b || (name < other ? -1 : Number(name > other));
}

/**
 * [ms UTC, name] of all events and tides of the night and of the window, in order of time.
 * @param {Night} night @param {Timing} timing @returns {FoundEvent[]}
 */
export function foundEvents(night, timing) {
  const ridge = night.site.ridge.length > 0 ? Object.keys(RIDGE_EVENTS) : [];
  const around = aroundOf(night, timing);
  return [...Object.keys(EVENTS), ...ridge, ...TIDES]
    .flatMap((name) =>
      occurrences(night, name, ...around).map((t_s) => /** @type {FoundEvent} */ ([wholeSecond(t_s) * 1000, name])),
    )
    .sort(inOrder);
}

/**
 * From where to where [s UTC] the night and the window reach.
 * @param {Night} night @param {Timing} timing @returns {Pair}
 */
function aroundOf(night, timing) {
  return [Math.min(night.from_s, timing.start_ms / 1000), Math.max(night.until_s, timing.end_ms / 1000)];
}

/**
 * Where sun or moon all but touches the altitude of an event: {event, time, margin_deg}, by time.
 * @param {Night} night @param {Timing} timing @returns {Plan["sky"]["grazes"]}
 */
export function grazes(night, timing) {
  const around = aroundOf(night, timing);
  return GRAZED.flatMap((name) =>
    findGrazes(night.sky, night.site, name, ...around).map(
      ({ moment_s, margin_deg }) =>
        /** @type {[number, string, number]} */ ([wholeSecond(moment_s) * 1000, name, margin_deg]),
    ),
  )
    .sort(inOrder)
    .map(([ms, event, margin_deg]) => ({ event, time: stamp(night.spans, ms), margin_deg }));
}

/**
 * The events in the window that somebody could see, and those that the shot hangs on, in order of time.
 * @param {Night} night @param {Timing} timing @param {FoundEvent[]} found @param {FoundEvent[]} anchored
 * @returns {Plan["sky"]["events"]}
 */
export function windowEvents(night, timing, found, anchored) {
  const inside = found.filter(
    ([ms, name]) =>
      timing.start_ms <= ms && ms < timing.end_ms && (!UNSEEN_BY_DAY.includes(name) || starsOut(night, ms / 1000)),
  );
  const each = new Map([...inside, ...anchored].map((found_event) => [found_event.join(" "), found_event]));
  return [...each.values()]
    .sort(inOrder)
    .map(([ms, name]) => ({ event: name, time: stamp(night.spans, ms), frame: frameAt(timing, ms) }));
}

/**
 * Tone of the light in the middle of each of TONES parts of the shot, of equally many frames.
 * @param {Night} night @param {Timing} timing
 */
export function tones(night, timing) {
  return Array.from({ length: TONES }, (_, part) => {
    const t_s = utcMs(timing, 1 + (timing.frames * (part + 0.5)) / TONES) / 1000;
    return tone(horizontal(night.sky, night.site, "sun", t_s).altitude_deg);
  });
}

/**
 * The moon in the middle of the window, and her rise and set of the night.
 * @param {Night} night @param {Timing} timing @param {FoundEvent[]} found
 */
export function moon(night, timing, found) {
  const [lit, waxing] = moonLight(night.sky, (timing.start_ms + timing.end_ms) / 2000);
  const [rise, set] = ["moonrise", "moonset"].map((name) => first(night, found, name));
  const up = clearanceDeg(night.sky, night.site, MOONRISE, (night.from_s + night.until_s) / 2) > 0;
  return { lit, phase: `phase.${phaseId(lit, waxing)}`, up, rise, set, ridge: ridgeOf(night, found, "moon") };
}

/**
 * The galactic core of the night: rise, set, highest (instants or null), and how high that is [deg].
 * @param {Night} night @param {FoundEvent[]} found
 */
export function core(night, found) {
  const highest = first(night, found, "core highest");
  return {
    rise: first(night, found, "core rise"),
    highest,
    highest_deg: highest === null ? null : seenDeg(night, "galactic core", highest.utc_ms / 1000)[1],
    set: first(night, found, "core set"),
    ridge: ridgeOf(night, found, "core"),
  };
}

/**
 * When a body comes over the measured skyline and goes behind it in the night: {way, time}.
 * @param {Night} night @param {FoundEvent[]} found @param {string} body @returns {Filed.ridge[]}
 */
function ridgeOf(night, found, body) {
  const ways = { [`${body} over ridge`]: "over", [`${body} behind ridge`]: "behind" };
  return found
    .filter(([ms, name]) => name in ways && isOfNight(night, ms))
    .map(([ms, name]) => ({ way: ways[name], time: stamp(night.spans, ms) }));
}

/**
 * The spans {from, until} of the night in which the core can be used; null at an end beyond the night.
 * @param {Night} night @param {FoundEvent[]} found @returns {Plan["sky"]["usable"]}
 */
export function usable(night, found) {
  const edges = found
    .filter(([ms, name]) => USABLE.includes(name) && isOfNight(night, ms))
    .map(([ms, name]) => ({ at: stamp(night.spans, ms), opens: name === USABLE[0] }));
  if (edges.length === 0) {
    const always = coreMarginDeg(night, (night.from_s + night.until_s) / 2) >= 0;
    return always ? [{ from: null, until: null }] : [];
  }
  /** @type {Plan["sky"]["usable"]} */
  const spans = edges[0].opens ? [] : [{ from: null, until: null }];
  for (const { at, opens } of edges) {
    if (opens) spans.push({ from: at, until: null });
    else spans[spans.length - 1].until = at;
  }
  return spans;
}

/**
 * Degrees that the core has in hand to be used, negative where dusk, haze or the moon keeps it from that.
 * @param {Night} night @param {number} utc_s
 */
export function coreMarginDeg(night, utc_s) {
  return usableMarginDeg(night.sky, night.site, utc_s);
}

/**
 * Each planet that shows at the first frame or at the end: {body, start, end}.
 * @param {Night} night @param {Timing} timing
 */
export function planets(night, timing) {
  return PLANETS.map((body) => ({
    body,
    start: standsAt(night, body, timing.start_ms / 1000),
    end: standsAt(night, body, timing.end_ms / 1000),
  })).filter(({ start, end }) => start.seen || end.seen);
}

/** @param {Night} night @param {string} body @param {number} utc_s */
function standsAt(night, body, utc_s) {
  const [azimuth_deg, altitude_deg] = seenDeg(night, body, utc_s);
  const seen = isSeen(body, overDeg(night.site, azimuth_deg, altitude_deg), starsOut(night, utc_s));
  return { azimuth_deg, altitude_deg, seen };
}

/**
 * What shows in the delivered frame at some axis values, but a keyframe's own target.
 * @param {Brief} brief @param {Night} night @param {Axes} axes @param {number} utc_s
 * @param {string | null | undefined} but
 */
export function inFrame(brief, night, axes, utc_s, but) {
  const looks = axisOf(brief, axes);
  if (looks === null) return [];
  const lens = lensOf(brief);
  const dark = starsOut(night, utc_s);
  const listed = dark ? BODIES : BRIGHT;
  return listed
    .filter((body) => body !== but && !FIXED.includes(body))
    .flatMap((body) => {
      const [azimuth, altitude] = seenDeg(night, body, utc_s);
      const spot = insideFrame(azimuth, altitude, looks[0], looks[1], lens);
      if (spot === null || !isSeen(body, overDeg(night.site, azimuth, altitude), dark)) return [];
      if (!dark && body === "moon" && moonLight(night.sky, utc_s)[0] < MOON_BY_DAY) return [];
      return [{ body, x: spot[0], y: spot[1] }];
    });
}

/** @param {Night} night @param {number} ms */
function isOfNight(night, ms) {
  return night.from_s * 1000 <= ms && ms < night.until_s * 1000;
}

/**
 * The first event of a name in the night, or null.
 * @param {Night} night @param {FoundEvent[]} found @param {string} wanted @returns {Instant | null}
 */
function first(night, found, wanted) {
  const event = found.find(([ms, name]) => name === wanted && isOfNight(night, ms));
  return event === undefined ? null : stamp(night.spans, event[0]);
}
