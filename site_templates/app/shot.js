// The page of a shot, joined: what it shows, what turns it, and the take.

import { carriedPlan } from "./carried.js";
import { showLive } from "./clock.js";
import { part, tell } from "./dom.js";
import { makeDew } from "./dew.js";
import { makeEvery } from "./every.js";
import { makeExposure } from "./exposure.js";
import { makeFace } from "./face.js";
import { makeFrame } from "./frame.js";
import { AWAITED, listenForNights, loadNights, lostText } from "./nights.js";
import { makeOthers } from "./others.js";
import { makePower } from "./power.js";
import { startShell } from "./shell.js";
import { makeSpot } from "./spot.js";
import { makeTaking } from "./taking.js";
import { makeTurning } from "./turning.js";
import { makeWrong } from "./wrong.js";
import { makeZero } from "./zero.js";

const SECOND_MS = 1000;
const LIVE_EVERY_MS = 20 * SECOND_MS; // the sky turns a twelfth of a degree in that time
const DAMAGED = "This page is damaged: load it again, or use the card.";
const TOO_OLD = "This browser is too old to compute anything here: use the card.";

const shell = startShell();
const printed = await carriedPlan(part("plan").textContent ?? "").catch(giveUp);
let reach = AWAITED;
let live_ms = 0;
const face = makeFace(printed);
const turning = makeTurning(printed, `${shell.site.prefix}turned|${printed.shot.id}`, {
  reach: () => reach,
  face,
  show,
  allow: (may) => taking.allow(may),
  keep: (changes) => taking.keepChanges(changes),
});
const taking = makeTaking(shell, face, turning.takeUp);
const others = makeOthers(section("others"), printed.window.night, {
  shown: () => ({ changes: face.plan.changes, night: face.plan.window.night, reach }),
  compute: turning.planned,
  turn: (night) => {
    turn(night);
    scrollTo(0, 0); // what came of it stands at the top
  },
});
const exposure = part("exposure") && makeExposure(section("exposure"), () => face, shiftExposure); // where it is planned
const power = part("power") && makePower(section("power"), () => face); // where the files say something of it
const dew = part("dew") && makeDew(section("dew"), () => face); // by day only where the file says something of it
const every = part("frames") && makeEvery(section("frames"), () => face.plan); // a shot that stands still has none
const spot = makeSpot(section("spot"), printed.brief.place, (to) => turning.change({ ...face.plan.changes, spot: to }));
const frame = makeFrame(section("frame"), face);
const wrong = makeWrong(section("wrong"), () => ({ plan: face.plan, reach }));
const zero = part("zero") && makeZero(section("zero"), () => ({ plan: face.plan, reach })); // a rig without pan has none

start();

/** Without its plan the page is what is printed on it. @param {unknown} error @returns {never} */
function giveUp(error) {
  tell("lost", "DecompressionStream" in globalThis ? DAMAGED : TOO_OLD);
  throw error;
}

/** A section that is folded until it is asked for. @param {string} id */
function section(id) {
  return /** @type {HTMLDetailsElement} */ (part(id));
}

function start() {
  show(printed);
  warnOfOtherRevision();
  addEventListener("hashchange", warnOfOtherRevision); // a scan while the page is open only changes the address
  part("printed").addEventListener("click", () => turning.change({}));
  setInterval(tick, SECOND_MS);
  taking.start();
  startSky();
}

/** The sky in its own time: on a poor signal it comes minutes later. */
async function startSky() {
  const { root } = shell.site;
  const years = (part("plan").dataset.years ?? "").split(" ");
  reach = await loadNights(root, years, printed.place.id, printed.window.night);
  if (reach.sky && reach.bar === "") {
    printed.brief.place.tides = reach.tides;
    listenForNights(reach.sky.span_s, () => face.plan.window.night, turn);
    spot.allow(true);
    exposure?.allow(true);
  }
  tell("lost", lostText(reach));
  await taking.read();
  others.show();
  zero?.show();
}

/** @param {string} night */
function turn(night) {
  return turning.change({ ...face.plan.changes, night });
}

/** @param {number} exposure_shift_ev */
function shiftExposure(exposure_shift_ev) {
  return turning.change({ ...face.plan.changes, exposure_shift_ev });
}

function show(plan) {
  face.show(plan);
  exposure?.show();
  power?.show();
  dew?.show();
  every?.show();
  others.show();
  frame.show();
  wrong.show();
  zero?.show();
  spot.show(plan.changes.spot ?? null);
  live_ms = 0;
  tick();
  taking.show();
}

function tick() {
  const now_ms = Date.now();
  face.tick(now_ms);
  if (Math.abs(now_ms - live_ms) < LIVE_EVERY_MS) return;
  live_ms = now_ms;
  showLive(face.plan, reach.sky, taking.places, now_ms);
}

/** The card in the hand may be from another build than this page. */
function warnOfOtherRevision() {
  const asked = /^#r=([0-9A-Z]{6})$/.exec(location.hash);
  if (!asked) return;
  const is_same = asked[1] === printed.revision;
  const words = `This card is revision ${asked[1]}; the page is revision ${printed.revision}. Their numbers may differ.`;
  tell("stale", is_same ? "" : words);
}
