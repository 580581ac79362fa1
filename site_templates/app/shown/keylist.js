// The list of keyframes on the page of a shot. What is printed stands in the page's markup; the keyframes of what is
// left after a stop are others, in number, names and settings, and are written anew in the same places.

import { make } from "../touch/dom.js";
import { refill } from "../touch/refill.js";

const KEPT = ".live, .as-set, .snap, .photo, .warning, .items"; // what app/list/asset.js and app/list/rows.js hold
const LINES = [
  ["sighting", ""],
  ["approach", ""],
  ["there", ""],
  ["aim", "soft"],
  ["waits", ""],
  ["also", "soft"],
];

/**
 * @param {Sheet} printed
 * @returns {{show: (plan: *, sheet: Sheet) => void}} show: before its texts are filled in
 */
export function makeKeyList(printed) {
  const list = document.querySelector(".keyframes");
  const rows = Array.from(list?.children ?? [], (row) => /** @type {HTMLElement} */ (row));
  /** By keyframe. @type {HTMLElement[]} */
  const places = [];
  for (const row of rows) places[Number(row.dataset.keyframe)] = row;
  const printed_parts = places.map(partsOf);
  const note = make("p", { className: "differs", hidden: true });
  list?.before(note);
  let is_printed = true;

  return {
    show(plan, sheet) {
      const { way } = plan.changes;
      const is_left = way?.frame !== undefined;
      if (!list || (is_printed && !is_left)) return;
      is_printed = !is_left;
      note.hidden = is_printed;
      note.textContent = is_left ? `Of what is left after frame ${way.frame}: all set anew.` : "";
      if (is_printed) restore();
      else writeAnew(list, sheet);
    },
  };

  function restore() {
    places.slice(printed_parts.length).forEach((row) => row.remove());
    places.length = printed_parts.length;
    places.forEach((row, index) => replaceParts(row, printed_parts[index]));
    places.forEach((row, index) => rename(row, printed.keyframes[index], printed.keyframes[index]));
    for (const row of rows) row.hidden = false;
    if (list) refill(list, ...rows);
  }

  /** @param {Element} list @param {Sheet} sheet */
  function writeAnew(list, sheet) {
    sheet.keyframes.forEach((keyframe, index) => {
      places[index] ??= make("li");
      replaceParts(places[index], newParts(sheet, keyframe, index));
      rename(places[index], keyframe, printed.keyframes[index]);
    });
    const gone = places.slice(sheet.keyframes.length);
    for (const row of gone) replaceParts(row, []);
    for (const row of places) row.hidden = gone.includes(row);
    refill(list, ...sheet.set_order.map((index) => places[index]), ...gone);
  }
}

/** What the page itself holds of a keyframe. @param {HTMLElement} row */
function partsOf(row) {
  return Array.from(row.children).filter((part) => !part.matches(KEPT));
}

/** @param {HTMLElement} row @param {Element[]} parts */
function replaceParts(row, parts) {
  for (const part of partsOf(row)) part.remove();
  row.prepend(...parts);
}

/**
 * The row to tick is called by the keyframe's name.
 * @param {HTMLElement} row @param {Sheet["keyframes"][number]} keyframe @param {Sheet["keyframes"][number]} printed
 */
function rename(row, { key, name }, printed) {
  const words = row.querySelector(".items .what")?.firstChild;
  if (!words || !printed) return;
  row.dataset.called ??= `${printed.key} ${printed.name}`;
  words.textContent = (words.textContent ?? "").replace(row.dataset.called, `${key} ${name}`);
  row.dataset.called = `${key} ${name}`;
}

/**
 * The parts of a keyframe, their texts still to be filled in.
 * @param {Sheet} sheet @param {Sheet["keyframes"][number]} keyframe @param {number} index
 */
export function newParts(sheet, keyframe, index) {
  const at = `keyframes.${index}`;
  const text = (/** @type {keyof HTMLElementTagNameMap} */ tag, /** @type {string} */ name) => {
    const place = make(tag);
    place.dataset.v = `${at}.${name}`;
    return place;
  };
  const on_rig = make("i", {}, "on rig: ", text("span", "on_rig"));
  const when = make("span", {}, text("b", "clock"), " ", make("i", {}, "frame ", text("span", "frame")));
  const head = make(
    "h3",
    {},
    make("b", { className: "mark" }, keyframe.key),
    " ",
    text("strong", "name"),
    " ",
    on_rig,
    when,
  );
  const axes = sheet.axes.map(({ name, letter, unit }) =>
    make("span", {}, make("i", {}, letter), " ", text("b", `axes.${name}`), unit === "°" ? unit : ` ${unit}`),
  );
  /** @type {Object<string, unknown>} */
  const texts = keyframe;
  const lines = LINES.filter(([name]) => texts[name] !== "").map(([name, soft]) => {
    const line = text("p", name);
    line.className = soft;
    return line;
  });
  return [head, ...(axes.length > 0 ? [make("p", { className: "axes" }, ...axes)] : []), ...lines];
}
