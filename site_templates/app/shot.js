// The page of a shot: its printed plan, another night computed on the phone, ticks in the log.

import { fill, fillRows } from "./bind.js";
import { DAY_S, dayNumber, isoDate } from "./core/civil.js";
import { logWords, reduce } from "./log.js";
import { readPack } from "./core/pack.js";
import { FORMAT, VERSION, plan as makePlan } from "./core/plan.js";
import { PlanProblem } from "./core/problem.js";
import { say } from "./core/say.js";
import { makeSheet } from "./core/sheet.js";
import { startShell } from "./shell.js";
import { makeSky } from "./core/sky.js";
import { drawStrip } from "./strip.js";
import { listen, showTicks } from "./ticks.js";

const NOTHING_TICKED = reduce([]);
const SECOND_MS = 1000;
const END_TAKE_MS = 6000;

/** @param {string} id */
const part = (id) => /** @type {HTMLElement} */ (document.getElementById(id));

const shell = startShell();
const printed = printedPlan();
const printed_sheet = makeSheet(printed);
/** What the page shows now: a plan, its sheet, the take in which it is ticked ("" before the first tick), and writing under way. */
const shown = { plan: printed, sheet: printed_sheet, take: "", state: NOTHING_TICKED, work: Promise.resolve() };

warnOfOtherRevision();
addEventListener("hashchange", warnOfOtherRevision); // a scan while the page is open only changes the address
start();

function printedPlan() {
  const plan = JSON.parse(part("plan").textContent ?? "");
  if (plan.format !== FORMAT || plan.version !== VERSION) throw new Error("this page holds a plan of another version");
  return plan;
}

/** The card in the hand may be from another build than this page. */
function warnOfOtherRevision() {
  const asked = /^#r=([0-9A-Z]{6})$/.exec(location.hash);
  if (!asked || asked[1] === printed.revision) return;
  tell("stale", `This card is revision ${asked[1]}; the page is revision ${printed.revision}. Their numbers may differ.`);
}

async function start() {
  show(printed);
  setInterval(showClock, SECOND_MS);
  listen(document, tick);
  part("end-take").addEventListener("click", askEndTake);
  part("next-open").addEventListener("click", goToNextOpen);
  const sky = await loadSky().catch(() => null);
  if (sky === null) tell("refused", "The sky file is not on this phone: the printed night only.");
  else listenForNights(sky);
  const log = await shell.log.catch(storeFault);
  if (!log) return;
  log.onChange(() => readTake(sky));
  await readTake(sky);
}

async function loadSky() {
  const years = (part("plan").dataset.years ?? "").split(" ");
  const packs = years.map(async (year) => {
    const response = await fetch(new URL(`sky/${year}.pack`, shell.site.root));
    return readPack(await response.arrayBuffer());
  });
  return makeSky(await Promise.all(packs));
}

/** Takes up the open take of this shot, if there is one: its ticks and its changes. */
function readTake(sky) {
  return inTurn(async (log) => {
    const open = (await log.takes(printed.shot.id)).find(({ ended }) => !ended);
    const events = open ? await log.events(open.take) : [];
    shown.take = open ? open.take : "";
    shown.state = reduce(events);
    warnOfOlderTake(events);
    const changes = open ? shown.state.changes : shown.plan.changes;
    if (sky !== null && JSON.stringify(changes) !== JSON.stringify(shown.plan.changes)) replan(sky, changes);
    else show(shown.plan);
  });
}

/** A take carries the plan it was begun on; the page may have been built anew since. @param {import("./log.js").LogEvent[]} events */
function warnOfOlderTake(events) {
  const begun = events.find(({ kind }) => kind === "take")?.payload.plan?.revision;
  if (begun === undefined || begun === printed.revision) return;
  tell("stale", `This take was begun on revision ${begun}; the page is revision ${printed.revision}. End it to begin anew.`);
}

function listenForNights(sky) {
  const input = /** @type {HTMLInputElement} */ (part("night"));
  const turn = (/** @type {string} */ night) => {
    const changes = night === printed.window.night ? {} : { night };
    if (replan(sky, changes)) keepChanges(changes);
  };
  const step = (/** @type {number} */ days) => turn(isoDate(dayNumber(shown.plan.window.night) + days));
  const [first_s, last_s] = sky.span_s;
  input.min = isoDate(Math.ceil(first_s / DAY_S) + 2);
  input.max = isoDate(Math.floor(last_s / DAY_S) - 4);
  input.disabled = false;
  input.addEventListener("change", () => input.value && turn(input.value));
  part("earlier").addEventListener("click", () => step(-1));
  part("later").addEventListener("click", () => step(1));
  part("printed").addEventListener("click", () => turn(printed.window.night));
}

/** Computes the shot anew; a night that gives no plan is refused in words and the page stays as it was. */
function replan(sky, changes) {
  try {
    const plan = makePlan(printed.brief, sky, changes);
    show({ ...plan, revision: printed.revision, checklist: printed.checklist });
    tell("refused", "");
    return true;
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    tell("refused", `No plan for that night: ${say(`${error.id}.found`, error.args, printed.brief.place.zone.spans)}.`);
    show(shown.plan);
    return false;
  }
}

function show(plan) {
  const sheet = makeSheet(plan);
  shown.plan = plan;
  shown.sheet = sheet;
  fill(document, sheet, printed_sheet);
  fillRows(
    part("warnings"),
    /** @type {HTMLTemplateElement} */ (part("warning")),
    "strong, p",
    sheet.warnings.map(({ head, sum, fix }) => [head, sum, fix]),
  );
  fillRows(
    part("sky").querySelector("tbody"),
    /** @type {HTMLTemplateElement} */ (part("sky-row")),
    "th, td",
    sheet.sky.map(({ name, clock, frame }) => [name, clock, `frame ${frame}`]),
  );
  /** @type {HTMLInputElement} */ (part("night")).value = plan.window.night;
  part("changed").hidden = !sheet.changed;
  showTicks(document, sheet, shown.state);
  part("end-take").hidden = shown.take === "";
  showStrip();
  showClock();
}

function showStrip() {
  const { start, end } = shown.plan.window;
  const { interval_ms } = shown.plan.timing;
  const now_ms = Date.now();
  const runs = start.utc_ms <= now_ms && now_ms < end.utc_ms;
  const now_frame = runs ? 1 + Math.floor((now_ms - start.utc_ms) / interval_ms) : null;
  const lines = shown.sheet.keyframes.map(({ line }) => line);
  part("strip").replaceChildren(drawStrip(shown.sheet.strip, lines, now_frame));
}

/** Before the shot: how long until frame 1. While it runs: the frame that the plan expects. */
function showClock() {
  const { start, end } = shown.plan.window;
  const now_ms = Date.now();
  const line = part("clock");
  line.hidden = now_ms >= end.utc_ms || now_ms < start.utc_ms - 86400000;
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
 * Runs what writes to the log one after the other: two quick taps must not begin two takes.
 * @param {(log: import("./log.js").Log) => Promise<void>} action
 */
function inTurn(action) {
  shown.work = shown.work
    .then(async () => action(await shell.log))
    .catch(storeFault)
    .then(() => {
      showTicks(document, shown.sheet, shown.state);
      part("end-take").hidden = shown.take === "";
    });
  return shown.work;
}

/** The first tick begins a take, which carries the plan as it is shown. */
function tick(item, value, ticked) {
  return inTurn(async (log) => {
    if (shown.take === "") {
      shown.take = await log.newTake(printed.shot.id, shown.plan, shown.plan.changes);
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
