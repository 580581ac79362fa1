// What falls due in a shot, in order: what a hand does, what only passes by, what the place sets. No page, no clock.

import { spanAt } from "../core/civil.js";
import { rungsOf } from "../core/opened.js";
import { frameAt, msOf } from "../core/pace.js";
import { clock, eventWord } from "../core/say.js";
import { packsGone } from "../core/sheet-power.js";
import { sentence } from "../shown/nights.js";
import { openActs } from "./order.js";

const MINUTE_MS = 60000;
const COMPARE_MS = 30 * MINUTE_MS;
const LAPSES_MS = 10 * MINUTE_MS; // clicks and counts are seldom said to be done: they do not hide what comes for long
const LIMIT_LAPSES_MS = 3 * 60 * MINUTE_MS; // by then everyone is home, or looked for
const BY_HAND = ["hand", "tether"];
const RISES = ["moonrise", "moon over ridge"];

/**
 * @typedef {object} Act
 * @property {string} act its stable name, such as "swap.1"
 * @property {string} kind deadline | start | exposure | interval | keyframe | swap | sky | compare | limit | end
 * @property {string} text what is to be done, or comes
 * @property {string} detail more of it; "" for none
 * @property {string} when "after frame 448 closes", "frames 86 to 251", "20:30"
 * @property {number | null} frame null before frame 1 and after the last
 * @property {number} due_ms
 * @property {number} until_ms where there is time for it until then; else as due_ms
 * @property {number} lapses_ms from then on it is not asked for
 * @property {boolean} hand whether a person does it, and says so
 * @property {boolean} loud whether it always alerts: a swap, the end, what the place sets
 */

/**
 * What is next, overdue first: what is done, or has passed, is left out. Before frame 1 what leads to it.
 * @param {Plan} plan @param {Sheet} sheet @param {import("../takes/added.js").TakeState} state @param {number} now_ms
 * @returns {Act[]}
 */
export function nextActs(plan, sheet, state, now_ms) {
  return openActs(state.fired_ms === null ? beforeActs(plan, sheet) : allActs(plan, sheet), state, now_ms);
}

/** @param {Partial<Act> & {act: string, kind: string, text: string, due_ms: number}} given @returns {Act} */
function made(given) {
  const { due_ms } = given;
  const passes = { detail: "", when: "", frame: null, until_ms: due_ms, lapses_ms: due_ms, hand: false, loud: false };
  return { ...passes, ...given };
}

/** By when each thing is done before frame 1. @param {Plan} plan @param {Sheet} sheet @returns {Act[]} */
function beforeActs({ window: { deadlines, start, end } }, sheet) {
  const acts = deadlines.map(({ id, time }, n) => {
    const { label, clock: when } = sheet.deadlines[n];
    return made({ act: `deadline.${id}`, kind: "deadline", text: sentence(label), when, due_ms: time.utc_ms });
  });
  const first = {
    act: "start",
    kind: "start",
    text: "First frame",
    when: sheet.numbers.first_frame,
    hand: true,
    frame: 1,
  };
  return [...acts, made({ ...first, due_ms: start.utc_ms, lapses_ms: end.utc_ms })];
}

/** What falls due in a plan, by the sheet that says it: asked for every second. @type {WeakMap<object, Act[]>} */
const known = new WeakMap();

/** All that falls due from frame 1 on, done or not. @param {Plan} plan @param {Sheet} sheet made of it @returns {Act[]} */
export function allActs(plan, sheet) {
  const made_of = [exposureActs, intervalActs, keyframeActs, swapActs, skyActs, compareActs, limitActs, endActs];
  const acts = known.get(sheet) ?? made_of.flatMap((all) => all(plan, sheet));
  known.set(sheet, acts);
  return acts;
}

/** When the shutter of a frame closes. @param {Plan} plan @param {number} frame */
export function closesMs({ brief, exposure, timing }, frame) {
  const rung = exposure && rungsOf(exposure).findLast(([first]) => first <= frame);
  const open_ms = rung && brief.exposure ? brief.exposure.ladder[rung[1]][3] : brief.longest_shutter_ms;
  return msOf(timing, frame) + brief.camera.release_lag_ms + open_ms;
}

/** @param {number} frame the first with it */
function afterWords(frame) {
  return `after frame ${frame - 1} closes`;
}

/** One for each band of clicks; the next one takes its place. @param {Plan} plan @param {Sheet} sheet */
function exposureActs(plan, sheet) {
  const { exposure } = plan;
  if (exposure === null) return [];
  const hand = BY_HAND.includes(exposure.turned_by);
  const bands = exposure.bands.map((band, n) => ({ ...band, does: sheet.exposure?.bands[n].does ?? "" })).slice(1);
  const due = bands.map(({ first_frame }) => closesMs(plan, first_frame - 1));
  return bands.map(({ first_frame: frame, control, does }, n) => {
    const [text, ...more] = sentence(does).split(", ");
    const stays = control === null;
    return made({
      ...{ act: `exposure.${frame}`, kind: "exposure", frame, when: afterWords(frame), hand: hand && !stays },
      ...{ text: stays ? "No more clicks for now" : hand ? text : "Camera should read", due_ms: due[n] },
      detail: hand ? more.join(", ") : stays ? "" : does,
      lapses_ms: hand && !stays ? Math.min(due[n] + LAPSES_MS, due[n + 1] ?? Infinity) : due[n],
    });
  });
}

/**
 * The strip's moments of that kind: [moment, what the strip says of it].
 * @param {Plan} plan @param {Sheet} sheet @param {(moment: Plan["moments"][number]) => boolean} is
 * @returns {[Plan["moments"][number], Sheet["strip"]["moments"][number]][]}
 */
function momentsThat(plan, sheet, is) {
  return plan.moments.flatMap((moment, n) => (is(moment) ? [[moment, sheet.strip.moments[n]]] : []));
}

/** The rig changes it by itself. @param {Plan} plan @param {Sheet} sheet */
function intervalActs(plan, sheet) {
  return momentsThat(plan, sheet, ({ id }) => id === "moment.interval").map(([{ frame, time }, { label }], n) =>
    made({
      act: `interval.${n + 2}`,
      kind: "interval",
      text: sentence(label),
      when: `at frame ${frame}`,
      frame,
      due_ms: time.utc_ms,
    }),
  );
}

/** Those that are reached on the way. @param {Plan} plan @param {Sheet} sheet */
function keyframeActs(plan, sheet) {
  const passed = plan.keyframes.filter(({ frame }) => frame > 1 && frame < plan.timing.frames);
  return passed.map(({ number, nearest_frame: frame, time }) => {
    const { key, line: detail } = sheet.keyframes[number - 1];
    return made({
      act: `keyframe.${number}`,
      kind: "keyframe",
      text: `${key} reached`,
      detail,
      when: `at frame ${frame}`,
      frame,
      due_ms: time.utc_ms,
    });
  });
}

/** From the first frame of its range, which is the best, to the last. @param {Plan} plan @param {Sheet} sheet */
function swapActs(plan, sheet) {
  const packs = plan.power.supplies.find(({ id }) => id === "rig")?.packs ?? [];
  return plan.power.changes.map(({ from, until }, n) => {
    const name = packs[n + 1]?.name;
    return made({
      ...{
        act: `swap.${n + 1}`,
        kind: "swap",
        text: name ? `Swap to pack ${name}` : "Swap the pack",
        when: sheet.swaps[packsGone(plan) + n].replaceAll("\u2013", " to "), // by ear a dash is nothing
      },
      ...{ detail: "the sooner the better", frame: Math.ceil(from.frame), due_ms: from.time.utc_ms },
      ...{ until_ms: until.time.utc_ms, lapses_ms: plan.window.end.utc_ms, hand: true, loud: true },
    });
  });
}

/** A moon that comes up: her light glows before she does. @param {Plan} plan @param {Sheet} sheet */
function skyActs(plan, sheet) {
  return momentsThat(plan, sheet, ({ id }) => RISES.includes(id)).map(([{ id, frame, time }, { clock: when }]) =>
    made({
      act: `sky.${id}`,
      kind: "sky",
      text: sentence(eventWord(id)),
      when,
      frame: Math.floor(frame),
      due_ms: time.utc_ms,
    }),
  );
}

/** Every full and half hour of the place's clock. @param {Plan} plan */
function compareActs({ window: { start, end }, brief, timing }) {
  const { spans } = brief.place.zone;
  const offset_ms = spanAt(spans, start.utc_ms / 1000)[1] * 1000;
  const first_ms = (Math.floor((start.utc_ms + offset_ms) / COMPARE_MS) + 1) * COMPARE_MS - offset_ms;
  const times = Array.from(
    { length: Math.max(0, Math.ceil((end.utc_ms - first_ms) / COMPARE_MS)) },
    (_, n) => first_ms + n * COMPARE_MS,
  );
  return times.map((due_ms) => {
    const when = clock(due_ms, spans);
    const text = "Rig count = camera count?";
    const frame = Math.floor(frameAt(timing, due_ms));
    const lapses_ms = due_ms + LAPSES_MS;
    return made({ act: `compare.${when}`, kind: "compare", text, when, frame, due_ms, lapses_ms, hand: true });
  });
}

/** When to be gone, by the place's own clock times: they may lie after the shot. @param {Plan} plan @param {Sheet} sheet */
function limitActs(plan, sheet) {
  return plan.place.limits.map(({ id, time }, n) => {
    const { label, clock: when } = sheet.limits[n];
    const lapses_ms = time.utc_ms + LIMIT_LAPSES_MS;
    return made({
      act: `limit.${id}`,
      kind: "limit",
      text: sentence(label),
      when,
      due_ms: time.utc_ms,
      lapses_ms,
      hand: true,
      loud: true,
    });
  });
}

/** @param {Plan} plan */
function endActs({ window: window_, timing: { frames } }) {
  const due_ms = window_.last_shutter_closes.utc_ms;
  return [
    made({
      act: "end",
      kind: "end",
      text: "Last shutter closes",
      when: `after frame ${frames}`,
      frame: frames,
      due_ms,
      loud: true,
    }),
  ];
}
