// Sections that are still empty, since what fills them comes after the ticks: who opens one before is told so.

import { make } from "./dom.js";

const WAIT = "One moment …";
const FAILED = "This part of the page did not load: load the page again. Ticks and clock go on without it.";

/**
 * @param {string[]} ids of the sections; a page need not have each
 * @param {() => void} hurry called when one is opened
 */
export function makeWaiting(ids, hurry) {
  const boxes = ids.flatMap((id) => /** @type {HTMLDetailsElement} */ (document.getElementById(id)) ?? []);
  const notes = boxes.map(() => make("p", {}, WAIT));
  boxes.forEach((box, at) => {
    notes[at].setAttribute("role", "status");
    box.append(notes[at]);
    box.addEventListener("toggle", hurry, { once: true });
  });
  return {
    /** What was opened meanwhile is filled now. */
    arrived() {
      for (const note of notes) note.remove();
      for (const box of boxes) if (box.open) box.dispatchEvent(new Event("toggle"));
    },
    failed() {
      for (const note of notes) {
        note.textContent = FAILED;
        note.className = "warning";
      }
    },
  };
}
