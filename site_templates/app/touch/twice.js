// A button of two taps, because one is easily a slip of a glove.

import { make } from "./dom.js";

const AGAIN_MS = 6000; // how long the first of two taps holds

/** @param {string} name @param {string} again what it is called after the first tap */
export function twice(name, again) {
  const button = make("button", { type: "button" }, name);
  return {
    button,
    /** @param {() => void} act */
    twice(act) {
      let timer = 0;
      const forget = () => {
        clearTimeout(timer);
        timer = 0;
        button.textContent = name;
      };
      button.addEventListener("click", () => {
        const is_second = timer !== 0;
        forget();
        if (is_second) return act();
        button.textContent = again;
        timer = setTimeout(forget, AGAIN_MS);
      });
    },
  };
}
