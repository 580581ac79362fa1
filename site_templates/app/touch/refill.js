// Lists that are filled anew while one of their buttons, links or folds may have the focus: it must not fall back to the
// top of the page (WCAG 2.2, 2.4.3).

const REACHED = "summary, a, button, input";

/**
 * Fills a place. What had the focus there has it again: in the same row or one of the same name (data-of), else in the
 * one at its place. Where nothing in that row can have it, what is nearest; where nothing is left, the fold around it.
 * @param {Element} place @param {(Node | string)[]} nodes rows that stand there already are not moved
 */
export function refill(place, ...nodes) {
  const had = /** @type {HTMLElement} */ (document.activeElement);
  const before = rowsOf(place);
  if (nodes.length === before.length && nodes.every((node, at) => node === before[at])) return;
  const at = before.findIndex((row) => row.contains(had));
  place.replaceChildren(...nodes);
  if (at < 0) return;
  const row = before[at];
  const now = rowsOf(place);
  const same = now.find((one) => one === row || (row.dataset.of && one.dataset.of === row.dataset.of)) ?? now[at];
  const here = reached(same);
  const nearest = [...now.slice(at), ...now.slice(0, at).reverse(), place.closest("details")].flatMap(reached);
  for (const one of [...here.slice(reached(row).indexOf(had)), ...here, ...nearest]) {
    one.focus({ preventScroll: true }); // nothing happens where it is hidden or disabled
    if (document.activeElement === one) return;
  }
}

/** @param {Element} place */
function rowsOf(place) {
  return /** @type {HTMLElement[]} */ ([...place.children]);
}

/** What of a row can have the focus, itself included. @param {Element | null | undefined} row @returns {HTMLElement[]} */
function reached(row) {
  if (!row) return [];
  const inside = /** @type {HTMLElement[]} */ ([...row.querySelectorAll(REACHED)]);
  return row.matches(REACHED) ? [/** @type {HTMLElement} */ (row), ...inside] : inside;
}
