// When the night goes otherwise: a start that comes late, a stop after a frame, another interval; the ways to go on,
// computed here, each a tap away; and where on the page else it may be turned.

import { frameNow } from "./clock.js";
import { nightOf, opening } from "../core/anchors.js";
import { pathOf } from "../core/frames.js";
import { opensOf } from "../core/opened.js";
import { msOf } from "../core/pace.js";
import { lateBy } from "../core/plan.js";
import { PlanProblem } from "../core/problem.js";
import { programmeOf } from "../core/programme.js";
import { recoveryOf } from "../core/recovery.js";
import { clock as clockText, say } from "../core/say.js";
import { atSpot } from "../core/spot.js";
import { make, part } from "../touch/dom.js";
import { swappedFrames } from "../takes/swapped.js";
import { refill } from "../touch/refill.js";
import { makeOtherPace } from "./otherpace.js";
import { waysTold } from "./ways.js";

const MINUTE_MS = 60000;
const DAY_MS = 24 * 60 * MINUTE_MS;
const CLOCK = /^([01]?[0-9]|2[0-3])[:.]([0-5][0-9])$/;
const KEYING = "15"; // minutes, as a first guess: 5 to 15 are usual
/** What was in force before a stop goes with the way that is taken after it. */
const BEFORE = ["start_ms", "interval_ms", "way", "run", "swapped"];
/** Where else the page is turned, by the id of its section. */
const ELSEWHERE = {
  night: "Another night, by its date",
  others: "Nights around, compared",
  spot: "Another spot",
  exposure: "The light runs ahead, or behind",
};

/** @typedef {import("./turning.js").Changes} Changes @typedef {{plan: Plan, reach: import("./nights.js").Reach, rolls: boolean, acts: TakeState["acts"], before: object | null}} Shown */

/**
 * Fills the section when it is first opened.
 * @param {HTMLDetailsElement} box @param {Plan} printed the printed plan
 * @param {ReturnType<typeof import("./turning.js").makeTurning>} turning
 * @param {() => Shown} shown rolls: whether frame 1 has fired; acts: what is done; before: what was asked for before, as the log has it
 * @param {(changes: Changes, text?: string) => boolean} turnTo as turning.change; on a page with an undo it may be taken back there
 * @returns {{show: () => void, look: () => void}} show: the page shows another plan, and what was told is of the one before
 */
export function makeWrong(box, printed, turning, shown, turnTo = turning.change) {
  const { spans } = printed.brief.place.zone;
  const clock = field("first frame at", "20:15");
  const frame = field("stopped after frame", "612");
  const minutes = field("minutes until it rolls", KEYING);
  const said = make("p");
  said.setAttribute("role", "status");
  const told = make("div");
  const undo = make("button", { type: "button", hidden: true }, "Not after all: back to before");
  const pace = makeOtherPace(
    shown,
    (interval_ms) => turning.compute(paced(interval_ms)),
    (interval_ms) => take(paced(interval_ms), "another interval"),
  );
  /** Without a take: what was asked for before the last thing that was taken here, and since. @type {Changes | null} */
  let before = null;
  let taken = "";
  /** @type {Plan | null} */
  let told_of = null;
  /** What was asked before the sky was there. @type {Parameters<typeof answer>[0] | null} */
  let early = null;

  /** @param {Changes} changes @param {string} [text] what is taken, where it is no way that the page names itself */
  function take(changes, text) {
    const was = turning.asked;
    if (!turnTo(changes, text)) return scrollTo(0, 0);
    before = was;
    taken = JSON.stringify(turning.asked);
    leave();
  }

  /** What came of it stands at the top, and so does the focus: it would be lost in the folded box. */
  function leave() {
    box.open = false;
    scrollTo(0, 0);
    const back = part("printed");
    (back.hidden ? /** @type {HTMLElement} */ (box.querySelector("summary")) : back).focus({ preventScroll: true });
  }

  /** A late start that keeps its end by its interval keeps it by its frames, with another one. @param {number} interval_ms @returns {Changes} */
  function paced(interval_ms) {
    const { way, ...rest } = turning.asked;
    const kept = way?.id === "interval" ? { id: "frames", start_ms: way.start_ms } : way;
    return { ...rest, ...(kept ? { way: kept } : {}), interval_ms };
  }

  /** @param {() => {plan: Plan, take: (id: string) => unknown} | string} ask what is told, or what is wrong with what was typed */
  function answer(ask) {
    const { reach } = shown();
    early = reach.bar === "" ? null : ask;
    const found = reach.bar === "" ? tried(ask, spans) : `Not yet: ${reach.bar}.`;
    said.textContent = typeof found === "string" ? found : waysText(found.plan);
    if (typeof found !== "string") refill(told, ...waysTold(found.plan, found.take));
  }

  const starts = make("button", { type: "button" }, "It starts late");
  starts.addEventListener("click", () => answer(() => lateStart(clock.value)));
  askedBy(starts, clock);
  const late = make("div", { className: "late" }, make("h2", {}, "It starts late"), asking(clock), starts); // until it has begun
  const stopped = make("button", { type: "button" }, "It stopped");
  stopped.addEventListener("click", () => answer(() => stop(frame.value, minutes.value)));
  askedBy(stopped, frame, minutes);
  undo.addEventListener("click", () => {
    const was = wasBefore() ?? {};
    before = null;
    turnTo(was, "back to before");
    leave();
  });

  /** The log knows it for longer than this page. @returns {Changes | null} */
  function wasBefore() {
    return shown().before ?? (JSON.stringify(turning.asked) === taken ? before : null);
  }

  /** @param {string} typed */
  function lateStart(typed) {
    const found = CLOCK.exec(typed.trim());
    if (!found) return `Not a clock time: “${typed}”. Write 20:15.`;
    const { plan, reach } = shown();
    if (plan.changes.way?.frame !== undefined)
      return "It goes on after a stop: under “It stopped” tell in how many minutes.";
    const { here, night, timing, brief } = programmeFor(printed, plan, skyOf(reach));
    const shot = { brief: here, night, timing, opens: opensOf(brief, plan.exposure) };
    const start_ms = opening(night, { clock_s: Number(found[1]) * 3600 + Number(found[2]) * 60 }, "start") * 1000;
    const late_told = lateBy(shot, plan.changes, start_ms);
    if (late_told === null) return `${typed} is not later than planned.`;
    const { start_ms: _start, way: _way, ...rest } = turning.asked;
    return {
      plan: { ...plan, late: late_told, recovery: null },
      take: (/** @type {string} */ id) => take({ ...rest, way: { id, start_ms } }),
    };
  }

  /** Minutes count from now while the shot is on, else from the frame. @param {string} typed @param {string} wait */
  function stop(typed, wait) {
    const [after, wait_min] = [typed, wait].map((text) => (/^[0-9]{1,6}$/.test(text.trim()) ? Number(text) : NaN));
    if (Number.isNaN(after)) return `Not a frame: “${typed}”. Write what the rig shows, such as 612.`;
    if (Number.isNaN(wait_min)) return `Not minutes: “${wait}”. Write a whole number, such as 15.`;
    const plan = planThatStopped();
    if (typeof plan === "string") return plan;
    const { night, timing, brief } = programmeFor(printed, plan, skyOf(shown().reach));
    const stopped_at = { frame: after, rolling_ms: rollsAt(timing, after, wait_min * MINUTE_MS) };
    const shot = { brief, night, timing, opens: opensOf(brief, plan.exposure) };
    const recovery = recoveryOf(shot, pathOf(plan), stopped_at);
    return {
      plan: { ...plan, late: null, recovery },
      take: (/** @type {string} */ id) =>
        take(wayOn({ ...plan.changes, swapped: swappedUntil(plan, after) }, { id, ...stopped_at })),
    };
  }

  /** Where packs were changed until the stop, by the log. @param {Plan} stopped @param {number} frame */
  function swappedUntil(stopped, frame) {
    const { plan, acts } = shown();
    const known = stopped === plan ? swappedFrames(plan, acts, frame) : (plan.changes.way?.after?.swapped ?? []);
    const until = known.map((at) => Math.min(at, frame + 1));
    return until.length > 0 ? until : undefined;
  }

  /** Until what was taken after a stop rolls, it is asked anew of what stopped. @returns {*} a plan, or why there is none */
  function planThatStopped() {
    const { plan, rolls } = shown();
    const { way, interval_ms: _pace, ...rest } = plan.changes;
    if (way?.frame === undefined || rolls) return plan;
    const found = turning.compute({ ...rest, ...way.after });
    return "why" in found ? `No plan for what stopped: ${found.why}.` : found.plan;
  }

  /** What is likely, where nothing was typed yet: now. */
  function prefill() {
    const { plan, rolls } = shown();
    const now_ms = Date.now();
    const { start, end } = plan.window;
    const { way } = plan.changes;
    const again = way?.frame !== undefined && !rolls ? way.frame : null;
    const showing = rolls ? frameNow(plan, now_ms) : null;
    if (frame.value === "") frame.value = String(again ?? showing ?? "");
    if (minutes.value === "") minutes.value = KEYING;
    if (clock.value === "" && !rolls && start.utc_ms < now_ms && now_ms < end.utc_ms)
      clock.value = clockText(Math.ceil(now_ms / MINUTE_MS) * MINUTE_MS, spans);
  }

  function fill() {
    box.append(
      undo,
      late,
      make("h2", {}, "It stopped"),
      asking(frame, minutes),
      stopped,
      said,
      told,
      make("h2", {}, "Another interval"),
      make("div", {}, ...pace.nodes),
      make("h2", {}, "Another night, spot or light"),
      make(
        "div",
        { className: "elsewhere" },
        ...Object.entries(ELSEWHERE)
          .filter(([id]) => part(id))
          .map(([id, name]) => wayTo(id, name)),
      ),
    );
  }

  box.addEventListener("toggle", () => {
    if (!box.open) return;
    if (!told.parentElement) fill();
    late.hidden = shown().rolls;
    undo.hidden = wasBefore() === null;
    pace.show();
    prefill();
  });
  return {
    show() {
      const { plan } = shown();
      if (box.open) pace.show();
      undo.hidden = wasBefore() === null;
      if (told_of !== null && told_of !== plan) {
        refill(told);
        said.textContent = "";
        clock.value = frame.value = "";
        early = null;
      }
      told_of = plan;
    },
    /** The sky is there, or is known not to be: what was asked meanwhile is answered. */
    look() {
      if (early) answer(early);
      pace.look();
    },
  };
}

/** @param {string} name @param {string} placeholder */
function field(name, placeholder) {
  return make("input", { type: "text", autocomplete: "off", maxLength: 6, ariaLabel: name, placeholder });
}

/** Enter in a field asks, as its button does. @param {HTMLButtonElement} button @param {HTMLInputElement[]} fields */
function askedBy(button, ...fields) {
  for (const one of fields) one.addEventListener("keydown", ({ key }) => key === "Enter" && button.click());
}

/** How many ways there are, for those who hear that the tap was answered. @param {Plan} plan with `late` or `recovery` */
function waysText({ late, recovery }) {
  const { options } = /** @type {Late | Recovery} */ (late ?? recovery);
  const can = options.filter(({ why }) => why === null).length;
  return `${can} of ${options.length} ways are possible; they stand below.`;
}

/** Fields side by side, each under its name. @param {HTMLInputElement[]} fields */
function asking(...fields) {
  return make("p", { className: "where" }, ...fields.map((one) => make("label", {}, one.ariaLabel ?? "", one)));
}

/** A button that opens another part of the page. @param {string} id @param {string} name */
function wayTo(id, name) {
  const button = make("button", { type: "button" }, name);
  button.addEventListener("click", () => {
    const place = part(id);
    if (place instanceof HTMLDetailsElement) place.open = true;
    const target = /** @type {HTMLElement} */ (place.querySelector("summary") ?? place);
    target.focus({ preventScroll: true });
    target.scrollIntoView({ block: "start" });
  });
  return button;
}

/** What comes of it, or in words why nothing does. @template T @param {() => T} ask @param {Span[]} spans */
function tried(ask, spans) {
  try {
    return ask();
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    const found = say(`${error.id}.found`, error.args, spans);
    return `${found.replace(/^./, (sign) => sign.toUpperCase())}.`;
  }
}

/** Nothing is asked for before the sky is there. @param {import("./nights.js").Reach} reach */
function skyOf({ sky }) {
  return /** @type {Sky} */ (sky);
}

/**
 * What the rig is told by a plan that is shown; here: the shot at its spot, as its file has it.
 * @param {Plan} printed @param {Plan} plan @param {Sky} sky
 */
function programmeFor(printed, plan, sky) {
  const here = atSpot(printed.brief, plan.changes);
  const night = nightOf(here, sky, { ...here.night, date: plan.window.night });
  return { here, night, ...programmeOf(here, night, plan.changes) };
}

/** When it rolls again [ms UTC]. @param {Timing} timing @param {number} after the last frame @param {number} wait_ms */
function rollsAt(timing, after, wait_ms) {
  const stood_ms = msOf(timing, after);
  const now_ms = Date.now();
  return (stood_ms < now_ms && now_ms < stood_ms + DAY_MS ? now_ms : stood_ms) + wait_ms;
}

/** What is asked for, with a way on: what was in force before the stop goes with it. @param {Changes} changes @param {import("./turned.js").Way} way @returns {Changes} */
function wayOn(changes, way) {
  const parts = Object.entries(changes).filter(([, value]) => value !== undefined);
  const after = Object.fromEntries(parts.filter(([name]) => BEFORE.includes(name)));
  const rest = Object.fromEntries(parts.filter(([name]) => !BEFORE.includes(name)));
  return { ...rest, way: { ...way, ...(Object.keys(after).length > 0 ? { after } : {}) } };
}
