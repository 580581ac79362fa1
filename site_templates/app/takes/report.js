// A take as text: planned against actual, then its whole log. The desk prints the same: fieldsheet/exchange/report.py.

import { localDay } from "../core/civil.js";
import { msOf } from "../core/pace.js";
import { MINUS, dayText, decimalsOf, fixed, signed, spanText } from "../core/say.js";
import { reduce } from "./added.js";
import { actText, makeLines, nightText, oneLine, wholeLine } from "./loglines.js";
import { endedMs, frameThen, framesShot, programmesOf, runsOf, toldOf } from "./programmes.js";

const WIDTH = 80;
const INDENT = "  ";
const NUMBER = /^[+\u2212-]?[0-9]{1,6}(\.[0-9]{1,3})?$/;
const WITH_FRAME = ["start", "count", "mark"];
const PLAN_BEFORE = "what was planned after that is not in this log: compared with the plan before";

/** @typedef {import("./added.js").LogEvent} LogEvent @typedef {import("./programmes.js").Programme} Programme */

/**
 * The text of a take, its lines at most WIDTH signs wide where its words allow.
 * @param {LogEvent[]} events in the order of the log @param {Plan} plan that they were begun on
 */
export function reportOf(events, plan) {
  const { spans } = plan.brief.place.zone;
  const { axes } = plan.brief.rig;
  const lines = makeLines(events, plan);
  const state = reduce(events);
  const programmes = programmesOf(events, plan);
  const told = toldOf(programmes);
  const phones = lines.phones();

  const day = (/** @type {number} */ utc_ms) => dayText(localDay(spans, utc_ms / 1000));
  const when = (/** @type {number} */ utc_ms) => `${day(utc_ms)} ${lines.clock(utc_ms)}`;
  /** The phone that kept something, where several did. @param {string} device */
  const who = (device) => (phones.length > 1 ? [lines.phone(device)] : []);

  function head() {
    const ended = events.findLast(({ kind }) => kind === "end");
    const over = ended ? `ended ${when(ended.utc_ms)}` : "not ended";
    return [
      ...wrapped(oneLine(plan.shot.title)),
      ...wrapped(`${oneLine(plan.place.title)} · ${nightText(plan.window.night)} · revision ${plan.revision}`),
      `take ${events[0].take.slice(0, 8)} · begun ${when(events[0].utc_ms)}`,
      over,
      ...wrapped(`kept by ${phones.join(", ")}`),
      ...(state.watch ? wrapped(`watch: ${oneLine(state.watch.who)}, since ${lines.clock(state.watch.utc_ms)}`) : []),
    ];
  }

  /** What was planned of one programme of the rig, and what became of it. @param {Programme} programme @param {number} index */
  function ofProgramme(programme, index) {
    const changed = lines.changes(programme.state.changes);
    const which = told.length > 1 ? `, run ${index + 1} of ${told.length}` : "";
    const asked = [...(changed ? [`as changed: ${changed}`] : []), ...(programme.is_known ? [] : [PLAN_BEFORE])];
    const odd = (programme.judged?.odd ?? []).map(
      ({ frame, utc_ms }) => `left out: frame ${frame} at ${lines.clock(utc_ms)}, which fits no other count`,
    );
    return [
      ...section(`Planned against actual${which}`, [
        ...wrappedAll(asked),
        ...table(compared(programme)),
        ...wrappedAll(odd),
      ]),
      ...section("Keyframes", table(asSet(programme))),
      ...section("Done", table(acts(programme))),
      ...section("Ready to roll", ready(programme)),
    ];
  }

  /** @param {Programme} programme */
  function compared(programme) {
    const { window, timing } = programme.planned;
    const intervals = [...new Set(timing.segments.map(({ interval_ms }) => interval_ms))];
    const [first, interval, frames, end] = ran(programme, intervals);
    return [
      ["", "planned", "as it ran", "difference"],
      ["frame 1", lines.clock(window.start.utc_ms), ...first],
      ["interval", intervals.map(spanText).join(", "), ...interval],
      ["frames", String(timing.frames), ...frames],
      ["end", lines.clock(window.end.utc_ms), ...end],
    ];
  }

  /** [as it ran, difference] of frame 1, interval, frames and end. @param {Programme} programme @param {number[]} intervals */
  function ran(programme, intervals) {
    const { judged, planned, state: reached } = programme;
    if (judged === null)
      return [
        ["not kept", ""],
        ["", ""],
        ["", ""],
        ["", ""],
      ];
    const fired_ms = /** @type {number} */ (reached.fired_ms);
    const end_ms = /** @type {number} */ (endedMs(programme));
    const shot = /** @type {number} */ (framesShot(programme));
    const is_over = reached.ended || programme.events[programme.events.length - 1] !== events[events.length - 1];
    return [
      [lines.clock(fired_ms), late(fired_ms - planned.window.start.utc_ms)],
      trueInterval(judged, intervals, reached.counts.length),
      is_over ? [`${shot} likely`, signed(shot - planned.timing.frames, 0)] : [`${shot} so far`, ""],
      [lines.clock(end_ms), late(end_ms - planned.window.end.utc_ms)],
    ];
  }

  /** Of each keyframe of which something is written what was planned and what the rig showed. @param {Programme} programme */
  function asSet({ planned, events: own }) {
    const { as_set } = reduce(own);
    const rows = planned.keyframes.flatMap((keyframe, index) => {
      const written = Object.keys(keyframe.axes).map((axis) => [axis, as_set.get(`${index}.${axis}`) ?? ""]);
      if (!written.some(([, shown]) => shown)) return [];
      return written.map(([axis, shown]) => axisRow(`K${index + 1} ${axis}`, axis, keyframe.axes[axis], shown));
    });
    return rows.length > 0 ? [["", "planned", "the rig showed", "difference"], ...rows] : [];
  }

  /** @param {string} name @param {string} axis @param {number} planned @param {string} shown */
  function axisRow(name, axis, planned, shown) {
    const unit = lines.unit(axis);
    const decimals = Object.hasOwn(axes, axis) ? decimalsOf(axes[axis].step) : 3;
    const off = NUMBER.test(shown) ? signed(Number(shown.replace(MINUS, "-")) - planned, decimals) + unit : "";
    return [oneLine(name), fixed(planned, decimals) + unit, shown ? oneLine(shown) + unit : "not written", off];
  }

  /** Swaps, done or not, and what else of the plan was done. @param {Programme} programme */
  function acts(programme) {
    const { acts: done } = programme.state;
    const swaps = programme.planned.power.changes.map((_, index) => `swap.${index + 1}`);
    const others = [...done.keys()].filter((act) => !swaps.includes(act));
    const at = (/** @type {string} */ act) => done.get(act)?.utc_ms ?? 0;
    const inTime = (/** @type {string} */ a, /** @type {string} */ b) => at(a) - at(b) || (a < b ? -1 : 1);
    const rows = [...swaps, ...others.sort(inTime)].map((act) => [
      oneLine(actText(act)),
      due(programme, act),
      doneText(programme, done.get(act)),
    ]);
    return rows.length > 0 ? [["", "planned", "done"], ...rows] : [];
  }

  /** @param {Programme} programme @param {import("./added.js").Kept | undefined} kept */
  function doneText(programme, kept) {
    if (!kept) return "not done";
    const frame = frameThen(programme, kept.utc_ms);
    return lines.clock(kept.utc_ms) + (frame ? `, frame ${frame}` : "");
  }

  /** When an act was planned; "" where its name does not say. @param {Programme} programme @param {string} act */
  function due({ planned: { timing, keyframes, power } }, act) {
    const [kind, ...rest] = act.split(".");
    const of = rest.join(".");
    const number = /^[0-9]{1,6}$/.test(of) ? Number(of) : 0;
    const swap = kind === "swap" && power.changes[number - 1];
    if (swap) return `frames ${Math.ceil(swap.from.frame)}–${Math.floor(swap.until.frame)}`;
    const key = kind === "keyframe" && keyframes[number - 1];
    const frame = key ? Math.floor(key.frame + 0.5) : kind === "exposure" ? number : 0;
    return 1 <= frame && frame <= timing.frames ? `${lines.clock(msOf(timing, frame))}, frame ${frame}` : "";
  }

  /** @param {Programme} programme */
  function ready({ events: own, state: { ready: declared } }) {
    if (declared === null) return ["not declared", ...unready(own)];
    const { utc_ms, device, open } = declared;
    const said = `declared ${lines.clock(utc_ms)} by ${lines.phone(device)}`;
    if (open.length === 0) return wrapped(`${said}, no must-do open`);
    return [...wrapped(`${said}, with must-dos open:`), ...wrappedAll(open.map(lines.item), INDENT)];
  }

  /** The must-dos that were open as frame 1 fired without it. @param {LogEvent[]} own */
  function unready(own) {
    const items = own.findLast(({ kind }) => kind === "start")?.payload.unready ?? [];
    return items.length > 0 ? ["frame 1 fired with must-dos open:", ...wrappedAll(items.map(lines.item), INDENT)] : [];
  }

  function marks() {
    const runs = told.length > 1 ? runsOf(told) : null;
    const rows = state.marks.map(({ utc_ms, frame, file, what, key }) => [
      lines.clock(utc_ms),
      ...(runs ? [String(runs.get(key) ?? "")] : []),
      frame === null ? "" : String(frame),
      oneLine(file),
      oneLine(what),
    ]);
    return rows.length > 0 ? table([["clock", ...(runs ? ["run"] : []), "frame", "file", "what"], ...rows]) : [];
  }

  const notes = () => state.notes.flatMap(({ utc_ms, text, device }) => at(utc_ms, oneLine(text), who(device)));

  /** What was changed and read, and the warnings that were closed. */
  function changes() {
    const some = events.filter((event) => ["changes", "reads"].includes(event.kind) || isTold(event));
    return some.flatMap((event) => eventText(event, null));
  }

  /** Every event by the clock of the phone that kept it, a day's under its date. */
  function log() {
    let date = "";
    return programmes.flatMap((programme) =>
      programme.events.flatMap((event) => {
        const before = date;
        date = day(event.utc_ms);
        const frame = WITH_FRAME.includes(event.kind) ? null : frameThen(programme, event.utc_ms);
        return [...(date === before ? [] : [date]), ...eventText(event, frame)];
      }),
    );
  }

  /** @param {LogEvent} event @param {number | null} frame */
  function eventText(event, frame) {
    const also = [...(frame ? [`frame ${frame}`] : []), ...who(event.device)];
    return at(event.utc_ms, wholeLine(lines.line(event)), also);
  }

  /** @param {number} utc_ms @param {string} said @param {string[]} also */
  function at(utc_ms, said, also) {
    const clock = `${lines.clock(utc_ms)}  `;
    return wrapped(`${clock}${said}${also.length > 0 ? ` (${also.join(", ")})` : ""}`, "", " ".repeat(clock.length));
  }

  const parts = [
    ...head(),
    ...told.flatMap(ofProgramme),
    ...section("Marks", marks()),
    ...section("Notes", notes()),
    ...section("Changes, readings, warnings closed", changes()),
    ...section("Log", log()),
  ];
  return parts.map((line) => `${line}\n`).join("");
}

/** Whether it is an act in words of its own: a warning that was closed. @param {LogEvent} event */
function isTold({ kind, payload }) {
  return kind === "act" && Boolean(payload.text);
}

/** The interval as it ran, and how far off it is, by the counts. @param {import("./asrun.js").Judged} judged @param {number[]} intervals @param {number} counts */
function trueInterval({ run: { ratio }, span }, intervals, counts) {
  if (span === null) return [intervals.map(spanText).join(", "), counts > 0 ? "none by the counts" : "not counted"];
  const seconds = (/** @type {number} */ ms) => fixed(ms / 1000, 2);
  const ran = intervals.map((interval) => `${seconds(interval * ratio)} s`).join(", ");
  const half = (span[1] - span[0]) / 2;
  if (intervals.length > 1) return [ran, `× ${fixed(ratio, 4)} ± ${fixed(half, 4)}`];
  return [ran, `${signed((intervals[0] * (ratio - 1)) / 1000, 2)} s ± ${seconds(intervals[0] * half)} s`];
}

/** @param {number} ms */
function late(ms) {
  const seconds = Math.floor(Math.abs(ms) / 1000 + 0.5);
  return seconds === 0 ? "none" : `${spanText(seconds * 1000)} ${ms > 0 ? "late" : "early"}`;
}

/** @param {string} title @param {string[]} lines */
function section(title, lines) {
  return lines.length > 0 ? ["", title, ...lines.map((line) => INDENT + line)] : [];
}

/** Signs as a person counts them, more or less. @param {string} text */
const lengthOf = (text) => [...text].length;

/** Rows with their columns lined up. @param {string[][]} rows */
function table(rows) {
  const widths = (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => lengthOf(row[column]))));
  const padded = (/** @type {string} */ text, /** @type {number} */ column) =>
    text + " ".repeat(widths[column] - lengthOf(text));
  return rows.map((row) => row.map(padded).join("  ").replace(/ +$/, ""));
}

/** @param {string[]} texts @param {string} first */
function wrappedAll(texts, first = "") {
  return texts.flatMap((text) => wrapped(text, first));
}

/** A text in lines that fit beside the indent of a section; a word that is longer stays whole.
 *  @param {string} text @param {string} first @param {string} hanging */
function wrapped(text, first = "", hanging = first) {
  const lines = [];
  let line = first;
  for (const word of text.split(" ")) {
    if (lengthOf(line) + lengthOf(word) > WIDTH - INDENT.length && line.trim()) {
      lines.push(line.replace(/ +$/, ""));
      line = hanging;
    }
    line += `${word} `;
  }
  return [...lines, line.replace(/ +$/, "")];
}
