// Acts in the order in which they want a person, whoever asks: the page of a shot, or one that shows several.

import { spanText } from "../core/say.js";

const BEFORE_ALL_MS = 24 * 3600 * 1000;
const DRIFT_FRAMES = [-3, -2, -1, 1, 2, 3];

/** @typedef {import("./due.js").Act} Act */

/**
 * What is open, the most pressing first: overdue, then what comes.
 * @param {Act[]} acts @param {import("../takes/added.js").TakeState} state @param {number} now_ms
 * @returns {Act[]}
 */
export function openActs(acts, state, now_ms) {
  const open = acts.filter((act) => now_ms < act.lapses_ms && !isDone(act, state));
  return open.sort((a, b) => pressing(a, now_ms) - pressing(b, now_ms) || a.due_ms - b.due_ms);
}

/** The moment that an act is sorted by: what must not be missed goes before all else, once it is due. @param {Act} act @param {number} now_ms */
export function pressing({ due_ms, until_ms, loud }, now_ms) {
  return loud && due_ms <= now_ms ? due_ms - BEFORE_ALL_MS : Math.min(Math.max(due_ms, now_ms), until_ms);
}

/**
 * A frame that the rig was said to show about then is a comparison too. A band that was begun stays so where the frames
 * move a little with how the rig runs.
 * @param {Act} act @param {import("../takes/added.js").TakeState} state
 */
export function isDone({ act, kind, frame, due_ms, lapses_ms }, { acts, counts }) {
  const near = (/** @type {{utc_ms: number}} */ { utc_ms }) => 2 * due_ms - lapses_ms <= utc_ms && utc_ms < lapses_ms;
  const drifted = (/** @type {number} */ by) => acts.has(`exposure.${Number(frame) + by}`);
  if (kind === "compare" && counts.some(near)) return true;
  return acts.has(act) || (kind === "exposure" && DRIFT_FRAMES.some(drifted));
}

/** A cell (touch/cells.js) of the time until an act, left for it, or since. @param {Act} act @param {number} now_ms */
export function leftOf({ due_ms, until_ms }, now_ms) {
  if (now_ms < due_ms) return lengthCell("in", due_ms - now_ms);
  if (now_ms < until_ms) return lengthCell("now, time left", until_ms - now_ms);
  return lengthCell("due", now_ms - until_ms, "ago");
}

/** A cell of a length of time. By ear 11:47 would be a time of day. @param {string} name @param {number} ms @param {string} after */
export function lengthCell(name, ms, after = "") {
  return [name, counted(ms), after, lasting(ms)];
}

/** A length of time in running text, to the second, by its units. @param {number} ms */
export function lasting(ms) {
  return spanText(Math.floor(ms / 1000) * 1000);
}

/** A length of time as it is counted down: 10:48, from an hour on 1:10:48. @param {number} ms */
function counted(ms) {
  const seconds = Math.floor(ms / 1000);
  const two = (/** @type {number} */ value) => String(value).padStart(2, "0");
  const [hours, minutes] = [Math.floor(seconds / 3600), Math.floor((seconds % 3600) / 60)];
  return hours > 0 ? `${hours}:${two(minutes)}:${two(seconds % 60)}` : `${minutes}:${two(seconds % 60)}`;
}
