// Photos of the live view: drawn down, kept with the take in a base of their own, shown on a canvas, because the
// policy of the page lets no picture in from elsewhere.

import { baseAtNeed } from "../keep/atneed.js";
import { ON_DISK, committed, result } from "../keep/idb.js";

const LONGEST_PX = 1280;
const QUALITY = 0.8;
const TYPE = "image/jpeg";

/** A file that this phone cannot draw. */
export class NotAPicture extends Error {}

/**
 * The picture no larger than LONGEST_PX at its longer side, as JPEG; rejects with NotAPicture.
 * @param {Blob} file @returns {Promise<ArrayBuffer>}
 */
export async function drawnDown(file) {
  const picture = await createImageBitmap(file).catch(() => {
    throw new NotAPicture();
  });
  const scale = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  canvas.getContext("2d")?.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  const blob = await new Promise((resolve) => canvas.toBlob(resolve, TYPE, QUALITY));
  if (!(blob instanceof Blob)) throw new NotAPicture();
  return blob.arrayBuffer();
}

/** @param {HTMLCanvasElement} canvas @param {ArrayBuffer} bytes a JPEG */
export async function showOn(canvas, bytes) {
  const picture = await createImageBitmap(new Blob([bytes], { type: TYPE }));
  canvas.width = picture.width;
  canvas.height = picture.height;
  canvas.getContext("2d")?.drawImage(picture, 0, 0);
  picture.close();
}

/** The photos of one site, by take and keyframe; the last one of each is kept. @param {import("../keep/site.js").Site} site */
export function openPhotos(site) {
  const opened = baseAtNeed(`${site.prefix}photos`, (made) => {
    made.createObjectStore("photos", { keyPath: ["take", "keyframe"] });
  });
  const rangeOf = (/** @type {string} */ take) => IDBKeyRange.bound([take], [take, []]);
  return {
    /** @param {string} take @param {number} keyframe @param {ArrayBuffer} bytes */
    async keep(take, keyframe, bytes) {
      const work = (await opened()).transaction("photos", "readwrite", ON_DISK);
      work.objectStore("photos").put({ take, keyframe, bytes });
      await committed(work);
    },
    /** Keyframe -> JPEG. @param {string} take @returns {Promise<Map<number, ArrayBuffer>>} */
    async of(take) {
      const found = await result((await opened()).transaction("photos").objectStore("photos").getAll(rangeOf(take)));
      return new Map(found.map(({ keyframe, bytes }) => [keyframe, bytes]));
    },
    /** The takes that have any. @returns {Promise<string[]>} */
    async takes() {
      const keys = await result((await opened()).transaction("photos").objectStore("photos").getAllKeys());
      return [...new Set(keys.map((key) => /** @type {string[]} */ (key)[0]))];
    },
    /** @param {string} take */
    async forget(take) {
      const work = (await opened()).transaction("photos", "readwrite", ON_DISK);
      work.objectStore("photos").delete(rangeOf(take));
      await committed(work);
    },
  };
}
