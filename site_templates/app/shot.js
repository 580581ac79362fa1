// The page of a shot: its printed plan, another night computed on the phone, ticks and notes in the log.

import { makeAsSet } from "./asset.js";
import { fill, fillRows, fillTable } from "./bind.js";
import { carriedPlan } from "./carried.js";
import { dimDeadlines, frameNow, isSetting, showClock } from "./clock.js";
import { dayNumber, localDay } from "./core/civil.js";
import { plan as makePlan } from "./core/plan.js";
import { PlanProblem } from "./core/problem.js";
import { clock, dayText, say } from "./core/say.js";
import { waitsNow } from "./core/sheet-keyframes.js";
import { makeSheet } from "./core/sheet.js";
import { waitsAt } from "./core/waits.js";
import { part, tell } from "./dom.js";
import { countsToCompare, makeFired } from "./fired.js";
import { logWords } from "./log.js";
import { listenForNights, loadNights } from "./nights.js";
import { makeOthers } from "./others.js";
import { allow, countLeft, itemTexts, listen, makeRows, showRows } from "./rows.js";
import { startShell } from "./shell.js";
import { makeSpot } from "./spot.js";
import { drawStrip } from "./strip.js";
import { makeTake } from "./take.js";
import { makeZero } from "./zero.js";

const SECOND_MS = 1000;
const LIVE_EVERY_MS = 20 * SECOND_MS; // the sky turns a twelfth of a degree in that time
const END_TAKE_MS = 6000;
const OLD_TAKE_MS = 18 * 3600 * SECOND_MS; // past that, ticks are another evening's
const SAME_AIM_DEG = 0.5; // nobody sets an angle better by hand

/** What has as many lines as the night gives it. */
const TABLES = {
  limits: (/** @type {*} */ sheet) => sheet.limits.map(({ label, clock: at }) => [label, at]),
  deadlines: (/** @type {*} */ sheet) => sheet.deadlines.map(({ label, clock: at }) => [label, at]),
  "sky-lines": (/** @type {*} */ sheet) =>
    [...sheet.sky_lines, ...sheet.arch_lines].map(({ name, text }) => [name, text]),
  needs: (/** @type {*} */ sheet) => sheet.needs.map(({ name, verdict }) => [name, verdict]),
  sky: (/** @type {*} */ sheet) => sheet.sky.map(({ name, clock: at, frame }) => [name, at, frame]),
};

const shell = startShell();
const rows = makeRows(document);
const printed = carriedPlan(part("plan").textContent ?? "");
const printed_sheet = makeSheet(printed);
const spans = printed.brief.place.zone.spans;
/** What the page shows now: a plan and its sheet, the frame that is marked, and the sky, once it has arrived. */
const shown = {
  plan: printed,
  sheet: printed_sheet,
  /** @type {number | null} */
  frame: null,
  live_ms: 0,
  /** @type {ReturnType<typeof import("./core/sky.js").makeSky> | null} */
  sky: null,
};
const take = makeTake(shell.log, printed.shot.id, {
  carried: () => ({ plan: { ...shown.plan, items: itemTexts(rows) }, changes: shown.plan.changes }),
  shown: showTake,
  turned: takeTurned,
  fault: storeFault,
});
const as_set = makeAsSet(document, shell.site, printed_sheet.axes, take);
const fired = makeFired(part("fired"), spans, (utc_ms) => take.keep("start", { utc_ms }));
const others = makeOthers(section("others"), printed.window.night, {
  shown: () => ({ night: shown.plan.window.night, from: JSON.stringify([shown.sky !== null, shown.plan.changes.spot]) }),
  compute: planned,
  turn: (night) => {
    const found = turn(night);
    (found ? document.querySelector(".night") : part("refused"))?.scrollIntoView();
  },
});
const spot = makeSpot(section("spot"), printed.brief.place, (to) => change({ ...shown.plan.changes, spot: to }));
const zero = "pan" in printed.brief.rig.axes ? makeZero(section("zero"), () => shown) : null;

start();

/** A section that is folded until it is asked for. @param {string} id */
function section(id) {
  return /** @type {HTMLDetailsElement} */ (part(id));
}

function start() {
  show(printed);
  warnOfOtherRevision();
  addEventListener("hashchange", warnOfOtherRevision); // a scan while the page is open only changes the address
  document.addEventListener("visibilitychange", keepField);
  part("end-take").addEventListener("click", askEndTake);
  part("printed").addEventListener("click", () => change({}));
  part("next-open").addEventListener("click", goToNextOpen);
  setInterval(tickClock, SECOND_MS);
  startLog();
  startSky();
}

/** The take first: nothing may be ticked before it is known whether a take is open. */
async function startLog() {
  const log = await shell.log.catch(storeFault);
  if (!log) return;
  await readTake();
  listen(rows, () => shown.sheet, { tick: take.tick, write: (item, value) => take.keep("field", { item, value }) });
  log.onChange(readTake);
}

/** The sky in its own time: on a poor signal it comes minutes later. */
async function startSky() {
  const { root } = shell.site;
  const years = (part("plan").dataset.years ?? "").split(" ");
  const { sky, tides, lost } = await loadNights(root, years, printed.place.id, printed.window.night);
  shown.sky = tides && sky;
  if (shown.sky) {
    printed.brief.place.tides = tides;
    listenForNights(shown.sky.span_s, () => shown.plan.window.night, turn);
    spot.allow(true);
  }
  tell("lost", lost);
  await readTake();
  others.show();
  zero?.show();
}

/** The card in the hand may be from another build than this page. */
function warnOfOtherRevision() {
  const asked = /^#r=([0-9A-Z]{6})$/.exec(location.hash);
  if (!asked) return;
  const same = asked[1] === printed.revision;
  const words = `This card is revision ${asked[1]}; the page is revision ${printed.revision}. Their numbers may differ.`;
  tell("stale", same ? "" : words);
}

/** Takes up the open take of this shot, if there is one: its ticks and its changes. */
function readTake() {
  return take.read(() => {
    const { id, events, state } = take.now;
    warnOfOlderPlan(events);
    turnTo(id === "" ? shown.plan.changes : state.changes);
  });
}

/** A take carries the plan it was begun on; the page may have been built anew since. @param {import("./log.js").LogEvent[]} events */
function warnOfOlderPlan(events) {
  const begun = events.find(({ kind }) => kind === "take")?.payload.plan?.revision;
  const same = begun === undefined || begun === printed.revision;
  const words = `This take was begun on revision ${begun}; the page is revision ${printed.revision}. End it to begin anew.`;
  tell("older-plan", same ? "" : words);
}

/** Shows the plan with these changes; without a sky nothing is ticked on the wrong night's numbers. */
function turnTo(changes) {
  const here = JSON.stringify(changes) === JSON.stringify(shown.plan.changes);
  const ready = here || (shown.sky !== null && replan(changes));
  allow(rows, ready);
  as_set.allow(ready);
  fired.allow(ready);
  if (here) show(shown.plan);
  else if (shown.sky === null) {
    const night = dayText(dayNumber(changes.night ?? printed.window.night));
    const where = changes.spot ? " from another spot" : "";
    tell("refused", `This take is for ${night}${where}. Until its sky file is here the page shows another plan, and nothing can be ticked.`);
  }
}

/** @param {string} night */
function turn(night) {
  return change({ ...shown.plan.changes, night });
}

/** Shows the plan with these changes and keeps them with the take; false where there is no such plan. */
function change(asked) {
  const changes = tidied(asked);
  const found = replan(changes);
  if (found) take.keepChanges(changes);
  return found;
}

/** Always in the same order and without what is as printed, so that equal changes read alike. */
function tidied({ night, start_ms = null, spot: to = null }) {
  const other_night = night !== undefined && night !== printed.window.night;
  return {
    ...(other_night ? { night } : {}),
    ...(start_ms === null ? {} : { start_ms }),
    ...(to === null ? {} : { spot: to }),
  };
}

/** Computes the shot anew; what gives no plan is refused in words and the page stays as it was. */
function replan(changes) {
  const found = computed(changes);
  if ("why" in found) {
    const what = JSON.stringify(changes.spot) === JSON.stringify(shown.plan.changes.spot) ? "night" : "spot";
    tell("refused", `No plan for that ${what}: ${found.why}. The page still shows ${shown.sheet.night}.`);
    show(shown.plan);
    return false;
  }
  tell("refused", "");
  show(found.plan);
  return true;
}

/** The shot on another night, with whatever else is changed now. @param {string} night */
function planned(night) {
  return computed(tidied({ ...shown.plan.changes, night }));
}

/** @returns {import("./others.js").Computed} */
function computed(changes) {
  if (shown.sky === null) return { why: "the sky file is not on this phone" };
  try {
    const plan = { ...makePlan(printed.brief, shown.sky, changes), revision: printed.revision };
    return { plan, sheet: makeSheet(plan) };
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    return { why: say(`${error.id}.found`, error.args, spans) };
  }
}

function show(plan) {
  const sheet = makeSheet(plan);
  shown.plan = plan;
  shown.sheet = sheet;
  shown.live_ms = 0;
  fill(document, sheet, printed_sheet);
  showLists(sheet);
  doubtSightings(plan);
  /** @type {HTMLInputElement} */ (part("night")).value = plan.window.night;
  showChanged(plan.changes);
  others.show();
  zero?.show();
  spot.show(plan.changes.spot ?? null);
  showStrip();
  tickClock();
  showTake();
}

/** What the page shows otherwise than it is printed. */
function showChanged({ night, start_ms, spot: to }) {
  const other = { night: night !== undefined, start: start_ms !== undefined, spot: to !== undefined };
  const names = Object.keys(other).filter((name) => other[name]);
  part("changed").hidden = names.length === 0;
  part("changed-what").textContent = `Not the printed ${names.join(" and ")}.`;
}

function showLists(sheet) {
  const warnings = sheet.warnings.map(({ word, head, sum, fix }) => [`${word}: ${head}`, sum, fix]);
  const template = /** @type {HTMLTemplateElement} */ (part("warning"));
  fillRows(part("warnings"), template, "strong, p", warnings, warnings);
  for (const [id, lines] of Object.entries(TABLES)) fillTable(part(id), lines(sheet), lines(printed_sheet));
}

/** The counts to compare; a short shot has none. */
function showCounts() {
  const table = document.getElementById("rolling");
  if (!table) return;
  const { file = "", roll } = part("fired").dataset;
  const { fields, fired_ms } = take.now.state;
  const files = { first: fields.get(file) ?? "", roll: Number(roll) };
  const rows = countsToCompare(shown.plan, shown.sheet, fired_ms, files);
  fillTable(table, rows, countsToCompare(printed, printed_sheet, null, files));
}

/** Ticks, what was written in, and what there is to say of the take. */
function showTake() {
  const { id, begun_ms, state } = take.now;
  showRows(rows, shown.sheet, state);
  countLeft(document);
  as_set.show();
  fired.show(state.fired_ms);
  showCounts();
  part("end-take").hidden = id === "";
  const is_old = id !== "" && Date.now() - begun_ms > OLD_TAKE_MS;
  const begun = `${dayText(localDay(spans, begun_ms / SECOND_MS))}, ${clock(begun_ms, spans)}`;
  tell("older-take", is_old ? `These ticks are of a take begun ${begun}. End it to begin anew.` : "");
}

/** A take was begun or ended: an update that waited for it may come, or must wait now. */
function takeTurned() {
  if (take.now.id === "") warnOfOlderPlan([]);
  shell.offline.refresh();
}

/** A sighting that was written for the printed night and still stands: where the aim has moved, it says for which. */
function doubtSightings(plan) {
  for (const place of document.querySelectorAll("[data-sighting]")) {
    const index = Number(/** @type {HTMLElement} */ (place).dataset.sighting);
    const stands = shown.sheet.keyframes[index].sighting === printed_sheet.keyframes[index].sighting;
    const moved = stands && ["pan", "tilt"].some((axis) => {
      const change = plan.keyframes[index].axes[axis] - printed.keyframes[index].axes[axis];
      return Math.abs(change) > SAME_AIM_DEG;
    });
    place.textContent = moved ? ` (sighting for ${printed_sheet.night} only)` : "";
    place.className = moved ? "differs" : "";
  }
}

function showStrip() {
  shown.frame = frameNow(shown.plan, Date.now());
  const lines = shown.sheet.keyframes.map(({ line }) => line);
  part("strip").replaceChildren(drawStrip(shown.sheet.strip, lines, shown.frame, printed_sheet.strip));
}

function tickClock() {
  const now_ms = Date.now();
  showClock(shown.plan, shown.sheet, now_ms);
  dimDeadlines(shown.plan, now_ms);
  if (frameNow(shown.plan, now_ms) !== shown.frame) showStrip();
  if (Math.abs(now_ms - shown.live_ms) >= LIVE_EVERY_MS) showLive(now_ms);
}

/** How far each keyframe's target stands from its place now, while keyframes are being set. @param {number} now_ms */
function showLive(now_ms) {
  shown.live_ms = now_ms;
  const reaches = shown.sky?.covers(now_ms / SECOND_MS, shown.plan.window.end.utc_ms / SECOND_MS);
  const sky = reaches && isSetting(shown.plan, now_ms) ? shown.sky : null;
  for (const { index, live } of as_set.places) {
    const wait = sky && waitsAt(shown.plan, sky, index, now_ms / SECOND_MS);
    live.textContent = wait ? waitsNow(shown.plan.keyframes[index], wait) : "";
    live.hidden = !wait;
  }
}

/** What was typed last is kept when the phone is put away. */
function keepField() {
  if (document.visibilityState === "hidden") /** @type {HTMLElement | null} */ (document.activeElement)?.blur();
}

/** The first row that is still open, or the checklist's beginning where all is done. @param {Event} event */
function goToNextOpen(event) {
  const open = document.querySelector("input[data-item]:not(:checked)");
  if (!open) return;
  event.preventDefault();
  /** @type {HTMLElement} */ (open).focus({ preventScroll: true });
  open.closest(".item")?.scrollIntoView({ block: "center" });
}

/** Two taps, because one is easily a slip of a glove. */
function askEndTake() {
  const button = part("end-take");
  if (button.dataset.asked === "yes") {
    take.end();
    return;
  }
  button.dataset.asked = "yes";
  button.textContent = "Tap again: end the take, untick all";
  setTimeout(() => {
    button.dataset.asked = "";
    button.textContent = "End this take";
  }, END_TAKE_MS);
}

function storeFault(error) {
  tell("store-fault", logWords(error));
}
