// Takes on this phone, on the list of shots: each can be saved, and what is saved and over can be deleted.

import { amount } from "../touch/amount.js";
import { localDay } from "../core/civil.js";
import { clock, dayText } from "../core/say.js";
import { make } from "../touch/dom.js";
import { makeExport } from "./export.js";
import { reduce } from "./added.js";
import { logWords } from "./log.js";
import { oneLine } from "./loglines.js";
import { roomText, size } from "../keep/room.js";
import { planOf, writeTake } from "./takefile.js";
import { refill } from "../touch/refill.js";
import { twice } from "../touch/twice.js";

const UTC = [[0, 0, "UTC"]];

/**
 * @typedef {import("./added.js").LogEvent} LogEvent
 * @typedef {{events: LogEvent[], photos: Map<number, ArrayBuffer>, is_saved: boolean, ended: boolean}} Held
 */

/**
 * Shows the takes, where there are any or none can be kept; they are read when the section is opened.
 * @param {HTMLElement} place @param {import("../keep/site.js").Site} site @param {Promise<import("./log.js").Log>} log
 * @param {() => void} turned called when a take was ended
 */
export async function showTakes(place, site, log, turned) {
  const opened = /** @type {import("./log.js").Log} */ (
    await log.catch((error) => {
      place.append(make("p", { className: "warning" }, logWords(error)));
    })
  );
  if (!opened) return;
  const exports = makeExport(site, log);
  const summary = make("summary", {});
  const said = make("p", { className: "warning", hidden: true });
  const list = make("ul", { className: "takes" });
  const all = twice("Delete all that are saved and over", "Tap again: delete them from this phone");
  const room = make("p", { className: "soft" });
  const box = make("details", {}, summary, said, list, all.button, room);
  said.setAttribute("role", "alert");
  /** @type {Held[]} */
  let held = [];

  box.addEventListener("toggle", () => box.open && tried(read));
  all.twice(() => tried(() => removeAll()));
  opened.onChange(() => tried(read));
  await tried(count);

  async function count() {
    const takes = await opened.allTakes();
    summary.textContent = `Takes on this phone: ${takes.length}`;
    if (takes.length === 0) box.remove();
    else if (!box.parentElement) place.append(box);
    return takes;
  }

  async function read() {
    const takes = await count();
    if (!box.open) return;
    await exports.sweep();
    const found = [];
    for (const { take, ended } of takes) {
      const events = await opened.events(take);
      if (events.length > 0) found.push({ events, ended, ...(await exports.held(events)) });
    }
    held = found;
    refill(list, ...held.map(rowOf));
    all.button.hidden = !held.some(mayGo);
    room.textContent = await roomText();
  }

  /** What goes wrong is said. @param {() => Promise<unknown>} act */
  async function tried(act) {
    try {
      said.hidden = true;
      await act();
    } catch (error) {
      say(logWords(error));
    }
  }

  /** @param {string} text */
  function say(text) {
    said.textContent = text;
    said.hidden = false;
  }

  async function removeAll() {
    for (const { events } of held.filter(mayGo)) await exports.remove(events);
    await read();
  }

  /** @param {Held} one */
  function rowOf(one) {
    const { events, photos, ended } = one;
    const save = make(
      "button",
      { type: "button" },
      `Share or save${photos.size > 0 ? ` with ${amount(photos.size, "photo")}` : ""}`,
    );
    save.addEventListener("click", () => tried(async () => (await exports.giveAll(events, photos)) && read()));
    const title = oneLine(planOf(events)?.shot?.title ?? events[0].shot);
    const buttons = [save, ended ? removeButton(one) : endButton(events[0].take)];
    for (const button of buttons) button.setAttribute("aria-description", title);
    const answers = make("div", { className: "answers" }, ...buttons);
    const told = [make("strong", {}, title), make("span", {}, whenText(one)), make("i", {}, stateText(one))];
    const row = make("li", {}, ...told, answers);
    row.dataset.of = events[0].take;
    return row;
  }

  /** @param {Held} one */
  function removeButton({ events, is_saved }) {
    const remove = twice("Delete", "Tap again: delete it");
    if (!is_saved)
      remove.button.addEventListener("click", () => say("Save it first: not all of it has left this phone."));
    else remove.twice(() => tried(() => removeOne(events)));
    return remove.button;
  }

  /** @param {LogEvent[]} events */
  async function removeOne(events) {
    const is_gone = await exports.remove(events);
    await read();
    if (!is_gone) say("Not deleted: it has changed meanwhile. Save it first.");
  }

  /** @param {string} take */
  function endButton(take) {
    const end = twice("End this take", "Tap again: end it");
    end.twice(() =>
      tried(async () => {
        await opened.append(take, "end", {});
        turned();
        await read();
      }),
    );
    return end.button;
  }
}

/** @param {Held} one */
function mayGo({ ended, is_saved }) {
  return ended && is_saved;
}

/** @param {Held} one */
function whenText({ events, ended }) {
  const spans = planOf(events)?.brief?.place.zone.spans ?? UTC;
  const begun = events[0].utc_ms;
  const fired = reduce(events).fired_ms;
  const state = ended ? "over" : fired === null ? "open" : "running";
  return `${dayText(localDay(spans, begun / 1000))} · begun ${clock(begun, spans)} · ${state}`;
}

/** @param {Held} one */
function stateText({ events, photos, is_saved }) {
  const bytes = [...photos.values()].reduce((sum, photo) => sum + photo.byteLength, 0);
  const pictures = photos.size > 0 ? `, ${amount(photos.size, "photo")} of ${size(bytes)}` : "";
  const kept = is_saved ? "saved" : "not saved";
  return `${amount(events.length, "entry", "entries")}, ${size(writeTake(events).length)}${pictures} · ${kept}`;
}
