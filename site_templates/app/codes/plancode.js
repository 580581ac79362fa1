// twin: fieldsheet/exchange/carrycode.py
// A plan as the digits of a code: its brief, in the order of one table of fields, which version 1 has for good. What no
// number of the plan follows from is left out, and so are tides far from its night; the rest comes back exactly.

import { dayNumber, isoDate } from "../core/civil.js";
import {
  CodeError,
  MOST_DIGITS,
  SEAL,
  damaged,
  listOf,
  makeWriter,
  oneOf,
  orNull,
  sealed,
  signed,
  textOf,
  truth,
  unsealed,
  whole,
} from "./digits.js";
import { FIELDS as TABLE } from "./planfields.js";

export const VERSION = 1;
const TIDE_DAYS = 2;
const MOST_MANTISSA = 2 ** 49;
const FIRST_DAY = dayNumber("2027-01-01");
const MOST_DAYS = 100000; // either way, so that it is a date
const AXES = ["slide", "pan", "tilt", "focus", "zoom", "lift"];
const SINCE_S = [900, 60, 1];
const text = textOf(TABLE.signs);
const SERIES = /** @type {const} */ (["f", "shutter", "iso"]).map((name) => TABLE.marks[name].split(" "));
const MARK = SERIES.map((series) => oneOf(series, text));
const OPEN_MS = new Map(
  SERIES[1].map((/** @type {string} */ mark, /** @type {number} */ at) => [mark, TABLE.marks.open_ms[at]]),
);

/** @typedef {import("./digits.js").Codec} Codec */

/** The digits of a brief's code, at most 3,000. Throws CodeError. @param {Brief} brief whose revision may be missing */
export function digitsOf(brief) {
  const writer = makeWriter();
  makeCodecs()(TABLE.brief)(writer.step, carried({ .../** @type {*} */ (brief), revision: brief.revision ?? null }));
  const body = writer.digits();
  if (body.length + SEAL > MOST_DIGITS) throw new CodeError("This plan is too long for a code: it travels as a file.");
  return sealed(VERSION, body);
}

/** The brief that digits stand for, without its words; nothing is stored. Throws CodeError. @param {string} digits */
export function briefOf(digits) {
  return unsealed(digits, "a plan", VERSION, (step) => makeCodecs()(TABLE.brief)(step));
}

/** What a code takes along of a brief. @param {Brief} brief */
function carried(brief) {
  const night = dayNumber(brief.night.date);
  const tides = brief.place.tides.filter((/** @type {*} */ { date }) => Math.abs(dayNumber(date) - night) <= TIDE_DAYS);
  return { ...brief, place: { ...brief.place, tides }, needs: [] };
}

/** The codecs of one code, from the sorts that the table names; some go on from what came before. */
function makeCodecs() {
  let [day, utc_s] = [FIRST_DAY, 0];

  /** Mostly that of the date before. @type {Codec} */
  function date(step, value) {
    const given = value === undefined ? day : dayNumber(value);
    if (!truth(step, given === day)) day += signed(step, given - day);
    if (Math.abs(day - FIRST_DAY) > MOST_DAYS) throw damaged("a date in it is out of range");
    return isoDate(day);
  }

  /** [from_utc_s, offset_s, name] of a zone, its beginning from that of the span before. @type {Codec} */
  function span(step, value) {
    utc_s += inUnits(SINCE_S)(step, value && value[0] - utc_s);
    return [utc_s, ...of("shift")(step, value?.slice(1))];
  }

  /** @type {Object<string, Codec>} */
  const named = { truth, whole, number, text, ladder, date, span };
  /** @type {Object<string, (...values: *[]) => Codec>} */
  const ofValues = { in: inUnits, const: constant, one: (likely) => oneOf(likely, text) };
  /** @type {Object<string, (...codecs: Codec[]) => Codec>} */
  const ofSorts = { null: orNull, list: (codec) => listOf(codec), tuple, again, map };

  /** The codec of a sort: a name, fields in their order, or a list with what it is made of. @param {*} sort @returns {Codec} */
  function of(sort) {
    if (typeof sort === "string") return (named[sort] ??= of(TABLE.types[sort]));
    if (!Array.isArray(sort)) return fields(Object.entries(sort).map(([key, field]) => [key, of(field)]));
    const [kind, ...parts] = sort;
    if (ofValues[kind]) return ofValues[kind](...parts);
    if (kind === "likely") return likely(parts[0], of(parts[1]));
    if (kind === "either") return either(parts.map((option) => [Object.keys(option), of(option)]));
    return ofSorts[kind](...parts.map(of));
  }

  return of;
}

/** As a whole number over one of the scales where that gives it exactly, else its 64 bits. @type {Codec} */
function number(step, value = 0) {
  const { scales } = TABLE;
  const size = Math.abs(value);
  const over = scales.map((/** @type {number} */ scale) => Math.floor(size * scale + 0.5));
  const exact = scales.findIndex(
    (/** @type {number} */ scale, /** @type {number} */ at) => over[at] < MOST_MANTISSA && over[at] / scale === size,
  );
  const way = step(exact < 0 ? scales.length : exact, scales.length + 1);
  if (way < scales.length) return signed(step, value < 0 ? -over[way] : over[way]) / scales[way];
  const bits = new DataView(new ArrayBuffer(8));
  bits.setFloat64(0, value);
  for (const at of [0, 2, 4, 6]) bits.setUint16(at, step(bits.getUint16(at), 2 ** 16));
  const read = bits.getFloat64(0);
  if (!Number.isFinite(read)) throw damaged("a number in it is none");
  return read;
}

/** A whole number in the first of the units that divides it; the last one is 1. @param {number[]} units @returns {Codec} */
function inUnits(units) {
  return (step, value = 0) => {
    const unit =
      units[
        step(
          units.findIndex((one) => value % one === 0),
          units.length,
        )
      ];
    return signed(step, value / unit) * unit;
  };
}

/** What is the same in every brief. @param {*} value @returns {Codec} */
function constant(value) {
  return () => structuredClone(value);
}

/** One of some values, else any. @param {*[]} values @param {Codec} other @returns {Codec} */
function likely(values, other) {
  return (step, value) => {
    const at = step(placeIn(values, value) + 1, values.length + 1);
    return at > 0 ? structuredClone(values[at - 1]) : other(step, value);
  };
}

/** What often comes more than once in a code. @param {Codec} codec @returns {Codec} */
function again(codec) {
  /** @type {*[]} */
  const seen = [];
  return (step, value) => {
    const at = step(placeIn(seen, value) + 1, seen.length + 1);
    if (at > 0) return structuredClone(seen[at - 1]);
    const read = codec(step, value);
    seen.push(read);
    return read;
  };
}

/** @param {*[]} values @param {*} value a number, or lists of values */
function placeIn(values, value) {
  const written = JSON.stringify(value);
  return values.findIndex((one) => JSON.stringify(one) === written);
}

/** A list of as many values as there are codecs. @param {Codec[]} codecs @returns {Codec} */
function tuple(...codecs) {
  return (step, values) => codecs.map((codec, at) => codec(step, values?.[at]));
}

/** An object; a field whose name ends in ? may be missing. @param {[string, Codec][]} codecs @returns {Codec} */
function fields(codecs) {
  return (step, value) => {
    /** @type {Object<string, *>} */
    const read = {};
    for (const [field, codec] of codecs) {
      const name = field.replace("?", "");
      const is_there = name === field || truth(step, value !== undefined && Object.hasOwn(value, name));
      if (is_there) read[name] = codec(step, value?.[name]);
    }
    return read;
  };
}

/** An object of one of several kinds; the keys of each are its own. @param {[string[], Codec][]} options @returns {Codec} */
function either(options) {
  return (step, value) => {
    const fits = options.findIndex(([keys]) => keys.every((key) => Object.hasOwn(value ?? {}, key)));
    return options[step(Math.max(fits, 0), options.length)][1](step, value);
  };
}

/** Axis -> value, in the order in which they come. @param {Codec} codec @returns {Codec} */
function map(codec) {
  const pairs = listOf(tuple(oneOf(AXES, text), codec));
  return (step, value) => Object.fromEntries(pairs(step, value && Object.entries(value)));
}

/** Settings [f, shutter, ISO, ms open], mostly one mark on from the one before. @type {Codec} */
function ladder(step, rungs) {
  /** @type {*[] | undefined} */
  let before;
  return listOf((_, value) => (before = rung(step, value, before)))(step, rungs);
}

/** @param {import("./digits.js").Step} step @param {*[] | undefined} value @param {*[] | undefined} before */
function rung(step, value, before) {
  const marks = value?.slice(0, 3);
  const moved = SERIES.map((_, at) => movedOn(before, at));
  const same = placeIn(moved, marks);
  const turn = step(same < 0 ? moved.length : same, moved.length + 1);
  const read = turn < moved.length ? moved[turn] : MARK.map((codec, at) => codec(step, marks?.[at]));
  if (read === null) throw damaged("a setting in it is none");
  const usual = OPEN_MS.get(read[1]) ?? -1;
  return [...read, truth(step, value?.[3] === usual) ? usual : whole(step, value?.[3])];
}

/** The marks of the rung before with one moved on; null where there is none to move. @param {*[] | undefined} before @param {number} at */
function movedOn(before, at) {
  const next = before && SERIES[at][SERIES[at].indexOf(before[at]) + 1];
  if (!before || !SERIES[at].includes(before[at]) || next === undefined) return null;
  return before.slice(0, 3).map((mark, one) => (one === at ? next : mark));
}
