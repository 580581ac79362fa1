// The shot on the nights around: a line each, computed a night at a time so that the page goes on answering; what
// there is to say of a night unfolds.

import { markOf } from "../touch/bind.js";
import { breath } from "../touch/breath.js";
import { nightsWithin } from "../core/anchors.js";
import { dayNumber, isoDate } from "../core/civil.js";
import { dayText, fixed, say } from "../core/say.js";
import { needInFewWords } from "../core/sheet-needs.js";
import { clocks } from "../core/sheet-times.js";
import { make } from "../touch/dom.js";
import { refill } from "../touch/refill.js";
import { sentence } from "./nights.js";

const BEFORE = 14;
const AFTER = 30;
const YEAR = / \d+$/;

/**
 * A night as computed: its plan and sheet, or why there is none, in words.
 * @typedef {{plan: Plan, sheet: Sheet} | {why: string}} Computed
 */

/**
 * Fills the section when it is opened, and anew when what it was computed from has changed.
 * @param {HTMLDetailsElement} box @param {string} printed the printed night
 * @param {object} page
 * @param {() => {changes: *, night: string, reach: import("./nights.js").Reach}} page.shown
 * @param {(night: string) => Computed} page.compute
 * @param {(night: string) => unknown} page.turn
 * @returns {{show: () => void}} show: the page shows another night, or its plan hangs on something else
 */
export function makeOthers(box, printed, { shown, compute, turn }) {
  /** @type {Map<string, HTMLDetailsElement>} */
  const rows = new Map();
  const list = make("div", { className: "nights" });
  const without = make("p");
  /** What the rows were made for, and computed from. */
  let made_for = {};
  let from = "";
  let run = 0;

  async function fill() {
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
    refill(row, line, ...inFull(computed), ...("plan" in computed ? [turnButton(night)] : []));
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
    const { changes, night, reach } = shown();
    const now = JSON.stringify({ ...changes, night: undefined });
    const is_new = box.open && (reach !== made_for || from !== now);
    if (is_new && reach !== made_for) makeRows(reach);
    for (const [of, row] of rows) row.ariaCurrent = of === night ? "date" : null;
    if (!is_new) return;
    from = now;
    fill();
  }

  /** Of the nights that the sky reaches; why others have none is said once. @param {import("./nights.js").Reach} reach */
  function makeRows(reach) {
    const [first, last] = [dayNumber(printed) - BEFORE, dayNumber(printed) + AFTER];
    const [from_day, until_day] = reach.sky && reach.bar === "" ? nightsWithin(reach.sky.span_s) : [0, -1];
    rows.clear();
    for (let day = Math.max(first, from_day); day <= Math.min(last, until_day); day += 1) {
      const night = isoDate(day);
      const row = make("details", {}, make("summary", {}, ...headOf(night)));
      row.dataset.of = night;
      rows.set(night, row);
    }
    const beyond = [
      ...(first < from_day ? [`before ${dayText(from_day)}`] : []),
      ...(last > until_day ? [`after ${dayText(until_day)}`] : []),
    ];
    const why = reach.bar || reach.lack || "the sky files end there";
    const some = beyond.length > 0 ? `No nights ${beyond.join(" or ")}: ${why}.` : "";
    without.textContent = rows.size === 0 ? `${sentence(why)}: no other night can be computed.` : some;
    refill(list, ...rows.values());
    if (list.parentNode === null) box.append(without, list);
    made_for = reach;
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

/** How the night stands to its needs and to what stops the shot; "" where nothing is needed. @param {Computed} computed */
function markOfNight(computed) {
  if ("why" in computed) return "none";
  if (noGos(computed.sheet).length > 0) return markOf(false);
  const met = computed.sheet.needs.map((need) => need.met);
  if (met.length === 0) return "";
  return markOf(met.includes(false) ? false : met.includes(null) ? null : true);
}

/** The second half of a row. @param {Computed} computed */
function inFewWords(computed) {
  if ("why" in computed) return `no plan: ${computed.why}`;
  const { plan, sheet } = computed;
  const { spans } = plan.brief.place.zone;
  const [stop, ...more] = noGos(sheet);
  const others = more.length > 0 ? ` and ${more.length} more` : "";
  const stops = stop ? [`no go: ${stop.head}${others}`] : [];
  const lacking = [
    [false, "fails"],
    [null, "not known"],
  ].flatMap(([met, words]) => {
    const names = plan.needs.filter((need) => need.met === met).map((need) => needInFewWords(need, spans));
    return names.length > 0 ? [`${words}: ${names.join("; ")}`] : [];
  });
  const needs = plan.needs.length > 0 && lacking.length === 0 ? ["all needs met"] : lacking;
  return [...stops, moonText(plan), ...needs].join(" · ");
}

/** The warnings that stop the shot. @param {Sheet} sheet */
function noGos({ warnings }) {
  return warnings.filter(({ level }) => level === "no-go");
}

/** What unfolds. @param {Computed} computed */
function inFull(computed) {
  if ("why" in computed) return [make("p", {}, `No plan: ${computed.why}.`)];
  const { sheet } = computed;
  const lines = [sheet.span, ...sheet.sky_lines.slice(0, 2).map(({ name, text }) => `${name}: ${text}`)];
  const stops = noGos(sheet).map(({ word, head, sum }) => ({ text: `${word}: ${head}. ${sum}`, met: false }));
  const marked = [...stops, ...sheet.needs].map(({ text, met }) => {
    const line = make("p", {}, text);
    line.dataset.mark = markOf(met);
    return line;
  });
  return [...lines.map((text) => make("p", {}, text)), ...marked];
}

/** From the first frame to the last, by the clock. @param {Plan} plan */
function clocksOf(plan) {
  const { start, end } = plan.window;
  const at = clocks(plan, plan.brief.place.zone.spans);
  return `${at(start.utc_ms)}–${at(end.utc_ms)}`;
}

/** How much of the moon is lit, and whether she is up or what she does during the shot. @param {Plan} plan */
function moonText(plan) {
  const { moon } = plan.sky;
  const [start_ms, end_ms] = [plan.window.start.utc_ms, plan.window.end.utc_ms];
  const edges = [
    ...(moon.rise ? [{ key: "rise", utc_ms: moon.rise.utc_ms }] : []),
    ...(moon.set ? [{ key: "set", utc_ms: moon.set.utc_ms }] : []),
  ];
  edges.sort((a, b) => a.utc_ms - b.utc_ms);
  const at = clocks(plan, plan.brief.place.zone.spans);
  const during = edges.filter(({ utc_ms }) => start_ms <= utc_ms && utc_ms < end_ms);
  const before = edges.filter(({ utc_ms }) => utc_ms < start_ms).at(-1);
  const is_up = before ? before.key === "rise" : edges.length > 0 ? edges[0].key === "set" : moon.up;
  const moves = during.map(({ key, utc_ms }) => say(`line.${key}s`, { [key]: at(utc_ms) }, []));
  return `moon ${fixed(moon.lit * 100, 0)} %, ${moves.join(", ") || (is_up ? "up" : "down")}`;
}
