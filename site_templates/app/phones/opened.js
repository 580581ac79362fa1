// A plan that came from elsewhere, shown as the page of a shot shows its own: worked out here, turned to other nights,
// starts and spots. Nothing of it is ticked, for its checklist did not come with it.

import { planning as makePlan } from "../core/plan.js";
import { makeDew } from "../shown/dew.js";
import { make, part, tell } from "../touch/dom.js";
import { makeEvery } from "../shown/every.js";
import { makeExposure } from "../shown/exposure.js";
import { fixed } from "../core/say.js";
import { makeFace } from "../shown/face.js";
import { makeFrame } from "../shown/frame.js";
import { newParts } from "../shown/keylist.js";
import { listenForNights, lostText } from "../shown/nights.js";
import { makeOthers } from "../shown/others.js";
import { passing } from "./pass.js";
import { makePower } from "../shown/power.js";
import { makeSpot } from "../shown/spot.js";
import { makeTurning } from "../shown/turning.js";
import { workedOut } from "./worked.js";
import { makeWrong } from "../shown/wrong.js";
import { makeZero } from "../shown/zero.js";

const SECOND_MS = 1000;
/** What stands below the keyframes, and at the end. */
const TOLD = ["shutter", "latest_start", "lost", "swap"];
const CLIP = [
  "view",
  "aim_error",
  "duration",
  "clip",
  "largest_step",
  "top_speed",
  "joins",
  "pace",
  "change",
  "blur",
  "slack",
];

/**
 * Works a plan out and fills the page with it and its texts. Throws as workedOut does, with nothing shown.
 * @param {import("../codes/planfile.js").PlanRead} came @param {import("../shown/nights.js").SkyReach} sky_reach
 * @param {() => string} address of this page, for who is given the plan @param {string} kept_as a name in the tab's own store
 */
export function showOpened(came, sky_reach, address, kept_as) {
  const { plan, sheet } = workedOut(came, sky_reach.sky);
  const reach = { ...sky_reach, makePlan };
  part("pass").append(...passing(came, address));
  layOut(plan, sheet);
  const face = makeFace(plan, null);
  const turning = makeTurning(plan, kept_as, { reach: () => reach, face, show, allow: () => {}, keep: () => {} });
  const turn = (/** @type {object} */ to) => turning.change({ ...turning.asked, ...to });
  const others = makeOthers(section("others"), plan.window.night, {
    shown: () => ({ changes: face.plan.changes, night: face.plan.window.night, reach }),
    compute: turning.planned,
    turn: (night) => {
      turn({ night });
      scrollTo(0, 0); // what came of it stands at the top
    },
  });
  const shift = (/** @type {number} */ exposure_shift_ev) => turn({ exposure_shift_ev });
  const exposure =
    part("exposure") &&
    makeExposure(
      section("exposure"),
      () => face,
      shift,
      async () => {},
    );
  const spot = makeSpot(section("spot"), plan.brief.place, (to) => turn({ spot: to }));
  const parts = [
    others,
    makeFrame(section("frame"), face),
    makeWrong(section("wrong"), plan, turning, () => ({
      plan: face.plan,
      reach,
      rolls: false,
      acts: new Map(),
      before: null,
    })),
    ...(exposure ? [exposure] : []),
    ...(part("power") ? [makePower(section("power"), () => face)] : []),
    ...(part("dew") ? [makeDew(section("dew"), () => face)] : []),
    ...(part("frames") ? [makeEvery(section("frames"), () => face.plan)] : []),
    ...(part("zero") ? [makeZero(section("zero"), () => ({ plan: face.plan, reach }))] : []),
  ];

  part("asking").hidden = true;
  part("opened").hidden = false;
  show(plan, sheet, { plan, sheet });
  turning.takeUp(null);
  tell("lost", lostText(reach));
  part("printed").addEventListener("click", () => turning.change({}));
  listenForNights(
    /** @type {import("../core/sky.js").Sky} */ (reach.sky).span_s,
    () => face.plan.window.night,
    (night) => turn({ night }),
    turning.foresee,
  );
  spot.allow(true);
  exposure?.allow(true);
  setInterval(() => face.tick(Date.now()), SECOND_MS);

  /** @param {*} to @param {Sheet} told @param {{plan: Plan, sheet: Sheet}} kept */
  function show(to, told, kept) {
    face.show(to, told, kept);
    const stop = told.warnings.find(({ level }) => level === "no-go");
    tell("no-go", stop ? `${stop.word}: ${stop.head}. More below.` : "");
    for (const one of parts) one.show();
    spot.show(to.changes.spot ?? null);
    face.tick(Date.now());
  }
}

/** A section that is folded until it is asked for. @param {string} id */
function section(id) {
  return /** @type {HTMLDetailsElement} */ (part(id));
}

/** Places for what is of this shot alone. @param {Plan} plan @param {Sheet} sheet */
function layOut(plan, sheet) {
  const { rule } = plan.brief.night;
  const { latitude_deg, longitude_deg } = plan.place;
  document.title = sheet.title;
  part("rule").textContent = `${rule} of`;
  part("tonight").textContent = rule === "day" ? "The day" : "Tonight";
  part("position").textContent = `${fixed(latitude_deg, 5)}, ${fixed(longitude_deg, 5)}`;
  const coordinates = [latitude_deg, longitude_deg].map((deg) => Number(deg.toFixed(6))); // never with an exponent: RFC 5870
  part("position").setAttribute("href", `geo:${coordinates}`);
  part("program").append(
    ...["first_frame", "last_closes"].map((name) => figure(name, "wide")),
    ...sheet.program.map((name) =>
      figure(name, plan.brief.phases.length > 0 && ["interval", "gap"].includes(name) ? "whole" : ""),
    ),
  );
  const told = sheet.program.includes("interval") ? TOLD : ["interval", ...TOLD];
  part("told").append(...told.map((name) => figure(name)));
  part("clip").prepend(...CLIP.map((name) => figure(name)));
  part("stand").append(
    ...(sheet.rail ? [at("span", "rail"), " · "] : []),
    `${sheet.zero_label} `,
    at("b", "zero_both"),
  );
  if (sheet.zero_sighting) part("stand").append(`, ${sheet.zero_sighting}`);
  const rows = sheet.set_order.map((index) => {
    const row = make("li", {}, ...newParts(sheet, sheet.keyframes[index], index));
    row.dataset.keyframe = String(index);
    return row;
  });
  document.querySelector(".keyframes")?.append(...rows);
  const has = {
    exposure: sheet.exposure !== null,
    power: sheet.power.length > 0,
    dew: sheet.dew.length > 0 || rule === "night",
    frames: plan.keyframes.length > 1,
    zero: "pan" in plan.brief.rig.axes,
  };
  for (const [id, is_there] of Object.entries(has)) if (!is_there) part(id).remove();
}

/** @param {string} name */
function figure(name, width = "") {
  return make("div", { className: width }, at("dt", `labels.${name}`), at("dd", `numbers.${name}`));
}

/** Where a text of the sheet comes to stand. @param {keyof HTMLElementTagNameMap} tag @param {string} path */
function at(tag, path) {
  const place = make(tag);
  place.dataset.v = path;
  return place;
}
