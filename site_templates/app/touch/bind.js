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
    place.classList.toggle("differs", text !== was);
    put(place, shown, text === was ? "" : asideOf(was));
  }
}

/** For those who hear the page: the underline said in words. @param {string} was "" for nothing */
function asideOf(was) {
  return was === "" ? " (not as printed)" : ` (changed, printed: ${was})`;
}

/** What is written anew is laid out anew. @param {Element} place @param {string} text @param {string} aside */
function put(place, text, aside) {
  if (place.textContent === text + aside) return;
  place.textContent = text;
  if (aside !== "") place.append(unseen(aside));
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
    const is_same = namesakes.some((row) => row[index] === texts[index]);
    place.classList.toggle("differs", !is_same);
    put(place, texts[index], is_same ? "" : asideIn(namesakes, index));
  });
}

/** A row that is not printed says so once, at its name. @param {string[][]} namesakes @param {number} index */
function asideIn(namesakes, index) {
  if (namesakes.length === 1) return asideOf(namesakes[0][index]);
  return namesakes.length > 1 ? " (changed)" : index === 0 ? asideOf("") : "";
}

/** The name of the mark of a need that is met, is not, or of which it is not known. @param {boolean | null} met */
export function markOf(met) {
  return met === null ? "open" : met ? "good" : "fails";
}

/** @param {string} text */
function unseen(text) {
  const span = document.createElement("span");
  span.className = "unseen";
  span.textContent = text;
  return span;
}
