// Puts a sheet's texts where the page holds them, and marks those that differ from the printed ones.

/** The text at a dotted path of a sheet, such as "numbers.interval"; "" where that night has none. @param {Sheet} sheet @param {string} path */
export function textAt(sheet, path) {
  return String(path.split(".").reduce((part, key) => part?.[key], /** @type {*} */ (sheet)) ?? "");
}

/**
 * Fills every [data-v] of the page.
 * @param {ParentNode} page @param {Sheet} sheet @param {Sheet} printed
 */
export function fill(page, sheet, printed) {
  for (const place of page.querySelectorAll("[data-v]")) {
    const path = /** @type {HTMLElement} */ (place).dataset.v ?? "";
    const text = textAt(sheet, path);
    const was = textAt(printed, path);
    const shown = text === "" && was !== "" ? "none" : text;
    const aside = text === was ? "" : was === "" ? " (not as printed)" : ` (changed, printed: ${was})`;
    place.classList.toggle("differs", text !== was);
    if (place.textContent === shown + aside) continue; // what is written anew is laid out anew
    place.textContent = shown;
    if (aside !== "") place.append(unseen(aside));
  }
}

/**
 * Fills a table's body: the first text of a row is its heading. Drawn anew only where it has other rows.
 * @param {HTMLElement} table @param {string[][]} rows @param {string[][]} printed
 */
export function fillTable(table, rows, printed) {
  const [body] = /** @type {HTMLTableElement} */ (table).tBodies;
  const has_places =
    body.rows.length === rows.length && rows.every((texts, at) => body.rows[at].cells.length === texts.length);
  if (!has_places) body.replaceChildren(...rows.map(newRow));
  rows.forEach((texts, at) => mark(body.rows[at].cells, texts, printed));
}

/** @param {string[]} texts */
function newRow(texts) {
  const line = document.createElement("tr");
  line.append(...texts.map((_, index) => document.createElement(index === 0 ? "th" : "td")));
  return line;
}

/**
 * Puts the texts of a row in its places; one that no printed row of the same name (its first text) has is marked.
 * @param {ArrayLike<Element>} places @param {string[]} texts @param {string[][]} printed
 */
function mark(places, texts, printed) {
  const namesakes = printed.filter(([name]) => name === texts[0]);
  Array.from(places).forEach((place, index) => {
    if (place.textContent !== texts[index]) place.textContent = texts[index];
    place.classList.toggle("differs", !namesakes.some((row) => row[index] === texts[index]));
  });
}

/** The name of the mark of a need that is met, is not, or of which it is not known. @param {boolean | null} met */
export function markOf(met) {
  return met === null ? "open" : met ? "good" : "fails";
}

/** For those who hear the page: the underline said in words. @param {string} text */
function unseen(text) {
  const span = document.createElement("span");
  span.className = "unseen";
  span.textContent = text;
  return span;
}
