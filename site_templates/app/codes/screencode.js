// The code of a take as it stands on a screen, and what is to be said of it.

import { amount } from "../touch/amount.js";
import { digitsWithin } from "./carry.js";
import { shape } from "../touch/dom.js";
import { LARGEST, codeOf, digitsWithin as roomWithin } from "./qr.js";
import { planOf } from "../takes/takefile.js";

const QUIET = 4; // modules around a code, by its standard
const WIDEST_PX = 480;

/**
 * The code of a take with what is to be said of it; without one, why.
 * @param {import("../takes/added.js").LogEvent[]} events @param {import("./carry.js").Page} common @param {string} address
 */
export function screenCode(events, common, address) {
  const { revision } = planOf(events) ?? {};
  if (revision !== common.revision) {
    return {
      code: null,
      said: `This take was begun on revision ${revision}, and this page is revision ${common.revision}: hand over the file.`,
    };
  }
  const made = digitsWithin(events, roomWithin(address, LARGEST), common);
  if (made === null) return { code: null, said: "This take is too long for a code: hand over the file." };
  const all = `It holds all ${amount(events.length, "entry", "entries")}; photos stay on this phone.`;
  return {
    code: drawnCode(codeOf(address, made.digits), "Code of this take, for the other phone's camera"),
    said: `Open this with the other phone's camera. ${made.left.length === 0 ? all : leftText(made.left)}`,
  };
}

/** @param {import("../takes/added.js").LogEvent[]} left */
function leftText(left) {
  const older = left.filter(({ kind }) => kind === "mark" || kind === "note").length;
  const idle = left.length - older;
  const marks = amount(older, "older mark or note", "older marks and notes");
  const others = `${amount(idle, "entry", "entries")} taken back or written over`;
  return `In the file only: ${[...(older > 0 ? [marks] : []), ...(idle > 0 ? [others] : [])].join(", and ")}.`;
}

/** As wide as the screen, each module and the margins whole pixels. @param {import("./qr.js").Modules} modules @param {string} label */
export function drawnCode(modules, label) {
  const side = modules.length + 2 * QUIET;
  const room = Math.min(document.documentElement.clientWidth, innerHeight, WIDEST_PX);
  const pixels = Math.max(1, Math.floor(room / side));
  const margin = Math.max(0, Math.floor((room - side * pixels) / 2)) + QUIET * pixels;
  const svg = shape("svg", { width: Math.max(room, side * pixels), height: side * pixels, role: "img" });
  svg.setAttribute("aria-label", label);
  const runs = modules.flatMap((row, y) => runsOf(row).map(([x, length]) => `M${x} ${y}h${length}v1h-${length}z`));
  svg.append(shape("path", { d: runs.join(""), transform: `translate(${margin} ${QUIET * pixels}) scale(${pixels})` }));
  return svg;
}

/** [first, length] of the dark modules in a row. @param {boolean[]} row */
function runsOf(row) {
  /** @type {number[][]} */
  const runs = [];
  row.forEach((dark, x) => {
    if (!dark) return;
    if (row[x - 1]) runs[runs.length - 1][1] += 1;
    else runs.push([x, 1]);
  });
  return runs;
}
