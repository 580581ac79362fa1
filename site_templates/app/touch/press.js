// A button that acts when it is held for a second: for what must not happen by a slip of a glove.

import { make, put } from "./dom.js";
import { makeEar } from "./ear.js";

const HOLD_MS = 1000;
const AGAIN_MS = 6000; // how long the first of two steps holds
const SLIP_PX = 30; // a glove rolls on the glass

/** One for all of a page: the new name of a button is not said. @type {((text: string) => void) | null} */
let hear = null;

/**
 * Held by finger, Enter or Space. A click that nobody held (a screen reader's, a voice's) asks for a second one.
 * @param {string} name what it does, once held
 * @param {() => void} act
 * @returns {{button: HTMLButtonElement, name: (name: string) => void}} name: gives it another name
 */
export function makePress(name, act) {
  const words = make("span", {}, name);
  const button = make("button", { type: "button", className: "press" }, words);
  hear ??= makeEar(/** @type {Element} */ (document.querySelector("main")));
  let timer = 0;
  let is_asked = false;

  const say = (/** @type {string} */ text) => put(words, text);

  function start() {
    stop();
    button.classList.add("held");
    say("Keep holding");
    timer = setTimeout(finish, HOLD_MS);
  }

  function stop() {
    clearTimeout(timer);
    is_asked = false;
    button.classList.remove("held");
    say(name);
  }

  function finish() {
    stop();
    swallowHeldKey();
    act();
  }

  /** @param {string} text */
  function hint(text) {
    stop();
    say(text);
    hear?.(text);
    timer = setTimeout(stop, AGAIN_MS);
  }

  button.addEventListener("pointerdown", (event) => {
    if (event.button !== 0 || button.disabled) return;
    button.setPointerCapture(event.pointerId);
    start();
  });
  button.addEventListener("pointermove", (event) => {
    if (button.classList.contains("held") && !isNear(button, event)) stop();
  });
  for (const end of ["pointerup", "pointercancel"]) {
    button.addEventListener(end, () => button.classList.contains("held") && hint("Hold it for one second"));
  }
  button.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" && event.key !== " ") return;
    event.preventDefault();
    if (!event.repeat) start();
  });
  button.addEventListener("keyup", (event) => {
    if (event.key !== "Enter" && event.key !== " ") return;
    event.preventDefault(); // some browsers click only now
    if (button.classList.contains("held")) hint("Hold it for one second");
  });
  button.addEventListener("blur", stop);
  button.addEventListener("contextmenu", (event) => event.preventDefault());
  button.addEventListener("click", (event) => {
    if (event.detail !== 0) return;
    if (is_asked) return finish();
    hint(`Once more: ${name}`);
    is_asked = true;
  });

  return {
    button,
    name(text) {
      if (text === name) return;
      name = text;
      stop();
    },
  };
}

/** A key that is still down must not press what the focus goes to. */
function swallowHeldKey() {
  const release = new AbortController();
  const swallow = (/** @type {KeyboardEvent} */ event) => event.repeat && event.preventDefault();
  addEventListener("keydown", swallow, { capture: true, signal: release.signal });
  addEventListener("keyup", () => release.abort(), { capture: true, signal: release.signal });
}

/** @param {Element} place @param {PointerEvent} event */
function isNear(place, { clientX, clientY }) {
  const { left, right, top, bottom } = place.getBoundingClientRect();
  return clientX > left - SLIP_PX && clientX < right + SLIP_PX && clientY > top - SLIP_PX && clientY < bottom + SLIP_PX;
}
