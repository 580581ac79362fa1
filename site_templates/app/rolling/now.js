// The page while the shot runs: what is next on top, MARK and the rig's count under the thumb, where all should stand
// now, the strip. Before frame 1 the countdown, after the last what is left to do.

import { makeActs } from "./actlist.js";
import { makeAlerts } from "./alerts.js";
import { makeAwake } from "../touch/awake.js";
import { makeCells } from "../touch/cells.js";
import { frameNow } from "../shown/clock.js";
import { clock, spanText } from "../core/say.js";
import { make, part, put } from "../touch/dom.js";
import { allActs, nextActs } from "./due.js";
import { clockToSecond, fileNumber } from "../takes/fired.js";
import { aheadMs, jumpWords, makeJumps } from "../touch/jumped.js";
import { makeMarks } from "./marks.js";
import { axesNow, exposureNow, lightNow, packIn } from "./nowlines.js";
import { lasting } from "./order.js";
import { NOTHING, panelOf } from "./panel.js";
import { countWords, makeRigShows } from "./rigshows.js";
import { leave } from "./running.js";

const LIGHT_EVERY_MS = 20000;
const DONE_FROM_MS = 15 * 60000; // an act can be said to be done from so long before it is due

/**
 * @param {object} page
 * @param {{plan: Plan, sheet: Sheet}} page.face
 * @param {ReturnType<typeof import("../list/taking.js").makeTaking>} page.taking
 * @param {() => TakeState | null} page.stateNow of the programme that the page shows; null where it shows another than the take's
 * @param {() => import("../core/sky.js").Sky | null} page.sky
 * @param {() => *} page.told the timing as the rig was told it
 * @param {string} page.key a name in the phone's store
 */
export function makeNow({ face, taking, stateNow, sky, told, key }) {
  const { take, offer, fire, files } = taking;
  const { spans } = face.plan.brief.place.zone;
  const place = part("now");
  const awake = makeAwake(() => alerts.show());
  const alerts = makeAlerts(`${key}alerts`, awake.words);
  const marks = makeMarks({ take, stamp });
  const shows = makeRigShows({ run, spans, keep: keepCount });
  const panel = makePanel(doAct, fireNow, () => place.focus({ preventScroll: true }));
  const jumps = makeJumps(() => ({ utc_ms: Date.now(), since_ms: performance.now() }));
  const jumped = make("p", { className: "warning", hidden: true });
  jumped.setAttribute("role", "alert");
  const line = make("p", { className: "line" });
  const rows = makeRows(["axes", "exposure", "next click", "light", "left", "by the count"]);
  const acts = makeActs((act) => undoAct(act));
  const as_set = make("a", { href: "#set" }, "As set");
  const wrap = lastSection();
  const wrapped = make("button", { type: "button" }, `On the list: ${titleOf(wrap)}`);
  wrapped.addEventListener("click", () => wrap.scrollIntoView());
  const end = make("a", { href: "#end-take" }, "End this take");
  const after = make("p", { className: "tail" }, wrapped, end);
  const strip = make("div", {});
  const controls = make("div", { className: "controls" }, marks.button, shows.button);
  const under = [
    marks.place,
    shows.place,
    rows.place,
    make("p", { className: "tail" }, as_set),
    after,
    acts.place,
    alerts.place,
  ];
  const rest = make("div", { className: "rolling" }, jumped, line, controls, ...under, strip);
  place.append(panel.place, rest);
  place.setAttribute("role", "region");
  place.setAttribute("aria-label", "Now");
  place.tabIndex = -1;
  let light = { at_ms: 0, text: "" };
  /** Where the axes were last said to stand. */
  /** @type {{plan: Plan | null, frame: number, text: string}} */
  let stands = { plan: null, frame: 0, text: "" };
  /** What was last left for other pages. */
  let left = { id: "", state: take.now.state, plan: face.plan };
  /** @type {string} */
  let phase = "";

  /** What a mark is made with. */
  function stamp() {
    const frame = frameNow(face.plan, Date.now());
    return { frame, file: frame === null ? "" : fileNumber(files(), frame) };
  }

  /** What the rig's count is held against. */
  function run() {
    const { fired_ms, counts } = take.now.state;
    const { frames } = face.plan.timing;
    return { timing: told(), frames, expected: stamp().frame ?? 1, fired_ms: fired_ms ?? 0, counts };
  }

  async function fireNow() {
    const is_here = document.activeElement === panel.fire;
    await fire(Math.floor(Date.now() / 1000) * 1000);
    if (is_here) place.focus({ preventScroll: true }); // the button is gone
    offer({ text: "frame 1 fired", back: () => fire(null), land: () => panel.fire.focus() });
  }

  /** @param {number} frame */
  async function keepCount(frame) {
    jumps.forget();
    await take.keep("count", { frame });
    const kept = take.now.state.counts.at(-1);
    if (kept?.frame !== frame) return; // the phone refused it: an undo would take back the one before
    offer({
      text: `rig shows frame ${frame}`,
      back: () => takeBack(kept),
      land: () => shows.button.focus(),
    });
  }

  /** @param {{key: string} | undefined | null} kept */
  function takeBack(kept) {
    if (kept) take.keep("undo", { events: [kept.key] });
  }

  /** @param {import("./due.js").Act} act */
  async function doAct({ act, text }) {
    await take.keep("act", { act });
    offer({ text, back: () => undoAct(act), land: () => panel.done.focus() });
  }

  /** @param {string} act */
  function undoAct(act) {
    takeBack(take.now.state.acts.get(act));
  }

  /** What hangs on the take and the plan, and by the clock: all of it, once a second. @param {number} now_ms */
  function show(now_ms) {
    const state = stateNow();
    const next = state === null ? [] : nextActs(face.plan, face.sheet, state, now_ms);
    const shown = state === null ? NOTHING : panelOf(face.plan, face.sheet, state, next, now_ms);
    if (shown.phase !== phase) enter(shown.phase);
    place.hidden = phase === "";
    if (state === null) return;
    if (state === take.now.state) leaveForOthers();
    panel.show(shown, isDoable(shown.doable, now_ms));
    rest.hidden = phase !== "rolling" && phase !== "ended";
    if (rest.hidden) return;
    const words = jumpWords(jumps.sum(), aheadMs(take.now.events, now_ms));
    put(jumped, words);
    jumped.hidden = words === "";
    const all = allActs(face.plan, face.sheet);
    alerts.hear([{ acts: all, state }], now_ms);
    marks.show(now_ms);
    shows.show();
    acts.show(all, state.acts, spans, now_ms);
    put(line, lineText(state.acts));
    showRows(state, now_ms);
  }

  /** The strip stands under what is next while the shot runs. @param {string} to */
  function enter(to) {
    phase = to;
    document.body.dataset.phase = to;
    const runs = to === "rolling" || to === "ended";
    if (runs) strip.append(part("strip"));
    else part("tonight").after(part("strip"));
    part("tonight").hidden = runs;
    for (const [from, on] of [
      ["#set", "#now"],
      ["#tonight", "#strip"],
    ])
      turnLink(runs ? from : on, runs ? on : from);
    controls.hidden = to !== "rolling";
    as_set.hidden = to !== "rolling";
    after.hidden = to !== "ended";
    awake.want(to === "rolling");
  }

  /** What falls due in this take, for the pages that show several. */
  function leaveForOthers() {
    const { id, state } = take.now;
    const { plan, sheet } = face;
    if (left.id === id && left.state === state && left.plan === plan) return;
    if (left.id !== "" && left.id !== id) leave(key, left.id, left.state, null);
    left = { id, state, plan };
    if (id === "" || state.fired_ms === null) return;
    const { shot, timing, window: window_ } = plan;
    const [letter, title, closes_ms] = [sheet.letter, sheet.title, window_.last_shutter_closes.utc_ms];
    const { segments, frames } = timing;
    leave(key, id, state, {
      shot: shot.id,
      letter,
      title,
      timing: { segments, frames },
      closes_ms,
      acts: allActs(plan, sheet),
    });
  }

  /** @param {TakeState["acts"]} done */
  function lineText(done) {
    const { sheet, plan } = face;
    const { name, by } = packIn(plan, done);
    const pace = `${spanText(plan.timing.interval_ms)}\u00a0×\u00a0${plan.timing.frames}`;
    const { start, end } = plan.window;
    const span = [start, end].map(({ utc_ms }) => clock(utc_ms, spans)).join("\u2013");
    return [sheet.letter, sheet.title, pace, span, ...(name ? [`pack ${name} on${by}`] : [])].join(" · ");
  }

  /** @param {import("../takes/added.js").TakeState} state @param {number} now_ms */
  function showRows(state, now_ms) {
    const frame = phase === "rolling" ? frameNow(face.plan, now_ms) : null;
    if (light.text === "" || Math.abs(now_ms - light.at_ms) > LIGHT_EVERY_MS)
      light = { at_ms: now_ms, text: lightNow(sky(), face.plan.brief, now_ms) };
    if (frame !== null && (stands.plan !== face.plan || stands.frame !== frame)) {
      stands = { plan: face.plan, frame, text: axesNow(face.plan, frame) };
    }
    const exposed = frame === null ? null : exposureNow(face.plan, frame);
    const end_ms = face.plan.window.last_shutter_closes.utc_ms;
    rows.show({
      axes: frame === null ? "" : stands.text,
      exposure: exposed?.setting ?? "",
      "next click": exposed?.due_ms
        ? `${exposed.clicks}, in\u00a0${lasting(Math.max(exposed.due_ms - now_ms, 0))}`
        : "",
      light: frame === null ? "" : light.text,
      left: frame === null ? "" : `${lasting(end_ms - now_ms)}, last shutter closes ${clockToSecond(end_ms, spans)}`,
      "by the count": state.fired_ms === null ? "" : countWords(told(), state.fired_ms, state.counts, spans),
    });
  }

  return {
    show,
    /** @param {boolean} may */
    allow(may) {
      for (const button of [marks.button, shows.button, panel.done, panel.fire]) button.disabled = !may;
    },
  };
}

/** @param {import("./due.js").Act | null} act @param {number} now_ms */
function isDoable(act, now_ms) {
  return act !== null && act.hand && now_ms >= act.due_ms - DONE_FROM_MS;
}

/** What the list ends with, from its first part on. */
function lastSection() {
  const sections = Array.from(document.querySelectorAll("#check > section"));
  const last = titleOf(sections[sections.length - 1]);
  return /** @type {Element} */ (sections.find((section) => titleOf(section) === last));
}

/** Without which part of it this is. @param {Element} section */
function titleOf(section) {
  const heading = section.querySelector("h2 > button, h2");
  return (heading?.firstChild?.textContent ?? "").split(" (")[0].trim();
}

/** @param {string} from @param {string} to */
function turnLink(from, to) {
  /** @type {Object<string, string>} */
  const names = { "#set": "Set", "#now": "Now" };
  const link = /** @type {HTMLAnchorElement | null} */ (document.querySelector(`.jump a[href="${from}"]`));
  if (!link) return;
  link.setAttribute("href", to);
  if (to in names) link.textContent = names[to];
}

/**
 * What is next, between heavy rules.
 * @param {(act: import("./due.js").Act) => void} done @param {() => void} fired
 * @param {() => void} lost called before the button that has the focus goes
 */
function makePanel(done, fired, lost) {
  const lines = ["p", "strong", "p", "p"].map((tag) => make(/** @type {"p"} */ (tag)));
  const [when, what, detail, then] = lines;
  const card = make("div", {}, when, what, detail);
  const said = make("div", {}, card);
  const cells = makeCells();
  const done_button = make("button", { type: "button", disabled: true }, "Done");
  const fire = make("button", { type: "button", disabled: true }, "Frame 1 fired now");
  said.setAttribute("aria-live", "polite"); // no status: that is read out by its name while it is empty
  said.setAttribute("aria-atomic", "true");
  /** @type {import("./due.js").Act | null} */
  let act = null;
  done_button.addEventListener("click", () => act && done(act));
  fire.addEventListener("click", fired);
  const by_hand = make("a", { href: "#fired" }, "Set the time by hand");
  by_hand.addEventListener("click", () => part("fired").querySelector("details")?.setAttribute("open", ""));
  const place = make("div", { className: "next keyed" }, said, cells.place, then, done_button, fire, by_hand);
  when.className = detail.className = then.className = "small";

  /** @param {HTMLButtonElement} button @param {boolean} hidden */
  function hide(button, hidden) {
    if (hidden && button === document.activeElement) lost();
    button.hidden = hidden;
  }

  return {
    place,
    done: done_button,
    fire,
    /** @param {import("./panel.js").Panel} panel @param {boolean} doable */
    show(panel, doable) {
      act = panel.doable;
      place.dataset.due = panel.due;
      const words = [panel.when, panel.what, panel.detail];
      if (words.join("") !== card.textContent) card.remove(); // put back in one piece it is said once, in its order
      [...words, panel.then].forEach((text, at) => {
        put(lines[at], text);
        lines[at].hidden = text === "";
      });
      if (!card.parentElement) said.append(card);
      cells.show(panel.cells);
      hide(done_button, !doable);
      done_button.setAttribute("aria-label", `Done: ${act?.text ?? ""}`);
      hide(fire, !panel.fires);
      by_hand.hidden = !panel.fires || panel.due === "";
    },
  };
}

/** Pairs of a name and what stands now. @param {string[]} names */
function makeRows(names) {
  const values = new Map(names.map((name) => [name, make("dd")]));
  const lines = names.map((name) => make("div", {}, make("dt", {}, name), /** @type {Node} */ (values.get(name))));
  return {
    place: make("dl", { className: "pairs" }, ...lines),
    /** @param {Object<string, string>} texts */
    show(texts) {
      for (const [name, node] of values) {
        put(node, texts[name]);
        /** @type {HTMLElement} */ (node.parentElement).hidden = texts[name] === "";
      }
    },
  };
}
