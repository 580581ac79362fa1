// Rows that are ticked and written in. The page holds each as a bare list item; here it gets its box and, where
// something is to be written down, a field. A tick holds the value it confirmed, and opens again when that changes.

import { textAt } from "../touch/bind.js";
import { make } from "../touch/dom.js";
import { isDone } from "../takes/added.js";
import { stopOf } from "../takes/stops.js";
import { swapsMade } from "../takes/swapped.js";

const MUST = "must";
const FIELD_MOST = 40;
/** The blank between a figure and its unit, where no line may break. */
const UNIT = /(\d) (?=(?:mm|m|kg|s|min|V|W|Wh|GB)\b)/g;
/** The dash of a range, which some voices pass over. */
const RANGE = /(\d)\u2013(?=\d)/g;
/** The row that says that frame 1 has fired: kept as a start, it is done without a tick. */
const CALL = "numbers.first_frame";
/** The row that has a card formatted. */
const CARD = "numbers.storage";
/** Values that are only told beside what is done: what they are now asks for nothing to be done again. */
const TOLD = ["numbers.pack_lasts", CARD, "numbers.last_closes"];
/** What is seen to around the rig as it is set up: behind, once a frame is fired. */
const AROUND = ["keep_out", "rail_runs", "zero_looks"];
const SWAP = "swaps.";
const PHASE = "phases.";

/**
 * A row of the page: its item's id and text, whether it is a must-do, its box, the path of its value in the sheet
 * ("" for none), where that value stands, its field, and the list item that it is.
 * @typedef {{item: string, text: string, must: boolean, box: HTMLInputElement, path: string,
 *   place: HTMLElement | null, field: HTMLInputElement | null, line: HTMLElement}} Row
 */

/** Makes every bare item a row; what cannot be kept yet cannot be ticked. @param {Document} page @returns {Row[]} */
export function makeRows(page) {
  page.body.append(make("p", { id: MUST, hidden: true }, "must-do"));
  return Array.from(page.querySelectorAll(".items > li"), (item) => makeRow(/** @type {HTMLElement} */ (item)));
}

/** @param {HTMLElement} item @returns {Row} */
function makeRow(item) {
  const value = /** @type {HTMLElement | null} */ (item.querySelector(":scope > b"));
  const blank = item.querySelector(":scope > var");
  const box = make("input", { type: "checkbox", disabled: true });
  box.dataset.item = item.id.slice(1);
  const words = [...item.childNodes].filter((node) => node !== value && node !== blank);
  const text = (words[0]?.textContent ?? "").trim();
  for (const node of words)
    if (node.nodeType === Node.TEXT_NODE) node.textContent = (node.textContent ?? "").replace(UNIT, "$1\u00a0");
  const label = make("label", {}, box, make("span", { className: "what" }, ...words));
  if (value) label.append(value);
  const field = blank ? makeField(text, blank.textContent ?? "") : null;
  item.classList.add("item");
  item.classList.toggle("long", (value?.textContent ?? "").length > 12);
  item.replaceChildren(
    label,
    ...(field ? [make("label", { className: "field" }, field, ` ${blank?.textContent}`)] : []),
  );
  const path = value?.dataset.v ?? item.dataset.path ?? "";
  const row = {
    item: item.id.slice(1),
    text,
    must: !item.classList.contains("also"),
    box,
    path,
    place: value,
    field,
    line: item,
  };
  nameBox(row, value?.textContent ?? "");
  return row;
}

/** What a row is called by ear: its text and value; then that it is a must-do, which by eye is bright, and its notes. @param {Row} row @param {string} value */
function nameBox(row, value) {
  const { item, box, line } = row;
  const text = wordsOf(row);
  const name = value === "" ? text : `${text}, ${value}`;
  box.setAttribute("aria-label", name.replace(RANGE, "$1 to "));
  const notes = Array.from(line.querySelectorAll(".what > *"));
  notes.forEach((note, at) => (note.id = `n${item}-${at}`));
  const told = [...(row.must ? [MUST] : []), ...notes.map(({ id }) => id)];
  if (told.length > 0) box.setAttribute("aria-describedby", told.join(" "));
}

/**
 * Whether nothing is left to do in a row: its keyframe is no longer there, or it would wipe a card that has frames.
 * @param {Row} row @param {boolean} has_frames
 */
function isNeedless({ line, path }, has_frames) {
  if (path === CARD) return has_frames;
  return /** @type {HTMLElement | null} */ (line.closest("[data-keyframe]"))?.hidden === true;
}

/** What a row says now: after a stop, keyframes are called otherwise. @param {Row} row */
export function wordsOf({ line, text }) {
  return line.querySelector(".what")?.firstChild?.textContent?.trim() ?? text;
}

/** Whether a row says that frame 1 has fired. @param {Row} row */
export function isCall({ path }) {
  return path === CALL;
}

/**
 * Whether the log says that a row is done, ticked or not: frame 1 has fired, the pack is in.
 * @param {Row} row @param {Plan} plan @param {TakeState} state
 */
export function isLogged(row, plan, state) {
  if (isCall(row)) return state.fired_ms !== null;
  return row.path.startsWith(SWAP) && Number(row.path.slice(SWAP.length)) < swapsMade(plan, state.acts);
}

/**
 * Whether a tick holds whatever its value is by now, on its night and at its spot: what it was for lies behind. What the
 * rig or the camera is told, or stands at, is to be looked at anew.
 * @param {Row} row @param {Plan} plan @param {TakeState} state @param {boolean} has_frames
 */
function isBehind({ item, path }, plan, { ticks, changes }, has_frames) {
  const tick = ticks.get(item);
  if (!tick || !isSame([tick.night, tick.spot], [changes.night ?? null, changes.spot ?? null])) return false;
  if (TOLD.includes(path) || path.startsWith(SWAP)) return true;
  if (path.startsWith(PHASE)) return has_frames && !isAhead(plan, Number(path.slice(PHASE.length)) + 1);
  return has_frames && AROUND.includes(path);
}

/** Whether the interval is still to change to that phase's. @param {Plan} plan @param {number} number */
function isAhead({ timing }, number) {
  return timing.segments.some(({ phase, first_frame }) => phase === number && first_frame > 1);
}

/** A keyframe that was stored before a stop is to be stored anew, also where it stands as it did. @param {Row} row @param {TakeState} state */
function isSetSince({ item, line }, { ticks, changes }) {
  return line.closest("[data-keyframe]") === null || isSame(ticks.get(item)?.stop, stopOf(changes));
}

/** @param {unknown} a @param {unknown} b */
function isSame(a, b) {
  return JSON.stringify(a) === JSON.stringify(b);
}

/** @param {string} text @param {string} blank a unit, or the words for what is to be written */
function makeField(text, blank) {
  const field = make("input", { type: "text", maxLength: FIELD_MOST, autocomplete: "off", disabled: true });
  if (blank.length <= 3) field.inputMode = "decimal";
  field.setAttribute("aria-label", `${text}: ${blank}`);
  return field;
}

/** Item id -> its text, for a log that is read without the page. @param {Row[]} rows */
export function itemTexts(rows) {
  return Object.fromEntries(rows.map(({ item, text }) => [item, text]));
}

/** What the row confirms now. @param {Row} row @param {Sheet} sheet */
export function valueOf({ path }, sheet) {
  return path === "" ? "" : textAt(sheet, path);
}

/**
 * @param {Row[]} rows @param {() => Sheet} sheet
 * @param {{tick: (item: string, value: string, ticked: boolean) => void, write: (item: string, value: string) => void}} acts
 */
export function listen(rows, sheet, acts) {
  for (const row of rows) {
    row.box.addEventListener("change", () => acts.tick(row.item, valueOf(row, sheet()), row.box.checked));
    const { field } = row;
    field?.addEventListener("change", () => acts.write(row.item, field.value.trim()));
  }
}

/** Whether rows may be ticked now. @param {Row[]} rows @param {boolean} may */
export function allow(rows, may) {
  for (const { box, field } of rows) {
    box.disabled = !may;
    if (field) field.disabled = !may;
  }
}

/**
 * Shows which items are done and what is written in.
 * @param {Row[]} rows @param {{sheet: Sheet, plan: Plan}} kept @param {import("../takes/added.js").TakeState} state
 */
export function showRows(rows, { sheet, plan }, state) {
  const has_frames = state.fired_ms !== null || plan.timing.frames_before > 0;
  for (const row of rows) {
    const { item, box, field } = row;
    const is_needless = isNeedless(row, has_frames);
    const value = valueOf(row, sheet);
    const is_done = (isDone(state, item, value) && isSetSince(row, state)) || isLogged(row, plan, state);
    box.checked = is_needless || is_done || isBehind(row, plan, state, has_frames);
    row.line.hidden = is_needless;
    tellConfirmed(box, box.checked ? "" : (state.ticks.get(item)?.value ?? ""), value);
    nameBox(row, row.place?.textContent ?? valueOf(row, sheet));
    if (field && field !== document.activeElement) field.value = state.fields.get(item) ?? "";
  }
}

/** A row that is open again says which value was confirmed, and which one is now. @param {HTMLInputElement} box @param {string} was @param {string} now */
function tellConfirmed(box, was, now) {
  const what = /** @type {Element} */ (box.parentElement?.querySelector(".what"));
  what.querySelector(".was")?.remove();
  const changed = was === now ? "stored for another run" : `was ${was}, now ${now || "none"}`;
  if (was !== "") what.append(make("small", { className: "was" }, changed));
}
