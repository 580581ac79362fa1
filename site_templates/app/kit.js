// What to pack: ticks that stay on this phone, for every shot or for one night or shot. They belong to no take and
// hold no update back.

import { make, part, tell } from "./touch/dom.js";
import { ON_DISK, committed, openBase, result } from "./keep/idb.js";
import { logWords } from "./takes/log.js";
import { allow, makeRows } from "./list/rows.js";
import { startShell } from "./shell.js";
import { makeUndo } from "./touch/undo.js";

/** @typedef {import("./list/rows.js").Row & {shots: [number, number][]}} Thing */

const { site } = startShell();
const name = `${site.prefix}kit`;
const tabs = "BroadcastChannel" in self ? new BroadcastChannel(name) : null;
const things = makeRows(document).map(asThing);
/** What "Untick all" took away, until something is ticked again. @type {string[]} */
let taken = [];

/** @param {import("./list/rows.js").Row} row @returns {Thing} */
function asThing(row) {
  return { ...row, shots: ranges(row.line.dataset.shots ?? "") };
}

/** "0-3 7" as pairs of first and last. @param {string} text @returns {[number, number][]} */
function ranges(text) {
  return text.split(" ").map((range) => {
    const [first, last = first] = range.split("-").map(Number);
    return [first, last];
  });
}

/** @param {[number, number][]} a @param {[number, number][]} b */
function overlap(a, b) {
  return a.some(([first, last]) => b.some(([from, until]) => first <= until && from <= last));
}

/** Shows what the chosen night or shot needs. */
function filter() {
  const option = chooser().selectedOptions[0];
  const wanted = option?.dataset.shots ? ranges(option.dataset.shots) : null;
  for (const { line, shots } of things) line.hidden = wanted !== null && !overlap(shots, wanted);
  count();
}

function chooser() {
  return /** @type {HTMLSelectElement} */ (part("for"));
}

function count() {
  const open = things.filter(({ box, line }) => !line.hidden && !box.checked).length;
  part("left").textContent = open > 0 ? `${open} left` : "all packed";
  const button = part("untick");
  const ticked = things.some(({ box }) => box.checked);
  button.hidden = !ticked && taken.length === 0;
  button.textContent = ticked || taken.length === 0 ? "Untick all" : `Put the ${taken.length} ticks back`;
}

/** @param {IDBDatabase} base */
async function read(base) {
  const ticked = new Set(await result(base.transaction("ticks").objectStore("ticks").getAllKeys()));
  for (const { item, box } of things) box.checked = ticked.has(item);
  count();
}

/** @param {IDBDatabase} base @param {(ticks: IDBObjectStore) => void} change */
async function write(base, change) {
  const work = base.transaction("ticks", "readwrite", ON_DISK);
  change(work.objectStore("ticks"));
  await committed(work);
  tabs?.postMessage("");
  await read(base);
}

/** @param {IDBDatabase} base */
function listen(base) {
  const keep = (/** @type {(ticks: IDBObjectStore) => void} */ change) => write(base, change).catch(fault);
  const bar = make("div", { className: "foot-bar" });
  const undo = makeUndo(bar);
  document.body.append(bar);
  for (const { item, text, box } of things) {
    const set = (/** @type {boolean} */ ticked) =>
      keep((ticks) => (ticked ? ticks.put(true, item) : ticks.delete(item)));
    box.addEventListener("change", () => {
      taken = [];
      const ticked = box.checked;
      set(ticked);
      undo.offer({ text, back: () => set(!ticked), land: () => box.focus() });
    });
  }
  part("untick").addEventListener("click", () => {
    const back = taken;
    undo.forget(); // the button itself puts them back
    taken = back.length > 0 ? [] : things.filter(({ box }) => box.checked).map(({ item }) => item);
    keep((ticks) => {
      if (back.length > 0) for (const item of back) ticks.put(true, item);
      else ticks.clear();
    });
  });
  tabs?.addEventListener("message", () => read(base).catch(fault));
}

/** @param {unknown} error */
function fault(error) {
  tell("store-fault", logWords(error));
}

async function start() {
  const chosen = location.hash.slice(1);
  if ([...chooser().options].some(({ value }) => value === chosen)) chooser().value = chosen;
  chooser().addEventListener("change", filter);
  filter();
  const base = await openBase(name, (made) => made.createObjectStore("ticks"));
  await read(base);
  listen(base);
  allow(things, true);
}

start().catch(fault);
