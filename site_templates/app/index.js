// The list of shots: the next night first by the phone's clock, nights gone by folded away, found as one types.
// Without this script it stays in order of night.

import { make, part } from "./touch/dom.js";
import { showRunning } from "./rolling/running.js";
import { startShell } from "./shell.js";

const NOT_LOADED = "did not load, but are kept: load the page again.";

/** @typedef {{row: HTMLElement, text: string}} Entry what is searched in a shot: its night too */
/** @typedef {{section: HTMLElement, entries: Entry[]}} Night */

/** @param {HTMLElement} node */
const endOf = (node) => Number(node.dataset.end) * 1000;

/** Folds away the nights gone by, latest first; dims the shots gone by of those that stay. @param {number} now_ms */
function sortNights(now_ms) {
  const past = part("past");
  for (const section of sections()) {
    if (endOf(section) <= now_ms) past.querySelector("summary")?.after(section);
    for (const row of rowsOf(section)) row.classList.toggle("past", endOf(row) <= now_ms);
  }
  const folded = past.querySelectorAll("section").length;
  past.hidden = folded === 0;
  /** @type {Element} */ (past.querySelector("summary")).textContent = `Past nights: ${folded}`;
}

function sections() {
  return /** @type {HTMLElement[]} */ ([...document.querySelectorAll("section[data-end]")]);
}

/** @param {HTMLElement} section */
function rowsOf(section) {
  return /** @type {HTMLElement[]} */ ([...section.querySelectorAll("li")]);
}

/** @returns {Night[]} */
function readNights() {
  return sections().map((section) => {
    const night = section.querySelector("h2")?.textContent ?? "";
    return {
      section,
      entries: rowsOf(section).map((row) => ({ row, text: `${night} ${row.textContent}`.toLowerCase() })),
    };
  });
}

/** Leaves the shots in which every word typed is found, past ones too. @param {Night[]} nights @param {string} typed */
function find(nights, typed) {
  const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
  let found = 0;
  for (const { section, entries } of nights) {
    let kept = 0;
    for (const { row, text } of entries) {
      const fits = words.every((word) => text.includes(word));
      if (row.hidden === fits) row.hidden = !fits;
      kept += Number(fits);
    }
    section.hidden = kept === 0;
    found += kept;
  }
  const past = /** @type {HTMLDetailsElement} */ (part("past"));
  past.open = words.length > 0 && past.querySelector("section:not([hidden])") !== null;
  part("found").hidden = words.length === 0;
  part("found").textContent = found === 1 ? "1 shot" : `${found} shots`;
}

/** Takes are for the days after: what shows them is asked for when the list stands. @param {ReturnType<typeof startShell>} shell */
async function showTakesOf({ site, log, offline }) {
  const loaded = await import("./takes/takes.js").catch(() => sayNotLoaded("takes", "The takes on this phone"));
  await loaded?.showTakes(part("takes"), site, log, offline.refresh);
}

/** Plans that were kept from elsewhere. @param {ReturnType<typeof startShell>} shell */
async function showPlansOf({ site }) {
  const loaded = await import("./phones/plans.js").catch(() => sayNotLoaded("plans", "Plans from elsewhere"));
  await loaded?.showPlans(part("plans"), site);
}

/** Of an old page whose files are gone, or on a poor signal. @param {string} id @param {string} what */
function sayNotLoaded(id, what) {
  part(id).append(make("p", { className: "warning" }, `${what} ${NOT_LOADED}`));
}

function start() {
  const shell = startShell();
  showRunning(shell, /** @type {Element} */ (document.querySelector("main > h1")));
  showTakesOf(shell);
  showPlansOf(shell);
  sortNights(Date.now());
  const field = /** @type {HTMLInputElement} */ (part("find"));
  const nights = readNights();
  field.addEventListener("input", () => find(nights, field.value));
  if (field.value !== "") find(nights, field.value); // the browser came back to this page, or somebody was quick
}

start();
