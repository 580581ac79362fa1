// The page of a shot: its printed plan, another night computed on the phone, ticks in the log.

import { fill, fillRows } from "./bind.js";
import { DAY_S, dayNumber, isoDate, localDay } from "./core/civil.js";
import { FORMAT, VERSION, plan as makePlan } from "./core/plan.js";
import { readPack } from "./core/pack.js";
import { PlanProblem } from "./core/problem.js";
import { clock, dayText, say } from "./core/say.js";
import { makeSheet } from "./core/sheet.js";
import { makeSky } from "./core/sky.js";
import { logWords, reduce } from "./log.js";
import { startShell } from "./shell.js";
import { drawStrip } from "./strip.js";
import { allow, listen, showTicks } from "./ticks.js";

const NOTHING_TICKED = reduce([]);
const SECOND_MS = 1000;
const END_TAKE_MS = 6000;
const OLD_TAKE_MS = 18 * 3600 * SECOND_MS; // past that, ticks are another evening's
const SAME_AIM_DEG = 0.5; // nobody sets an angle better by hand

/** @param {string} id */
const part = (id) => /** @type {HTMLElement} */ (document.getElementById(id));

const shell = startShell();
const printed = printedPlan();
const printed_sheet = makeSheet(printed);
const spans = printed.brief.place.zone.spans;
/**
 * What the page shows now: a plan and its sheet; the take in which it is ticked ("" before the first tick), when it
 * was begun and what it holds; the sky, once it has arrived; and the writing under way.
 */
const shown = {
  plan: printed,
  sheet: printed_sheet,
  take: "",
  begun_ms: 0,
  state: NOTHING_TICKED,
  /** @type {ReturnType<typeof makeSky> | null} */
  sky: null,
  work: Promise.resolve(),
};

start();

function printedPlan() {
  const plan = JSON.parse(part("plan").textContent ?? "");
  if (plan.format !== FORMAT || plan.version !== VERSION) throw new Error("this page holds a plan of another version");
  return plan;
}

function start() {
  show(printed);
  warnOfOtherRevision();
  addEventListener("hashchange", warnOfOtherRevision); // a scan while the page is open only changes the address
  part("end-take").addEventListener("click", askEndTake);
  part("next-open").addEventListener("click", goToNextOpen);
  setInterval(showClock, SECOND_MS);
  startLog();
  startSky();
}

/** The take first: nothing may be ticked before it is known whether a take is open. */
async function startLog() {
  const log = await shell.log.catch(storeFault);
  if (!log) return;
  await readTake();
  listen(document, tick);
  log.onChange(readTake);
}

/** The sky in its own time: on a poor signal it comes minutes later. */
async function startSky() {
  shown.sky = await loadSky();
  if (shown.sky !== null) listenForNights();
  else if (part("refused").hidden) tell("refused", "The sky file is not on this phone: the printed night only.");
  await readTake();
}

/** The sky of all years that are to be had, or null. */
async function loadSky() {
  const years = (part("plan").dataset.years ?? "").split(" ");
  const loaded = await Promise.allSettled(
    years.map(async (year) => {
      const response = await fetch(new URL(`sky/${year}.pack`, shell.site.root));
      if (!response.ok) throw new Error(`sky/${year}.pack did not arrive`);
      return readPack(await response.arrayBuffer());
    }),
  );
  const packs = loaded.flatMap((result) => (result.status === "fulfilled" ? [result.value] : []));
  return packs.length > 0 ? makeSky(packs) : null;
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
  return inTurn(async (log) => {
    const open = (await log.takes(printed.shot.id)).find(({ ended }) => !ended);
    const events = open ? await log.events(open.take) : [];
    shown.take = open ? open.take : "";
    shown.begun_ms = open ? open.utc_ms : 0;
    shown.state = reduce(events);
    warnOfOlderPlan(events);
    turnTo(open ? shown.state.changes : shown.plan.changes);
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
  allow(document, here || shown.sky !== null);
  if (here) show(shown.plan);
  else if (shown.sky !== null) replan(changes);
  else {
    const night = dayText(dayNumber(changes.night ?? printed.window.night));
    tell("refused", `This take is for ${night}. Until its sky file is here the page shows another night, and nothing can be ticked.`);
  }
}

function listenForNights() {
  const input = /** @type {HTMLInputElement} */ (part("night"));
  const turn = (/** @type {string} */ night) => {
    const changes = night === printed.window.night ? {} : { night };
    if (replan(changes)) keepChanges(changes);
  };
  const step = (/** @type {number} */ days) => turn(isoDate(dayNumber(shown.plan.window.night) + days));
  const [first_s, last_s] = shown.sky.span_s;
  input.min = isoDate(Math.ceil(first_s / DAY_S) + 2);
  input.max = isoDate(Math.floor(last_s / DAY_S) - 4);
  // While a date is typed, the years 0002, 0020 and 0202 go by.
  input.addEventListener("change", () => input.value && input.validity.valid && turn(input.value));
  part("earlier").addEventListener("click", () => step(-1));
  part("later").addEventListener("click", () => step(1));
  part("printed").addEventListener("click", () => turn(printed.window.night));
  for (const id of ["night", "earlier", "later"]) /** @type {HTMLInputElement} */ (part(id)).disabled = false;
}

/** Computes the shot anew; a night that gives no plan is refused in words and the page stays as it was. */
function replan(changes) {
  try {
    const plan = makePlan(printed.brief, shown.sky, changes);
    show({ ...plan, revision: printed.revision, checklist: printed.checklist });
    tell("refused", "");
    return true;
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    const found = say(`${error.id}.found`, error.args, spans);
    tell("refused", `No plan for that night: ${found}. The page still shows ${shown.sheet.night}.`);
    show(shown.plan);
    return false;
  }
}

function show(plan) {
  const sheet = makeSheet(plan);
  shown.plan = plan;
  shown.sheet = sheet;
  fill(document, sheet, printed_sheet);
  showLists(sheet);
  doubtSightings(plan);
  /** @type {HTMLInputElement} */ (part("night")).value = plan.window.night;
  part("changed").hidden = !sheet.changed;
  showStrip();
  showClock();
  showTake();
}

function showLists(sheet) {
  const template = (/** @type {string} */ id) => /** @type {HTMLTemplateElement} */ (part(id));
  const warnings = sheet.warnings.map(({ word, head, sum, fix }) => [`${word}: ${head}`, sum, fix]);
  fillRows(part("warnings"), template("warning"), "strong, p", warnings, warnings);
  const events = (/** @type {typeof sheet} */ of) => of.sky.map(({ name, clock: at, frame }) => [name, at, frame]);
  const body = /** @type {Element} */ (part("sky").querySelector("tbody"));
  fillRows(body, template("sky-row"), "th, td", events(sheet), events(printed_sheet));
}

/** Ticks, and what there is to say of the take. */
function showTake() {
  showTicks(document, shown.sheet, shown.state);
  part("end-take").hidden = shown.take === "";
  const is_old = shown.take !== "" && Date.now() - shown.begun_ms > OLD_TAKE_MS;
  const begun = `${dayText(localDay(spans, shown.begun_ms / SECOND_MS))}, ${clock(shown.begun_ms, spans)}`;
  tell("older-take", is_old ? `These ticks are of a take begun ${begun}. End it to begin anew.` : "");
}

/** A sighting was written for the printed night: where the aim has moved, it says for which. */
function doubtSightings(plan) {
  for (const place of document.querySelectorAll("[data-sighting]")) {
    const index = Number(/** @type {HTMLElement} */ (place).dataset.sighting);
    const moved = ["pan", "tilt"].some((axis) => {
      const change = plan.keyframes[index].axes[axis] - printed.keyframes[index].axes[axis];
      return Math.abs(change) > SAME_AIM_DEG;
    });
    place.textContent = moved ? ` (sighting for ${printed_sheet.night} only)` : "";
    place.className = moved ? "differs" : "";
  }
}

function showStrip() {
  const { start, end } = shown.plan.window;
  const { interval_ms } = shown.plan.timing;
  const now_ms = Date.now();
  const runs = start.utc_ms <= now_ms && now_ms < end.utc_ms;
  const now_frame = runs ? 1 + Math.floor((now_ms - start.utc_ms) / interval_ms) : null;
  const lines = shown.sheet.keyframes.map(({ line }) => line);
  part("strip").replaceChildren(drawStrip(shown.sheet.strip, lines, now_frame, printed_sheet.strip));
}

/** Before the shot: how long until frame 1. While it runs: the frame that the plan expects. */
function showClock() {
  const { start, end } = shown.plan.window;
  const now_ms = Date.now();
  const line = part("clock");
  line.hidden = now_ms >= end.utc_ms || now_ms < start.utc_ms - DAY_S * SECOND_MS;
  if (line.hidden) return;
  if (now_ms < start.utc_ms) {
    line.textContent = `first frame in ${countdown(start.utc_ms - now_ms)}`;
    return;
  }
  const frame = 1 + Math.floor((now_ms - start.utc_ms) / shown.plan.timing.interval_ms);
  if (line.dataset.frame !== String(frame)) showStrip();
  line.dataset.frame = String(frame);
  line.textContent = `by the plan, frame ${frame} of ${shown.plan.timing.frames} now`;
}

/** @param {number} ms */
function countdown(ms) {
  const seconds = Math.floor(ms / SECOND_MS);
  const two = (/** @type {number} */ value) => String(value).padStart(2, "0");
  return `${Math.floor(seconds / 3600)}:${two(Math.floor((seconds % 3600) / 60))}:${two(seconds % 60)}`;
}

/**
 * Runs what reads or writes the log one after the other: two quick taps must not begin two takes.
 * @param {(log: import("./log.js").Log) => Promise<void>} action
 */
function inTurn(action) {
  shown.work = shown.work
    .then(async () => action(await shell.log))
    .catch(storeFault)
    .then(showTake);
  return shown.work;
}

/** The first tick begins a take, which carries the plan as it is shown. */
function tick(item, value, ticked) {
  return inTurn(async (log) => {
    if (shown.take === "") {
      shown.take = await log.beginTake(printed.shot.id, shown.plan, shown.plan.changes);
      shown.begun_ms = Date.now();
      shell.offline.refresh();
    }
    if (ticked) await log.append(shown.take, "tick", { item, value });
    else await log.append(shown.take, "untick", { events: shown.state.ticks.get(item)?.keys ?? [] });
    shown.state = reduce(await log.events(shown.take));
  });
}

function keepChanges(changes) {
  return inTurn(async (log) => {
    if (shown.take === "") return;
    await log.append(shown.take, "changes", { changes });
    shown.state = reduce(await log.events(shown.take));
  });
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
    endTake();
    return;
  }
  button.dataset.asked = "yes";
  button.textContent = "Tap again: end the take, untick all";
  setTimeout(() => {
    button.dataset.asked = "";
    button.textContent = "End this take";
  }, END_TAKE_MS);
}

function endTake() {
  return inTurn(async (log) => {
    await log.append(shown.take, "end", {});
    shown.take = "";
    shown.state = NOTHING_TICKED;
    warnOfOlderPlan([]);
    shell.offline.refresh();
  });
}

function storeFault(error) {
  tell("store-fault", logWords(error));
}

/** Says something at a place of its own, or with "" nothing. @param {string} id @param {string} text */
function tell(id, text) {
  part(id).textContent = text;
  part(id).hidden = text === "";
}
