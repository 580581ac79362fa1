// The page of a shot, joined: what it shows, what turns it, and the take.

import { carriedPlan } from "./carried.js";
import { showLive } from "./clock.js";
import { part, tell } from "./dom.js";
import { makeFace } from "./face.js";
import { listenForNights, loadNights } from "./nights.js";
import { makeOthers } from "./others.js";
import { startShell } from "./shell.js";
import { makeSpot } from "./spot.js";
import { makeTaking } from "./taking.js";
import { makeTurning } from "./turning.js";
import { makeZero } from "./zero.js";

const SECOND_MS = 1000;
const LIVE_EVERY_MS = 20 * SECOND_MS; // the sky turns a twelfth of a degree in that time

const shell = startShell();
const printed = await carriedPlan(part("plan").textContent ?? "");
/** Once it has arrived. @type {import("./core/sky.js").Sky | null} */
let sky = null;
let live_ms = 0;
const face = makeFace(printed);
const turning = makeTurning(printed, `${shell.site.prefix}turned|${printed.shot.id}`, {
  sky: () => sky,
  face,
  show,
  allow: (may) => taking.allow(may),
  keep: (changes) => taking.keepChanges(changes),
});
const taking = makeTaking(shell, face, turning.takeUp);
const others = makeOthers(section("others"), printed.window.night, {
  shown: () => ({ night: face.plan.window.night, from: JSON.stringify([sky !== null, face.plan.changes.spot]) }),
  compute: turning.planned,
  turn: (night) => {
    turn(night);
    scrollTo(0, 0); // what came of it stands at the top
  },
});
const spot = makeSpot(section("spot"), printed.brief.place, (to) => turning.change({ ...face.plan.changes, spot: to }));
const zero = part("zero") && makeZero(section("zero"), () => ({ plan: face.plan, sky })); // a rig without pan has none

start();

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
  const found = await loadNights(root, years, printed.place.id, printed.window.night);
  sky = found.tides && found.sky;
  if (sky) {
    printed.brief.place.tides = found.tides;
    listenForNights(sky.span_s, () => face.plan.window.night, turn);
    spot.allow(true);
  }
  tell("lost", found.lost);
  await taking.read();
  others.show();
  zero?.show();
}

/** @param {string} night */
function turn(night) {
  return turning.change({ ...face.plan.changes, night });
}

function show(plan) {
  face.show(plan);
  others.show();
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
  showLive(face.plan, sky, taking.places, now_ms);
}

/** The card in the hand may be from another build than this page. */
function warnOfOtherRevision() {
  const asked = /^#r=([0-9A-Z]{6})$/.exec(location.hash);
  if (!asked) return;
  const is_same = asked[1] === printed.revision;
  const words = `This card is revision ${asked[1]}; the page is revision ${printed.revision}. Their numbers may differ.`;
  tell("stale", is_same ? "" : words);
}
