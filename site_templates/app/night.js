// The page of a night, by the phone's clock: what is due next across all its shots, what has gone by.

import { make, part } from "./touch/dom.js";
import { lengthCell } from "./rolling/order.js";
import { showRunning } from "./rolling/running.js";
import { startShell } from "./shell.js";

const SECOND_MS = 1000;
const DAY_MS = 24 * 3600 * SECOND_MS;

const rows = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("#moments tr")]);
const times_ms = rows.map((row) => Number(row.dataset.at) * SECOND_MS);
const counted = make("span", { ariaHidden: "true" });
const heard = make("span", { className: "unseen" });

function showClock() {
  const now_ms = Date.now();
  const tonight = rows.length > 0 && now_ms > times_ms[0] - DAY_MS;
  const next = tonight ? times_ms.findIndex((time_ms) => time_ms > now_ms) : -1;
  rows.forEach((row, index) => row.classList.toggle("past", tonight && times_ms[index] <= now_ms));
  part("next").hidden = next < 0;
  if (next < 0) return;
  const [when, what] = part("next").children;
  const textOf = (/** @type {string} */ of) => rows[next].querySelector(of)?.textContent ?? "";
  const [clock, letter, due] = ["td", ".mark", "th > span"].map(textOf);
  when.textContent = `next, ${clock}`;
  what.textContent = letter ? `${letter} · ${due}` : due;
  [, counted.textContent, , heard.textContent] = lengthCell("", times_ms[next] - now_ms);
}

part("next").children[2].append("in ", counted, heard);
showRunning(startShell(), /** @type {Element} */ (document.querySelector("main > h1")));
showClock();
setInterval(showClock, SECOND_MS);
