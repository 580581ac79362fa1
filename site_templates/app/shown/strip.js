// The run strip, upright: frame numbers run down, the sky stands left, the hand right.
// Labels are pushed apart just so far that none touches another; a leader ties each to its frame.

import { shape as element } from "../touch/dom.js";

const WIDTH = 360;
const TOP = 16;
const LENGTH = 560;
const BAR = { left: 132, width: 40 };
const LINE = 20;
const LEADER = 12;
const EDGE = 12; // from the middle of a label's first line to its edge
const SKY_CHARS = 14; // on one line left of the bar
const HAND_CHARS = 18; // right of it
const KEY_CHARS = 13; // right of a keyframe's name

/**
 * @typedef {{side: string, kind: string, frame: number, label: string, clock: string, detail: string, line?: string}} Moment
 * @typedef {{frames: number, ruler: number[], tones: number[], moments: Moment[]}} Strip
 */

/**
 * A label: the middle of its first line as it would like to stand, and how far it reaches below that.
 * @typedef {{moment: Moment, lines: string[], wish: number, below: number}} Label
 */

/**
 * Places labels along a length: as near to their wishes as order and room allow, none touching another.
 * @param {Label[]} labels by ascending wish @param {number} to the end of the room, which begins at 0
 * @returns {number[]} the middle of each label's first line
 */
function spread(labels, to) {
  /** @type {number[]} */
  const places = [];
  labels.forEach(({ wish }, index) => {
    const above = index > 0 ? places[index - 1] + labels[index - 1].below : 0;
    places.push(Math.max(wish, above + EDGE));
  });
  let end = to;
  for (let index = labels.length - 1; index >= 0 && places[index] + labels[index].below > end; index -= 1) {
    places[index] = end - labels[index].below;
    end = places[index] - EDGE;
  }
  return places;
}

/** Words on as few lines as hold them. @param {string} text @param {number} most characters on a line */
function wrapped(text, most) {
  /** @type {string[]} */
  const lines = [];
  for (const word of text.split(" ")) {
    const last = lines.length - 1;
    if (last >= 0 && lines[last].length + 1 + word.length <= most) lines[last] += ` ${word}`;
    else lines.push(word);
  }
  return lines;
}

/** @param {Moment} moment @param {string[]} lines @param {number} wish @returns {Label} */
function label(moment, lines, wish) {
  return { moment, lines, wish, below: EDGE + (lines.length - 1) * LINE };
}

/** How long a room the labels need. @param {Label[]} labels */
function needed(labels) {
  return labels.reduce((sum, { below }) => sum + below + EDGE, 0);
}

/**
 * Draws the strip. `now_frame` is null where the shot does not run now.
 * @param {Strip} strip @param {string[]} keyframe_lines settings of each keyframe @param {number | null} now_frame
 * @param {Strip} printed the same strip as printed: what differs from it is marked
 * @returns {SVGSVGElement}
 */
export function drawStrip(strip, keyframe_lines, now_frame, printed) {
  const known = new Set(printed.moments.map(({ label, clock }) => `${label} ${clock}`));
  const mark = (/** @type {Moment} */ moment) => {
    if (moment.kind === "now") return " at-now";
    return known.has(`${moment.label} ${moment.clock}`) ? "" : " differs";
  };
  const rooms = [skyLabels(strip, now_frame, () => 0), handLabels(strip, keyframe_lines, () => 0)].map(needed);
  const length = Math.max(LENGTH, ...rooms);
  const y = (/** @type {number} */ frame) => TOP + (length * (frame - 1)) / (strip.frames - 1);
  const hand = handLabels(strip, keyframe_lines, y);
  const height = length + 2 * TOP + Math.max(0, ...hand.map(({ below }) => below));
  const drawing = element("svg", { viewBox: `0 0 ${WIDTH} ${height}`, class: "strip", role: "img" });
  const title = element("title", {});
  title.textContent = describe(strip);
  drawing.append(
    title,
    ...bar(strip, length, y),
    ...drawSky(skyLabels(strip, now_frame, y), y, height, mark),
    ...drawHand(hand, y, height, mark),
  );
  if (now_frame !== null) drawing.append(...nowMark(y(now_frame)));
  return /** @type {SVGSVGElement} */ (drawing);
}

/** The strip in one sentence, for those who hear it. @param {Strip} strip */
function describe(strip) {
  const parts = strip.moments.map(({ label, clock }) => `${label} ${clock}`);
  return `${strip.frames} frames: ${parts.join("; ")}`;
}

/** @param {Strip} strip @param {number} length @param {(frame: number) => number} y */
function bar(strip, length, y) {
  const part = length / strip.tones.length;
  const { left, width } = BAR;
  const steps = strip.tones.map((tone, index) =>
    element("rect", {
      class: "dusk",
      x: left,
      y: TOP + index * part,
      width,
      height: part,
      "fill-opacity": Math.round(tone * 100) / 100,
    }),
  );
  const numbers = strip.ruler.flatMap((frame) => {
    const tone =
      strip.tones[Math.min(strip.tones.length - 1, Math.floor(((y(frame) - TOP) / length) * strip.tones.length))];
    const on = tone > 0.5 ? "on-dark" : "on-light";
    const text = element("text", { class: `ruler ${on}`, x: left + width / 2 + 3, y: y(frame) + 5 });
    text.textContent = String(frame);
    return [element("line", { class: on, x1: left, x2: left + 6, y1: y(frame), y2: y(frame) }), text];
  });
  return [
    element("rect", { class: "day", x: left, y: TOP, width, height: length }),
    ...steps,
    ...numbers,
    element("rect", { class: "frame", x: left, y: TOP, width, height: length }),
  ];
}

/** What the sky does, and now. @param {Strip} strip @param {number | null} now_frame @param {(frame: number) => number} y */
function skyLabels({ moments }, now_frame, y) {
  const now = { side: "sky", kind: "now", frame: now_frame ?? 0, label: "now", clock: "", detail: "" };
  const sky = [...moments.filter(({ side }) => side === "sky"), ...(now_frame === null ? [] : [now])];
  const lines = (/** @type {Moment} */ { label, clock }) => wrapped(`${label} ${clock}`.trim(), SKY_CHARS);
  return sky.sort((a, b) => a.frame - b.frame).map((moment) => label(moment, lines(moment), y(moment.frame)));
}

/** @param {Strip} strip @param {string[]} keyframe_lines @param {(frame: number) => number} y */
function handLabels({ moments }, keyframe_lines, y) {
  let keyframe = 0;
  const hand = moments.filter(({ side }) => side === "hand");
  return hand.map((moment) => {
    const lines =
      moment.kind === "keyframe"
        ? [...wrapped(`${moment.clock} ${moment.detail}`, KEY_CHARS), ...twoLines(keyframe_lines[keyframe++])]
        : wrapped(`${moment.clock} ${moment.label}`, HAND_CHARS);
    return label(moment, lines, y(moment.frame));
  });
}

/**
 * @param {Label[]} labels @param {(frame: number) => number} y @param {number} height
 * @param {(moment: Moment) => string} mark
 */
function drawSky(labels, y, height, mark) {
  const places = spread(labels, height);
  const { left } = BAR;
  return labels.flatMap(({ moment, lines }, index) => [
    leader("sky", [left, y(moment.frame)], [left - LEADER, places[index]]),
    ...lines.map((line, row) => words(`sky${mark(moment)}`, line, left - LEADER - 4, places[index] + 5 + row * LINE)),
  ]);
}

/**
 * @param {Label[]} labels @param {(frame: number) => number} y @param {number} height
 * @param {(moment: Moment) => string} mark
 */
function drawHand(labels, y, height, mark) {
  const places = spread(labels, height);
  const right = BAR.left + BAR.width;
  const x = right + LEADER;
  return labels.flatMap(({ moment, lines }, index) => {
    const place = places[index];
    const tie = leader("hand", [right, y(moment.frame)], [x, place]);
    const below = (/** @type {string} */ line, /** @type {number} */ row) =>
      /** @type {[string, number]} */ ([line, place + 5 + row * LINE]);
    if (moment.kind !== "keyframe") {
      const rows = lines.map(below);
      return [tie, ...rows.map(([line, at]) => words(`act${mark(moment)}`, line, x + 4, at))];
    }
    return [
      tie,
      element("rect", { class: "box", x, y: place - 12, width: 34, height: 24, rx: 3 }),
      words("key", moment.label, x + 17, place + 5),
      words(`clock${mark(moment)}`, lines[0], x + 42, place + 5),
      ...lines
        .map(below)
        .slice(1)
        .map(([line, at]) => words("", line, x, at + 2)),
    ];
  });
}

/** @param {string} name @param {string} text @param {number} x @param {number} y */
function words(name, text, x, y) {
  const node = element("text", { class: name, x, y });
  node.textContent = text;
  return node;
}

/** Settings such as "S 0 mm · P +63.7° · T +26.4°" as two lines: the first axis, then the others. @param {string} line */
function twoLines(line) {
  const parts = line.split(" · ");
  return [parts[0], parts.slice(1).join(" · ")].filter((text) => text !== "");
}

/** @param {number} y */
function nowMark(y) {
  const { left, width } = BAR;
  return [element("line", { class: "now", x1: left - 10, x2: left + width + 4, y1: y, y2: y })];
}

/** @param {string} side @param {Pair} from @param {Pair} to */
function leader(side, [x1, y1], [x2, y2]) {
  return element("polyline", { class: `leader ${side}`, points: `${x1},${y1} ${x2},${y2}` });
}
