// The rows of the checklist and the log of the take: a tick holds the value it confirmed, and opens again when
// that value changes.

import { textAt } from "./bind.js";
import { isDone } from "./log.js";

/**
 * @param {ParentNode} page @param {(item: string, value: string, ticked: boolean) => void} onTick
 */
export function listen(page, onTick) {
  for (const box of boxes(page)) {
    box.addEventListener("change", () => onTick(box.dataset.item ?? "", box.dataset.shown ?? "", box.checked));
  }
}

/** Whether rows may be ticked now. @param {ParentNode} page @param {boolean} may */
export function allow(page, may) {
  for (const box of boxes(page)) box.disabled = !may;
}

/**
 * Shows which items are done and how many are left in each section.
 * @param {ParentNode} page @param {import("./bind.js").Sheet} sheet @param {import("./log.js").TakeState} state
 */
export function showTicks(page, sheet, state) {
  for (const box of boxes(page)) {
    const value = /** @type {HTMLElement | null} */ (box.parentElement?.querySelector("[data-v]"));
    box.dataset.shown = value ? textAt(sheet, value.dataset.v ?? "") : "";
    const item = box.dataset.item ?? "";
    box.checked = isDone(state, item, box.dataset.shown);
    tellConfirmed(box, box.checked ? "" : (state.ticks.get(item)?.value ?? ""));
  }
  for (const section of page.querySelectorAll("[data-section]")) {
    const left = boxes(section).filter((box) => !box.checked).length;
    const place = /** @type {Element} */ (section.querySelector("[data-left]"));
    place.textContent = left > 0 ? `${left} left` : "done";
  }
}

/** A row that is open again says which value was confirmed before. @param {HTMLInputElement} box @param {string} value */
function tellConfirmed(box, value) {
  const what = /** @type {Element} */ (box.parentElement?.querySelector(".what"));
  what.querySelector(".was")?.remove();
  if (value === "") return;
  const was = document.createElement("span");
  was.className = "note was";
  was.textContent = `confirmed before: ${value}`;
  what.append(was);
}

/** @param {ParentNode} part @returns {HTMLInputElement[]} */
function boxes(part) {
  return [.../** @type {NodeListOf<HTMLInputElement>} */ (part.querySelectorAll("input[data-item]"))];
}
