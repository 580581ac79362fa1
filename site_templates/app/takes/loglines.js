// The events of a take as lines that a person reads. The desk says the same: fieldsheet/exchange/loglines.py.

import { dayNumber, isoDate, spanAt } from "../core/civil.js";
import { dayText, hasWord, say, word } from "../core/say.js";
import { clockToSecond } from "./fired.js";
import { eventKey, reduce } from "./added.js";

const CONTROLS = /[\u0000-\u0020\u007f-\u00a0\u2028-\u202e\u2066-\u2069]+/g; // those that turn the line around, too
/** @type {Object<string, string>} */
const UNITS = { deg: "°" };
const LAST_MS = 4102444800000; // the year 2100
const BACK = ["undo", "untick"];

/**
 * @typedef {import("./added.js").LogEvent} LogEvent
 * @typedef {{text: string, value: string}} Line what an event says, and its value, "" where it has none
 * @typedef {[string, string]} Said
 */

/** Whatever was typed, without line breaks and controls. @param {string} text */
export function oneLine(text) {
  return text.replace(CONTROLS, " ").replace(/^ +| +$/g, "");
}

/** A line in one piece. @param {Line} line */
export function wholeLine({ text, value }) {
  return value ? `${text}: ${value}` : text;
}

/** Whether there is such a date, written "2027-06-05". @param {string} date */
export function isDate(date) {
  const day = dayNumber(date);
  return Number.isFinite(day) && isoDate(day) === date;
}

/** A date as people say it; as it is written where there is no such date. @param {string} night */
export function nightText(night) {
  return isDate(night) ? dayText(dayNumber(night)) : night;
}

/** Frame and file of a mark, as far as they are known. @param {{frame: number | null, file: string}} mark */
export function placeText({ frame, file }) {
  return frame === null ? "" : say(file ? "log.frame-file" : "log.frame", { frame, file });
}

/** An act of the plan by its name: "swap.1" is "swap 1". @param {string} act */
export function actText(act) {
  const [kind, ...rest] = act.split(".");
  return hasWord(`log.act.${kind}`) ? say(`log.act.${kind}`, { of: rest.join(".") }) : act.replaceAll(".", " ");
}

/** Says the events of one take. @param {LogEvent[]} events @param {TakenPlan} plan that it was begun on */
export function makeLines(events, plan) {
  const byKey = new Map(events.map((event) => [eventKey(event), event]));
  const items = plan.items ?? {};
  const { spans } = plan.brief.place.zone;
  const { axes } = plan.brief.rig;
  const { names } = reduce(events);
  const devices = [...new Set(events.map(({ device }) => device))];
  const spanOf = (/** @type {number} */ utc_ms) => spanAt(spans, utc_ms / 1000);
  const { start, end } = plan.window;
  const zoned = new Set([start, end, ...events].map(({ utc_ms }) => spanOf(utc_ms))).size > 1;

  const lines = {
    /** What each phone is called that wrote in this log, in the order of their first events. */
    phones: () => devices.map(lines.phone),
    /** What a phone is called; which one it is, where it has no name. @param {string} device */
    phone: (device) => oneLine(names.get(device) ?? "") || unnamed(device),
    /** The text of an item of the checklist, as the plan has it. @param {string} item */
    item: (item) => oneLine(Object.hasOwn(items, item) ? items[item] : item),
    /** What an event says; one of a newer version says so. @param {LogEvent} event @returns {Line} */
    line({ kind, payload }) {
      if (!Object.hasOwn(KINDS, kind)) return { text: say("log.unknown", { kind }), value: "" };
      const [text, value] = KINDS[kind](payload);
      return { text: oneLine(text), value: oneLine(value) };
    },
    /** The clock of the place to the second, with its zone where the clocks change on the way. @param {number} utc_ms */
    clock: (utc_ms) => clockToSecond(utc_ms, spans) + (zoned ? ` ${spanOf(utc_ms)[2]}` : ""),
    unit,
    changes: changed,
  };

  /** @param {string} device */
  function unnamed(device) {
    const number = devices.indexOf(device) + 1;
    return number > 0 ? say("log.phone", { number }) : word("log.other-phone");
  }

  /** What of a plan is changed; "" for nothing. @param {*} changes */
  function changed(changes) {
    return Object.entries(changes ?? {})
      .map(([key, value]) => changeText(key, value))
      .join(", ");
  }

  /** @param {string} key */
  function named(key) {
    const event = byKey.get(key);
    if (!event) return word("log.lost");
    return BACK.includes(event.kind) ? word("log.back") : wholeLine(lines.line(event));
  }

  /** @param {string[]} keys */
  function unticked(keys) {
    const known = keys.filter((key) => byKey.has(key)).map((key) => lines.item(byKey.get(key)?.payload.item ?? ""));
    return [...new Set(known)].join("; ") || word("log.lost");
  }

  /** The unit of an axis as it stands after a figure. @param {string} axis */
  function unit(axis) {
    if (!Object.hasOwn(axes, axis)) return "";
    return Object.hasOwn(UNITS, axes[axis].unit) ? UNITS[axes[axis].unit] : ` ${axes[axis].unit}`;
  }

  /** @param {string} key @param {*} value */
  function changeText(key, value) {
    const args = changeArgs(key, value);
    return args === null ? oneLine(key) : say(`log.change.${changeName(key, args)}`, args, spans);
  }

  /** @type {Object<string, (payload: *) => Said>} */
  const KINDS = {
    take: ({ plan: { revision }, changes }) => [say("log.take", { revision }), changed(changes)],
    changes({ changes }) {
      const what = changed(changes);
      return [what ? say("log.changes", { what }) : word("log.printed"), ""];
    },
    tick: ({ item, value }) => [say("log.tick", { item: lines.item(item) }), value],
    untick: ({ events: keys }) => [say("log.untick", { what: unticked(keys) }), ""],
    undo: ({ events: keys }) => [say("log.undo", { what: keys.map(named).join("; ") }), ""],
    field: ({ item, value }) => [say("log.field", { item: lines.item(item) }), value || word("log.erased")],
    "as-set": ({ keyframe, axis, value }) => [
      say("log.as-set", { number: keyframe + 1, axis }),
      value ? value + unit(axis) : word("log.erased"),
    ],
    photo: ({ keyframe, bytes }) => [
      say("log.photo", { number: keyframe + 1 }),
      say("log.kilobytes", { kilobytes: bytes / 1000 }),
    ],
    start({ utc_ms, unready = [] }) {
      if (utc_ms === null) return [word("log.start-back"), ""];
      const what = unready.map(lines.item).join("; ");
      return [what ? say("log.start-unready", { what }) : word("log.start"), lines.clock(utc_ms)];
    },
    count: ({ frame }) => [word("log.count"), String(frame)],
    mark: (mark) => [say("log.mark", { what: mark.what }), placeText(mark)],
    note: ({ text }) => [word("log.note"), text],
    act: ({ act, text }) => [say("log.act", { what: text || actText(act) }), ""],
    ready({ open }) {
      if (open.length === 0) return [word("log.ready"), ""];
      return [say("log.ready-forced", { what: open.map(lines.item).join("; ") }), ""];
    },
    reads: (reading) => [word("log.reads"), say("log.exposed", reading)],
    watch: ({ who }) => [word("log.watch"), who],
    name: ({ name }) => [word("log.name"), name],
    joined: ({ via, from, events: number }) => [
      say("log.joined", { via, who: lines.phone(from) }),
      say("log.events", { events: number }),
    ],
    end: () => [word("log.end"), ""],
  };
  return lines;
}

/** The arguments of the message for a change; null for one of a newer version. @param {string} key @param {*} value */
function changeArgs(key, value) {
  if (key === "night" && typeof value === "string") return { night: nightText(value) };
  if (key === "start_ms" && isMoment(value)) return { start: value };
  if (key === "interval_ms" && isMoment(value)) return { interval: value };
  if (key === "spot" && value && typeof value === "object") return {};
  if (key === "exposure_shift_ev" && typeof value === "number" && Math.abs(value) <= 99) return { shift: value };
  if (key === "stopped" && isMoment(value?.frame) && isMoment(value.rolling_ms)) {
    return { frame: value.frame, rolling: value.rolling_ms };
  }
  if (key === "way" && typeof value?.id === "string" && hasWord(`option.${value.id}`)) return wayArgs(value);
  return null;
}

/** A way on with its moment, as far as it is known. @param {Way} way */
function wayArgs({ id, start_ms, frame, rolling_ms }) {
  const way = { way: `option.${id}` };
  if (isMoment(start_ms)) return { ...way, start: start_ms };
  return isMoment(frame) && isMoment(rolling_ms) ? { ...way, frame, rolling: rolling_ms } : way;
}

/** The message for a change, by what is known of it. @param {string} key @param {object} args */
function changeName(key, args) {
  if (key !== "way") return key;
  return "start" in args ? "way.late" : "frame" in args ? "way.on" : key;
}

/** A whole number that a clock can show. @param {*} value */
function isMoment(value) {
  return Number.isInteger(value) && 0 <= value && value <= LAST_MS;
}
