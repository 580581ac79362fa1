// Warnings that a person has seen and chosen to live with: they step back, and stay. Kept as an act of the take, of the
// warning as it reads now: one that says something else is open again.

import { make } from "./dom.js";
import { makePress } from "./press.js";

/** @typedef {Sheet["warnings"][number] & {act: string}} Warned */

const SEEN = "Seen, chosen";
const AGAIN = "Open again";

/**
 * @param {HTMLElement} place where the warnings stand, a box each, or one box for all that is to be minded
 * @param {object} page
 * @param {() => {plan: Plan, sheet: Sheet}} page.shown
 * @param {ReturnType<typeof import("./take.js").makeTake>} page.take
 * @param {(step: import("./undo.js").Step) => void} page.offer
 */
export function makeChosen(place, { shown, take, offer }) {
  /** @type {{act: string, open: () => boolean, show: (may: boolean) => void, box: HTMLDetailsElement}[]} */
  let closers = [];
  let drawn = /** @type {Element | null} */ (null);
  let may_close = false;

  function show() {
    if (place.lastElementChild !== drawn || closers.length === 0) attach();
    for (const closer of closers) closer.show(may_close);
    for (const box of place.querySelectorAll("details")) {
      box.classList.toggle(
        "chosen",
        closers.every((one) => one.box !== box || !one.open()),
      );
    }
  }

  /** Gives every warning its way to be closed. The page draws them in the order of the sheet, those to be minded last. */
  function attach() {
    const { plan, sheet } = shown();
    drawn = place.lastElementChild;
    const all = sheet.warnings.map((warning, at) => ({ ...warning, act: actOf(plan.warnings[at].id, warning) }));
    const gathered = all.filter(({ level }) => sheet.minds !== "" && level === "mind");
    const boxes = [...place.querySelectorAll("details")];
    closers = [
      ...all.filter((warning) => !gathered.includes(warning)).map((warning, at) => closer(warning, boxes[at], null)),
      ...gathered.map((warning, at) => closer(warning, /** @type {HTMLDetailsElement} */ (boxes.at(-1)), at)),
    ];
  }

  /**
   * @param {Warned} warning @param {HTMLDetailsElement} box
   * @param {number | null} within which of those that are gathered in the box
   */
  function closer({ act, level, head }, box, within) {
    const close = () => keep(act, head, box);
    const press = level === "no-go" ? makePress(`Hold: ${SEEN.toLowerCase()}`, close) : null;
    const button = press?.button ?? make("button", { type: "button" }, SEEN);
    if (!press) {
      button.setAttribute("aria-label", `${SEEN}: ${head}`);
      button.addEventListener("click", close);
    }
    const again = make("button", { type: "button" }, AGAIN);
    again.addEventListener("click", () => {
      takeBack(act);
      box.querySelector("summary")?.focus();
    });
    again.setAttribute("aria-label", `${AGAIN}: ${head}`);
    const answers = make("div", { className: "answers" }, button, again);
    // The box of many holds three paragraphs for each.
    if (within === null) box.append(answers);
    else box.querySelectorAll(":scope > p")[3 * within + 2].after(answers);
    const open = () => !take.now.state.acts.has(act);
    return {
      ...{ act, box, open },
      /** @param {boolean} may */
      show(may) {
        button.hidden = !open();
        again.hidden = open();
        for (const one of [button, again]) one.disabled = !may;
      },
    };
  }

  /** @param {string} act @param {string} head @param {HTMLDetailsElement} box */
  function keep(act, head, box) {
    const land = () => /** @type {HTMLElement} */ (box.querySelector("summary")).focus();
    take.keep("act", { act, text: head }).then(() => {
      box.open = closers.some((one) => one.box === box && one.open());
      land();
    });
    offer({ text: head, back: () => takeBack(act), land });
  }

  /** @param {string} act */
  function takeBack(act) {
    const kept = take.now.state.acts.get(act);
    if (kept) take.keep("undo", { events: [kept.key] });
  }

  return {
    show,
    /** @param {boolean} may */
    allow(may) {
      may_close = may;
      show();
    },
  };
}

/**
 * The name of a warning that says this: its id and a short sum of its words.
 * @param {string} id @param {Pick<Sheet["warnings"][number], "head" | "sum">} warning
 */
export function actOf(id, { head, sum }) {
  let mixed = 0;
  for (const sign of head + sum) mixed = (Math.imul(mixed, 31) + /** @type {number} */ (sign.codePointAt(0))) >>> 0;
  return `${id}.${mixed.toString(36)}`;
}
