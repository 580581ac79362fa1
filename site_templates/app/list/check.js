// The checklist on the page of a shot, joined: folds, what is left and what is next, who reads, undo, reading out, and
// "ready to roll".

import { make, part } from "../touch/dom.js";
import { makeGate } from "./gate.js";
import { makeReadout } from "./readout.js";
import { makeRoles } from "./roles.js";
import { allow, isCall, isLogged, listen, showRows, valueOf, wordsOf } from "./rows.js";
import { asked, isOpen, isOther, nextOf, partsOf, workOf } from "./work.js";

/** @typedef {import("./work.js").Item} Item @typedef {import("./work.js").Part} Part */

/**
 * @param {import("./rows.js").Row[]} rows
 * @param {object} page
 * @param {ReturnType<typeof import("./take.js").makeTake>} page.take
 * @param {() => {plan: Plan, sheet: Sheet}} page.kept what ticks stand by
 * @param {*} page.spans of the place's zone
 * @param {ReturnType<typeof import("../touch/undo.js").makeUndo>} page.undo
 * @param {string} page.key what the tab remembers the reader's role by
 */
export function makeCheck(rows, { take, kept, spans, undo, key }) {
  const sheet = () => kept().sheet;
  const parts = partsOf(document, rows);
  const items = parts.flatMap((one) => one.items);
  const folds = parts.map((one) => makeFold(one, () => turnFold(one)));
  /** Sections that a person has folded or unfolded. @type {Map<Part, boolean>} */
  const wished = new Map();
  const roles = makeRoles(parts, key, () => {
    wished.clear();
    settle();
  });
  const gate = makeGate(placeCall(rows), parts, { take, spans, go, offer: undo.offer });
  const progress = make("p", { className: "progress" });
  const read = make(
    "button",
    { type: "button", disabled: true, hidden: !("HTMLDialogElement" in globalThis) },
    "Read out, one at a time",
  );
  const readout = makeReadout({
    items: readable,
    told,
    tick: (item, ticked) => tick(item.item, valueOf(item, sheet()), ticked),
    write,
    left,
  });
  let id = "";
  read.addEventListener("click", () => readout.open(null));
  part("check").prepend(make("div", { className: "aids" }, progress, read, ...(roles.place ? [roles.place] : [])));
  part("next-open").addEventListener("click", goOn);

  /** What is read out: of the reader's and anybody's, what is to be done by now. */
  function readable() {
    const rolls = take.now.state.fired_ms !== null;
    return workOf(parts, rolls).filter((item) => !isOther(item, roles.reader()));
  }

  /** @param {Item} item @returns {import("./readout.js").Told} */
  function told(item) {
    const { title = "" } = parts.find((one) => one.items.includes(item)) ?? {};
    const note = item.line.querySelector(".what > small:not(.was)")?.textContent ?? "";
    const value = item.place?.firstChild?.textContent ?? valueOf(item, sheet());
    const whose = [title, item.role, item.must ? "must-do" : ""].filter((text) => text !== "").join(" · ");
    return { text: wordsOf(item), value, note, whose };
  }

  /** Reading out ends where it was: at its row. @param {Item | null} item */
  function left(item) {
    settle();
    if (item) go(item);
    else read.focus();
  }

  /** @param {string} name @param {string} value @param {boolean} ticked */
  function tick(name, value, ticked) {
    const item = /** @type {Item} */ (items.find((one) => one.item === name));
    const before = take.now.state.ticks.get(name)?.value;
    if (!ticked && before === undefined && isLogged(item, kept().plan, take.now.state)) return show(); // done by the log
    take.tick(name, value, ticked);
    undo.offer({
      text: wordsOf(item),
      back: () => take.tick(name, before ?? value, !ticked),
      land: () => (readout.is_open ? readout.open(item) : go(item, "nearest")),
    });
  }

  /** @param {Item} item @param {string} value */
  function write(item, value) {
    take.keep("field", { item: item.item, value });
  }

  function show() {
    const { state } = take.now;
    if (id !== "" && id !== take.now.id) {
      undo.forget(); // what is taken back belongs to a take
      gate.forget();
    }
    id = take.now.id;
    showRows(rows, kept(), state);
    folds.forEach((fold, at) => fold.show(isFolded(parts[at], fold.is_folded())));
    gate.show();
    showProgress();
    readout.show();
  }

  function showProgress() {
    const musts = asked(parts);
    const open = musts.filter(isOpen).length;
    progress.textContent = open > 0 ? `${open} of ${musts.length} must-dos left` : `All ${musts.length} must-dos done`;
    part("next-open").replaceChildren(...nextWords(nextOf(parts, take.now.state, roles.reader())));
  }

  /** Sections fold when one goes on, never under the thumb. */
  function settle() {
    folds.forEach((fold, at) => fold.show(isFolded(parts[at], true)));
    showProgress();
  }

  /** @param {Part} one @param {boolean} may it may fold now */
  function isFolded(one, may) {
    const is_through = !one.is_more && one.items.every((item) => !isOpen(item) || isOther(item, roles.reader()));
    return wished.get(one) ?? (may && is_through);
  }

  /** @param {Part} one */
  function turnFold(one) {
    const fold = folds[parts.indexOf(one)];
    wished.set(one, !fold.is_folded());
    fold.show(!fold.is_folded());
  }

  function goOn(/** @type {Event} */ event) {
    event.preventDefault();
    settle();
    const { kind, item } = nextOf(parts, take.now.state, roles.reader());
    if (item) go(item);
    else if (kind === "none") part("check").scrollIntoView();
    else reach(kind === "ready" ? gate.button : /** @type {HTMLElement} */ (part("fired").querySelector("button")));
  }

  /** @param {Item} item @param {ScrollLogicalPosition} block */
  function go(item, block = "center") {
    const one = parts.find(({ items: within }) => within.includes(item));
    if (one && folds[parts.indexOf(one)].is_folded()) turnFold(one);
    for (const { line } of items) line.classList.toggle("here", line === item.line);
    reach(item.box, block);
  }

  return {
    show,
    settle,
    unready: gate.unready,
    listen() {
      listen(rows, sheet, { tick, write: (item, value) => take.keep("field", { item, value }) });
    },
    /** @param {boolean} may */
    allow(may) {
      allow(rows, may);
      gate.allow(may);
      read.disabled = !may;
    },
  };
}

/** That frame 1 has fired is said after "ready to roll", beside the button that keeps it.
 *  @param {import("./rows.js").Row[]} rows @returns {HTMLElement} what follows on "ready to roll" */
function placeCall(rows) {
  const call = rows.find(isCall);
  if (!call) return part("fired");
  const list = make("ul", { className: "items" }, call.line);
  part("fired").before(list);
  return list;
}

/** @param {HTMLElement} place @param {ScrollLogicalPosition} block */
function reach(place, block = "center") {
  place.focus({ preventScroll: true });
  place.scrollIntoView({ block });
}

/** What the bar says of what comes next. @param {import("./work.js").Next} next @returns {(Node | string)[]} */
function nextWords({ kind, item, left, again }) {
  const count = again > 0 ? `${again} open again` : left > 0 ? `Check · ${left} left` : "Check";
  const words = { item: item ? wordsOf(item) : "", ready: "Ready to roll?", fire: "Frame 1", none: "all done" }[kind];
  return [make("span", {}, count), make("small", {}, words)];
}

/**
 * The heading of a section as what folds it, with what is left of it.
 * @param {Part} one @param {() => void} turned
 */
function makeFold({ section, heading, items }, turned) {
  const left = make("span", { className: "left" });
  const button = make("button", { type: "button", className: "fold" }, ...heading.childNodes, left);
  button.addEventListener("click", turned);
  heading.replaceChildren(button);
  const is_folded = () => section.classList.contains("folded");
  return {
    is_folded,
    /** @param {boolean} folded */
    show(folded) {
      const open = items.filter(isOpen);
      left.textContent = open.length > 0 ? `${open.length} left` : "done";
      left.classList.toggle(
        "musts",
        open.some(({ must }) => must),
      );
      section.classList.toggle("through", open.length === 0);
      section.classList.toggle("folded", folded);
      button.setAttribute("aria-expanded", String(!folded));
    },
  };
}
