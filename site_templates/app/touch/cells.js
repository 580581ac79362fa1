// The large figures between heavy rules: each with its name above it and what follows it beside.

import { make, put } from "./dom.js";

/** Cells of a name, a value and what follows it, with a place on the page. What is counted down is heard with its units. */
export function makeCells() {
  const place = make("dl", { className: "cells" });
  return {
    place,
    /** @param {string[][]} cells [name, value, what follows it, how the value is heard where it is not as it is written] */
    show(cells) {
      if (place.children.length !== cells.length) place.replaceChildren(...cells.map(makeCell));
      cells.forEach(([name, value, after = "", heard = ""], at) => {
        const [dt, dd] = place.children[at].children;
        put(dt, name);
        put(dd.children[0], value);
        dd.children[0].ariaHidden = heard === "" ? null : "true";
        put(dd.children[1], heard);
        put(dd.children[2], after);
      });
    },
  };
}

function makeCell() {
  return make("div", {}, make("dt"), make("dd", {}, make("b"), make("span", { className: "unseen" }), make("small")));
}
