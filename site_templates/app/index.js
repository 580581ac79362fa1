// The list of shots: the next one first, by the phone's clock. Without this script it stays in order of night.

import { startShell } from "./shell.js";

/**
 * Where each window stands in the list: those still to end, soonest first, then those past, latest first.
 * @param {{start_ms: number, end_ms: number}[]} windows @param {number} now_ms
 * @returns {number[]} indices into `windows`
 */
function nextFirst(windows, now_ms) {
  const isPast = (/** @type {number} */ index) => windows[index].end_ms <= now_ms;
  return windows
    .map((_, index) => index)
    .sort((a, b) => {
      if (isPast(a) !== isPast(b)) return isPast(a) ? 1 : -1;
      return (windows[a].start_ms - windows[b].start_ms) * (isPast(a) ? -1 : 1);
    });
}

/** @param {HTMLElement} list @param {number} now_ms */
function sortList(list, now_ms) {
  const rows = /** @type {HTMLElement[]} */ ([...list.children]);
  const windows = rows.map((row) => ({ start_ms: Number(row.dataset.start), end_ms: Number(row.dataset.end) }));
  const order = nextFirst(windows, now_ms);
  list.append(...order.map((index) => rows[index]));
  for (const index of order) rows[index].classList.toggle("past", windows[index].end_ms <= now_ms);
}

startShell();
sortList(/** @type {HTMLElement} */ (document.querySelector("#shots")), Date.now());
