// The end of a take: two taps, because one is easily a slip of a glove. The log keeps it; the list begins anew.

import { focusTop, make } from "../touch/dom.js";
import { makeEar } from "../touch/ear.js";

const ASKED_MS = 6000;
const UNASKED = "End this take, begin anew";
const ASKED = "Tap again: ticks open again, the log keeps this take";

/**
 * @param {HTMLElement} foot the button below the list
 * @param {HTMLElement} top what says at the top of the page that the take is over; a button is put behind it
 * @param {() => string} taken the take that is open, "" for none
 * @param {(id: string) => void} end
 */
export function makeEnding(foot, top, taken, end) {
  const above = make("button", { type: "button", hidden: true });
  top.after(above);
  const hear = makeEar(/** @type {Element} */ (foot.parentElement));
  /** The take that one tap asked to end: until the second, or for a while. @type {string | null} */
  let asked = null;
  let question = 0;
  for (const button of [foot, above]) button.addEventListener("click", ask);

  function ask() {
    const id = taken();
    const is_second = asked === id;
    clearTimeout(question);
    asked = is_second ? null : id;
    show();
    if (is_second) end(id);
    else {
      hear(ASKED);
      question = setTimeout(forget, ASKED_MS);
    }
  }

  function forget() {
    asked = null;
    show();
  }

  function show() {
    const id = taken();
    const is_at_end = document.activeElement === foot || document.activeElement === above;
    if (id === "" && is_at_end) {
      hear("The take is ended, the list begins anew.");
      focusTop();
    }
    foot.hidden = id === "";
    above.hidden = id === "" || top.hidden;
    foot.textContent = above.textContent = asked === id ? ASKED : UNASKED;
  }

  return { show };
}
