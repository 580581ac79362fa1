// Rows that are ticked and written in. The page holds each as a bare list item; here it gets its box and, where
// something is to be written down, a field. A tick holds the value it confirmed, and opens again when that changes.

import { textAt } from "./bind.js";
import { make } from "./dom.js";
import { isDone } from "./log.js";

const FIELD_MOST = 40;

/**
 * A row of the page: its item's id and text, its box, the path of its value in the sheet ("" for none), its field.
 * @typedef {{item: string, text: string, box: HTMLInputElement, path: string, field: HTMLInputElement | null}} Row
 */

/** Makes every bare item a row; what cannot be kept yet cannot be ticked. @param {ParentNode} page @returns {Row[]} */
export function makeRows(page) {
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
  const label = make("label", {}, box, make("span", { className: "what" }, ...words));
  if (value) label.append(value);
  const field = blank ? makeField(text, blank.textContent ?? "") : null;
  item.classList.add("item");
  item.classList.toggle("long", (value?.textContent ?? "").length > 12);
  item.replaceChildren(label, ...(field ? [make("label", { className: "field" }, field, ` ${blank?.textContent}`)] : []));
  return { item: item.id.slice(1), text, box, path: value?.dataset.v ?? item.dataset.path ?? "", field };
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

/** What the row confirms now. @param {Row} row @param {import("./bind.js").Sheet} sheet */
function valueOf({ path }, sheet) {
  return path === "" ? "" : textAt(sheet, path);
}

/**
 * @param {Row[]} rows @param {() => import("./bind.js").Sheet} sheet
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
 * @param {Row[]} rows @param {import("./bind.js").Sheet} sheet @param {import("./log.js").TakeState} state
 */
export function showRows(rows, sheet, state) {
  for (const row of rows) {
    const { item, box, field } = row;
    box.checked = isDone(state, item, valueOf(row, sheet));
    tellConfirmed(box, box.checked ? "" : (state.ticks.get(item)?.value ?? ""));
    if (field && field !== document.activeElement) field.value = state.fields.get(item) ?? "";
  }
}

/** How many rows of each section are left, beside its heading. @param {ParentNode} page */
export function countLeft(page) {
  for (const section of page.querySelectorAll("#check > section")) {
    const heading = /** @type {Element} */ (section.querySelector("h2"));
    let place = heading.querySelector(".left");
    if (!place) {
      place = make("span", { className: "left" });
      place.setAttribute("aria-live", "polite");
      heading.append(place);
    }
    const left = section.querySelectorAll("input[data-item]:not(:checked)").length;
    place.textContent = left > 0 ? `${left} left` : "done";
  }
}

/** A row that is open again says which value was confirmed before. @param {HTMLInputElement} box @param {string} value */
function tellConfirmed(box, value) {
  const what = /** @type {Element} */ (box.parentElement?.querySelector(".what"));
  what.querySelector(".was")?.remove();
  if (value !== "") what.append(make("small", { className: "was" }, `confirmed before: ${value}`));
}
