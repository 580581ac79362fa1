// twin: fieldsheet/sheet/needs.py
// What a night must have, said: asked, found, met or not, or not known.

import { anchorWord, say, word } from "./say.js";

/** By the beginning of a need's id: how what was found is written, if the need does not say; else an altitude. */
const FOUND = [
  ["need.weekday", "found.day"],
  ["need.darkness", "found.span"],
  ["need.core-usable", "found.span"],
  ["need.moon-lit", "found.percent"],
  ["need.azimuth", "found.bearing"],
  ["need.event", "found.event"],
];
const NAMED = [0, 0.5, 1];

/**
 * {name: what is asked, verdict: whether it is met and what was found, text: both, met: null if nobody can tell}.
 * @param {Plan["needs"][number]} need @param {Span[]} spans
 */
export function needText({ id, args, met }, spans) {
  const name = say(id, named(args, spans), spans);
  const [, usual] = FOUND.find(([begins]) => id.startsWith(begins)) ?? ["", "found.altitude"];
  const how = met === null ? "need.unknown" : met ? "need.met" : "need.unmet";
  const verdict = say(how, { found: say(args.found ?? usual, args, spans) }, spans);
  return { name, verdict, text: `${name} · ${verdict}`, met };
}

/**
 * What is asked in a few words, where many stand in a line: without its moment.
 * @param {Plan["needs"][number]} need @param {Span[]} spans
 */
export function needInFewWords({ id, args }, spans) {
  return say(id.replace("need.", "few."), named(args, spans), spans);
}

/**
 * The arguments of what is asked, with its days, moments and clock times in words.
 * @param {Args} args @param {Span[]} spans
 */
function named(args, spans) {
  const words = { ...args };
  if ("days" in args) words.days = daysText(args.days, spans);
  if ("at" in args) words.at = moment(args.at, spans);
  return "first" in args ? { ...words, first: clockText(args.first), last: clockText(args.last) } : words;
}

/** One day of the week after the other: "Fri", "Thu, Fri or Sat". @param {string[]} days @param {Span[]} spans */
function daysText(days, spans) {
  const last = days[days.length - 1];
  return days.length > 1 ? say("need.days", { days: days.slice(0, -1).join(", "), last }, spans) : last;
}

/** A position in the shot or an anchor, in words. @param {At} at @param {Span[]} spans */
function moment(at, spans) {
  if ("clock_s" in at) return clockText(at.clock_s);
  if ("event" in at) return anchorWord(at);
  if ("frame" in at) return say("at.frame", at, spans);
  return NAMED.includes(at.fraction) ? word(`at.${at.fraction}`) : say("at.part", { part: at.fraction * 100 }, spans);
}

/** @param {number} clock_s */
function clockText(clock_s) {
  const two = (/** @type {number} */ value) => String(Math.floor(value)).padStart(2, "0");
  return `${two(clock_s / 3600)}:${two((clock_s % 3600) / 60)}`;
}
