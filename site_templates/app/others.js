// The shot on the nights around: a row each, computed a night at a time so that the page goes on answering.

import { dayNumber, isoDate } from "./core/civil.js";
import { dayText, say, word } from "./core/say.js";
import { usableText } from "./core/sheet-sky.js";
import { clocks } from "./core/sheet-times.js";
import { make } from "./dom.js";

const BEFORE = 14;
const AFTER = 30;

/**
 * A night as computed: its plan and sheet, or why there is none, in words.
 * @typedef {{plan: *, sheet: import("./bind.js").Sheet} | {why: string}} Computed
 */

/**
 * Fills the section when it is opened, and anew when what it was computed from has changed.
 * @param {HTMLDetailsElement} box @param {string} printed the printed night
 * @param {object} page
 * @param {() => {night: string, from: string}} page.shown the night on the page; from: what else its plan hangs on
 * @param {(night: string) => Computed} page.compute
 * @param {(night: string) => unknown} page.turn
 * @returns {{show: () => void}} show: the page shows another night, or its plan hangs on something else
 */
export function makeOthers(box, printed, { shown, compute, turn }) {
  const list = make("ul", { className: "nights" });
  /** @type {Map<string, HTMLButtonElement>} */
  const rows = new Map();
  let from = "";
  let run = 0;
  box.append(list);

  for (let day = dayNumber(printed) - BEFORE; day <= dayNumber(printed) + AFTER; day += 1) {
    const night = isoDate(day);
    const row = make("button", { type: "button" }, make("b", {}, dayText(day)));
    row.addEventListener("click", () => {
      box.open = false;
      turn(night);
    });
    rows.set(night, row);
    list.append(make("li", {}, row));
  }

  async function fill() {
    from = shown().from;
    run += 1;
    const mine = run;
    for (const [night, row] of rows) {
      await breath();
      if (mine !== run || !box.open) return;
      const computed = compute(night);
      await breath(); // to compute and to draw are two tasks: a tap between them is heard
      row.replaceChildren(...told(night, night === printed, computed));
    }
    run = 0;
  }

  function show() {
    for (const [night, row] of rows) row.setAttribute("aria-pressed", String(night === shown().night));
    if (box.open && from !== shown().from) fill();
  }

  box.addEventListener("toggle", () => {
    if (!box.open) {
      if (run !== 0) from = ""; // what is half filled is begun again
      return;
    }
    show();
    rows.get(shown().night)?.scrollIntoView({ block: "center" });
  });
  return { show };
}

/** Lets the page answer what has happened meanwhile. */
function breath() {
  return new Promise((resolve) => setTimeout(resolve));
}

/** The lines of a row. @param {string} night @param {boolean} is_printed @param {Computed} computed */
function told(night, is_printed, computed) {
  const date = make("b", {}, dayText(dayNumber(night)));
  const mark = is_printed ? [make("i", { className: "mark" }, "printed")] : [];
  if ("why" in computed) return [date, ...mark, make("span", {}, `no plan: ${computed.why}`)];
  const { plan, sheet } = computed;
  const unmet = sheet.needs.filter(({ met }) => !met).map(({ text }) => make("strong", {}, text));
  const all_met = sheet.needs.length > 0 && unmet.length === 0;
  return [
    date,
    ...mark,
    make("b", { className: "span" }, sheet.span),
    make("span", {}, `Moon: ${sheet.sky_lines[0].text}`),
    make("span", {}, `Core: ${coreText(plan)}`),
    ...(all_met ? [make("strong", {}, "all needs met")] : unmet),
  ];
}

/** When the core can be used, else how high it comes. */
function coreText(plan) {
  const { usable, core } = plan.sky;
  const at = clocks(plan, plan.brief.place.zone.spans);
  if (usable.length > 0) return usable.map((span) => usableText(span, at)).join("; ");
  if (core.highest === null) return word("line.never-usable");
  const highest = say("line.highest", { highest: at(core.highest.utc_ms), altitude: core.highest_deg }, []);
  return `${word("line.never-usable")}; ${highest}`;
}
