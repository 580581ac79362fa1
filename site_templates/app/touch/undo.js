// What was done last, to be taken back: by a strip above the bar for some seconds, by Control and Z for longer.

import { make } from "./dom.js";
import { makeEar } from "./ear.js";

const OFFERED_MS = 10000;
const FRESH_MS = 700; // a tap that was on its way when the strip came is meant for what lay there
const MOST_STEPS = 20;

/** @typedef {{text: string, back: () => unknown, land: () => void}} Step land: puts the focus where it was done */

/**
 * @param {HTMLElement} bar what the strip stands above
 * @param {() => string} within what must be as it was when a step was done, for it to be taken back
 * @returns {{offer: (step: Step) => void, forget: () => void}} forget: nothing of before may be taken back now
 */
export function makeUndo(bar, within = () => "") {
  /** @type {(Step & {of: string})[]} */
  let steps = [];
  let [offered, fresh] = [0, 0];
  const what = make("span", {});
  const strip = make("button", { type: "button", className: "undo", hidden: true }, make("b", {}, "Undo:"), " ", what);
  strip.setAttribute("aria-keyshortcuts", "Control+Z");
  strip.addEventListener("click", ({ detail }) => takeBack(detail === 0));
  strip.addEventListener("blur", () => steps.length > 0 && later());
  document.addEventListener("keydown", (event) => {
    const is_undo = (event.ctrlKey || event.metaKey) && !event.shiftKey && event.key.toLowerCase() === "z";
    if (!is_undo || isWriting(event.target)) return;
    event.preventDefault();
    takeBack(false);
  });
  bar.prepend(strip);
  const hear = makeEar(bar);

  /** @param {boolean} stays by key the focus stays on the strip: pressed again, it takes back the step before */
  function takeBack(stays) {
    steps = steps.slice(0, steps.findLastIndex(({ of }) => of === within()) + 1);
    const step = steps.pop();
    step?.back();
    show();
    hear(step ? `Taken back: ${step.text}` : "Nothing to take back");
    if (!stays || steps.length === 0) step?.land();
  }

  function show() {
    const last = steps.at(-1);
    what.textContent = last?.text ?? "";
    if (strip.hidden && last) settle();
    strip.hidden = last === undefined;
    later();
  }

  function settle() {
    strip.classList.add("fresh");
    clearTimeout(fresh);
    fresh = setTimeout(() => strip.classList.remove("fresh"), FRESH_MS);
  }

  function later() {
    clearTimeout(offered);
    offered = setTimeout(() => {
      if (!strip.matches(":focus-visible")) strip.hidden = true;
    }, OFFERED_MS);
  }

  return {
    offer(step) {
      steps = [...steps, { ...step, of: within() }].slice(-MOST_STEPS);
      show();
    },
    forget() {
      steps = [];
      show();
    },
  };
}

/** Where text is written the browser has an undo of its own. @param {EventTarget | null} target */
function isWriting(target) {
  return target instanceof HTMLInputElement && target.type === "text";
}
