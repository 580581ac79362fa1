// What the page of a shot shows of a plan: its texts, lists and strip, and what of them goes by the clock.

import { drawBar } from "./bar.js";
import { fill, fillTable, markOf } from "../touch/bind.js";
import { dimDeadlines, frameNow } from "./clock.js";
import { makeSheet } from "../core/sheet.js";
import { make, part } from "../touch/dom.js";
import { makeKeyList } from "./keylist.js";
import { refill } from "../touch/refill.js";
import { drawStrip } from "./strip.js";

const SAME_AIM_DEG = 0.5; // nobody sets an angle better by hand

/** What has as many lines as the night gives it. */
const TABLES = {
  limits: (/** @type {Sheet} */ sheet) => sheet.limits.map(({ label, clock: at }) => [label, at]),
  deadlines: (/** @type {Sheet} */ sheet) => sheet.deadlines.map(({ label, clock: at }) => [label, at]),
  "sky-lines": (/** @type {Sheet} */ sheet) =>
    [...sheet.sky_lines, ...sheet.arch_lines].map(({ name, text }) => [name, text]),
  needs: (/** @type {Sheet} */ sheet) => sheet.needs.map(({ name, verdict }) => [name, verdict]),
  sky: (/** @type {Sheet} */ sheet) => sheet.sky.map(({ name, clock: at, frame }) => [name, at, frame]),
};

/**
 * The page as it stands: what is printed, until it is turned.
 * @param {Plan} printed the printed plan @param {Plan | null} of_page the one that stands in the page's markup; null where none does
 */
export function makeFace(printed, of_page) {
  const printed_sheet = makeSheet(printed);
  const key_list = makeKeyList(printed_sheet);
  /** @type {number | null} */
  let frame = null;
  let warned = of_page && JSON.stringify((of_page === printed ? printed_sheet : makeSheet(of_page)).warnings);

  const face = {
    plan: printed,
    sheet: printed_sheet,
    printed_sheet,
    /** What is kept and what ticks stand by: the same, however the rig is seen to run. */
    kept: { plan: printed, sheet: printed_sheet },
    /**
     * Shows another plan, or the same anew.
     * @param {Plan} plan @param {Sheet} sheet @param {{plan: Plan, sheet: Sheet}} kept
     */
    show(plan, sheet, kept = { plan, sheet }) {
      Object.assign(face, { plan, sheet, kept });
      key_list.show(plan, sheet);
      fill(document, face.sheet, printed_sheet);
      showWarnings();
      showTables();
      drawBar(part("interval"), plan, face.sheet);
      doubtSightings();
      if (part("better")) part("better").hidden = plan !== of_page; // the printed night's alone
      /** @type {HTMLInputElement} */ (part("night")).value = plan.window.night;
      showStrip();
    },
    /** @param {number} now_ms */
    tick(now_ms) {
      dimDeadlines(face.plan, now_ms);
      if (frameNow(face.plan, now_ms) !== frame) showStrip();
    },
  };
  return face;

  /** Drawn anew only where they differ: one that was unfolded stays so, and none is read out again. */
  function showWarnings() {
    const { warnings } = face.sheet;
    const now = JSON.stringify(warnings);
    if (now === warned) return;
    warned = now;
    refill(part("warnings"), ...warningBoxes(face.sheet));
    if (warnings.length === 1) part("warnings").querySelector("details")?.setAttribute("open", "");
  }

  function showTables() {
    for (const [id, lines] of Object.entries(TABLES)) fillTable(part(id), lines(face.sheet), lines(printed_sheet));
    part("needs")
      .querySelectorAll("tr")
      .forEach((row, at) => {
        row.dataset.mark = markOf(face.sheet.needs[at].met);
      });
  }

  /** A sighting that was written for the printed night and still stands: where the aim has moved, it says for which. */
  function doubtSightings() {
    for (const place of document.querySelectorAll("[data-sighting]")) {
      const index = Number(/** @type {HTMLElement} */ (place).dataset.sighting);
      const stands = face.sheet.keyframes[index].sighting === printed_sheet.keyframes[index].sighting;
      const moved =
        stands &&
        ["pan", "tilt"].some((axis) => {
          const change = face.plan.keyframes[index].axes[axis] - printed.keyframes[index].axes[axis];
          return Math.abs(change) > SAME_AIM_DEG;
        });
      place.textContent = moved ? ` (sighting for ${printed_sheet.night} only)` : "";
      place.className = moved ? "differs" : "";
    }
  }

  function showStrip() {
    frame = frameNow(face.plan, Date.now());
    const lines = face.sheet.keyframes.map(({ line }) => line);
    part("strip").replaceChildren(drawStrip(face.sheet.strip, lines, frame, printed_sheet.strip));
  }
}

/** A box each, but what is to be minded gathered in one where it is more than one thing. @param {Sheet} sheet */
function warningBoxes({ warnings, minds }) {
  const gathered = warnings.filter(({ level }) => minds !== "" && level === "mind");
  const single = warnings.filter((warning) => !gathered.includes(warning));
  const boxes = single.map((warning) =>
    warningBox(warning.level, `${warning.word}: ${warning.head}`, sumAndFix(warning)),
  );
  if (minds === "") return boxes;
  const all = gathered.flatMap((warning) => [make("p", {}, make("b", {}, warning.head)), ...sumAndFix(warning)]);
  return [...boxes, warningBox("minds", minds, all)];
}

/** @param {string} level @param {string} line @param {Node[]} more */
function warningBox(level, line, more) {
  return make("details", { className: `warning ${level}` }, make("summary", {}, line), ...more);
}

/** @param {Sheet["warnings"][number]} warning */
function sumAndFix({ sum, fix }) {
  return [make("p", {}, sum), make("p", {}, fix)];
}
