// The programmes of the rig that a take ran, one after the other, each with what was planned and how it ran. Another
// way to go on that keys in anything begins another one. The desk does the same: fieldsheet/exchange/programmes.py.

import { judged } from "./asrun.js";
import { frameAt } from "../core/pace.js";
import { eventKey, reduce } from "./added.js";
import { keyedBy } from "./stops.js";

const KEPT_LATER = ["undo", "untick"];
const PLANS = ["take", "changes"];

/**
 * @typedef {import("./added.js").LogEvent} LogEvent
 * @typedef {object} Programme as it was at its end
 * @property {Pick<Plan, "timing" | "window" | "keyframes" | "power">} planned
 * @property {boolean} is_known false where the log lacks what was planned after a change, and planned is older
 * @property {LogEvent[]} events
 * @property {import("./added.js").TakeState} state
 * @property {import("./asrun.js").Judged | null} judged null where frame 1 is not known to have fired
 * @property {number} until_ms the last moment that the log knows of it
 * @property {number | null} stopped the frame after which it is said to have stopped
 */

/** What changes alter of a plan, for the event that keeps them; nothing where the plan is not of these changes alone:
 *  one that is re-timed by how the rig runs is not what was planned. @param {Plan} plan @param {object} asked */
export function plannedOf({ changes, timing: { frames, segments }, window: { start, end }, keyframes, power }, asked) {
  if (JSON.stringify(changes) !== JSON.stringify(asked)) return {};
  const keyed = keyframes.map(({ frame, axes }) => ({ frame, axes }));
  const swaps = power.changes.map(({ from, until }) => ({
    from: { frame: from.frame },
    until: { frame: until.frame },
  }));
  const window = { start: { utc_ms: start.utc_ms }, end: { utc_ms: end.utc_ms } };
  return { planned: { timing: { frames, segments }, window, keyframes: keyed, power: { changes: swaps } } };
}

/** @param {LogEvent[]} events in the order of the log @param {Plan} plan that they were begun on @returns {Programme[]} */
export function programmesOf(events, plan) {
  const cuts = [0, ...cutsOf(events), events.length];
  let [planned, is_known, changes] = [plan, true, "{}"];
  return cuts.slice(1).map((end, index) => {
    for (const { kind, payload } of events.slice(cuts[index], end).filter(({ kind }) => PLANS.includes(kind))) {
      const asked = JSON.stringify({ ...payload.changes, exposure_shift_ev: undefined });
      if (payload.planned) [planned, is_known] = [payload.planned, true];
      else if (kind === "changes" && asked !== changes) is_known = false;
      changes = asked;
    }
    return programmeOf(events, cuts[index], end, { planned, is_known });
  });
}

/**
 * Those that ran, in the order in which they were left for good; where none did, the last one. One that was left and gone
 * back to is told once, with the events of both times.
 * @param {Programme[]} found @returns {Programme[]}
 */
export function toldOf(found) {
  /** @type {Map<string, Programme>} */
  const told = new Map();
  for (const one of found.filter(({ judged: known }) => known !== null)) {
    const name = JSON.stringify([one.state.changes.way, one.state.fired_ms]);
    const before = told.get(name)?.events ?? [];
    told.delete(name);
    told.set(name, { ...one, events: [...before, ...one.events] });
  }
  return told.size > 0 ? [...told.values()] : found.slice(-1);
}

/** Which of the programmes that are told each event is of, counted from 1. @param {Programme[]} told @returns {Map<string, number>} */
export function runsOf(told) {
  return new Map(told.flatMap(({ events }, index) => events.map((event) => [eventKey(event), index + 1])));
}

/** Where another programme begins. @param {LogEvent[]} events */
function cutsOf(events) {
  let way = JSON.stringify(null);
  return events.flatMap(({ kind, payload }, index) => {
    if (!PLANS.includes(kind)) return [];
    const before = way;
    way = JSON.stringify(keyedBy(payload.changes ?? {}));
    return way !== before && index > 0 ? [index] : [];
  });
}

/** @param {LogEvent[]} events @param {number} first @param {number} end @param {{planned: *, is_known: boolean}} of @returns {Programme} */
function programmeOf(events, first, end, { planned, is_known }) {
  const later = events.slice(end).filter(({ kind }) => KEPT_LATER.includes(kind));
  const state = reduce([...events.slice(0, end), ...later]);
  const own = events.slice(first, end);
  const next = events[end];
  const frame = next?.payload.changes.way?.frame;
  const is_frame = Number.isInteger(frame) && 0 <= frame && frame <= planned.timing.frames;
  const last = own.findLast(({ kind }) => kind === "end") ?? own[own.length - 1];
  return {
    ...{ planned, is_known, events: own, state },
    judged: state.fired_ms === null ? null : judged(planned.timing, state.fired_ms, state.counts),
    until_ms: (next ?? last).utc_ms,
    stopped: is_frame ? frame : null,
  };
}

/** The frame that the rig was likely at; null outside the shot, or where that is not known.
 *  @param {Programme} programme @param {number} utc_ms */
export function frameThen({ planned: { timing }, judged: known }, utc_ms) {
  if (known === null) return null;
  const { start_ms, ratio } = known.run;
  const frame = Math.floor(frameAt(timing, timing.segments[0].start_ms + (utc_ms - start_ms) / ratio));
  return 1 <= frame && frame <= timing.frames ? frame : null;
}

/** How many frames were likely shot; null where that cannot be known. @param {Programme} programme */
export function framesShot(programme) {
  const { planned, judged: known, until_ms, stopped } = programme;
  if (known === null || stopped !== null) return known && stopped;
  return frameThen(programme, until_ms) ?? (until_ms < known.run.start_ms ? 0 : planned.timing.frames);
}

/** When the last planned frame's interval ended as it ran. @param {Programme} programme */
export function endedMs({ planned: { window }, judged: known }) {
  if (known === null) return null;
  return Math.floor(known.run.start_ms + (window.end.utc_ms - window.start.utc_ms) * known.run.ratio + 0.5);
}
