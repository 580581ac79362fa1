// Tables of a name and what is said of it.

import { make } from "./dom.js";

/** @typedef {{name: string, text: string}} Pair */

/** @param {Pair[]} pairs @param {(pair: Pair) => boolean} [differs] from what is printed */
export function pairRows(pairs, differs = () => false) {
  return pairs.map((pair) => {
    const value = make("td", { className: differs(pair) ? "differs" : "" }, pair.text);
    return make("tr", {}, make("th", {}, pair.name), value);
  });
}

/** @param {Pair[]} pairs @param {(pair: Pair) => boolean} [differs] from what is printed */
export function pairTable(pairs, differs) {
  return make("table", { className: "pairs bodies" }, make("tbody", {}, ...pairRows(pairs, differs)));
}
