// Sections that are still empty, since what fills them comes after the ticks: who opens one before is told so.

import { make } from "./dom.js";

const WAIT = "One moment …";
const SAID_MS = 10000;
const FAILED = "This part of the page did not load: load the page again. Ticks and clock go on without it.";

/**
 * @param {string[]} ids of the sections; a page need not have each
 * @param {() => void} hurry called when one is opened
 */
export function makeWaiting(ids, hurry) {
  const boxes = ids.flatMap((id) => /** @type {HTMLDetailsElement} */ (document.getElementById(id)) ?? []);
  const notes = boxes.map(() => make("p", {}, WAIT));
  // By ear: a text within a fold is not said as it opens, nor that another stands in its place.
  const said = make("p", { className: "unseen", role: "status" });
  const open = () => boxes.filter((box) => box.open);
  document.body.append(said);
  boxes.forEach((box, at) => {
    box.append(notes[at]);
    box.addEventListener("toggle", wait);
  });

  function wait() {
    said.textContent = WAIT;
    hurry();
  }

  /** Who waited is told, once. @param {string} text */
  function end(text) {
    for (const box of boxes) box.removeEventListener("toggle", wait);
    said.textContent = open().length > 0 ? text : "";
    setTimeout(() => said.remove(), SAID_MS);
  }

  return {
    /** What was opened meanwhile is filled now. */
    arrived() {
      for (const note of notes) note.remove();
      const names = open().map((box) => box.querySelector("summary")?.textContent);
      end(`Loaded: ${names.join(", ")}.`);
      for (const box of open()) box.dispatchEvent(new Event("toggle"));
    },
    failed() {
      end(FAILED);
      for (const note of notes) {
        note.textContent = FAILED;
        note.className = "warning";
      }
    },
  };
}
