// twin: fieldsheet/sheet/needs.py
// What a night must have, said: asked, found, met or not.

import { eventWord, say, word } from "./say.js";

/** By the beginning of a need's id: how what was found is written; else it is an altitude. */
const FOUND = [
  ["need.weekday", "found.day"],
  ["need.darkness", "found.span"],
  ["need.core-usable", "found.span"],
  ["need.moon-lit", "found.percent"],
  ["need.azimuth", "found.bearing"],
  ["need.event", "found.event"],
];
const NAMED = [0, 0.5, 1];

/** {name: what is asked, verdict: what was found and whether that meets it, text: both, met}. */
export function needText({ id, args, met }, spans) {
  const name = say(id, named(args, spans), spans);
  const [, how] = FOUND.find(([begins]) => id.startsWith(begins)) ?? ["", "found.altitude"];
  const found = args.actual === null ? word("found.none") : say(how, args, spans);
  const verdict = say(met ? "need.met" : "need.unmet", { found }, spans);
  return { name, verdict, text: `${name}: ${verdict}`, met };
}

/** The arguments of what is asked, with its moments and clock times in words. */
function named(args, spans) {
  const words = "at" in args ? { ...args, at: moment(args.at, spans) } : args;
  return "first" in args ? { ...words, first: clockText(args.first), last: clockText(args.last) } : words;
}

/** A position in the shot or an anchor, in words. */
function moment(at, spans) {
  if ("clock_s" in at) return clockText(at.clock_s);
  if ("event" in at) {
    if (at.offset_s === 0) return eventWord(at.event);
    const args = { event: at.event, offset: Math.abs(at.offset_s) * 1000 };
    return say(at.offset_s > 0 ? "at.later" : "at.earlier", args, spans);
  }
  if ("frame" in at) return say("at.frame", at, spans);
  return NAMED.includes(at.fraction) ? word(`at.${at.fraction}`) : say("at.part", { part: at.fraction * 100 }, spans);
}

function clockText(clock_s) {
  const two = (value) => String(Math.floor(value)).padStart(2, "0");
  return `${two(clock_s / 3600)}:${two((clock_s % 3600) / 60)}`;
}
