// Warnings that a person has seen and chosen to live with: they step back, and stay, also where the shot is planned
// anew and their figures move. Kept as an act of the take; one that says something else is open again.

import { say, word } from "../core/say.js";
import { make } from "../touch/dom.js";
import { makePress } from "../touch/press.js";

/** @typedef {Sheet["warnings"][number] & {at: number}} Warned at: which of the plan's */

const SEEN = "Seen, chosen";
const AGAIN = "Open again";
const FEW_MS = 5 * 60000;
const OVER = ".over"; // what it is about was over when it was closed
const SLOT = /\{([a-z_]+)(?:\|([a-z_]+[0-9]?))?\}/g;
const MOMENTS = ["clock", "when"];
/** Slots of words: what a warning is about. Others are of figures, and so are these by name. */
const THINGS = ["text", "word", "cap", "body", "the", "event", "anchor"];
const FIGURES = ["f", "shutter", "iso", "keeps"];
/** Frames, which move with the moments. */
const FRAMES = ["frame", "at", "from", "until", "reserve"];
/** What a warning of needs is about: those of the night that are so. @type {Object<string, boolean | null>} */
const NEEDS = { "warning.need-unmet": false, "warning.need-unknown": null };

/**
 * @param {HTMLElement} place where the warnings stand, a box each, or one box for all that is to be minded
 * @param {object} page
 * @param {() => {plan: Plan, sheet: Sheet}} page.shown
 * @param {ReturnType<typeof import("./take.js").makeTake>} page.take
 * @param {(step: import("../touch/undo.js").Step) => void} page.offer
 */
export function makeChosen(place, { shown, take, offer }) {
  /** @type {{open: () => boolean, show: (may: boolean) => void, box: HTMLDetailsElement}[]} */
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
    const { sheet } = shown();
    drawn = place.lastElementChild;
    const all = sheet.warnings.map((warning, at) => ({ ...warning, at }));
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
  function closer({ at, level, head }, box, within) {
    const { plan, sheet } = shown();
    const close = () => keep(keptAs(plan, sheet, at, Date.now()), head, box);
    const press = level === "no-go" ? makePress(`Hold: ${SEEN.toLowerCase()}`, close) : null;
    const button = press?.button ?? make("button", { type: "button" }, SEEN);
    if (!press) {
      button.setAttribute("aria-label", `${SEEN}: ${head}`);
      button.addEventListener("click", close);
    }
    const again = make("button", { type: "button" }, AGAIN);
    again.addEventListener("click", () => {
      takeBack(actOf(plan, sheet, at));
      box.querySelector("summary")?.focus();
    });
    again.setAttribute("aria-label", `${AGAIN}: ${head}`);
    const answers = make("div", { className: "answers" }, button, again);
    // The box of many holds three paragraphs for each.
    if (within === null) box.append(answers);
    else box.querySelectorAll(":scope > p")[3 * within + 2].after(answers);
    const open = () => !isClosed(take.now.state.closed, plan, sheet, at);
    return {
      ...{ box, open },
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
    offer({ text: head, back: () => takeBack(act.replace(OVER, "")), land });
  }

  /** Closed before or after what it is about was over. @param {string} act */
  function takeBack(act) {
    const { closed } = take.now.state;
    const kept = [act, act + OVER].flatMap((name) => closed.get(name) ?? []);
    if (kept.length > 0) take.keep("undo", { events: kept.map(({ key }) => key) });
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
 * Whether a warning was closed. One that was closed when its moment was over is open where that now lies ahead of then.
 * @param {TakeState["closed"]} closed @param {Plan} plan @param {Sheet} sheet @param {number} at which of their warnings
 */
export function isClosed(closed, plan, sheet, at) {
  const act = actOf(plan, sheet, at);
  const over = closed.get(act + OVER);
  return closed.has(act) || (over !== undefined && overAt(plan, at, over.utc_ms + FEW_MS) !== "");
}

/** The act by which a warning is closed at a moment. @param {Plan} plan @param {Sheet} sheet @param {number} at @param {number} now_ms */
export function keptAs(plan, sheet, at, now_ms) {
  return actOf(plan, sheet, at) + overAt(plan, at, now_ms);
}

/** OVER where what a warning is about is over at an instant, else "". @param {Plan} plan @param {number} at @param {number} utc_ms */
function overAt({ warnings }, at, utc_ms) {
  const { id, args } = warnings[at];
  const [moment] = slotsOf(id).filter(([, sort]) => MOMENTS.includes(sort));
  return moment && args[moment[0]] !== null && Number(args[moment[0]]) < utc_ms ? OVER : "";
}

/**
 * The name of a warning that says this: its id and a short sum of what it is about. The same where its moments, frames and
 * figures move; on another night one that has any is another.
 * @param {Plan} plan @param {Sheet} sheet @param {number} at which of their warnings
 */
function actOf({ warnings, needs, window: { night }, brief }, sheet, at) {
  const { id, args, level } = warnings[at];
  const { head, sum } = sheet.warnings[at];
  const lacking = needs.filter(({ met }) => met === NEEDS[id]).map((need) => [need.id, need.args.target]);
  const still = Object.fromEntries(slotsOf(id).map(([name, sort]) => [name, stillOf(level, name, sort, args[name])]));
  const texts = ["head", "sum"].map((part) =>
    say(`${id}.${part}`, { ...still, needs: JSON.stringify(lacking) }, brief.place.zone.spans),
  );
  const about = texts.join("");
  let mixed = 0;
  for (const sign of level + about + (about === head + sum ? "" : night))
    mixed = (Math.imul(mixed, 31) + /** @type {number} */ (sign.codePointAt(0))) >>> 0;
  return `${id}.${mixed.toString(36)}`;
}

/**
 * What an argument has to do with what a warning is about: a moment or a frame nothing, another figure little. A no-go
 * whose figures about double is another one. @param {string} level @param {string} name @param {string} sort @param {*} value
 */
function stillOf(level, name, sort, value) {
  if (THINGS.includes(sort) && !FIGURES.includes(name)) return value;
  const counts = level === "no-go" && typeof value === "number" && !MOMENTS.includes(sort) && !FRAMES.includes(name);
  return counts && value !== 0 ? Math.sign(value) * 2 ** Math.floor(Math.log2(Math.abs(value))) : 0;
}

/** [name, of what sort] of the arguments of a warning's head and sum. @param {string} id */
function slotsOf(id) {
  const said = word(`${id}.head`) + word(`${id}.sum`);
  return [...said.matchAll(SLOT)].map(([, name, sort = "text"]) => [name, sort]);
}
