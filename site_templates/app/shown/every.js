// Every frame of the shot with all axes, some at a time, and all of them as a file: made here, not carried.

import { clockOf } from "../core/civil.js";
import { csvHead, csvLines, pathOf } from "../core/frames.js";
import { positionAt } from "../core/move.js";
import { msOf } from "../core/pace.js";
import { signed } from "../core/say.js";
import { axesOf, figure } from "../core/sheet-figures.js";
import { countdown, make } from "../touch/dom.js";
import { breath } from "../touch/breath.js";

const ROWS = 40;
const CHUNK = 250; // lines of the file a task

/**
 * Fills the section when it is opened.
 * @param {HTMLDetailsElement} box @param {() => *} shown the plan on the page
 * @returns {{show: () => void}} show: the page shows another plan
 */
export function makeEvery(box, shown) {
  /** @type {*} */
  let plan = null;
  let first = 1;
  const table = make("table", { className: "every" });
  const field = make("input", { type: "number", min: "1", inputMode: "numeric", ariaLabel: "from frame" });
  const earlier = make("button", { type: "button", ariaLabel: "Earlier frames" }, "‹");
  const later = make("button", { type: "button", ariaLabel: "Later frames" }, "›");
  const file = make("button", { type: "button" }, "Save all as CSV");

  function show() {
    if (!box.open || plan === shown()) return;
    plan = shown();
    draw(first);
  }

  /** @param {number} frame */
  function draw(frame) {
    const { frames } = plan.timing;
    first = Math.max(1, Math.min(frame, frames - ROWS + 1));
    const last = Math.min(first + ROWS - 1, frames);
    earlier.disabled = first === 1;
    later.disabled = last === frames;
    field.value = String(first);
    field.max = String(frames);
    table.replaceChildren(...rowsOf(plan, first, last));
  }

  async function save() {
    file.disabled = true;
    const asked = plan; // the page may be turned meanwhile
    const path = pathOf(asked);
    const { frames } = asked.timing;
    const lines = [csvHead(asked)];
    for (let from = 1; from <= frames; from += CHUNK) {
      lines.push(csvLines(asked, path, from, Math.min(from + CHUNK - 1, frames)));
      await breath();
    }
    const address = URL.createObjectURL(new Blob(lines, { type: "text/csv" }));
    make("a", { href: address, download: `${asked.shot.id}-${asked.window.night}.csv` }).click();
    setTimeout(() => URL.revokeObjectURL(address), 60000);
    file.disabled = false;
  }

  earlier.addEventListener("click", () => draw(first - ROWS));
  later.addEventListener("click", () => draw(first + ROWS));
  field.addEventListener("change", () => draw(Math.floor(Number(field.value)) || 1));
  file.addEventListener("click", save);
  box.addEventListener("toggle", () => {
    if (!table.parentElement) {
      const note = make("p", { className: "soft" }, "Under each position what the axis moved since the frame before.");
      const scroll = make("div", { className: "across" }, table);
      box.append(make("p", { className: "at" }, earlier, field, later), note, scroll, file);
    }
    show();
  });
  return { show };
}

/** @param {Plan} plan @param {number} first @param {number} last */
function rowsOf(plan, first, last) {
  const axes = axesOf(plan.brief);
  const path = pathOf(plan);
  const heads = ["frame", "clock", ...axes.map(({ letter, unit }) => `${letter} ${unit}`)];
  const rows = [make("tr", {}, ...heads.map((text) => make("th", { scope: "col" }, text)))];
  let before = positionAt(path, Math.max(first - 1, 1));
  for (let frame = first; frame <= last; frame += 1) {
    const here = positionAt(path, frame);
    const cells = axes.map((axis) => {
      const step = make("small", {}, signed(here[axis.name] - before[axis.name], axis.decimals + 2));
      return make("td", {}, figure(here[axis.name], axis, 1), step);
    });
    const seconds = clockOf(plan.brief.place.zone.spans, msOf(plan.timing, frame) / 1000);
    const time = make("td", {}, countdown(seconds * 1000));
    rows.push(make("tr", {}, make("th", { scope: "row" }, String(frame)), time, ...cells));
    before = here;
  }
  return rows;
}
