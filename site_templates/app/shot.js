// The page of a shot, joined: what it shows, what turns it, and the take.

import { runOf } from "./asrun.js";
import { makeBegun, planToGoBy } from "./begun.js";
import { carriedPlan } from "./carried.js";
import { showLive } from "./clock.js";
import { part, tell } from "./dom.js";
import { makeDew } from "./dew.js";
import { makeEvery } from "./every.js";
import { makeExposure } from "./exposure.js";
import { makeExport } from "./export.js";
import { makeFace } from "./face.js";
import { makeFrame } from "./frame.js";
import { makeHanding } from "./handing.js";
import { makeLogBox } from "./logbox.js";
import { makeNow } from "./now.js";
import { AWAITED, listenForNights, loadNights, lostText } from "./nights.js";
import { makeOthers } from "./others.js";
import { makePower } from "./power.js";
import { startShell } from "./shell.js";
import { makeSpot } from "./spot.js";
import { changesBefore } from "./stops.js";
import { makeTaking } from "./taking.js";
import { makeTurning } from "./turning.js";
import { makeWrong } from "./wrong.js";
import { makeZero } from "./zero.js";

const SECOND_MS = 1000;
const LIVE_EVERY_MS = 20 * SECOND_MS; // the sky turns a twelfth of a degree in that time
const DAMAGED = "This page is damaged: load it again, or use the card.";

const shell = startShell();
const of_page = await carriedPlan(part("plan").textContent ?? "").catch(giveUp);
const { plan: printed, unread } = await planToGoBy(shell.log, of_page, loadSky);
let reach = AWAITED;
let live_ms = 0;
const face = makeFace(printed, of_page);
const revisions = { now: of_page.revision, by: printed.revision, unread };
const begun = makeBegun(part("older-plan"), revisions, () => allow(false));
const turning = makeTurning(printed, `${shell.site.prefix}turned|${printed.shot.id}`, {
  reach: () => reach,
  face,
  show,
  allow,
  keep: (changes) => taking.keepChanges(changes),
});
const taking = makeTaking(shell, face, begun, turning.takeUp, () => {
  follow();
  now.show(Date.now());
  handing.show();
  logbox.show();
});
const now = makeNow({
  ...{ face, taking, sky: () => reach.sky, told: () => turning.told, key: shell.site.prefix },
});
const exports = makeExport(shell.site, shell.log);
const logbox = makeLogBox(section("log"), taking.take, exports);
const handing = makeHanding({ shell, printed, face, taking, exports, compute: turning.compute });
const others = makeOthers(section("others"), printed.window.night, {
  shown: () => ({ changes: face.kept.plan.changes, night: face.plan.window.night, reach }),
  compute: turning.planned,
  turn: (night) => {
    turn(night);
    scrollTo(0, 0); // what came of it stands at the top
  },
});
const exposure = part("exposure") && makeExposure(section("exposure"), () => face, shiftExposure, taking.reads); // where it is planned
const power = part("power") && makePower(section("power"), () => face); // where the files say something of it
const dew = part("dew") && makeDew(section("dew"), () => face); // by day only where the file says something of it
const every = part("frames") && makeEvery(section("frames"), () => face.plan); // a shot that stands still has none
const spot = makeSpot(section("spot"), printed.brief.place, (to) =>
  turning.change({ ...turning.asked, spot: to ?? undefined }),
);
const frame = makeFrame(section("frame"), face);
const wrong = makeWrong(section("wrong"), printed, turning, () => ({
  ...{
    plan: face.plan,
    reach,
    rolls: taking.take.now.state.fired_ms !== null,
    before: changesBefore(taking.take.now.events),
  },
}));
const zero = part("zero") && makeZero(section("zero"), () => ({ plan: face.plan, reach })); // a rig without pan has none

start();

/** Without its plan the page is what is printed on it. @param {unknown} error @returns {never} */
function giveUp(error) {
  tell("lost", DAMAGED);
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
  part("printed").addEventListener("click", turnBack);
  setInterval(tick, SECOND_MS);
  taking.start();
  startSky();
}

function loadSky() {
  const years = (part("plan").dataset.years ?? "").split(" ");
  return loadNights(shell.site.root, years, of_page.place.id, of_page.window.night);
}

/** Whether anything may be ticked: not on a page that shows another plan than its take's. @param {boolean} may */
function allow(may) {
  taking.allow(may && !begun.locked);
  now.allow(may && !begun.locked);
  logbox.allow(may && !begun.locked);
}

/** The sky in its own time: on a poor signal it comes minutes later. */
async function startSky() {
  reach = await loadSky();
  if (reach.sky && reach.bar === "") {
    printed.brief.place.tides = reach.tides ?? [];
    listenForNights(reach.sky.span_s, () => face.plan.window.night, turn, turning.foresee);
    spot.allow(true);
    exposure?.allow(true);
  }
  tell("lost", lostText(reach));
  live_ms = 0;
  await taking.read();
  tick();
  handing.look();
  others.show();
  zero?.show();
}

/** @param {string} night */
function turn(night) {
  return turning.change({ ...turning.asked, night });
}

/** To the printed plan; a slip while the shot runs is undone by a tap. */
function turnBack() {
  const was = turning.asked;
  if (!turning.change({})) return;
  const land = () => part("printed").focus({ preventScroll: true });
  taking.offer({ text: "back to the printed plan", back: () => turning.change(was), land });
}

/** @param {number} exposure_shift_ev */
function shiftExposure(exposure_shift_ev) {
  return turning.change({ ...turning.asked, exposure_shift_ev });
}

/** @param {Plan} plan @param {Sheet} [sheet] @param {Said} [kept] */
function show(plan, sheet, kept) {
  face.show(plan, sheet, kept);
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
  now.show(now_ms);
  handing.tick(now_ms);
  if (Math.abs(now_ms - live_ms) < LIVE_EVERY_MS) return;
  live_ms = now_ms;
  showLive(face.plan, reach.sky, taking.places, now_ms);
}

/** The page goes by when frame 1 fired, and by the counts. */
function follow() {
  const { fired_ms, counts } = taking.take.now.state;
  turning.follow(runOf(turning.told, fired_ms, counts));
}

/** The card in the hand may be from another build than this page. */
function warnOfOtherRevision() {
  const asked = /^#r=([0-9A-Z]{6})$/.exec(location.hash);
  if (!asked) return;
  const is_same = asked[1] === printed.revision;
  const words = `This card is revision ${asked[1]}; the page is revision ${printed.revision}. Their numbers may differ.`;
  tell("stale", is_same ? "" : words);
}
