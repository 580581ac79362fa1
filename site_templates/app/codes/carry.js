// A take as the digits of a code: its events in a fixed order of fields. What both phones' pages know is left out: the
// plan, the names of the items, and what a tick confirmed.

import {
  CodeError,
  crc32,
  damaged,
  id,
  listOf,
  makeWriter,
  oneOf,
  orNull,
  plainOf,
  sealed,
  signed,
  small,
  text,
  truth,
  unsealed,
  whole,
} from "./digits.js";
import { eventKey, merge, takenBack } from "../takes/added.js";

export const VERSION = 1;
const SHORT = 2 ** 16;
const WORD = 2 ** 32;
const NOT_YET = "This page cannot compute that take yet: wait until the sky is read, or take in the file.";

/**
 * What the page on both phones knows.
 * @typedef {object} Page
 * @property {string} catalog
 * @property {string} shot
 * @property {string} revision
 * @property {string[]} items the ids of its items, in order
 * @property {(changes: object) => Under | null} under null where that cannot be computed here now
 *
 * What it shows with some changes.
 * @typedef {object} Under
 * @property {object} plan what a take carries that begins with them
 * @property {object | undefined} planned what a take carries that changes to them
 * @property {(item: string) => string | undefined} shown what each item confirms
 * @property {string[]} heads of its warnings
 *
 * @typedef {import("./digits.js").Step} Step
 * @typedef {import("./digits.js").Codec} Codec
 * @typedef {import("../takes/added.js").LogEvent} LogEvent
 */

const TICK = "tick";
const WHAT = ["", "touched", "plane", "headlights", "cloud", "dew", "sound"];
const AXES = ["slide", "pan", "tilt"];
const ACTS = ["exposure", "compare", "swap", "limit"];
// biome-ignore format: a list of words
const NAMES = ["night", "start_ms", "interval_ms", "exposure_shift_ev", "spot", "latitude_deg", "longitude_deg",
  "elevation_m", "way", "id", "frame", "rolling_ms", "after", "run", "ratio", "stopped", "changes", "f", "shutter", "iso"];
const { plain, pairs } = plainOf(NAMES);

/** A word and which of them, mostly. @type {Codec} */
function act(step, value = "") {
  const end = value.indexOf(".");
  const word = ACTS[step(ACTS.indexOf(value.slice(0, end)) + 1, ACTS.length + 1) - 1];
  return word ? `${word}.${text(step, value.slice(end + 1))}` : text(step, value);
}

/**
 * How the events of one log are written: each after the one before, and with what was in force.
 * @param {Page} page @param {string[]} devices
 */
function makeCodec(page, devices) {
  const device = oneOf(devices);
  const anyItem = oneOf(page.items);
  /** @type {string[]} */
  const confirmed = [];
  let [counter, utc_ms, at, changes] = [0, 0, -1, {}];

  /** The payload of a kind that is not known. @type {Codec} */
  function bare(step, value) {
    const read = plain(step, value);
    if (typeof read !== "object" || read === null || Array.isArray(read)) throw damaged("an entry in it is none");
    return read;
  }

  /** Mostly the one after the last. @type {Codec} */
  function item(step, value) {
    const next = page.items[at + 1];
    const read = truth(step, value === next) ? next : anyItem(step, value);
    at = page.items.indexOf(read);
    return read;
  }

  /** An event, as others name it. @type {Codec} */
  function key(step, value = ":") {
    const end = value.lastIndexOf(":");
    const of = device(step, value.slice(0, end));
    return `${of}:${whole(step, Number(value.slice(end + 1)))}`;
  }

  /** What the page shows of the item with the changes in force; anything else stands in full.
   *  @param {Step} step @param {string | undefined} value @param {{item: string}} of */
  function shown(step, value, of) {
    const is_shown = value !== undefined && value === page.under(changes)?.shown(of.item);
    if (!truth(step, is_shown)) return text(step, value);
    const found = page.under(changes)?.shown(of.item);
    if (found === undefined) throw new CodeError(NOT_YET);
    confirmed.push(found);
    return found;
  }

  /** The head of a warning. @type {Codec} */
  function head(step, value) {
    const heads = page.under(changes)?.heads ?? [];
    if (!truth(step, heads.includes(value))) return text(step, value);
    const found = heads[step(heads.indexOf(value), heads.length)];
    confirmed.push(found);
    return found;
  }

  /** @param {Step} step @param {object | undefined} value @param {{changes: object}} of */
  function planned(step, value, of) {
    const own = () => page.under(of.changes)?.planned;
    if (!truth(step, value !== undefined && JSON.stringify(value) === JSON.stringify(own()))) return plain(step, value);
    const found = own();
    if (found === undefined) throw new CodeError(NOT_YET);
    confirmed.push(JSON.stringify(found));
    return found;
  }

  /** The fields of each kind, in this order, which version 1 has for good; what else there is follows as plain data. @type {Object<string, Object<string, (step: Step, value: *, made: *) => *>>} */
  const payloads = {
    [TICK]: { item, value: shown },
    untick: { events: listOf(key) },
    undo: { events: listOf(key) },
    take: { changes: plain },
    changes: { changes: plain, "planned?": planned },
    field: { item, value: text },
    "as-set": { keyframe: small, axis: oneOf(AXES), value: text },
    photo: { keyframe: small, bytes: whole },
    start: { utc_ms: orNull(whole) },
    count: { frame: whole },
    mark: { what: oneOf(WHAT), frame: orNull(whole), file: text },
    note: { text },
    act: { act, "text?": head },
    ready: { open: listOf(item), forced: truth },
    watch: { who: text },
    name: { name: text },
    joined: { via: text, from: text, events: whole },
    end: {},
  };
  const kinds = Object.keys(payloads);

  /** A kind that is not known, or lacks a field, is written as plain data.
   *  @param {Step} step @param {LogEvent | undefined} event */
  function content(step, event) {
    const sort = event && isWhole(event) ? kinds.indexOf(event.kind) : -1;
    const kind = truth(step, sort === 0) ? TICK : kinds[step(sort + 1, kinds.length + 1) - 1];
    if (!kind) return { kind: text(step, event?.kind), payload: bare(step, event?.payload) };
    /** @type {Object<string, *>} */
    const payload = {};
    const more = new Map(Object.entries(event?.payload ?? {}));
    for (const [field, codec] of Object.entries(payloads[kind])) {
      const name = field.replace("?", "");
      const is_there = name === field || truth(step, more.has(name));
      if (is_there) payload[name] = codec(step, more.get(name), payload);
      more.delete(name);
    }
    return { kind, payload: truth(step, more.size > 0) ? { ...payload, ...pairs(step, [...more]) } : payload };
  }

  /** @param {LogEvent} event */
  function isWhole({ kind, payload }) {
    const needed = Object.keys(payloads[kind] ?? {}).filter((field) => !field.endsWith("?"));
    return kinds.includes(kind) && needed.every((field) => Object.hasOwn(payload, field));
  }

  return {
    confirmed,
    /** @param {Step} step @param {string} take @param {LogEvent | undefined} event @returns {LogEvent} */
    event(step, take, event) {
      const is_next = truth(step, event?.counter === counter + 1);
      counter += is_next ? 1 : small(step, event && event.counter - counter);
      utc_ms += signed(step, event && event.utc_ms - utc_ms);
      const of = devices[step(devices.indexOf(event?.device ?? ""), devices.length)];
      const { kind, payload } = content(step, event);
      if (kind === "take" || kind === "changes") changes = payload.changes ?? {};
      if (kind === "take") page.under(changes); // before all others, because the take's plan is needed
      return { take, shot: page.shot, device: of, counter, utc_ms, kind, payload };
    },
  };
}

/**
 * Whose code it is, then its events.
 * @param {Step} step @param {Page} page
 * @param {{take: string, left: number, events: LogEvent[]}} [log] not there when it is read
 */
function logOf(step, page, log) {
  const [site, list] = [[page.catalog, page.shot], page.items].map((parts) => crc32(parts.join("|")) % SHORT);
  const is_here = step(site, SHORT) === site;
  const revision = step(parseInt(page.revision, 36), 36 ** 6)
    .toString(36)
    .toUpperCase()
    .padStart(6, "0");
  const is_same_list = step(list, SHORT) === list;
  if (!is_here)
    throw new CodeError("This code is of another shot or another site: open that shot's page, and scan it there.");
  if (revision !== page.revision || !is_same_list) throw new CodeError(otherRevision(revision, page.revision));
  const left = small(step, log?.left);
  const take = id(step, log?.take);
  const devices = listOf(id)(step, log && [...new Set(log.events.map((event) => event.device))]);
  const codec = makeCodec(page, devices);
  const events = listOf((_, event) => codec.event(step, take, event))(step, log?.events);
  const sum = crc32(codec.confirmed.join("\n"));
  if (step(sum, WORD) !== sum)
    throw new CodeError("This phone computes other values than the other one: take in the file.");
  return { take, left, events };
}

/** @param {string} revision @param {string} here */
function otherRevision(revision, here) {
  return `This code is of revision ${revision}, and this page is revision ${here}: take in the file, or update first.`;
}

/**
 * @param {LogEvent[]} events of one take @param {number} left how many more the file has @param {Page} page
 */
export function digitsOf(events, left, page) {
  const writer = makeWriter();
  logOf(writer.step, page, { take: events[0].take, left, events: merge(events, []).map(withoutPlan) });
  const body = writer.digits();
  return sealed(VERSION, body);
}

/** @param {LogEvent} event */
function withoutPlan(event) {
  if (event.kind !== "take") return event;
  const { plan, ...rest } = event.payload;
  return { ...event, payload: rest };
}

/**
 * The events that digits stand for; nothing is stored. Throws CodeError.
 * @param {string} digits @param {Page} page
 * @returns {{take: string, left: number, events: LogEvent[]}}
 */
export function logFrom(digits, page) {
  const log = unsealed(digits, "a take", VERSION, (step) => logOf(step, page));
  if (!log.events.some((/** @type {LogEvent} */ { kind }) => kind === "take"))
    throw damaged("it does not say how the take began");
  return {
    ...log,
    events: log.events.map((/** @type {LogEvent} */ event) => (event.kind === "take" ? withPlan(event, page) : event)),
  };
}

/** @param {LogEvent} event @param {Page} page */
function withPlan(event, page) {
  const under = page.under(event.payload.changes ?? {});
  if (!under) throw new CodeError(NOT_YET);
  return { ...event, payload: { plan: under.plan, ...withoutPlan(event).payload } };
}

/**
 * The digits of as much of a take as fits, what matters least left out first: what was taken back or written over,
 * then marks, notes and photos, oldest first. null where even the rest is too long.
 * @param {LogEvent[]} events @param {number} most digits @param {Page} page
 * @returns {{digits: string, left: LogEvent[]} | null}
 */
export function digitsWithin(events, most, page) {
  const spare = spareFirst(merge(events, []));
  const without = (/** @type {number} */ count) => {
    const left = new Set(spare.slice(0, count));
    return digitsOf(
      events.filter((event) => !left.has(event)),
      count,
      page,
    );
  };
  let [fewest, enough] = [0, spare.length];
  while (fewest < enough) {
    const half = (fewest + enough) >> 1;
    if (without(half).length <= most) enough = half;
    else fewest = half + 1;
  }
  const digits = without(enough);
  return digits.length <= most ? { digits, left: spare.slice(0, enough) } : null;
}

/** What the receiver can go on without, until the file comes. @param {LogEvent[]} events in the order of the log */
function spareFirst(events) {
  const isBack = takenBack(events);
  const last = new Map(events.map((event) => [placeOf(event), event]));
  const isIdle = (/** @type {LogEvent} */ event) =>
    isBack(event) || event.kind === "reads" || event.kind === "joined" || last.get(placeOf(event)) !== event;
  const isLess = (/** @type {LogEvent} */ event) => ["mark", "note", "photo"].includes(event.kind) && !isIdle(event);
  return [...events.filter(isIdle), ...events.filter(isLess)];
}

/** Where an event writes over an earlier one; where none does, the event itself. @param {LogEvent} event */
function placeOf(event) {
  const { kind, payload } = event;
  if (kind === "field") return `field ${payload.item}`;
  return kind === "as-set" ? `as-set ${payload.keyframe} ${payload.axis}` : eventKey(event);
}
