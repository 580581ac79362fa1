// Which shot the page shows. A file with one holds it as it stands; one with several holds each as text, which a view
// without scripts shows in full, and puts the chosen one in the place of the list.

import { leaveShot, shotOfTab, stepTo } from "./tab.js";

const sheets = /** @type {Map<string, string>} */ (
  new Map(
    Array.from(document.querySelectorAll("noscript[data-shot]"), (one) => [
      one.getAttribute("data-shot"),
      one.textContent,
    ]),
  )
);

if (sheets.size > 0) await chosen();

async function chosen() {
  if (!sheets.has(shotOfTab())) {
    dimPast(Date.now());
    stepTo(await tapped());
    scrollTo(0, 0);
  }
  const sheet = new DOMParser().parseFromString(sheets.get(shotOfTab()) ?? "", "text/html");
  document.body.replaceChildren(...sheet.body.childNodes);
  document.title = document.querySelector("h1")?.textContent ?? document.title;
  document.getElementById("all-shots")?.addEventListener("click", leaveShot);
  showTheme();
}

/** On the buttons that came with the sheet. */
function showTheme() {
  for (const button of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-set-theme]"))) {
    button.setAttribute("aria-pressed", String(button.dataset.setTheme === document.documentElement.dataset.theme));
  }
}

/** The shot that is tapped on the list. @returns {Promise<string>} */
function tapped() {
  return new Promise((resolve) => {
    for (const row of rows()) {
      row.querySelector("a")?.addEventListener("click", (event) => {
        event.preventDefault();
        resolve(row.dataset.of ?? "");
      });
    }
  });
}

/** Shots gone by. @param {number} now_ms */
function dimPast(now_ms) {
  for (const row of rows()) row.classList.toggle("past", Number(row.dataset.end) * 1000 <= now_ms);
}

function rows() {
  return /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("li[data-of]"));
}
