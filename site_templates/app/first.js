// What works the page of a shot, joined: what it shows, what turns it, and the take. What a thumb needs at once comes here:
// the rest (later.js) follows by itself, or as soon as it is asked for.

import { runOf } from "./takes/asrun.js";
import { makeBegun, planToGoBy } from "./list/begun.js";
import { carriedPlan } from "./shown/carried.js";
import { dayNumber } from "./core/civil.js";
import { dayText } from "./core/say.js";
import { breath } from "./touch/breath.js";
import { showLive } from "./shown/clock.js";
import { focusTop, part, tell } from "./touch/dom.js";
import { makeFace } from "./shown/face.js";
import { toldAnew } from "./takes/added.js";
import { makeNow } from "./rolling/now.js";
import { makeRows } from "./list/rows.js";
import { AWAITED, listenForNights, loadNights, lostText } from "./shown/nights.js";
import { startShell } from "./shell.js";
import { makeTaking } from "./list/taking.js";
import { takenText } from "./shown/turned.js";
import { makeTurning } from "./shown/turning.js";
import { makeWaiting } from "./touch/waiting.js";

const SECOND_MS = 1000;
const LIVE_EVERY_MS = 20 * SECOND_MS; // the sky turns a twelfth of a degree in that time
const DAMAGED = "This page is damaged: load it again, or use the card.";
const NOT_LOADED = "a part of this page did not load";
/** What later.js fills. */
const LATER = ["wrong", "frame", "exposure", "power", "dew", "frames", "others", "spot", "zero", "log", "hand"];
const PATIENCE_MS = 2000; // where a store does not answer

/** @type {() => void} */
let ticks = () => {};
/** When what a take holds was shown. @type {Promise<void>} */
const first = new Promise((done) => {
  ticks = done;
});
/** @type {Promise<typeof import("./unhurried.js") | null> | null} */
let coming = null;
/** @type {ReturnType<typeof import("./later.js").makeLater> | null} */
let later = null;

await breath(); // reading these scripts was a piece of its own
const shell = startShell(first);
const of_page = await carriedPlan(part("plan").textContent ?? "").catch(giveUp);
const { plan: printed, unread } = await planToGoBy(shell.log, of_page, loadReach);
let reach = AWAITED;
let live_ms = 0;
let may_tick = false;
let is_known = false; // whether a take is open, and what it holds
const face = makeFace(printed, of_page);
await breath();
const rows = makeRows(document);
await breath();
const revisions = { now: of_page.revision, by: printed.revision, unread };
const begun = makeBegun(part("older-plan"), revisions, () => allow(false));
const turning = makeTurning(printed, `${shell.site.prefix}turned|${printed.shot.id}`, {
  reach: () => reach,
  face,
  show,
  allow,
  keep: (changes) => taking.keepChanges(changes),
});
const taking = makeTaking(rows, { shell, face, begun, turning, shown: showTake });
const now = makeNow({
  ...{ face, taking, stateNow, sky: () => reach.sky, told: () => turning.told, key: shell.site.prefix },
});
const waiting = makeWaiting(LATER, loadLater);
await breath();
start();

/** What the page cannot read or show leaves it as it is printed. @param {unknown} error @returns {never} */
function giveUp(error) {
  tell("lost", DAMAGED);
  ticks(); // what is stored may mend it
  throw error;
}

function start() {
  face.show(printed, face.sheet);
  tick();
  warnOfOtherRevision();
  addEventListener("hashchange", warnOfOtherRevision); // a scan while the page is open only changes the address
  part("printed").addEventListener("click", turnBack);
  setInterval(tick, SECOND_MS);
  taking.start().then(ticks, giveUp);
  awaitTake().finally(startLater);
}

/** What the take holds is shown once it is read; where the store does not answer, as if none were open. */
async function awaitTake() {
  const late = new Promise((over) => setTimeout(over, PATIENCE_MS, "late"));
  if ((await Promise.race([first, late])) === "late") taking.show();
  await breath();
}

/** Once; null where it does not arrive. */
function loadLater() {
  coming ??= import("./unhurried.js").catch(() => null);
  return coming;
}

/** The sky, and what computes with it. @returns {Promise<import("./shown/nights.js").Reach>} */
async function loadReach() {
  const years = (part("plan").dataset.years ?? "").split(" ");
  const [sky_reach, loaded] = await Promise.all([
    loadNights(shell.site.root, years, of_page.place.id, of_page.window.night),
    loadLater(),
  ]);
  if (loaded) return { ...sky_reach, makePlan: loaded.makePlan };
  return { ...sky_reach, makePlan: null, bar: sky_reach.bar || NOT_LOADED };
}

/** Whether anything may be ticked: not on a page that shows another plan than its take's. @param {boolean} may */
function allow(may) {
  may_tick = may && !begun.locked;
  taking.allow(may_tick);
  now.allow(may_tick);
  later?.allow(may_tick);
}

async function startLater() {
  const sky = loadReach();
  const loaded = await loadLater();
  if (loaded) {
    later = loaded.makeRest({ shell, printed, face, turning, taking, stateNow, reach: () => reach, turn, turnTo });
    later.allow(may_tick);
    later.show();
    later.showTake();
    waiting.arrived();
  } else waiting.failed();
  await startSky(sky);
}

/** The sky in its own time: on a poor signal it comes minutes later. @param {ReturnType<typeof loadReach>} coming_reach */
async function startSky(coming_reach) {
  reach = await coming_reach;
  if (reach.sky && reach.bar === "") {
    printed.brief.place.tides = reach.tides ?? [];
    listenForNights(reach.sky.span_s, () => face.plan.window.night, turn, turning.foresee);
  }
  if (part("lost").textContent !== DAMAGED) tell("lost", lostText(reach));
  live_ms = 0;
  await taking.read();
  tick();
  later?.look();
}

/** @param {string} night */
function turn(night) {
  return turnTo({ ...turning.asked, night }, `turned to ${dayText(dayNumber(night))}`);
}

function turnBack() {
  turnTo({}, "back to the printed plan");
}

/**
 * Turns the page, if there is such a plan; a slip while the shot runs is undone by a tap.
 * @param {import("./shown/turning.js").Changes} changes @param {string} [text] what was done, else the way that was taken
 */
function turnTo(changes, text) {
  const was = turning.asked;
  if (!turning.change(changes)) return false;
  const back = part("printed");
  const land = () => (back.hidden ? focusTop() : back.focus({ preventScroll: true }));
  taking.offer({ text: text ?? takenText(changes.way, face.kept.plan), back: () => turning.change(was), land });
  return true;
}

/** @param {Plan} plan @param {Sheet} sheet @param {Said} [kept] */
function show(plan, sheet, kept) {
  face.show(plan, sheet, kept);
  later?.show();
  live_ms = 0;
  tick();
  taking.show();
}

function showTake() {
  is_known = true;
  follow();
  now.show(Date.now());
  later?.showTake();
}

function tick() {
  const now_ms = Date.now();
  face.tick(now_ms);
  if (is_known) now.show(now_ms);
  later?.tick(now_ms);
  if (Math.abs(now_ms - live_ms) < LIVE_EVERY_MS) return;
  live_ms = now_ms;
  showLive(face.plan, reach.sky, taking.places, now_ms);
}

/**
 * The take, as far as it is of the programme that the page shows: of one that was taken just now nothing is in the log yet.
 * Null where the page cannot show the take's.
 */
function stateNow() {
  const { id, state } = taking.take.now;
  const [shown, kept, asked] = [face.kept.plan.changes, state.changes, turning.asked].map(({ way }) =>
    JSON.stringify(way),
  );
  if (id === "" || shown === kept) return state;
  return shown === asked ? toldAnew(state) : null;
}

/** The page goes by when frame 1 fired, and by the counts. */
function follow() {
  const state = stateNow();
  turning.follow(state && runOf(turning.told, state.fired_ms, state.counts));
}

/** The card in the hand may be from another build than this page. */
function warnOfOtherRevision() {
  const asked = /^#r=([0-9A-Z]{6})$/.exec(location.hash);
  if (!asked) return;
  const is_same = asked[1] === printed.revision;
  const words = `This card is revision ${asked[1]}; the page is revision ${printed.revision}. Their numbers may differ.`;
  tell("stale", is_same ? "" : words);
}
