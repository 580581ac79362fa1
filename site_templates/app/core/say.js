// twin: fieldsheet/sheet/words.py
// Messages become words: one table of templates, a few formatters.  Numbers are rounded half up on their
// magnitude by one function; toFixed is not used anywhere.

import { DAY_S, isoDate, localDay, spanAt } from "./civil.js";
import { STARS } from "./stars.js";
import { WORDS } from "./words.js";

export const MINUS = "\u2212";
const SLOT = /\{([a-z_]+)(?:\|([a-z_]+[0-9]?))?\}/g;
const DAYS = ["Thu", "Fri", "Sat", "Sun", "Mon", "Tue", "Wed"]; // day number 0, 1970-01-01, was a Thursday
const MONTHS = "January February March April May June July August September October November December".split(" ");

/** The text of a message without arguments; throws for an unknown id. @param {string} id */
export function word(id) {
  if (!Object.hasOwn(WORDS, id)) throw new Error(`no message ${id}`);
  return WORDS[id];
}

/** Whether there is a message of that id. @param {string} id */
export function hasWord(id) {
  return Object.hasOwn(WORDS, id);
}

/**
 * The message of the table with its arguments in place; throws for an unknown id or argument.
 * @param {string} id @param {Args} args @param {Span[]} [spans] @returns {string}
 */
export function say(id, args, spans = []) {
  return word(id).replace(SLOT, (_, name, formatter = "text") => {
    if (!Object.hasOwn(args, name)) throw new Error(`message ${id} lacks ${name}`);
    return FORMATTERS[formatter](args[name], spans);
  });
}

/**
 * A number with so many decimals, rounded half up on its magnitude, with a true minus sign.
 * @param {number} value @param {number} decimals
 */
export function fixed(value, decimals) {
  const digits = String(Math.floor(Math.abs(value) * 10 ** decimals + 0.5 + 1e-7)).padStart(decimals + 1, "0");
  const cut = digits.length - decimals;
  const text = decimals ? `${digits.slice(0, cut)}.${digits.slice(cut)}` : digits;
  return value < 0 && /[1-9]/.test(digits) ? MINUS + text : text;
}

/** As fixed, with a plus sign above zero. @param {number} value @param {number} decimals */
export function signed(value, decimals) {
  const text = fixed(value, decimals);
  return value > 0 && /[1-9]/.test(text) ? `+${text}` : text;
}

/** Decimals needed to print multiples of a step: 1 -> 0, 0.1 -> 1, 0.05 -> 2; at most 3. @param {number} step */
export function decimalsOf(step) {
  for (let decimals = 0; decimals < 3; decimals += 1) {
    const scaled = step * 10 ** decimals;
    if (Math.abs(scaled - Math.floor(scaled + 0.5)) < 1e-6) return decimals;
  }
  return 3;
}

/** @param {number} value */
const two = (value) => String(value).padStart(2, "0");

/** Clock time of the place to the nearest minute, as almanacs print it. @param {number} utc_ms @param {Span[]} spans */
export function clock(utc_ms, spans) {
  const minute = Math.floor(utc_ms / 60000 + 0.5) * 60;
  const local = minute + spanAt(spans, minute)[1];
  const seconds = local - Math.floor(local / DAY_S) * DAY_S;
  return `${two(Math.floor(seconds / 3600))}:${two(Math.floor((seconds % 3600) / 60))}`;
}

/** A date as people say it: Sat 5 June 2027. @param {number} day */
export function dayText(day) {
  const [year, month, number] = isoDate(day).split("-");
  return `${DAYS[((day % 7) + 7) % 7]} ${Number(number)} ${MONTHS[Number(month) - 1]} ${year}`;
}

/**
 * A length of time: 0.5 s, 18 s, 1 min 15.5 s, 3 h 50 min (exact, but to the minute from an hour on).
 * @param {number} ms
 */
export function spanText(ms) {
  if (ms < 60000) return `${plain(ms / 1000)} s`;
  if (ms < 3600000) {
    const rest_ms = ms % 60000;
    const whole = `${Math.floor(ms / 60000)} min`;
    return rest_ms ? `${whole} ${plain(rest_ms / 1000)} s` : whole;
  }
  const minutes = Math.floor(ms / 60000 + 0.5);
  const hours = `${Math.floor(minutes / 60)} h`;
  return minutes % 60 ? `${hours} ${minutes % 60} min` : hours;
}

/** At most so many decimals, none of them idle: 25, 29.97, 0.5. @param {number} value */
function plain(value, decimals = 3) {
  return fixed(value, decimals).replace(/0+$/, "").replace(/\.$/, "");
}

/** A true bearing in three digits: 030°. @param {number} value */
export function bearing(value) {
  const whole = Math.floor(value + 0.5 + 1e-7);
  return `${String(((whole % 360) + 360) % 360).padStart(3, "0")}°`;
}

/**
 * A bearing as [true, declination or null] (east positive): 215° true, 213° magnetic.
 * @param {[number, number | null]} bearing
 */
export function compass([degrees, declination]) {
  const args = { true: degrees, magnetic: degrees - (declination ?? 0) };
  return say(declination === null ? "bearing.true" : "bearing.both", args, []);
}

/** The same where there is little room: 215° (213° mag). @param {[number, number | null]} bearing */
export function compassShort([degrees, declination]) {
  const args = { true: degrees, magnetic: degrees - (declination ?? 0) };
  return say(declination === null ? "bearing.bare" : "bearing.short", args, []);
}

/** A distance: 340 m, 12.5 km. @param {number} metres */
function way(metres) {
  return metres < 999.5 ? `${fixed(metres, 0)} m` : `${plain(metres / 1000, 1)} km`;
}

/** What a body of the sky is called; stars by the name of their catalogue. @param {string} body */
export function bodyWord(body) {
  return Object.hasOwn(STARS, body) ? STARS[body].name : word(`body.${body}`);
}

/** What an event is called: "core rise", "high tide", "Antares set". @param {string} name */
export function eventWord(name) {
  if (Object.hasOwn(WORDS, `event.${name}`)) return WORDS[`event.${name}`];
  const cut = name.lastIndexOf(" ");
  return `${bodyWord(name.slice(0, cut))} ${name.slice(cut + 1)}`;
}

/**
 * An event with its offset: sunset, sunset + 10 min.
 * @param {{event: string, offset_s: number}} anchor @returns {string}
 */
export function anchorWord({ event, offset_s }) {
  if (offset_s === 0) return eventWord(event);
  return say(offset_s > 0 ? "at.later" : "at.earlier", { event, offset: Math.abs(offset_s) * 1000 }, []);
}

/** @param {number} utc_ms @param {Span[]} spans */
function date(utc_ms, spans) {
  return dayText(localDay(spans, utc_ms / 1000)).replace(/ [0-9]+$/, "");
}

/** @param {number} utc_ms @param {Span[]} spans */
function when(utc_ms, spans) {
  return utc_ms === null ? "none within reach" : `${date(utc_ms, spans)} ${clock(utc_ms, spans)}`;
}

// Of what sort an argument is, its slot says; a wrong one would be seen in every text of the tests.
/** @type {Record<string, (value: any, spans: Span[]) => string>} */
const FORMATTERS = {
  text: (value) => String(value),
  word: (value) => word(value),
  body: bodyWord,
  the: (value) => bodyWord(value).replace(/^[a-z]/, "the $&"),
  frames: (value) => `${value} frame${value === 1 ? "" : "s"}`,
  event: eventWord,
  anchor: anchorWord,
  said: ({ id, args }, spans) => say(id, args, spans),
  bearing: (value) => bearing(value),
  compass,
  mag: compassShort,
  way,
  clock,
  date,
  when,
  zone: (value, spans) => spanAt(spans, value / 1000)[2],
  span: (value) => spanText(value),
  spans: (value, spans) =>
    value.map((/** @type {Pair} */ span) => span.map((ms) => clock(ms, spans)).join("–")).join(", ") || "never",
  cap: (value) => value.slice(0, 1).toUpperCase() + value.slice(1),
  plain: (value) => plain(value),
  p1: (value) => plain(value, 1),
  f1: (value) => fixed(Math.floor(value * 10 + 1e-7) / 10, 1),
  n0: (value) => fixed(value, 0),
  n1: (value) => fixed(value, 1),
  n2: (value) => fixed(value, 2),
  n3: (value) => fixed(value, 3),
  n4: (value) => fixed(value, 4),
  s0: (value) => signed(value, 0),
  s1: (value) => signed(value, 1),
  s2: (value) => signed(value, 2),
  d0: (value) => `${signed(value, 0)}°`,
  d1: (value) => `${signed(value, 1)}°`,
};
