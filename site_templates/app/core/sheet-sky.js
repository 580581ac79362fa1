// twin: fieldsheet/sheet/skylines.py
// What is said of the sky, and of the shot along its frames.

import { spanAt } from "./civil.js";
import { frameAt } from "./pace.js";
import { phaseText } from "./sheet-phases.js";
import { bodyWord, eventWord, hasWord, say, word } from "./say.js";

const RULER_PARTS = 8;
const ROLLING_MS = 30 * 60000;

/**
 * An event's name, clock time and frame.
 * @param {Plan["sky"]["events"][number]} event @param {number} frames @param {ClockText} at
 */
export function eventRow(event, frames, at) {
  let where = say("line.frame", { frame: Math.floor(event.frame) }, []);
  if (event.frame < 1) where = word("line.before");
  else if (event.frame > frames) where = word("line.after");
  return { name: eventWord(event.event), clock: at(event.time.utc_ms), frame: where };
}

/**
 * A line each for the moon, the core, the Milky Way by night and every planet that is up: {name, text}.
 * @param {Plan["sky"]} sky @param {ClockText} at
 */
export function skyLines(sky, at) {
  const planets = sky.planets.map((row) => ({
    name: bodyWord(row.body),
    text: say("line.planet", planetEnds(row), []),
  }));
  return [
    { name: word("line.moon-name"), text: moonText(sky.moon, at) },
    { name: word("line.core-name"), text: coreText(sky, at) },
    ...planets,
  ];
}

/**
 * [ms, text] of a body's rise and set, and of its passing the ridge.
 * @param {Pick<Plan["sky"]["moon"], "rise" | "set" | "ridge">} body @param {ClockText} at @returns {[number, string][]}
 */
function edgesOf(body, at) {
  /** @type {[number, string][]} */
  const edges = [];
  for (const [key, time] of Object.entries({ rise: body.rise, set: body.set })) {
    if (time !== null) edges.push([time.utc_ms, say(`line.${key}s`, { [key]: at(time.utc_ms) }, [])]);
  }
  for (const { way, time } of body.ridge) edges.push([time.utc_ms, say(`line.${way}`, { clock: at(time.utc_ms) }, [])]);
  return edges;
}

/** @param {[number, string][]} edges */
function inOrder(edges) {
  return edges.sort(([a], [b]) => a - b).map(([, text]) => text);
}

/** @param {Plan["sky"]["moon"]} moon @param {ClockText} at */
function moonText(moon, at) {
  const edges = inOrder(edgesOf(moon, at)).join(", ") || word(moon.up ? "line.all-up" : "line.all-down");
  return say("line.moon", { phase: moon.phase, lit: moon.lit * 100, edges }, []);
}

/** @param {Plan["sky"]} sky @param {ClockText} at */
function coreText({ core, usable }, at) {
  const edges = edgesOf(core, at);
  if (core.highest !== null) {
    const args = { highest: at(core.highest.utc_ms), altitude: core.highest_deg };
    edges.push([core.highest.utc_ms, say("line.highest", args, [])]);
  }
  const moves = inOrder(edges).join(", ") || word("line.all-down");
  const spans = usable.map((span) => usableText(span, at));
  return [moves, ...(spans.length > 0 ? spans : [word("line.never-usable")])].join("; ");
}

/**
 * A span in which the core can be used; what is open begins or ends beyond the night.
 * @param {Plan["sky"]["usable"][number]} span @param {ClockText} at
 */
function usableText(span, at) {
  const ends = Object.entries(span).flatMap(([key, end]) => (end === null ? [] : [[key, at(end.utc_ms)]]));
  let id = "line.usable";
  if (ends.length < 2) id += `-${ends[0]?.[0] ?? "always"}`;
  else if (ends[0][1] === ends[1][1]) id += "-brief";
  return say(id, Object.fromEntries(ends), []);
}

/** How much light there is at the first and the last frame. @param {Plan["light"]} light */
export function lightLine(light) {
  return { name: word("line.light-name"), text: say("line.light", light, []) };
}

/** A line for the Milky Way where it is dark at the start or the end. @param {Plan["sky"]["arch"]} arch */
export function archLines({ start, end }) {
  if (start === null && end === null) return [];
  const [from, until] = [start, end].map((stands) =>
    stands === null ? word("line.arch-light") : say("line.arch", stands, []),
  );
  return [{ name: word("line.arch-name"), text: say("line.arch-ends", { start: from, end: until }, []) }];
}

/** @param {Plan["sky"]["planets"][number]} planet */
function planetEnds({ start, end }) {
  return { start: standsText(start), end: standsText(end) };
}

/** @param {Plan["sky"]["planets"][number]["start"]} end */
function standsText({ altitude_deg: altitude, azimuth_deg: azimuth, seen }) {
  if (altitude <= 0) return word("line.planet-down");
  return say(seen ? "line.planet-up" : "line.planet-day", { altitude, azimuth }, []);
}

/**
 * The shot along its frames: ruler, tones, and every moment with its label.
 * @param {Plan} plan @param {ClockText} at
 */
export function stripText(plan, at) {
  const { frames } = plan.timing;
  return {
    frames,
    ruler: ruler(frames),
    tones: plan.sky.tones,
    moments: plan.moments.map((moment) => momentText(moment, plan, at)),
  };
}

/**
 * Round frame numbers at an even 1, 2 or 5 step, at most RULER_PARTS of them, not crowding the end.
 * @param {number} frames
 */
function ruler(frames) {
  let step = 1;
  for (let power = 0; step * RULER_PARTS < frames; power += 1)
    step = [1, 2, 5][power % 3] * 10 ** Math.floor(power / 3);
  const numbers = [];
  for (let number = step; number <= frames; number += step) if (number <= frames - step / 4) numbers.push(number);
  return numbers;
}

/** @param {Plan["moments"][number]} moment @param {Plan} plan @param {ClockText} at */
function momentText(moment, plan, at) {
  const { side, kind, frame, id, number } = moment;
  const is_keyframe = kind === "keyframe";
  return {
    side,
    kind,
    frame,
    label: is_keyframe ? say(id, { number }, []) : labelText(moment, plan.brief),
    clock: at(moment.time.utc_ms),
    detail: is_keyframe ? word(plan.keyframes[(number ?? 1) - 1].name) : "",
  };
}

/**
 * The short name of an event where it has one, an act's name, or the event's name in full.
 * @param {Plan["moments"][number]} moment @param {Brief} brief
 */
function labelText({ id, interval_ms }, brief) {
  if (id === "moment.interval") return phaseText("moment", brief, interval_ms ?? 0);
  if (hasWord(`label.${id}`)) return word(`label.${id}`);
  return hasWord(id) ? word(id) : eventWord(id);
}

/**
 * Every full and half hour of the place's clock inside the window: {clock, frame, file}.
 * @param {Plan} plan @param {Span[]} spans @param {ClockText} at
 */
export function rollingRows(plan, spans, at) {
  const start_ms = plan.window.start.utc_ms;
  const offset_ms = spanAt(spans, start_ms / 1000)[1] * 1000;
  const first_ms = (Math.floor((start_ms + offset_ms) / ROLLING_MS) + 1) * ROLLING_MS - offset_ms;
  const before = plan.timing.frames_before ?? 0; // a plan of an older take has none
  const rows = [];
  for (let ms = first_ms; ms < plan.window.end.utc_ms; ms += ROLLING_MS) {
    const gone = Math.floor(frameAt(plan.timing, ms)) - 1;
    rows.push({ clock: at(ms), frame: String(gone + 1), file: `+${before + gone}` });
  }
  return rows;
}
