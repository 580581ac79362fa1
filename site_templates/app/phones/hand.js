// Handing over the watch: six lines to read aloud, who has it, the take as a code for the other phone's camera, and
// its whole log as a file.

import { sixLines } from "./aloud.js";
import { clock } from "../core/say.js";
import { make, put } from "../touch/dom.js";
import { pageAddress } from "../keep/host.js";
import { makeLines, oneLine, wholeLine } from "../takes/loglines.js";
import { recall, remember } from "../touch/recall.js";
import { screenCode } from "../codes/screencode.js";

const NAME_MOST = 24;
const SHOW = "You have it: show the code";
const UNKNOWN = "not known: the page shows another plan than the take's";
const OTHER_STORE =
  "Both phones need this site from the same address. On some phones a code opens in the browser, which keeps a store of its own beside the home screen's.";

/**
 * Fills the section when it is first opened.
 * @param {HTMLDetailsElement} box
 * @param {object} page
 * @param {{plan: Plan, sheet: Sheet}} page.face
 * @param {ReturnType<typeof import("../list/take.js").makeTake>} page.take
 * @param {() => TakeState | null} page.stateNow of the programme that the page shows; null where it shows another than the take's
 * @param {Promise<import("../takes/log.js").Log>} page.log
 * @param {import("../codes/carry.js").Page} page.common
 * @param {() => unknown} page.give shares or saves the log as a file
 * @param {(file: File) => unknown} page.takeIn
 * @param {HTMLElement[]} page.plan what gives the plan away without its take
 * @param {string} page.key a name in the phone's store
 */
export function makeHand(box, { face, take, stateNow, log, common, give, takeIn, plan, key }) {
  /** This phone in the log; "" before it is known. */
  let device = "";
  const summary = /** @type {HTMLElement} */ (box.querySelector("summary"));
  const { spans } = face.plan.brief.place.zone;
  const lines = make("dl", { className: "aloud" });
  const who = make("p", {});
  const sources = make("div", { className: "soft" });
  const have = make("button", { type: "button" }, "I have it");
  const show_code = make("button", { type: "button" }, SHOW);
  const file = make("button", { type: "button" }, "Share or save the log");
  const bright = make("button", { type: "button", className: "white", hidden: true }, "Not read? Full white");
  const code = make("div", { className: "code", hidden: true });
  const said = make("p", {});
  const stops = stopLines();
  let called = recall("localStorage", key).slice(0, NAME_MOST);
  let drawn = "";
  let is_filled = false;
  for (const node of [who, said]) node.setAttribute("role", "status");
  box.addEventListener("toggle", fill);
  log.then((opened) => (device = opened.device)).catch(() => {}); // said by the page that wants to keep something
  have.addEventListener("click", () => hold());
  show_code.addEventListener("click", () => (code.hidden ? open() : shut()));
  bright.addEventListener("click", () => code.classList.toggle("bright"));

  /** Where this phone is given its name. */
  function naming() {
    const field = make("input", { type: "text", maxLength: NAME_MOST, autocomplete: "off", value: called });
    field.addEventListener("change", () => callThis(field.value));
    return make("label", { className: "called" }, "This phone is called", field);
  }

  function fill() {
    if (is_filled) return show();
    is_filled = true;
    file.addEventListener("click", give);
    const taken = make("input", { type: "file", accept: ".json,application/json" });
    taken.addEventListener("change", async () => {
      const chosen = taken.files?.[0];
      if (chosen) await takeIn(chosen);
      taken.value = ""; // the same file may be chosen again
    });
    // biome-ignore format: a line a part
    box.append(
      make("h2", {}, "Read aloud"), lines,
      make("h2", {}, "The watch"), who,
      naming(), show_code, code, bright, said, have,
      make("p", { className: "soft" }, OTHER_STORE),
      make("h2", {}, "The whole log as a file"), file,
      make("label", { className: "snap" }, taken, make("span", {}, "Take in a file")),
      sources,
      make("h2", {}, "The plan alone"), ...plan,
    );
    show();
  }

  /** The phone's name stays for other takes, and each open take holds it. @param {string} typed */
  async function callThis(typed) {
    called = oneLine(typed).slice(0, NAME_MOST);
    remember("localStorage", key, called);
    const { id, state } = take.now;
    if (id !== "" && called !== (state.names.get(device) ?? "")) await take.keep("name", { name: called });
  }

  async function hold() {
    await callThis(called);
    await take.keep("watch", { who: called });
  }

  async function open() {
    await callThis(called);
    code.hidden = false;
    show();
    code.scrollIntoView({ block: "center" });
  }

  function shut() {
    code.hidden = true;
    show();
  }

  function show() {
    const { id, events, state } = take.now;
    const watch = watchText(state, device, spans);
    put(summary, watch === "" ? "Hand over" : `Hand over. ${watch}`);
    if (!is_filled || !box.open) return;
    put(
      who,
      id === "" ? "No take is open: there is nothing to hand over yet." : watch || "Nobody has said that they have it.",
    );
    sources.replaceChildren(...sourceLines(events, device, face.plan).map((line) => make("p", {}, line)));
    for (const one of [have, show_code, file]) one.disabled = id === "";
    put(show_code, code.hidden ? SHOW : "Put the code away");
    tick(Date.now());
    showCode();
  }

  /** The code of the take as it is now; why there is none. */
  function showCode() {
    const { id, events } = take.now;
    const wanted = code.hidden || id === "" ? "" : `${id} ${events.length}`;
    if (wanted === drawn) return;
    drawn = wanted;
    const made =
      wanted === "" ? { code: null, said: "" } : screenCode(events, common, `${pageAddress(face.plan.shot.id)}#t=`);
    code.replaceChildren(...(made.code ? [made.code] : []));
    bright.hidden = made.code === null;
    put(said, made.said);
  }

  /** @param {number} now_ms */
  function tick(now_ms) {
    if (!is_filled || !box.open) return;
    const { events } = take.now;
    const state = stateNow();
    const of_take = sixLines(face.plan, face.sheet, { events, state: state ?? take.now.state }, stops, now_ms);
    const rows = state === null ? of_take.map(([row]) => [row, UNKNOWN]) : of_take;
    if (lines.children.length === 0)
      lines.append(...rows.map(([row]) => make("div", {}, make("dt", {}, row), make("dd"))));
    rows.forEach(([, text], at) => put(lines.children[at].children[1], text));
  }

  return { show, tick, hold, naming };
}

/** @param {import("../takes/added.js").TakeState} state @param {string} device this phone @param {Span[]} spans */
function watchText({ watch, names }, device, spans) {
  if (watch === null) return "";
  const who =
    oneLine(watch.who || names.get(watch.device) || "") || (watch.device === device ? "This phone" : "Another phone");
  return `${who} has the watch since ${clock(watch.utc_ms, spans)}.`;
}

/** What came from where: which phone wrote how much of the take, and when it was joined; nothing where it was one alone.
 *  @param {import("../takes/added.js").LogEvent[]} events @param {string} here this phone @param {Plan} plan */
function sourceLines(events, here, plan) {
  const lines = makeLines(events, plan);
  const devices = [...new Set(events.map(({ device }) => device))];
  if (devices.length < 2) return [];
  const joined = events.filter(({ kind }) => kind === "joined");
  const counts = devices.map((device) => {
    const name = lines.phone(device);
    return `${name}${device === here ? " (this phone)" : ""} ${events.filter((event) => event.device === device).length}`;
  });
  return [
    `Entries in this take: ${counts.join(", ")}.`,
    ...joined.map((event) => `${lines.clock(event.utc_ms)} ${wholeLine(lines.line(event))}`),
  ];
}

/** When to stop, as the page has it from the place's file. */
function stopLines() {
  const heading = [...document.querySelectorAll("main > .warning > strong")].find(
    ({ textContent }) => textContent === "Stop if",
  );
  return Array.from(heading?.parentElement?.querySelectorAll("p") ?? [], ({ textContent }) => textContent ?? "");
}
