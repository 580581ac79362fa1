// What only those need who hear the page: said at once, and nowhere to be seen.

import { make } from "./dom.js";

/** A place that says what is put there. It must stand on the page before it says anything. @param {Element} beside what it stands in */
export function makeEar(beside) {
  const place = make("span", { className: "unseen" });
  place.setAttribute("role", "status");
  beside.append(place);
  /** @param {string} text */
  return (text) => {
    place.textContent = text;
  };
}
