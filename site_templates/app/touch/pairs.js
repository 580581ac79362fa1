// Tables of a name and what is said of it, in columns so narrow that a unit would stand on a line of its own.

import { make } from "./dom.js";

/** The blank between a figure and its unit, a frame, a sensitivity or a value and its number: as on paper (sheet/glue.py). */
const BLANK =
  /([\d°]) (?=(?:°C?|%|mag|EV|lx|nT|hPa|Hz|px|[mckµ]?m|kg|s|min|h|Wh?|V|mAh|[GM]B|fr|frames?|stops?|clicks?)(?!\w))|\b([Ff]rame|ISO|EV) (?=[\d−])/g;

/** The text, and no line breaks at those blanks. @param {string} text */
export function unparted(text) {
  return text.replace(BLANK, "$1$2\u00a0");
}

/** @param {{name: string, text: string}[]} lines @param {(line: {name: string, text: string}) => boolean} [differs] from what is printed */
export function pairRows(lines, differs = () => false) {
  return lines.map((line) => {
    const value = make("td", { className: differs(line) ? "differs" : "" }, unparted(line.text));
    return make("tr", {}, make("th", {}, unparted(line.name)), value);
  });
}

/** @param {HTMLTableRowElement[]} rows */
export function pairTable(rows) {
  return make("table", { className: "pairs bodies" }, make("tbody", {}, ...rows));
}
