// What the rig showed when a keyframe was stored: a field for each axis and a photo of the live view.

import { make } from "../touch/dom.js";
import { logWords } from "../takes/log.js";
import { NotAPicture, drawnDown, openPhotos, showOn } from "../takes/photos.js";

const NUMBER = /^[+\-\u2212]?[0-9]{1,6}([.,][0-9]{1,3})?$/;
const SIGNED = new Set(["°"]);

/**
 * @typedef {{index: number, fields: Map<string, HTMLInputElement>, camera: HTMLInputElement, frame: HTMLElement,
 *   canvas: HTMLCanvasElement, fault: HTMLElement, live: HTMLElement, drawn: string}} Place
 *   drawn: which photo stands on the canvas, "" for none
 */

/**
 * Gives every keyframe of the page its fields, its photo and its live line.
 * @param {ParentNode} page @param {import("../keep/site.js").Site} site
 * @param {{name: string, letter: string, unit: string}[]} axes
 * @param {ReturnType<typeof import("./take.js").makeTake>} take
 */
export function makeAsSet(page, site, axes, take) {
  const photos = openPhotos(site);
  const items = /** @type {NodeListOf<HTMLElement>} */ (page.querySelectorAll("[data-keyframe]"));
  const places = Array.from(items, (item) => makePlace(item, axes));
  for (const place of places) listen(place, take, photos);
  return {
    places,
    /** @param {boolean} may */
    allow(may) {
      for (const { fields, camera } of places) {
        for (const field of [...fields.values(), camera]) field.disabled = !may;
      }
    },
    /** Shows what the take holds. */
    async show() {
      const { id, state } = take.now;
      for (const { index, fields } of places) {
        for (const [axis, field] of fields) showField(field, state.as_set.get(`${index}.${axis}`) ?? "");
      }
      const wanted = (/** @type {Place} */ { index }) =>
        id && state.photos.has(index) ? `${id} ${state.photos.get(index)}` : "";
      const changed = places.filter((place) => wanted(place) !== place.drawn);
      const kept = id && changed.length > 0 ? await photos.of(id).catch(() => new Map()) : new Map();
      if (id !== take.now.id) return; // another take is shown by now
      for (const place of changed) {
        place.drawn = wanted(place);
        await showPhoto(place, kept.get(place.index));
      }
    },
  };
}

/** @param {HTMLElement} item @param {{name: string, letter: string, unit: string}[]} axes @returns {Place} */
function makePlace(item, axes) {
  const key = item.querySelector(".mark")?.textContent ?? "";
  const fields = new Map(axes.map((axis) => [axis.name, makeField(key, axis)]));
  const camera = make("input", { type: "file", accept: "image/*", disabled: true });
  camera.setAttribute("capture", "environment");
  camera.setAttribute("aria-label", `${key}: photo of the live view`);
  const canvas = make("canvas");
  const frame = make("div", { className: "photo", hidden: true }, canvas);
  const fault = make("p", { className: "warning", hidden: true });
  fault.setAttribute("role", "alert");
  const live = make("p", { className: "live", hidden: true });
  const shows = axes.map(({ letter, unit, name }) =>
    make("label", {}, `${letter} ${unit}`, /** @type {Node} */ (fields.get(name))),
  );
  const row = make("div", { className: "as-set" }, make("span", { className: "soft" }, "rig shows"), ...shows);
  const snap = make("label", { className: "snap" }, camera, make("span", {}, "Photo of the live view"));
  const stored = item.querySelector(".items");
  for (const node of [live, ...(axes.length > 0 ? [row] : []), snap, frame, fault]) item.insertBefore(node, stored);
  return { index: Number(item.dataset.keyframe), fields, camera, frame, canvas, fault, live, drawn: "" };
}

/** @param {string} key @param {{name: string, unit: string}} axis */
function makeField(key, { name, unit }) {
  // Some phones' decimal keys have no minus.
  const field = make("input", {
    type: "text",
    inputMode: SIGNED.has(unit) ? "text" : "decimal",
    maxLength: 12,
    autocomplete: "off",
    disabled: true,
  });
  field.setAttribute("aria-label", `${key}: ${name} as the rig shows it, ${unit}`);
  return field;
}

/** @param {HTMLInputElement} field @param {string} text */
function showField(field, text) {
  if (field === document.activeElement || field.getAttribute("aria-invalid") === "true") return;
  field.value = text;
}

/**
 * @param {Place} place @param {ReturnType<typeof import("./take.js").makeTake>} take
 * @param {ReturnType<typeof openPhotos>} photos
 */
function listen(place, take, photos) {
  const { index, fields, camera, fault } = place;
  const say = (/** @type {string} */ words) => {
    fault.textContent = words;
    fault.hidden = words === "";
  };
  for (const [axis, field] of fields) {
    field.addEventListener("change", () => {
      const value = field.value.trim().replace("-", "\u2212").replace(",", ".");
      const is_number = value === "" || NUMBER.test(value);
      field.setAttribute("aria-invalid", String(!is_number));
      say(is_number ? "" : `Not kept: "${field.value}" is not a number.`);
      if (is_number) take.keep("as-set", { keyframe: index, axis, value });
    });
  }
  camera.addEventListener("change", async () => {
    const file = camera.files?.[0];
    camera.value = ""; // the same file may be chosen again
    if (!file) return;
    try {
      const bytes = await drawnDown(file);
      say("");
      await take.keep("photo", { keyframe: index, bytes: bytes.byteLength }, (id) =>
        photos.keep(id, index, bytes).catch((error) => {
          say(logWords(error));
          throw error;
        }),
      );
    } catch (error) {
      if (!(error instanceof NotAPicture)) throw error;
      say("Not kept: this phone cannot draw that file as a picture.");
    }
  });
}

/** A photo that is in the log but on another phone is not shown. @param {Place} place @param {ArrayBuffer | undefined} bytes */
async function showPhoto(place, bytes) {
  if (bytes) await showOn(place.canvas, bytes);
  place.frame.hidden = bytes === undefined;
}
