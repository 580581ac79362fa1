// What is in the frame: lines of it, and a drawing of each keyframe's. Made when the section is opened.

import { fillTable } from "../touch/bind.js";
import { word } from "../core/say.js";
import { viewOf } from "../core/view.js";
import { make } from "../touch/dom.js";
import { pairTable } from "../touch/pairs.js";

/** @typedef {ReturnType<typeof viewOf>} View */

const SVG = "http://www.w3.org/2000/svg";
const WIDTH = 360;
const LEAST = 7; // the radius of sun and moon where they would be drawn smaller
const DOT = 3;
const MEANT = 11; // half the square where a target is meant to be
const RAYS = 8;
const THIRDS = [-1 / 3, 1 / 3];
const SAFE = 0.9; // what is farther out may be cut or hidden: 5 % on each side

/**
 * @param {HTMLDetailsElement} box @param {{plan: Plan, sheet: Sheet, printed_sheet: Sheet}} face
 * @returns {{show: () => void}} show: the page shows another plan
 */
export function makeFrame(box, face) {
  box.addEventListener("toggle", show);
  return { show };

  function show() {
    if (!box.open) return;
    const { plan, sheet, printed_sheet } = face;
    const rows = (/** @type {Sheet} */ { picture }) => picture.map(({ name, text }) => [name, text]);
    const table = pairTable([]);
    fillTable(table, rows(sheet), rows(printed_sheet));
    const views = sheet.captions.map((_, index) => viewOf(plan, index));
    const follows = views.some(({ meant, path }) => meant || path.length > 0);
    const said = [word("view.legend"), ...(follows ? [word("view.target")] : [])].join(" ");
    const legend = make("p", { className: "soft" }, said);
    const drawn = sheet.captions.map((caption, index) => figure(caption, views[index]));
    while (box.children.length > 1) box.lastElementChild?.remove(); // its summary stays: it may have the focus
    box.append(table, legend, ...drawn);
  }
}

/** @param {string} caption @param {View} view */
function figure(caption, view) {
  return make("figure", {}, make("figcaption", {}, caption), drawView(view, caption));
}

/** @param {View} view marks in frame coordinates (core/view.js) @param {string} caption for those who hear it */
function drawView(view, caption) {
  const height = WIDTH / view.aspect;
  const at = (/** @type {number[]} */ [x, y]) => [((x + 1) / 2) * WIDTH, ((1 - y) / 2) * height];
  /** @param {string} name @param {number[][][]} all */
  const lines = (name, all) => all.map((line) => mark("polyline", name, { points: line.map(at).join(" ") }));
  const across = THIRDS.flatMap((third) => [
    [
      [third, -1],
      [third, 1],
    ],
    [
      [-1, third],
      [1, third],
    ],
  ]);
  const corner = at([-SAFE, SAFE]);
  const safe = { x: corner[0], y: corner[1], width: WIDTH * SAFE, height: height * SAFE };
  const shown = view.bodies.map(({ name }) => name).filter((name) => name !== "");
  return mark(
    "svg",
    "view",
    { viewBox: `0 0 ${WIDTH} ${height}`, role: "img", "aria-label": [caption, ...shown].join(", ") },
    ...lines("thirds", across),
    mark("rect", "safe", safe),
    ...lines(view.skyline.length > 0 ? "level" : "skyline", view.horizon),
    ...lines("skyline", view.skyline),
    ...lines("band", view.band),
    ...lines("plane", view.plane),
    ...lines("way", view.path),
    ...(view.meant ? [meantAt(at(view.meant))] : []),
    ...view.bodies.flatMap((body) => bodyAt(body, at([body.x, body.y]), view.moon)),
    mark("rect", "edge", { width: WIDTH, height }),
  );
}

/** @param {number[]} at */
function meantAt([x, y]) {
  return mark("rect", "meant", { x: x - MEANT, y: y - MEANT, width: 2 * MEANT, height: 2 * MEANT });
}

/**
 * A body and its name: shapes tell them apart, not colours.
 * @param {View["bodies"][number]} body @param {number[]} at @param {View["moon"]} moon
 */
function bodyAt({ body, radius, name, side, aimed }, [x, y], moon) {
  const size = Math.max(LEAST, radius * WIDTH);
  const away = side * Math.max(body in SHAPES ? size + 5 : 9, aimed ? MEANT + 4 : 0);
  const label = { x: x + away, y: y + 5, "text-anchor": side > 0 ? "start" : "end" };
  const words = mark("text", "", label);
  words.textContent = name;
  const place = { transform: `translate(${x} ${y})` };
  return [mark("g", "body", place, ...(SHAPES[body] ?? star)(size, moon)), ...(name === "" ? [] : [words])];
}

/** @type {Record<string, (size: number, moon: View["moon"]) => SVGElement[]>} */
const SHAPES = { sun: sunOf, moon: moonOf, "galactic core": coreOf };

function star() {
  return [mark("circle", "full", { r: DOT })];
}

/** @param {number} size */
function coreOf(size) {
  return [mark("circle", "line", { r: size }), ...star()];
}

/** @param {number} size */
function sunOf(size) {
  const rays = Array.from({ length: RAYS }, (_, ray) => (ray * 2 * Math.PI) / RAYS).map((turn) => {
    const [x, y] = [Math.cos(turn), Math.sin(turn)];
    return mark("path", "line", { d: `M${x * (size + 2)},${y * (size + 2)}L${x * (size + 6)},${y * (size + 6)}` });
  });
  return [mark("circle", "line", { r: size }), ...rays];
}

/**
 * The lit part is filled, its bright limb turned to where the sun is.
 * @param {number} size @param {View["moon"]} moon
 */
function moonOf(size, moon) {
  const disc = mark("circle", "line", { r: size });
  if (moon === null) return [disc];
  const within = size * Math.abs(1 - 2 * moon.lit);
  const back = moon.lit < 0.5 ? 0 : 1;
  const d = `M0,${-size}A${size},${size} 0 0 1 0,${size}A${within},${size} 0 0 ${back} 0,${-size}Z`;
  return [mark("path", "full", { d, transform: `rotate(${-moon.limb_deg})` }), disc];
}

/**
 * @param {string} tag @param {string} name @param {Record<string, string | number>} attributes
 * @param {...Node} children
 */
function mark(tag, name, attributes, ...children) {
  const node = /** @type {SVGElement} */ (document.createElementNS(SVG, tag));
  if (name !== "") node.setAttribute("class", name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, String(value));
  node.append(...children);
  return node;
}
