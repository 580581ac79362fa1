// The log of the open take on its shot's page: notes, what was kept line by line, and the take as files.

import { amount } from "../touch/amount.js";
import { localDay } from "../core/civil.js";
import { dayText } from "../core/say.js";
import { make, part } from "../touch/dom.js";
import { refill } from "../touch/refill.js";
import { eventKey, takenBack } from "../takes/added.js";
import { logWords } from "../takes/log.js";
import { makeLines, wholeLine } from "../takes/loglines.js";
import { roomText } from "../keep/room.js";
import { MOST_NOTE, planOf } from "../takes/takefile.js";

const LINES = 60; // at first
// biome-ignore format: a table
const FILES = /** @type {const} */ ([["txt", "Text"], ["csv", "CSV"], ["json", "JSON"]]);
const NONE = "No take is open here: the first tick or note begins one. Those before stand on the list of all shots.";

/**
 * Fills the section when it is opened.
 * @param {HTMLDetailsElement} box
 * @param {ReturnType<typeof import("./take.js").makeTake>} take
 * @param {ReturnType<typeof import("../takes/export.js").makeExport>} exports
 */
export function makeLogBox(box, take, exports) {
  const note = make("textarea", { rows: 2, maxLength: MOST_NOTE, disabled: true });
  const keep = make("button", { type: "button", disabled: true }, "Keep the note");
  const fault = make("p", { className: "warning", hidden: true });
  const state = make("p", { className: "soft" });
  const files = makeFiles(take, exports, state);
  const list = make("ol", { className: "log", reversed: true, tabIndex: -1 });
  const more = make("button", { type: "button", hidden: true }, "All of the log");
  const room = make("p", { className: "soft" });
  let [shown, may, is_whole] = ["", false, false];
  fault.setAttribute("role", "alert");
  state.setAttribute("role", "status");
  keep.addEventListener("click", keepNote);
  more.addEventListener("click", () => {
    is_whole = true;
    show();
    list.focus({ preventScroll: true }); // the button is gone
  });
  box.addEventListener("toggle", () => {
    if (!box.open) return;
    if (!list.parentElement)
      box.append(make("label", { className: "note-field" }, "Note", note), keep, fault, state, files, list, more, room);
    roomText().then((text) => {
      room.textContent = text;
    });
    show();
  });

  async function keepNote() {
    const text = note.value.trim();
    if (text === "") return note.focus();
    const before = take.now.state.notes.length;
    await take.keep("note", { text });
    const is_kept = take.now.state.notes.length > before;
    fault.hidden = is_kept;
    fault.textContent = is_kept ? "" : part("store-fault").textContent || logWords(null);
    if (is_kept) note.value = "";
  }

  function show() {
    const { id, events } = take.now;
    note.disabled = keep.disabled = !may && id === "";
    if (!box.open || shown === `${id} ${events.length} ${is_whole}`) return;
    shown = `${id} ${events.length} ${is_whole}`;
    files.hidden = id === "";
    state.textContent = id === "" ? NONE : `${amount(events.length, "entry", "entries")}. Share or save them as`;
    const rows = id === "" ? [] : rowsOf(events, take);
    refill(list, ...(is_whole ? rows : rows.slice(0, LINES)));
    more.hidden = is_whole || rows.length <= LINES;
  }

  return {
    show,
    /** Whether what would begin a take may begin one. @param {boolean} allowed */
    allow(allowed) {
      may = allowed;
      show();
    },
  };
}

/**
 * Buttons that share or save the open take.
 * @param {ReturnType<typeof import("./take.js").makeTake>} take
 * @param {ReturnType<typeof import("../takes/export.js").makeExport>} exports @param {HTMLElement} said where it is said that they did
 */
function makeFiles(take, exports, said) {
  const buttons = FILES.map(([kind, name]) => {
    const button = make("button", { type: "button" }, name);
    button.setAttribute("aria-label", `Share or save the log as ${name}`);
    button.addEventListener("click", async () => {
      const { events } = take.now;
      if (await exports.give(events, kind))
        said.textContent = `Gone out as ${name}: ${amount(events.length, "entry", "entries")}.`;
    });
    return button;
  });
  return make("div", { className: "answers" }, ...buttons);
}

/** The lines, newest first; what was taken back is struck out, and a note may be.
 *  @param {import("../takes/added.js").LogEvent[]} events @param {ReturnType<typeof import("./take.js").makeTake>} take */
function rowsOf(events, take) {
  const plan = planOf(events);
  const { spans } = plan.brief.place.zone;
  const lines = makeLines(events, plan);
  const several = lines.phones().length > 1;
  const isBack = takenBack(events);
  const dayOf = (/** @type {number} */ utc_ms) => dayText(localDay(spans, utc_ms / 1000));
  let day = "";
  return events
    .map((event) => {
      const { utc_ms, kind, device } = event;
      const head = [...(dayOf(utc_ms) === day ? [] : [dayOf(utc_ms)]), ...(several ? [lines.phone(device)] : [])].join(
        " · ",
      );
      day = dayOf(utc_ms);
      const said = make("span", {}, wholeLine(lines.line(event)));
      const row = make("li", {}, make("b", {}, lines.clock(utc_ms)), said, ...(head ? [make("i", {}, head)] : []));
      row.dataset.of = eventKey(event);
      if (isBack(event)) row.className = "back";
      else if (kind === "note") row.append(takeBack(() => take.keep("undo", { events: [eventKey(event)] }), said));
      return row;
    })
    .reverse();
}

/** @param {() => void} act @param {HTMLElement} said */
function takeBack(act, said) {
  const button = make("button", { type: "button" }, "Take back");
  button.setAttribute("aria-description", said.textContent ?? "");
  button.addEventListener("click", act);
  return button;
}
