// The checklist as work: its sections in order, whose each item is, what is still open and what comes next.

import { isCall } from "./rows.js";

/**
 * @typedef {import("./rows.js").Row & {role: string}} Item role: whose it is, "" for anybody's
 * @typedef {object} Part
 * @property {HTMLElement} section
 * @property {HTMLElement} heading
 * @property {string} title
 * @property {string} role whose section it is, "" for anybody's
 * @property {Item[]} items
 * @property {boolean} is_after it is done once the shot rolls
 * @property {boolean} is_more it holds more than items, so it is not folded of itself
 *
 * @typedef {{kind: "item" | "ready" | "fire" | "none", item: Item | null, left: number, again: number}} Next
 *   what comes next; left: must-dos before it is done with; again: of these, opened again since "ready to roll"
 */

/** @param {ParentNode} page @param {import("./rows.js").Row[]} rows @returns {Part[]} */
export function partsOf(page, rows) {
  let is_after = false;
  return Array.from(page.querySelectorAll("#check > section"), (one) => {
    const section = /** @type {HTMLElement} */ (one);
    const heading = /** @type {HTMLElement} */ (section.querySelector("h2"));
    const role = textOf(heading, ":scope > i");
    const items = rows
      .filter(({ line }) => section.contains(line))
      .map((row) => ({ ...row, role: textOf(row.line, ".what > i") || role }));
    const part = { section, heading, title: heading.firstChild?.textContent?.trim() ?? "", role, items, is_after };
    is_after ||= section.querySelector("#fired") !== null;
    return { ...part, is_more: section.querySelector("#fired, #rolling, .keyframes") !== null };
  });
}

/** @param {ParentNode} place @param {string} selector */
function textOf(place, selector) {
  return place.querySelector(selector)?.textContent?.trim() ?? "";
}

/** @param {Item} item */
export function isOpen({ box }) {
  return !box.checked;
}

/** Whether an item belongs to somebody else than who reads; "" reads all. @param {Item} item @param {string} reader */
export function isOther({ role }, reader) {
  return reader !== "" && role !== "" && role !== reader;
}

/** What is to be done until the shot rolls, or from then on, in the order of work.
 *  @param {Part[]} parts @param {boolean} rolls */
export function workOf(parts, rolls) {
  return parts
    .filter(({ is_after }) => is_after === rolls)
    .flatMap(({ items }) => items.filter((item) => !isCall(item)));
}

/** The must-dos that "ready to roll" asks for. @param {Part[]} parts */
export function asked(parts) {
  return workOf(parts, false).filter(({ must }) => must);
}

/** Those that opened again after "ready to roll" was said. @param {Part[]} parts @param {import("../takes/added.js").TakeState} state */
export function openedAgain(parts, { ready }) {
  return ready === null ? [] : asked(parts).filter((item) => isOpen(item) && !ready.open.includes(item.item));
}

/**
 * Must-dos come first, in the order of work and the reader's own before others'; what was left open when ready was
 * said is accepted. Once the shot rolls, what is left of the list follows.
 * @param {Part[]} parts @param {import("../takes/added.js").TakeState} state @param {string} reader
 * @returns {Next}
 */
export function nextOf(parts, state, reader) {
  const again = openedAgain(parts, state);
  const rolls = state.fired_ms !== null;
  const before = state.ready !== null || rolls ? again : asked(parts).filter(isOpen);
  const after = rolls ? workOf(parts, true).filter(isOpen) : [];
  const musts = [...before, ...after.filter(({ must }) => must)];
  const item = firstOf(musts, reader) ?? firstOf(after, reader);
  const kind = item ? "item" : rolls ? "none" : state.ready === null ? "ready" : "fire";
  return { kind, item, left: musts.length, again: again.length };
}

/** @param {Item[]} items @param {string} reader */
function firstOf(items, reader) {
  return items.find((item) => !isOther(item, reader)) ?? items[0] ?? null;
}
