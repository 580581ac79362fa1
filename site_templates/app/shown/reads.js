// "Camera now reads": how far the camera stands from the plan at a frame, and the shift that takes the rest along.

import { rungsOf } from "../core/opened.js";
import { say, word } from "../core/say.js";
import { frameNow } from "./clock.js";
import { make } from "../touch/dom.js";

const CLICKS = 3;
const NAMES = ["aperture", "shutter", "iso"];

/**
 * What the camera shows is chosen from all that the shot may set; no sky is asked.
 * @param {() => {plan: Plan}} shown @param {(shift_ev: number) => unknown} shift
 * @param {(reading: {frame: number, f: string, shutter: string, iso: string}) => unknown} keep what was read, in the log
 * @returns {{nodes: Node[], show: () => void, allow: (may: boolean) => void}}
 */
export function makeReads(shown, shift, keep) {
  const at = make("input", { type: "text", inputMode: "numeric", autocomplete: "off", maxLength: 6 });
  const controls = NAMES.map(() => make("select"));
  const labels = NAMES.map((name, n) => make("label", {}, word(`reads.${name}`), controls[n]));
  const said = make("p");
  said.setAttribute("role", "status");
  const take = make("button", { type: "button", disabled: true }, word("reads.take"));
  let may = false;
  let shift_ev = 0;

  function show() {
    const { plan } = shown();
    at.value = String(frameNow(plan, Date.now()) ?? 1);
    choose();
  }

  /** What is planned at the frame is where the hand begins. */
  function choose() {
    const { plan } = shown();
    const marks = ladderOf(plan)[rungAt(plan, frameOf(plan))];
    controls.forEach((control, place) => {
      const choices = marksOf(plan, place);
      control.replaceChildren(...choices.map((mark) => make("option", { selected: mark === marks[place] }, mark)));
      labels[place].hidden = choices.length < 2;
    });
    tell();
  }

  /** @param {Plan} plan a frame of it, whatever is typed */
  function frameOf(plan) {
    return Math.min(Math.max(Math.trunc(Number(at.value)) || 1, 1), plan.timing.frames);
  }

  function tell() {
    const { plan } = shown();
    const exposure = /** @type {Exposure} */ (plan.exposure);
    const frame = frameOf(plan);
    const rung = rungAt(plan, frame);
    const marked = ladderOf(plan)[rung];
    const [f, shutter, iso] = marked;
    const clicks = controls.reduce((sum, control, place) => {
      const marks = marksOf(plan, place);
      return sum + marks.indexOf(control.value) - marks.indexOf(String(marked[place]));
    }, 0);
    const planned = say("exposed.setting", { f, shutter, iso }, []);
    const total = rung - exposure.first_rung + clicks;
    said.textContent = say("reads.against", { ev: clicks / CLICKS, planned, frame, total }, []);
    shift_ev = (Math.round(exposure.shift_ev * CLICKS) + clicks) / CLICKS;
    take.disabled = !may || clicks === 0;
  }

  at.addEventListener("change", choose);
  for (const control of controls) control.addEventListener("change", tell);
  take.addEventListener("click", () => {
    const [f, shutter, iso] = controls.map(({ value }) => value);
    const reading = { frame: frameOf(shown().plan), f, shutter, iso };
    if (shift(shift_ev)) keep(reading);
  });
  return {
    nodes: [
      make("h2", {}, word("reads.title")),
      make("p", { className: "where" }, make("label", {}, word("reads.frame"), at), ...labels),
      said,
      take,
    ],
    show,
    allow(allowed) {
      may = allowed;
      if (at.value !== "") tell();
    },
  };
}

/** The place on the ladder that stands at a frame. @param {Plan} plan @param {number} frame */
function rungAt(plan, frame) {
  const rungs = rungsOf(/** @type {Exposure} */ (plan.exposure));
  return (rungs.findLast(([from]) => from <= frame) ?? rungs[0])[1];
}

/** The section stands only where the exposure is planned. @param {Plan} plan */
function ladderOf({ brief }) {
  return /** @type {BriefExposure} */ (brief.exposure).ladder;
}

/**
 * The marks of a control in the order of more exposure, a third of a stop apart.
 * @param {Plan} plan @param {number} place @returns {string[]}
 */
function marksOf(plan, place) {
  return [...new Set(ladderOf(plan).map((rung) => String(rung[place])))];
}
