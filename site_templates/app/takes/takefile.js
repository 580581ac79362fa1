// A take as a file: its events as JSON, written alike from whatever phone they come, and read with distrust. The
// desk reads the same: fieldsheet/exchange/takefile.py.

import { eventKey, merge } from "./added.js";

export const FORMAT = "fieldsheet take";
export const VERSION = 1;
export const MOST_BYTES = 10000000;
export const MOST_NOTE = 500;
const PLAN = { format: "fieldsheet plan", version: 1 }; // as core/plan.js, which pages without a plan do not load
const MOST_TEXT = 2000;
const MOST_DEPTH = 32;
const MOST_EVENTS = 20000;
const MOST_FRAME = 1000000;
const MOST_NUMBER = 1e12;
const LAST_MS = 4102444800000; // the year 2100

const ID = /^[0-9A-Za-z-]{1,64}$/;
const SHOT = /^[a-z0-9-]{1,100}$/;
const KEY = /^[0-9A-Za-z-]{1,64}:[0-9]{1,7}$/;
const KIND = /^[a-z][a-z-]{0,39}$/;
const EVENT = ["take", "shot", "device", "counter", "utc_ms", "kind", "payload"];

/** Why a file is not taken up, in words for the page. */
export class TakeFileError extends Error {}

/** @typedef {(value: *) => boolean} Check */

/** @param {number} least @param {number} most @returns {Check} */
const whole = (least, most) => (value) => Number.isSafeInteger(value) && least <= value && value <= most;
/** @param {number} most @returns {Check} */
const text = (most) => (value) => typeof value === "string" && value.length <= most;
/** @param {RegExp} pattern @returns {Check} */
const like = (pattern) => (value) => typeof value === "string" && pattern.test(value);
/** @param {Check} check @returns {Check} */
const listOf = (check) => (value) => Array.isArray(value) && value.every(check);
/** @param {Check} check @returns {Check} */
const someOf = (check) => (value) => listOf(check)(value) && value.length > 0;
/** @param {Check} check @returns {Check} */
const orNull = (check) => (value) => value === null || check(value);
/** @param {Check} check @returns {Check} */
const perhaps = (check) => (value) => value === undefined || check(value);

const said = text(MOST_TEXT);
const keys = listOf(like(KEY));
const frame = whole(1, MOST_FRAME);
const entry = whole(1, 9999999);
const moment = whole(0, LAST_MS);
const size = whole(0, MOST_BYTES);
const index = whole(0, 99);
/** @type {Check} */
const isNumber = (value) => typeof value === "number" && Math.abs(value) <= MOST_NUMBER;
/** @type {Check} */
const truth = (value) => typeof value === "boolean";
/** @type {Check} */
const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);

/** What the payload of each kind must hold; other kinds, and other keys, are a newer version's and kept.
 *  @type {Object<string, Object<string, Check>>} */
const PAYLOADS = {
  take: { plan: isPlan, changes: perhaps(isObject) },
  changes: { changes: isObject, planned: perhaps(isOutline) },
  tick: { item: said, value: said },
  untick: { events: keys },
  undo: { events: keys },
  field: { item: said, value: said },
  "as-set": { keyframe: index, axis: text(40), value: text(40) },
  photo: { keyframe: index, bytes: size },
  start: { utc_ms: orNull(moment), unready: perhaps(listOf(said)) },
  count: { frame },
  mark: { what: text(40), frame: orNull(frame), file: text(40), of: perhaps(entry) },
  note: { text: text(MOST_NOTE) },
  act: { act: text(100), text: perhaps(said) },
  ready: { open: listOf(said), forced: truth },
  watch: { who: text(100) },
  name: { name: text(40) },
  reads: { frame: orNull(frame), f: isReading, shutter: isReading, iso: isReading },
  joined: { via: text(40), from: text(100), events: whole(0, MOST_EVENTS) },
  end: {},
};

/** @type {Object<string, Check>} */
const ENVELOPE = {
  device: like(ID),
  counter: entry,
  utc_ms: moment,
  kind: like(KIND),
  payload: isObject,
};

/**
 * The file of one take: a line an event, in the order of the log; the same events give the same bytes.
 * @param {import("./added.js").LogEvent[]} events at least the one that began the take
 */
export function writeTake(events) {
  const ordered = merge(events, []);
  const { take, shot } = ordered[0];
  const revision = planOf(ordered)?.revision ?? "";
  const head = JSON.stringify({ format: FORMAT, version: VERSION, take, shot, revision }).slice(0, -1);
  const lines = ordered.map(({ device, counter, utc_ms, kind, payload }) =>
    JSON.stringify({ take, shot, device, counter, utc_ms, kind, payload }),
  );
  return `${head},"events":[\n${lines.join(",\n")}\n]}\n`;
}

/** The plan that a take was begun on. @param {import("./added.js").LogEvent[]} events @returns {* | undefined} */
export function planOf(events) {
  return events.find(({ kind, payload }) => kind === "take" && payload.plan)?.payload.plan;
}

/**
 * What a file holds, made of fresh objects, in the order of the log; nothing is stored. Throws TakeFileError.
 * @param {string} file its text
 * @returns {{take: string, shot: string, revision: string, events: import("./added.js").LogEvent[]}}
 */
export function readTake(file) {
  if (file.length > MOST_BYTES) throw new TakeFileError("This file is larger than 10 MB: it is not the log of a take.");
  const found = parsed(file);
  if (!isObject(found) || found.format !== FORMAT) throw new TakeFileError("This file is not the log of a take.");
  if (!whole(1, Infinity)(found.version)) throw damaged("its version is missing");
  if (found.version > VERSION) {
    throw new TakeFileError(
      `This file is of version ${found.version}; this page reads version ${VERSION}: update it first.`,
    );
  }
  const { take, shot, events } = found;
  if (!like(ID)(take) || !like(SHOT)(shot)) throw damaged("it does not say which take of which shot it is");
  if (!Array.isArray(events) || events.length > MOST_EVENTS)
    throw damaged("its entries are not a list of at most 20000");
  const read = merge(
    events.map((event, number) => eventOf(event, { take, shot }, number + 1)),
    [],
  );
  if (new Set(read.map(eventKey)).size < events.length) throw damaged("it has an entry twice");
  const plan = planOf(read);
  if (plan === undefined) throw damaged("the plan that the take was begun on is missing");
  if (plan.shot.id !== shot) throw damaged("its plan is of another shot");
  return { take, shot, revision: plan.revision, events: read };
}

/** @param {string} file */
function parsed(file) {
  try {
    return fresh(JSON.parse(file), MOST_DEPTH);
  } catch (error) {
    if (error instanceof TakeFileError) throw error;
    throw new TakeFileError("This file is not the log of a take: it is no JSON, or was cut off.");
  }
}

/** @param {string} what */
function damaged(what) {
  return new TakeFileError(`This file is damaged: ${what}.`);
}

/**
 * Plain data made anew; a key that would reach into the language itself is none of ours.
 * @param {*} value @param {number} depth @returns {*}
 */
function fresh(value, depth) {
  if (typeof value !== "object" || value === null) return value;
  if (depth === 0) throw damaged("something in it is nested too deep");
  if (Array.isArray(value)) return value.map((part) => fresh(part, depth - 1));
  const entries = Object.entries(value);
  if (entries.some(([key]) => key === "__proto__")) throw damaged("it has a key that no log has");
  return Object.fromEntries(entries.map(([key, part]) => [key, fresh(part, depth - 1)]));
}

/** @param {*} event @param {{take: string, shot: string}} of @param {number} number from 1 @returns {import("./added.js").LogEvent} */
function eventOf(event, { take, shot }, number) {
  if (!isObject(event)) throw damaged(`entry ${number} is not one`);
  const { device, counter, utc_ms, kind, payload } = event;
  const unknown = Object.keys(event).find((key) => !EVENT.includes(key));
  if (unknown !== undefined) throw damaged(`entry ${number} has a key that no entry has`);
  if (event.take !== take || event.shot !== shot) throw damaged(`entry ${number} is of another take`);
  refuse(ENVELOPE, event, `entry ${number}`);
  if (Object.hasOwn(PAYLOADS, kind)) refuse(PAYLOADS[kind], payload, `entry ${number} (${kind})`);
  return { take, shot, device, counter, utc_ms, kind, payload };
}

/** @param {Object<string, Check>} checks @param {*} values @param {string} where */
function refuse(checks, values, where) {
  const wrong = Object.keys(checks).find((key) => !checks[key](Object.hasOwn(values, key) ? values[key] : undefined));
  if (wrong !== undefined) throw damaged(`${where}: ${wrong} is missing or out of range`);
}

/** What is read of a plan outside of its own page. @param {*} plan */
function isPlan(plan) {
  if (!isObject(plan) || plan.format !== PLAN.format || plan.version !== PLAN.version) return false;
  const { shot, place, brief, items } = plan;
  return (
    isOutline(plan) &&
    like(/^[0-9A-Z]{6}$/)(plan.revision) &&
    like(SHOT)(shot?.id) &&
    said(shot.title) &&
    said(place?.title) &&
    like(/^[0-9]{4}-[0-9]{2}-[0-9]{2}$/)(plan.window.night) &&
    someOf(isSpan)(brief?.place?.zone?.spans) &&
    isObject(brief.rig?.axes) &&
    Object.values(brief.rig.axes).every(isAxis) &&
    perhaps((named) => isObject(named) && Object.values(named).every(said))(items)
  );
}

/** What changes can alter of it. @type {Check} */
function isOutline(plan) {
  const { timing, window, keyframes, power } = plan ?? {};
  return (
    frame(timing?.frames) &&
    someOf(isSegment)(timing.segments) &&
    moment(window?.start?.utc_ms) &&
    moment(window.end?.utc_ms) &&
    listOf(isKeyframe)(keyframes) &&
    listOf(isSwap)(power?.changes)
  );
}

/** @type {Check} */
function isSegment(one) {
  return isObject(one) && frame(one.first_frame) && moment(one.start_ms) && whole(1, LAST_MS)(one.interval_ms);
}

/** @type {Check} */
function isSpan(one) {
  return Array.isArray(one) && isNumber(one[0]) && whole(-86400, 86400)(one[1]) && text(40)(one[2]);
}

/** @type {Check} */
function isAxis(one) {
  return isObject(one) && text(40)(one.unit) && isNumber(one.step) && one.step > 0;
}

/** @type {Check} */
function isSwap(one) {
  return isNumber(one?.from?.frame) && isNumber(one.until?.frame);
}

/** What a control reads: a number, or text such as 1/30. @type {Check} */
function isReading(value) {
  return isNumber(value) || text(40)(value);
}

/** @type {Check} */
function isKeyframe(one) {
  return isObject(one) && isNumber(one.frame) && isObject(one.axes) && Object.values(one.axes).every(isNumber);
}
