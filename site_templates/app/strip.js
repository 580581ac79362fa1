// The run strip, upright: frame numbers run down, the sky stands left, the hand right.
// Labels are pushed apart just so far that none touches another; a leader ties each to its frame.

const SVG = "http://www.w3.org/2000/svg";
const WIDTH = 360;
const TOP = 16;
const LENGTH = 560;
const BAR = { left: 132, width: 40 };
const SKY_ROW = 22;
const HAND_ROW = 68;
const LINE = 20;
const LEADER = 12;

/**
 * @typedef {{side: string, kind: string, frame: number, label: string, clock: string, detail: string, line?: string}} Moment
 * @typedef {{frames: number, ruler: number[], tones: number[], moments: Moment[]}} Strip
 */

/**
 * Places labels of height `row` along a length: as near to their wishes as order and room allow.
 * @param {number[]} wishes ascending centres @param {number} row @param {number} from @param {number} to
 * @returns {number[]} centres, at least `row` apart, inside [from + row / 2, to - row / 2] if there is room
 */
function spread(wishes, row, from, to) {
  const centres = [];
  for (const wish of wishes) {
    const above = centres.length > 0 ? centres[centres.length - 1] + row : from + row / 2;
    centres.push(Math.max(wish, above));
  }
  let below = to - row / 2;
  for (let index = centres.length - 1; index >= 0 && centres[index] > below; index -= 1) {
    centres[index] = below;
    below -= row;
  }
  return centres;
}

/**
 * Draws the strip. `now_frame` is null where the shot does not run now.
 * @param {Strip} strip @param {string[]} keyframe_lines settings of each keyframe @param {number | null} now_frame
 * @param {Strip} printed the same strip as printed: what differs from it is marked
 * @returns {SVGSVGElement}
 */
export function drawStrip(strip, keyframe_lines, now_frame, printed) {
  const known = new Set(printed.moments.map(({ label, clock }) => `${label} ${clock}`));
  const mark = (/** @type {Moment} */ moment) => (known.has(`${moment.label} ${moment.clock}`) ? "" : " differs");
  const sky = strip.moments.filter(({ side }) => side === "sky");
  const hand = strip.moments.filter(({ side }) => side === "hand");
  const length = Math.max(LENGTH, sky.length * SKY_ROW, hand.length * HAND_ROW);
  const y = (/** @type {number} */ frame) => TOP + (length * (frame - 1)) / (strip.frames - 1);
  const drawing = element("svg", { viewBox: `0 0 ${WIDTH} ${length + 2 * TOP + HAND_ROW}`, class: "strip", role: "img" });
  const title = element("title", {});
  title.textContent = describe(strip);
  drawing.append(
    title,
    ...bar(strip, length, y),
    ...skyLabels(sky, y, length, mark),
    ...handLabels(hand, keyframe_lines, y, length, mark),
  );
  if (now_frame !== null) drawing.append(...nowMark(y(now_frame)));
  return /** @type {SVGSVGElement} */ (drawing);
}

/** The strip in one sentence, for those who hear it. @param {Strip} strip */
function describe(strip) {
  const parts = strip.moments.map(({ label, clock }) => `${label} ${clock}`);
  return `${strip.frames} frames: ${parts.join("; ")}`;
}

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
    const tone = strip.tones[Math.min(strip.tones.length - 1, Math.floor(((y(frame) - TOP) / length) * strip.tones.length))];
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

function skyLabels(moments, y, length, mark) {
  const centres = spread(moments.map(({ frame }) => y(frame)), SKY_ROW, 0, length + 2 * TOP);
  const { left } = BAR;
  return moments.flatMap((moment, index) => {
    const text = element("text", { class: `sky${mark(moment)}`, x: left - LEADER - 4, y: centres[index] + 5 });
    text.textContent = `${moment.label} ${moment.clock}`;
    return [leader("sky", [left, y(moment.frame)], [left - LEADER, centres[index]]), text];
  });
}

function handLabels(moments, keyframe_lines, y, length, mark) {
  const edge = HAND_ROW / 2 - TOP;
  const centres = spread(moments.map(({ frame }) => y(frame)), HAND_ROW, -edge, length + 2 * TOP + edge);
  const right = BAR.left + BAR.width;
  const x = right + LEADER;
  let keyframe = 0;
  return moments.flatMap((moment, index) => {
    const centre = centres[index];
    const box = element("rect", { class: "box", x, y: centre - 12, width: 34, height: 24, rx: 3 });
    const key = element("text", { class: "key", x: x + 17, y: centre + 5 });
    key.textContent = moment.label;
    const clock = element("text", { class: `clock${mark(moment)}`, x: x + 42, y: centre + 5 });
    clock.textContent = `${moment.clock} ${moment.detail}`;
    const lines = moment.kind === "keyframe" ? twoLines(keyframe_lines[keyframe++]) : [];
    const figures = lines.map((line, row) => {
      const text = element("text", { x, y: centre + 7 + (row + 1) * LINE });
      text.textContent = line;
      return text;
    });
    return [leader("hand", [right, y(moment.frame)], [x, centre]), box, key, clock, ...figures];
  });
}

/** Settings such as "S 0 mm · P +63.7° · T +26.4°" as two lines: the first axis, then the others. @param {string} line */
function twoLines(line) {
  const parts = line.split(" · ");
  return [parts[0], parts.slice(1).join(" · ")].filter((text) => text !== "");
}

function nowMark(y) {
  const { left, width } = BAR;
  return [element("line", { class: "now", x1: left - 10, x2: left + width + 4, y1: y, y2: y })];
}

function leader(side, [x1, y1], [x2, y2]) {
  return element("polyline", { class: `leader ${side}`, points: `${x1},${y1} ${x2},${y2}` });
}

/** @param {string} name @param {Object<string, string | number>} attributes */
function element(name, attributes) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, String(value));
  return node;
}
