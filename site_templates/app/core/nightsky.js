// twin: fieldsheet/plan/nightsky.py
// What the sky and the sea do on the night of a shot.

import { axisOf, lensOf, placeInFrame } from "./aim.js";
import { TIDES, occurrences, wholeSecond } from "./anchors.js";
import { BODIES, PLANETS } from "./bodies.js";
import { stamp } from "./civil.js";
import { EVENTS } from "./events.js";
import { tone } from "./light.js";
import { moonLight, phaseId } from "./moon.js";
import { isSeen, seenDeg, starsOut } from "./seen.js";
import { horizontal } from "./sky.js";
import { frameAt } from "./timing.js";

const TONES = 48;
const FIXED = ["north pole", "south pole"];

/** In order of time, then by name. */
function inOrder([a, name], [b, other]) {
  return a - b || (name < other ? -1 : Number(name > other));
}

/** [ms UTC, name] of all events and tides of the night and of the window, in order of time. */
export function foundEvents(night, timing) {
  const from_s = Math.min(night.from_s, timing.start_ms / 1000);
  const until_s = Math.max(night.until_s, timing.end_ms / 1000);
  return [...Object.keys(EVENTS), ...TIDES]
    .flatMap((name) => occurrences(night, name, from_s, until_s).map((t_s) => [wholeSecond(t_s) * 1000, name]))
    .sort(inOrder);
}

/** The events in the window, and those that the shot hangs on, in order of time. */
export function windowEvents(night, timing, found, anchored) {
  const inside = found.filter(([ms]) => timing.start_ms <= ms && ms < timing.end_ms);
  const each = new Map([...inside, ...anchored].map(([ms, name]) => [`${ms} ${name}`, [ms, name]]));
  return [...each.values()]
    .sort(inOrder)
    .map(([ms, name]) => ({ event: name, time: stamp(night.spans, ms), frame: frameAt(timing, ms) }));
}

/** Tone of the light in the middle of each of TONES equal parts of the window. */
export function tones(night, timing) {
  const span_ms = timing.end_ms - timing.start_ms;
  return Array.from({ length: TONES }, (_, part) => {
    const t_s = (timing.start_ms + (span_ms * (part + 0.5)) / TONES) / 1000;
    return tone(horizontal(night.sky, night.site, "sun", t_s).altitude_deg);
  });
}

/** The moon in the middle of the window, and her rise and set of the night. */
export function moon(night, timing, found) {
  const [lit, waxing] = moonLight(night.sky, (timing.start_ms + timing.end_ms) / 2000);
  const [rise, set] = ["moonrise", "moonset"].map((name) => first(night, found, name));
  return { lit, phase: `phase.${phaseId(lit, waxing)}`, rise, set };
}

/** The galactic core of the night: rise, set, highest (instants or null), and how high that is [deg]. */
export function core(night, found) {
  const highest = first(night, found, "core highest");
  return {
    rise: first(night, found, "core rise"),
    highest,
    highest_deg: highest === null ? null : seenDeg(night, "galactic core", highest.utc_ms / 1000)[1],
    set: first(night, found, "core set"),
  };
}

/** The spans {from, until} of the night in which the core can be used; an end beyond the night is null. */
export function usable(night, found) {
  const spans = [];
  for (const [ms, name] of found) {
    if (!isOfNight(night, ms)) continue;
    if (name === "core usable") spans.push({ from: stamp(night.spans, ms), until: null });
    else if (name === "core unusable" && spans.length > 0) spans[spans.length - 1].until = stamp(night.spans, ms);
  }
  return spans;
}

/** Each planet that shows at the first frame or at the end: {body, start, end}. */
export function planets(night, timing) {
  return PLANETS.map((body) => ({
    body,
    start: standsAt(night, body, timing.start_ms / 1000),
    end: standsAt(night, body, timing.end_ms / 1000),
  })).filter(({ start, end }) => start.seen || end.seen);
}

function standsAt(night, body, utc_s) {
  const [azimuth_deg, altitude_deg] = seenDeg(night, body, utc_s);
  return { azimuth_deg, altitude_deg, seen: isSeen(body, altitude_deg, starsOut(night, utc_s)) };
}

/** What shows in the delivered frame at a keyframe besides its own target `but`. */
export function inFrame(brief, night, setting, utc_s, but) {
  const looks = axisOf(brief, setting.axes);
  if (looks === null) return [];
  const lens = lensOf(brief);
  const dark = starsOut(night, utc_s);
  return BODIES.filter((body) => body !== but && !FIXED.includes(body)).flatMap((body) => {
    const [azimuth, altitude] = seenDeg(night, body, utc_s);
    const spot = placeInFrame(azimuth, altitude, looks[0], looks[1], lens);
    if (spot === null || Math.max(Math.abs(spot[0]), Math.abs(spot[1])) > 1) return [];
    return isSeen(body, altitude, dark) ? [{ body, x: spot[0], y: spot[1] }] : [];
  });
}

function isOfNight(night, ms) {
  return night.from_s * 1000 <= ms && ms < night.until_s * 1000;
}

/** The first event of a name in the night, or null. */
function first(night, found, wanted) {
  const event = found.find(([ms, name]) => name === wanted && isOfNight(night, ms));
  return event === undefined ? null : stamp(night.spans, event[0]);
}
