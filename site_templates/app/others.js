// The shot on the nights around: a line each, computed a night at a time so that the page goes on answering; what
// there is to say of a night unfolds.

import { markOf } from "./bind.js";
import { dayNumber, isoDate } from "./core/civil.js";
import { dayText, fixed, say } from "./core/say.js";
import { clocks } from "./core/sheet-times.js";
import { make } from "./dom.js";

const BEFORE = 14;
const AFTER = 30;
const YEAR = / \d+$/;

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
  /** @type {Map<string, HTMLDetailsElement>} */
  const rows = new Map();
  let from = "";
  let run = 0;

  async function fill() {
    from = shown().from;
    run += 1;
    const mine = run;
    for (const [night, row] of rows) {
      await breath();
      if (mine !== run || !box.open) return;
      const computed = compute(night);
      await breath(); // to compute and to draw are two tasks: a tap between them is heard
      write(row, night, computed);
    }
    run = 0;
  }

  /** @param {HTMLDetailsElement} row @param {string} night @param {Computed} computed */
  function write(row, night, computed) {
    const line = make("summary", {}, ...headOf(night, computed), make("small", {}, inFewWords(computed)));
    const mark = markOfNight(computed);
    if (mark !== "") line.dataset.mark = mark;
    row.replaceChildren(line, ...inFull(computed), ...("plan" in computed ? [turnButton(night)] : []));
  }

  /** @param {string} night @param {Computed} [computed] */
  function headOf(night, computed) {
    const marks = night === printed ? [make("i", { className: "mark" }, "printed")] : [];
    const span = computed && "plan" in computed ? [make("b", {}, clocksOf(computed.plan))] : [];
    return [make("b", {}, dayText(dayNumber(night)).replace(YEAR, "")), ...marks, ...span];
  }

  /** @param {string} night */
  function turnButton(night) {
    const button = make("button", { type: "button" }, "Turn to this night");
    button.addEventListener("click", () => {
      box.open = false;
      turn(night);
    });
    return button;
  }

  function show() {
    for (const [night, row] of rows) row.ariaCurrent = night === shown().night ? "date" : null;
    if (box.open && from !== shown().from) fill();
  }

  /** When it is first opened. */
  function makeRows() {
    for (let day = dayNumber(printed) - BEFORE; day <= dayNumber(printed) + AFTER; day += 1) {
      const night = isoDate(day);
      rows.set(night, make("details", {}, make("summary", {}, ...headOf(night))));
    }
    box.append(make("div", { className: "nights" }, ...rows.values()));
  }

  box.addEventListener("toggle", () => {
    if (!box.open) {
      if (run !== 0) from = ""; // what is half filled is begun again
      return;
    }
    if (rows.size === 0) makeRows();
    show();
    rows.get(shown().night)?.scrollIntoView({ block: "center" });
  });
  return { show };
}

/** Lets the page answer what has happened meanwhile. */
function breath() {
  return new Promise((resolve) => setTimeout(resolve));
}

/** How the night stands to its needs; "" where nothing is needed. @param {Computed} computed */
function markOfNight(computed) {
  if ("why" in computed) return "none";
  const met = computed.sheet.needs.map((need) => need.met);
  if (met.length === 0) return "";
  return markOf(met.includes(false) ? false : met.includes(null) ? null : true);
}

/** The second half of a row. @param {Computed} computed */
function inFewWords(computed) {
  if ("why" in computed) return `no plan: ${computed.why}`;
  const { plan, sheet } = computed;
  const lacking = [[false, "fails"], [null, "not known"]].flatMap(([met, words]) => {
    const names = sheet.needs.filter((need) => need.met === met).map(({ name }) => name);
    return names.length > 0 ? [`${words}: ${names.join("; ")}`] : [];
  });
  const needs = sheet.needs.length > 0 && lacking.length === 0 ? ["all needs met"] : lacking;
  return [moonText(plan), ...needs].join(" · ");
}

/** What unfolds. @param {Computed} computed */
function inFull(computed) {
  if ("why" in computed) return [make("p", {}, `No plan: ${computed.why}.`)];
  const { sheet } = computed;
  const lines = [sheet.span, ...sheet.sky_lines.slice(0, 2).map(({ name, text }) => `${name}: ${text}`)];
  const needs = sheet.needs.map(({ text, met }) => {
    const line = make("p", {}, text);
    line.dataset.mark = markOf(met);
    return line;
  });
  return [...lines.map((text) => make("p", {}, text)), ...needs];
}

/** From the first frame to the last, by the clock. */
function clocksOf(plan) {
  const { start, end } = plan.window;
  const at = clocks(plan, plan.brief.place.zone.spans);
  return `${at(start.utc_ms)}–${at(end.utc_ms)}`;
}

/** How much of the moon is lit, and whether she is up or what she does during the shot. */
function moonText(plan) {
  const { moon } = plan.sky;
  const [start_ms, end_ms] = [plan.window.start.utc_ms, plan.window.end.utc_ms];
  const edges = ["rise", "set"].filter((key) => moon[key] !== null).map((key) => ({ key, utc_ms: moon[key].utc_ms }));
  edges.sort((a, b) => a.utc_ms - b.utc_ms);
  const at = clocks(plan, plan.brief.place.zone.spans);
  const during = edges.filter(({ utc_ms }) => start_ms <= utc_ms && utc_ms < end_ms);
  const before = edges.filter(({ utc_ms }) => utc_ms < start_ms).at(-1);
  const is_up = before ? before.key === "rise" : edges.length > 0 ? edges[0].key === "set" : moon.up;
  const moves = during.map(({ key, utc_ms }) => say(`line.${key}s`, { [key]: at(utc_ms) }, []));
  return `moon ${fixed(moon.lit * 100, 0)} %, ${moves.join(", ") || (is_up ? "up" : "down")}`;
}
