// A plan as a file, without its night: the brief that it is worked out from, and its revision. Read with distrust: size
// first, then plain data made anew, then what the computing hangs on; nothing is stored.

import { crc32 } from "./digits.js";
import { misshapen } from "./planshape.js";

export const MOST_BYTES = 2000000; // a plan from the desk, with all that it computed, is a tenth of it
const VERSION = 1;
const BRIEF = "fieldsheet brief";
const PLAN = "fieldsheet plan"; // holds its brief
const MOST_DEPTH = 12;
const MOST_PARTS = 20000;
const MOST_TEXT = 2000;
export const MOST_NUMBER = 1e13;
const CONTROL = /[\u0000-\u001f\u007f-\u009f\u200e\u200f\u202a-\u202e\u2066-\u2069]/;
// As the desk holds a text apart that runs from the right (fieldsheet/isolated.py).
const ISOLATED = /^\u2068(.*)\u2069$/;
const ID = /^[a-z0-9][a-z0-9-]{0,99}$/;
const REVISION = /^[0-9A-Z]{6}$/;
/** What no number follows from, and what stands beside a brief. */
const ASIDE = ["words", "assumed", "revision"];

/** Why a plan is not opened, in words for the page. */
export class PlanFileError extends Error {}

/**
 * @typedef {{brief: Brief, revision: string}} PlanRead
 * @typedef {(value: *) => boolean} Check
 */

/** @param {number} least @param {number} most @returns {Check} */
const within = (least, most) => (value) => typeof value === "number" && least <= value && value <= most;
/** @param {number} least @param {number} most @returns {Check} */
const whole = (least, most) => (value) => Number.isSafeInteger(value) && least <= value && value <= most;
/** @param {RegExp} pattern @returns {Check} */
const like = (pattern) => (value) => typeof value === "string" && pattern.test(value);
/** @param {Check} check @returns {Check} */
const orNull = (check) => (value) => value === null || check(value);
/** @param {Check} check @returns {Check} */
const each = (check) => (values) => values.every(check);
/** @type {Check} */
const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);

const DAY_MS = 86400000;
const positive = within(1e-6, 1e9);
const interval = whole(1, DAY_MS);

/** What the computing counts or goes by in steps, by its path, once all is there and of its kind.
 *  @type {Object<string, Check>} */
const CHECKS = {
  "shot.id": like(ID),
  "place.latitude_deg": within(-90, 90),
  "place.longitude_deg": within(-180, 180),
  "place.elevation_m": within(-500, 9000),
  "place.zone.spans": (spans) => within(1, 200)(spans.length) && spans.every(isSpan),
  "rig.interval_step_ms": interval,
  "rig.power": (power) => power === null || power.packs.every((/** @type {*} */ pack) => pack.name !== null),
  "rig.axes": (axes) => Object.values(axes).every(isAxis),
  fps: each(whole(1, 1000000)),
  frames: orNull(whole(1, 1000000)),
  interval_ms: orNull(interval),
  duration_ms: orNull(whole(0, 2 * DAY_MS)),
  phases: (phases) => phases.length <= 20 && phases.every((/** @type {*} */ phase) => interval(phase.interval_ms)),
  longest_shutter_ms: within(0, DAY_MS),
  frame_mm: each(positive),
  "camera.focal_mm": positive,
  hold: each(whole(0, 1000000)),
  ease: each(whole(0, 1000000)),
  keyframes: (keyframes) => keyframes.length <= 100,
};

/** @type {Check} */
function isSpan([from_utc_s, offset_s]) {
  return within(-1e11, 1e11)(from_utc_s) && within(-90000, 90000)(offset_s);
}

/** @type {Check} */
function isAxis({ step, speed_max, acceleration_max }) {
  return [step, speed_max, acceleration_max].every(positive);
}

/** @param {string} why */
const damaged = (why) => new PlanFileError(`This plan is damaged: ${why}.`);

/** What a file or the phone's own store holds. Throws PlanFileError. @param {string} file its text @returns {PlanRead} */
export function readPlan(file) {
  if (typeof file !== "string") throw damaged("its text is missing");
  if (file.length > MOST_BYTES) throw new PlanFileError("This file is larger than 2 MB: it is not a plan.");
  const found = parsed(file);
  if (!isObject(found) || ![BRIEF, PLAN].includes(found.format)) throw new PlanFileError("This file is not a plan.");
  const brief = found.format === PLAN ? found.brief : found;
  if (!isObject(brief) || brief.format !== BRIEF) throw damaged("what it is worked out from is missing");
  for (const { version } of [found, brief]) {
    if (!whole(1, 1e6)(version)) throw damaged("its version is missing");
    if (version > VERSION)
      throw new PlanFileError(
        `This plan is of version ${version}, and this page reads version ${VERSION}: update it first.`,
      );
  }
  return checked(brief, found.revision);
}

/** The plan of a brief, made of fresh objects. Throws PlanFileError. @param {*} given a brief @param {*} revision @returns {PlanRead} */
export function checked(given, revision) {
  const brief = fresh(Object.fromEntries(Object.entries(given).filter(([key]) => !ASIDE.includes(key))));
  const odd = misshapen(brief) || unfit(brief);
  if (odd !== "") throw damaged(`${odd} is missing or out of range`);
  if (!like(REVISION)(revision)) throw damaged("its revision is missing");
  return { brief, revision };
}

/** What the computing could not count or step by, in words; "" where there is none. @param {Brief} brief of sound shape */
function unfit(brief) {
  const at = (/** @type {string} */ path) => path.split(".").reduce((part, key) => part[key], /** @type {*} */ (brief));
  const path = Object.keys(CHECKS).find((path) => !CHECKS[path](at(path)));
  return (path ?? "").replace(/[._]/g, " ");
}

/** The same plan gives the same text. @param {PlanRead} plan */
export function writePlan({ brief, revision }) {
  return `${JSON.stringify({ ...brief, revision })}\n`;
}

/** The name of a plan in the phone's store: of its text and no other, for all that matters. @param {PlanRead} plan */
export function nameOf(plan) {
  return `${plan.revision}-${crc32(writePlan(plan)).toString(16).padStart(8, "0")}`;
}

/** @param {string} file */
function parsed(file) {
  try {
    return JSON.parse(file);
  } catch {
    throw new PlanFileError("This file is not a plan: it is no JSON, or was cut off.");
  }
}

/** Plain data made anew. @param {object} given */
function fresh(given) {
  let parts = 0;

  /** @param {*} value @param {number} depth @returns {*} */
  function anew(value, depth) {
    parts += 1;
    if (depth > MOST_DEPTH || parts > MOST_PARTS) throw damaged("it holds more than a plan does");
    if (typeof value === "string" && (value.length > MOST_TEXT || CONTROL.test(value.replace(ISOLATED, "$1"))))
      throw damaged("a text in it is none");
    if (typeof value === "number" && Math.abs(value) > MOST_NUMBER) throw damaged("a number in it is out of range");
    if (typeof value !== "object" || value === null) return value;
    if (Array.isArray(value)) return value.map((part) => anew(part, depth + 1));
    const entries = Object.entries(value);
    if (entries.some(([key]) => key === "__proto__")) throw damaged("it has a key that no plan has");
    return Object.fromEntries(entries.map(([key, part]) => [key, anew(part, depth + 1)]));
  }

  return anew(given, 0);
}
