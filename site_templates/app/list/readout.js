// One item at a time in very large type: one person reads, another answers. It goes on at the next open item.

import { makeAwake } from "../touch/awake.js";
import { make, part } from "../touch/dom.js";
import { isOpen } from "./work.js";

const SIZES = ["5", "4", "3", "2", "1"]; // the largest that fits; check.css says how large they are

/**
 * @typedef {object} Told what is told of an item
 * @property {string} text
 * @property {string} value
 * @property {string} note
 * @property {string} whose section, role and weight
 *
 * @param {object} list
 * @param {() => import("./work.js").Item[]} list.items what is read, in the order of work
 * @param {(item: import("./work.js").Item) => Told} list.told
 * @param {(item: import("./work.js").Item, ticked: boolean) => void} list.tick
 * @param {(item: import("./work.js").Item, value: string) => void} list.write
 * @param {(item: import("./work.js").Item | null) => void} list.left it was closed at that item
 */
export function makeReadout({ items, told, tick, write, left }) {
  /** @type {import("./work.js").Item[]} */
  let list = [];
  let at = 0;
  let [drawn, answered] = ["", false];
  const awake = makeAwake(() => {}); // with two at work nobody touches the glass
  const [place, whose, note, fault] = ["place", "whose", "note", "fault"].map((className) => make("p", { className }));
  const [text, value] = [make("p", { className: "text" }), make("p", { className: "value" })];
  const field = make("input", { type: "text", maxLength: 40, autocomplete: "off" });
  const blank = make("span", {});
  const writing = make("label", { className: "field" }, field, blank);
  const card = make("div", {}, whose, text, value, note);
  const said = make("div", { className: "said" }, card);
  said.setAttribute("aria-live", "polite");
  said.setAttribute("aria-atomic", "true");
  const [close, back, later, done] = [
    ["Close", shut],
    ["Back", stepBack],
    ["Later", putOff],
    ["Done", answer],
  ].map(([words, act]) => {
    const button = make("button", { type: "button" }, /** @type {string} */ (words));
    // The second of a glove's two taps is meant for nobody.
    button.addEventListener("click", ({ detail }) => detail > 1 || /** @type {() => void} */ (act)());
    return button;
  });
  done.className = "done";
  const head = make("div", { className: "head" }, place, close);
  const foot = make("div", { className: "foot" }, fault, done, back, later);
  const dialog = make("dialog", { className: "readout" }, head, said, writing, foot);
  dialog.setAttribute("aria-label", "Read out");
  field.addEventListener("change", () => write(list[at], field.value.trim()));
  dialog.addEventListener("keydown", steer);
  dialog.addEventListener("cancel", () => field.blur()); // what was typed last is kept
  dialog.addEventListener("close", () => {
    awake.want(false);
    left(list[at] ?? null);
  });
  document.body.append(dialog);

  function isEnd() {
    return at >= list.length;
  }

  /** The first open item from a place on, else the end. @param {number} from */
  function openFrom(from) {
    const found = list.findIndex((item, index) => index >= from && isOpen(item));
    return found < 0 ? list.length : found;
  }

  function stillOpen() {
    return list.filter(isOpen);
  }

  /** @param {number} to */
  function turn(to) {
    at = to;
    answered = false;
    show();
    done.focus();
  }

  function answer() {
    if (isEnd()) return stillOpen().length > 0 ? turn(openFrom(0)) : shut();
    if (isOpen(list[at]) && !answered) {
      tick(list[at], true);
      answered = true;
    }
    turn(openFrom(at + 1));
  }

  function putOff() {
    if (isEnd()) return shut();
    if (isOpen(list[at])) return turn(openFrom(at + 1));
    tick(list[at], false);
  }

  function stepBack() {
    if (at > 0) turn(at - 1);
  }

  function shut() {
    dialog.close();
  }

  /** @param {KeyboardEvent} event */
  function steer(event) {
    const is_press = event.key === "Enter" || event.key === " ";
    if (event.repeat && is_press) return event.preventDefault(); // a key held down answers once
    if (event.target === field) return event.key === "Enter" ? done.focus() : undefined;
    const step = { ArrowRight: putOn, ArrowDown: putOn, ArrowLeft: stepBack, ArrowUp: stepBack }[event.key];
    if (!step) return;
    event.preventDefault();
    step();
  }

  /** On without an answer, over what is done too. */
  function putOn() {
    if (!isEnd()) turn(at + 1);
  }

  function show() {
    if (!dialog.open) return;
    const item = list[at];
    const is_done = item !== undefined && !isOpen(item);
    const told_now = item ? told(item) : ending();
    place.textContent = item ? `${at + 1} of ${list.length}` + (is_done ? " · done" : "") : "End of the list";
    fault.textContent = part("store-fault").textContent;
    fault.hidden = fault.textContent === "";
    dialog.classList.toggle("is-done", is_done);
    writing.hidden = !item?.field;
    if (item?.field && field !== document.activeElement) {
      field.value = item.field.value;
      field.ariaLabel = item.field.ariaLabel;
      field.inputMode = item.field.inputMode;
      blank.textContent = item.field.parentElement?.textContent ?? "";
    }
    back.disabled = at === 0;
    done.textContent = item ? (is_done ? "Next" : "Done") : stillOpen().length > 0 ? "Read those" : "Close";
    later.textContent = is_done ? "Open again" : "Later";
    later.hidden = !item;
    draw(told_now);
  }

  /** Written only where it differs: it is read aloud. @param {Told} told_now */
  function draw(told_now) {
    const now = JSON.stringify(told_now);
    if (now === drawn) return;
    drawn = now;
    card.remove(); // put back in one piece it is said once, in its order
    whose.textContent = told_now.whose;
    text.textContent = told_now.text;
    value.textContent = told_now.value.replaceAll(" · ", "\n"); // an axis a line
    note.textContent = told_now.note;
    said.append(card);
    for (const size of SIZES) {
      said.dataset.size = size;
      if (said.scrollHeight <= said.clientHeight && said.scrollWidth <= said.clientWidth) return;
    }
  }

  /** @returns {Told} */
  function ending() {
    const open = stillOpen();
    const musts = open.filter(({ must }) => must).length;
    const text_now = open.length > 0 ? `${open.length} left for later` : "All is done";
    return { text: text_now, value: musts > 0 ? `${musts} must be done` : "", note: "", whose: "" };
  }

  return {
    show,
    /** @param {import("./work.js").Item | null} item where it begins; null: at the first that is open */
    open(item) {
      list = items();
      drawn = "";
      const found = item ? list.findIndex((one) => one.item === item.item) : -1;
      if (!dialog.open) dialog.showModal();
      awake.want(true);
      turn(found < 0 ? openFrom(0) : found);
    },
    get is_open() {
      return dialog.open;
    },
  };
}
