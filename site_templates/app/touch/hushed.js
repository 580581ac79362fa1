// A line that is told aloud once it has come to rest; what it says on the way there, or says again, can only be read.

import { make } from "./dom.js";

/** @param {string} className */
export function makeHushed(className) {
  const [quiet, aloud] = [make("span"), make("span")];
  const place = make("p", { className, hidden: true }, quiet, aloud);
  let told = "";
  aloud.setAttribute("role", "status");
  return {
    place,
    /** @param {string} text @param {boolean} is_on_the_way */
    say(text, is_on_the_way) {
      const is_news = !is_on_the_way && text !== told;
      if (is_news) told = text;
      place.hidden = text === "";
      quiet.textContent = is_news ? "" : text;
      aloud.textContent = is_news ? text : "";
    },
  };
}
